"""Small parts of the heat balance of unheated neighbours; the balance itself is in annual_balance.py."""

from retrofit_lab.values import Value


def roof_gain(area: Value, absorptance: Value, irradiation: Value, r_film: float) -> Value:
    """Sun on a roof as the temperature-difference-free gain of the roof's outer face.

    Multiplied with the roof's U-value it is the heat that the sun adds to the zone below.

    Parameters
    ----------
    area : Value
        Roof. [ft2]
    absorptance : Value
        Share of the sun taken up. [1]
    irradiation : Value
        On the horizontal. [Btu/(h ft2)]
    r_film : float
        Outside film. [h ft2 F/Btu]

    Returns
    -------
    Value
        Gain per U-value. [ft2 F]

    References
    ----------
    Sol-air temperature, ASHRAE Handbook Fundamentals (memory).
    """
    return area * absorptance * irradiation * r_film


def reduction_factor(house_conductance: Value, outdoor_conductance: Value) -> Value:
    """Loss to a buffer against the loss to outdoors. [1] ISO 13789 (memory)"""
    return outdoor_conductance / (house_conductance + outdoor_conductance)
