"""How the places where a house leaks share its measured leakage and its flow; their data are in leak_sites.csv.

The blower door gives the whole, typical areas only share it out: no site can leak more than was
measured, and none can be sealed twice.
"""

from collections.abc import Mapping

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import larger, smaller

REST = "rest"
"""Key of everything that no one found."""


def site_shares(areas: Mapping[str, Value], rest_share: Value = 0.2) -> dict[str, Value]:
    """Share of the measured leakage at each site.

    Parameters
    ----------
    areas : mapping of str to Value
        Typical leakage area x count x condition. [in2]
    rest_share : Value
        Share that no listed site explains. [1] (judgment)

    Returns
    -------
    dict of str to Value
        Shares by site and under `REST`; they add to one. Where no site is listed or all areas are
        zero, all is rest. [1]
    """
    listed = (1.0 - rest_share) / larger(total(areas.values()), 1e-12)
    shares = {key: listed * area for key, area in areas.items()}
    found = total(shares.values())
    return {**shares, REST: 1.0 - found}


def shares_left(
    shares: Mapping[str, Value], effectiveness: Mapping[str, Value]
) -> dict[str, Value]:
    """Share of the measured leakage that is left at each site.

    Parameters
    ----------
    shares : mapping of str to Value
        From `site_shares`. [1]
    effectiveness : mapping of str to Value
        Part of a site's leakage that sealing took away; sites that it does not name keep theirs.
        [1]

    Returns
    -------
    dict of str to Value
        Shares; their sum is what is left of the whole. [1]
    """
    return {key: share * (1.0 - effectiveness.get(key, 0.0)) for key, share in shares.items()}


def neutral_level(both: Value, tilt: Value, exponent: Value) -> Value:
    """Height at which the pressure indoors is that outdoors, as a share of the height of the house.

    Parameters
    ----------
    both, tilt : Value
        Share of the leakage in floor and ceiling together, and of the ceiling less the floor. [1]
    exponent : Value
        Flow exponent. [1]

    Returns
    -------
    Value
        Share; half where floor and ceiling leak alike, higher where the ceiling leaks more. [1]

    Notes
    -----
    Where as much comes in below it as goes out above, by stack alone, to the first order about half the
    height; off by up to 0.02 where the whole balance is solved.

    Examples
    --------
    >>> neutral_level(0.5, 0.0, 0.65), round(neutral_level(0.5, 0.3, 0.67), 3)
    (0.5, 0.68)
    """
    shift = 0.5 * tilt / (1.0 - both * (1.0 - exponent))
    return 0.5 + smaller(larger(shift, -0.5), 0.5)


def wall_part(height: Value, exponent: Value, stack: Value) -> Value:
    """How much of the leakage in walls passes air one way, against leaks at the end of the house on that side.

    Parameters
    ----------
    height : Value
        From that end to the neutral level, as a share of the height of the house. [1]
    exponent : Value
        Flow exponent. [1]
    stack : Value
        Share of the stack in what drives the air; the rest is wind. [1]

    Returns
    -------
    Value
        Part. [1]

    Notes
    -----
    By stack the pressure falls evenly from the end to the neutral level, so a wall up to there passes
    1 / (n + 1) of what as many leaks at the end do. Wind blows into half of the walls and out of the other
    half with what it does at the end (judgment).

    Examples
    --------
    >>> wall_part(0.5, 1.0, 1.0), wall_part(0.5, 1.0, 0.0)
    (0.25, 0.5)
    """
    return stack * height / (exponent + 1.0) + 0.5 * (1.0 - stack)
