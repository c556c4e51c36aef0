"""How the places where a house leaks share its measured leakage and its flow; their data are in leak_sites.csv.

The blower door gives the whole, typical areas only share it out: no site can leak more than was
measured, and none can be sealed twice.
"""

from collections.abc import Mapping

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import larger

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


def inflow_share(low: Value, middle: Value) -> Value:
    """Share of the air entering that comes in through low sites.

    Parameters
    ----------
    low, middle : Value
        Leakage, or shares of it, at low sites and at those in between. [any one unit]

    Returns
    -------
    Value
        Share; 0 where there is neither. [1]

    Notes
    -----
    Warm air rises: in winter it enters low, leaves high, and the sites in between serve both by
    halves. Wind spoils the picture. Judgment, common practice, no source.
    """
    return low / larger(low + 0.5 * middle, 1e-12)
