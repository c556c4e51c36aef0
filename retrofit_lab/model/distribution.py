"""Ducts of a described house: how much of what the equipment makes arrives, and what warms the duct's place."""

from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.physics.annual_balance import BufferNode, regain
from retrofit_lab.physics.ducts import conduction_effectiveness, duct_losses, unbalanced_flow
from retrofit_lab.physics.elementwise import is_nought, larger, smaller

CLOSED_KINDS = ("basement",)
LEAST_LEAKAGE = 1e-9
LEAST_DELIVERED = 0.05
"""Ducts that deliver less than this are broken, not leaky; the model goes no lower. [1] (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Distribution:
    """What becomes of the heat that goes into the ducts, as shares of it. [1]

    Parameters
    ----------
    useful : Value
        Share that counts in the rooms, with what comes back from the places of the ducts. [1]
    lost : mapping of str to Value
        What the rooms miss, by place. [1]
    released : mapping of str to Value
        What warms, or cools, the place: a supply leak brings air of the ducts into it, a return leak takes the
        place's own air and leaves nothing behind. [1]
    around : mapping of str to Value
        Temperature of the places where the ducts are. [F]
    rise : Value
        What the equipment adds to the temperature of the air, below 0 for cooling. [F]
    """

    useful: Value
    lost: Mapping[str, Value]
    released: Mapping[str, Value]
    around: Mapping[str, Value]
    rise: Value

    @property
    def delivered(self) -> Value:
        """Share that reaches the rooms, without what comes back. [1]

        Returns
        -------
        Value
            Share, between what broken ducts deliver and 1.

        Examples
        --------
        >>> ducts = Distribution(useful=0.9, lost={"attic": 0.25}, released={}, around={}, rise=50.0)
        >>> ducts.delivered
        0.75
        """
        return _within_reason(1.0 - total(self.lost.values()))


def distribution(
    house: House,
    nodes: Mapping[str, BufferNode],
    place_temperature: Mapping[str, Value],
    temperature_rise: Value,
    air_coefficient: Value,
) -> Distribution:
    """Effectiveness of the ducts in one season.

    Parameters
    ----------
    house : House
        Its ducts: area, resistance, leaks, flow and the places where they are.
    nodes : mapping of str to BufferNode
        Buffer zones, for what comes back of the heat that they catch.
    place_temperature : mapping of str to Value
        Temperature of the rooms and of every place. [F]
    temperature_rise : Value
        Warming of the air in the equipment, negative for cooling. [F]
    air_coefficient : Value
        Heat carried by air at the site's elevation. [Btu/(h F cfm)]

    Returns
    -------
    Distribution
        Shares of what the equipment makes. [1]

    References
    ----------
    ASHRAE Standard 152, delivery effectiveness, see `retrofit_lab.physics.ducts` (memory).

    Examples
    --------
    Ducts in the rooms lose nothing that the rooms do not get:

    >>> inside = replace(house.ducts, supply_place="house", return_place="house")
    >>> bool(np.isclose(distribution(replace(house, ducts=inside), {}, {"house": 70.0}, 50.0, 1.08).useful, 1.0))
    True
    """
    ducts, room = house.ducts, place_temperature[INSIDE]
    at_supply = room - place_temperature[ducts.supply_place]
    losses = duct_losses(
        supply_leakage=ducts.supply_leakage,
        return_leakage=ducts.return_leakage,
        supply_conduction=conduction_effectiveness(
            ducts.supply_area, ducts.supply_r, ducts.flow, air_coefficient
        ),
        return_conduction=conduction_effectiveness(
            ducts.return_area, ducts.return_r, ducts.flow, air_coefficient
        ),
        supply_temperature_difference=at_supply,
        return_temperature_difference=room - place_temperature[ducts.return_place],
        equipment_temperature_rise=temperature_rise,
    )
    brought = losses.supply + ducts.supply_leakage * at_supply / temperature_rise
    lost = _by_place(house, losses.supply, losses.back)
    from_rooms, to_rooms = _through_a_closed_place(
        house, losses.return_leakage, at_supply / temperature_rise
    )
    released = _by_place(house, brought, losses.return_conduction + from_rooms)
    useful = losses.delivered - to_rooms
    for place, share in released.items():
        useful = useful + share * (1.0 if place == INSIDE else regain(nodes[place]))
    return Distribution(
        useful=_within_reason(useful),
        lost=lost,
        released=released,
        around={place: place_temperature[place] for place in lost},
        rise=temperature_rise,
    )


def _through_a_closed_place(
    house: House, return_leakage: Value, supply_drop: Value
) -> tuple[Value, Value]:
    """Heat that the air brings to a closed place and takes from the rooms, where leaks there are unequal. [1]

    A basement breathes with the rooms above, not with outdoors: what the return takes out of it comes
    down from the rooms, and what the supply leaks into it goes up to them at the temperature of the place.
    """
    ducts, closed = house.ducts, closed_places(house)
    together = ducts.supply_place == ducts.return_place
    back = ducts.return_leakage if ducts.return_place in closed else 0.0
    supply = ducts.supply_leakage if ducts.supply_place in closed else 0.0
    down = larger(back - (supply if together else 0.0), 0.0)
    up = larger(supply - (back if together else 0.0), 0.0)
    share = down / larger(ducts.return_leakage, LEAST_LEAKAGE)
    return share * return_leakage, up * supply_drop


def closed_places(house: House) -> tuple[str, ...]:
    """Places around the rooms that breathe with them rather than with outdoors: basements.

    Parameters
    ----------
    house : House
        Its buffer zones.

    Returns
    -------
    tuple of str
        Their keys.

    Examples
    --------
    >>> closed_places(replace(house, buffers=()))
    ()
    """
    return tuple(buffer.key for buffer in house.buffers if buffer.kind in CLOSED_KINDS)


def _by_place(house: House, supply: Value, back: Value) -> dict[str, Value]:
    """Shares by the places of supply and return, added where both lie in one. [1]

    Parameters
    ----------
    house : House
        Where its ducts are.
    supply, back : Value
        Shares of the two sides. [1]
    """
    shares = {house.ducts.supply_place: supply}
    place = house.ducts.return_place
    shares[place] = shares.get(place, 0.0) + back
    return shares


def _within_reason(share: Value) -> Value:
    """A share between what broken ducts deliver and all. [1]

    Parameters
    ----------
    share : Value
        Below 0 where more is lost than is made.
    """
    return smaller(larger(share, LEAST_DELIVERED), 1.0)


def leaks_outside(house: House) -> tuple[Value, Value]:
    """Shares of the air flow that supply and return ducts leak to and from outdoors.

    Parameters
    ----------
    house : House
        Its ducts and where they are.

    Returns
    -------
    tuple of Value
        Supply and return; what leaks in the rooms or in a basement stays in the house. [1]

    Examples
    --------
    >>> inside = replace(house.ducts, supply_place="house", return_place="house")
    >>> leaks_outside(replace(house, ducts=inside))
    (0.0, 0.0)
    """
    ducts, tight = house.ducts, (INSIDE, *closed_places(house))
    return (
        0.0 if ducts.supply_place in tight else ducts.supply_leakage,
        0.0 if ducts.return_place in tight else ducts.return_leakage,
    )


def imbalance(house: House) -> Value:
    """Air that unequal duct leaks draw through the envelope while the fan runs.

    Parameters
    ----------
    house : House
        Its ducts.

    Returns
    -------
    Value
        Above 0 where the supply leaks more: the house is depressurized and outdoor air comes in through
        the envelope. Below 0 where the return leaks more: the house is pressurized. [cfm]

    Examples
    --------
    >>> ducts = replace(
    ...     house.ducts, supply_place="attic", return_place="attic", flow=1000.0,
    ...     supply_leakage=0.15, return_leakage=0.10,
    ... )
    >>> round(imbalance(replace(house, ducts=ducts)), 6)
    50.0
    """
    supply, back = leaks_outside(house)
    return unbalanced_flow(supply, back, house.ducts.flow)


def make_up_air(house: House) -> Value:
    """Outdoor air that replaces what the return draws out of its place while the fan runs.

    Parameters
    ----------
    house : House
        Its ducts; what the supply leaks into the same place replaces it first.

    Returns
    -------
    Value
        Flow, not below 0. [cfm]

    Examples
    --------
    >>> ducts = replace(
    ...     house.ducts, supply_place="attic", return_place="attic", flow=1000.0,
    ...     supply_leakage=0.05, return_leakage=0.20,
    ... )
    >>> round(make_up_air(replace(house, ducts=ducts)), 6)
    150.0
    """
    supply, back = leaks_outside(house)
    beside = supply if house.ducts.supply_place == house.ducts.return_place else 0.0
    return larger(back - beside, 0.0) * house.ducts.flow


def moves_air(house: House) -> bool:
    """Whether the ducts move air through the envelope or into their place at all.

    Parameters
    ----------
    house : House
        Its ducts, in every variant of the house.

    Examples
    --------
    >>> moves_air(replace(house, ducts=replace(house.ducts, supply_leakage=0.0, return_leakage=0.0)))
    False
    """
    return not (is_nought(imbalance(house)) and is_nought(make_up_air(house)))
