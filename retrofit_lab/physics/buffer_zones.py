"""Heat balance of one unheated neighbour of the house, and what its sun and its vents bring.

The balance of all neighbours of a house at once is in annual_balance.py.
Every zone is steady over a month: what flows in flows out.
"""

from collections.abc import Sequence

from retrofit_lab.values import Value

SKY_RADIATION_HORIZONTAL = 20.0
"""Heat that a black level surface loses to a clear sky beyond what air at its temperature would
take. [Btu/(h ft2)] ASHRAE Handbook Fundamentals, sol-air temperature (memory); ISO 13790 comes to
about 16 under a mean sky (memory)."""


def balance_temperature(
    conductances: Sequence[Value], temperatures: Sequence[Value], gains: Value = 0.0
) -> Value:
    """Temperature at which a zone neither warms nor cools.

    Parameters
    ----------
    conductances : sequence of Value
        To each neighbour, by conduction and by air that comes from it; not all zero.
        [Btu/(h F)]
    temperatures : sequence of Value
        Of these neighbours. [F]
    gains : Value
        Heat released in the zone. [Btu/h]

    Returns
    -------
    Value
        Mean of the neighbours by conductance, raised by the gains. [F]
    """
    total: Value = sum(conductances)
    weighted: Value = sum(c * t for c, t in zip(conductances, temperatures, strict=True))
    return (weighted + gains) / total


def heat_residual(
    temperature: Value,
    conductances: Sequence[Value],
    temperatures: Sequence[Value],
    gains: Value = 0.0,
) -> Value:
    """Heat into a zone less heat out of it; 0 at the `balance_temperature`. [Btu/h]

    Parameters
    ----------
    temperature : Value
        Of the zone. [F]
    conductances, temperatures, gains
        As `balance_temperature`.
    """
    pairs = zip(conductances, temperatures, strict=True)
    flows: Value = sum(c * (t - temperature) for c, t in pairs)
    return flows + gains


def zone_temperature(
    *,
    house_conductance: Value,
    house_temperature: Value,
    outdoor_conductance: Value,
    outdoor_temperature: Value,
    ground_conductance: Value = 0.0,
    ground_temperature: Value = 0.0,
    gains: Value = 0.0,
    entering: Value = 0.0,
    leaving: Value = 0.0,
) -> Value:
    """Temperature of a zone between house, outdoors and ground, with air passing through it.

    Parameters
    ----------
    house_conductance, outdoor_conductance, ground_conductance : Value
        Conduction, and for outdoors also the zone's own vents. [Btu/(h F)]
    house_temperature, outdoor_temperature, ground_temperature : Value
        Of these. [F]
    gains : Value
        Sun, ducts, tank, machines. [Btu/h]
    entering : Value
        Heat coefficient times the air that comes from outdoors through the zone into the house.
        [Btu/(h F)]
    leaving : Value
        The same of the air that leaves the house through the zone. [Btu/(h F)]

    Returns
    -------
    Value
        Temperature. [F]

    Notes
    -----
    Entering air reaches the zone at the outdoor temperature and leaves it for the house at the
    zone's; leaving air reaches it at the house's and is gone at the zone's.
    """
    return balance_temperature(
        (house_conductance + leaving, outdoor_conductance + entering, ground_conductance),
        (house_temperature, outdoor_temperature, ground_temperature),
        gains,
    )


def house_loss_to_zone(
    house_conductance: Value,
    house_temperature: Value,
    zone_temperature: Value,
    *,
    entering: Value = 0.0,
) -> Value:
    """Heat that the house loses to a zone.

    Parameters
    ----------
    house_conductance : Value
        Conduction between them. [Btu/(h F)]
    house_temperature, zone_temperature : Value
        Of both. [F]
    entering : Value
        As `zone_temperature`: this air has to be warmed from the zone's temperature. [Btu/(h F)]

    Returns
    -------
    Value
        Heat. [Btu/h]

    Notes
    -----
    Air that leaves through the zone costs nothing here: the air that replaces it already did.
    """
    return (house_conductance + entering) * (house_temperature - zone_temperature)


def reduction_factor(house_conductance: Value, outdoor_conductance: Value) -> Value:
    """Loss through a zone without gains against the loss if it stood open.

    Parameters
    ----------
    house_conductance : Value
        House to zone. [Btu/(h F)]
    outdoor_conductance : Value
        Zone to outdoors, vents included. [Btu/(h F)]

    Returns
    -------
    Value
        Factor b, 0 to 1. [1]

    References
    ----------
    ISO 13789, b = Hue / (Hiu + Hue) (memory).
    """
    return outdoor_conductance / (house_conductance + outdoor_conductance)


def effective_conductance(house_conductance: Value, outdoor_conductance: Value) -> Value:
    """Conductance between house and outdoors through a zone. [Btu/(h F)]; as `reduction_factor`."""
    return house_conductance * reduction_factor(house_conductance, outdoor_conductance)


def regain_fraction(house_conductance: Value, other_conductance: Value) -> Value:
    """Share of the heat released in a zone that spares heat in the house.

    Parameters
    ----------
    house_conductance : Value
        House to zone, air that enters through it included. [Btu/(h F)]
    other_conductance : Value
        Zone to all else. [Btu/(h F)]

    Returns
    -------
    Value
        Share, 0 to 1. [1]
    """
    return house_conductance / (house_conductance + other_conductance)


def ventilation_conductance(
    volume: Value, air_changes: Value, heat_coefficient: Value = 1.08
) -> Value:
    """Heat that a zone's own vents exchange with outdoors.

    Parameters
    ----------
    volume : Value
        Of the zone. [ft3]
    air_changes : Value
        By its vents. [1/h]
    heat_coefficient : Value
        From `air_properties.air_heat_coefficient`. [Btu/(h F cfm)]

    Returns
    -------
    Value
        Conductance. [Btu/(h F)]
    """
    return heat_coefficient * volume * air_changes / 60.0


def surface_gain(
    area: Value,
    absorptance: Value,
    irradiation: Value,
    r_film: float,
    *,
    sky_radiation: Value = 0.0,
) -> Value:
    """Warming of a surface's outer face by the sun, times its area.

    Times the U-value it is the heat that the sun adds to the place behind.

    Parameters
    ----------
    area : Value
        Surface. [ft2]
    absorptance : Value
        Share of the sun taken up. [1]
    irradiation : Value
        Mean over day and night. [Btu/(h ft2)]
    r_film : float
        Outside film. [h ft2 F/Btu]
    sky_radiation : Value
        What the surface radiates to the sky beyond the film's exchange with the air, at most
        `SKY_RADIATION_HORIZONTAL`; it cools day and night. [Btu/(h ft2)]

    Returns
    -------
    Value
        Gain for each unit of U-value. [ft2 F]

    References
    ----------
    Sol-air temperature less air temperature, ASHRAE Handbook Fundamentals (memory).
    """
    return area * (absorptance * irradiation - sky_radiation) * r_film
