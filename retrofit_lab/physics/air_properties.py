"""Density and viscosity of air, the heat and the vapor that it carries; what drives its flow is elsewhere."""

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import exponential

GAS_CONSTANT = 53.352
"""Gas constant of dry air. [ft lbf/(lb R)] (memory)"""
SEA_LEVEL_PRESSURE = 14.696
"""Standard atmospheric pressure. [psi] (memory)"""
RANKINE_AT_ZERO_F = 459.67
MAGNUS_PA, MAGNUS_SLOPE, MAGNUS_C = 611.2, 17.62, 243.12
"""Constants of the Magnus form over water, WMO Guide to Instruments, annex 4.B (memory). [Pa, 1, C]"""


def saturation_pressure(celsius: Value) -> Value:
    """Pressure of the water vapor that air of a temperature holds at most.

    Parameters
    ----------
    celsius : Value
        Temperature of the air, or its dew point for the vapor that it does hold. [C]

    Returns
    -------
    Value
        Pressure. [Pa]

    References
    ----------
    Magnus form over water (memory).

    Examples
    --------
    Steam tables have 2,339 Pa at 20 C (memory):

    >>> round(saturation_pressure(20.0), -1)
    2330.0
    """
    return MAGNUS_PA * exponential(MAGNUS_SLOPE * celsius / (MAGNUS_C + celsius))


def air_density_ratio(elevation_ft: Value) -> Value:
    """Density of indoor air against the same air at sea level.

    Parameters
    ----------
    elevation_ft : Value
        Above sea level. [ft]

    Returns
    -------
    Value
        Ratio, 1 at sea level. [1]

    Notes
    -----
    It is the ratio of pressures, because the rooms are as warm on the mountain as at the sea. The
    density of the standard atmosphere itself falls less (exponent 4.2559), since its air is colder
    up there; that ratio belongs to outdoor air, not to a house.

    References
    ----------
    Standard atmosphere (1 - 6.8754e-6 h)^5.2559, ASHRAE Handbook Fundamentals, Psychrometrics
    (memory); agrees with PsychroLib and with Table 6a of the Design Guide for HVAC Systems (read).
    """
    ratio: Value = (1.0 - 6.8754e-6 * elevation_ft) ** 5.2559
    return ratio


def air_heat_coefficient(density_ratio: Value) -> Value:
    """Heat carried by an air flow for each degree.

    Parameters
    ----------
    density_ratio : Value
        From `air_density_ratio`. [1]

    Returns
    -------
    Value
        Coefficient. [Btu/(h F cfm)]

    Notes
    -----
    0.075 lb/ft3 x 0.24 Btu/(lb F) x 60 min/h = 1.08 holds for dry air at 70 F: the air that a
    blower door or a fan moves through a room. The trade also writes 1.10 (moist air); air measured
    at 0 F outdoors would carry 1.24, with the volume counted out there.
    """
    return 1.08 * density_ratio


def air_density(temperature: Value, elevation_ft: Value = 0.0) -> Value:
    """Density of dry air.

    Parameters
    ----------
    temperature : Value
        Of the air. [F]
    elevation_ft : Value
        Above sea level. [ft]

    Returns
    -------
    Value
        Density. [lb/ft3]

    References
    ----------
    Ideal gas, p / (R T), with the standard atmosphere's pressure (memory).
    """
    pressure = 144.0 * SEA_LEVEL_PRESSURE * air_density_ratio(elevation_ft)
    return pressure / (GAS_CONSTANT * (temperature + RANKINE_AT_ZERO_F))
