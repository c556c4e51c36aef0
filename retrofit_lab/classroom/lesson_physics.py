"""Formulas that lessons teach and no study needs: pressures of fans, zones and warm air, and dew on surfaces."""

from retrofit_lab.base.values import Value
from retrofit_lab.physics.air_properties import (
    MAGNUS_C,
    MAGNUS_PA,
    MAGNUS_SLOPE,
    air_density,
    saturation_pressure,
)
from retrofit_lab.physics.elementwise import logarithm, power

PA_PER_LB_FT2 = 47.880259
"""Pressure of a pound on a square foot. [Pa]"""


def pressure_for(coefficient: Value, exponent: Value, flow: Value) -> Value:
    """Pressure at which a power law passes a flow.

    Parameters
    ----------
    coefficient : Value
        Flow at 1 Pa. [cfm/Pa^n]
    exponent : Value
        Flow exponent. [1]
    flow : Value
        Flow. [cfm]

    Returns
    -------
    Value
        Pressure. [Pa]

    Examples
    --------
    >>> pressure_for(100.0, 0.5, 200.0)
    4.0
    """
    return power(flow / coefficient, 1.0 / exponent)


def zone_pressure(inner: Value, outer: Value, exponent: Value, whole: Value = 50.0) -> Value:
    """Pressure of the house against a zone that leaks into it and out of doors, such as an attic.

    Parameters
    ----------
    inner, outer : Value
        Leaks between house and zone, and between zone and outdoors, in the same unit.
    exponent : Value
        Flow exponent of both. [1]
    whole : Value
        Pressure of the house against outdoors. [Pa]

    Returns
    -------
    Value
        Part of ``whole`` that lies between house and zone; the rest lies between zone and outdoors. [Pa]

    Notes
    -----
    What flows into the zone flows out of it, so the two pressures stand as the leaks to the power -1/n.

    Examples
    --------
    Leaks of one size share the pressure in halves; outer ones twice as large leave three quarters of it:

    >>> zone_pressure(1.0, 1.0, 0.65)
    25.0
    >>> round(zone_pressure(1.0, 2.0, 0.65), 1)
    37.2
    """
    return whole / (1.0 + power(inner / outer, 1.0 / exponent))


def stack_pressure(
    height_ft: Value, inside: Value, outside: Value, elevation_ft: Value = 0.0
) -> Value:
    """Pressure that a column of warm air lacks against the cold air beside it.

    Parameters
    ----------
    height_ft : Value
        Of the column. [ft]
    inside, outside : Value
        Temperatures. [F]
    elevation_ft : Value
        Above sea level. [ft]

    Returns
    -------
    Value
        Pressure between foot and top. [Pa]

    Notes
    -----
    Difference of the densities times height: 1 lb/ft3 over 1 ft presses with 47.88 Pa.

    Examples
    --------
    The rule of 0.04 Pa for each meter and kelvin says 2.7 (memory):

    >>> round(stack_pressure(10.0, 70.0, 30.0), 1)
    2.9
    """
    lighter = air_density(outside, elevation_ft) - air_density(inside, elevation_ft)
    return PA_PER_LB_FT2 * lighter * height_ft


def dew_point(temperature: Value, humidity: Value) -> Value:
    """Temperature at which air begins to leave water on a surface.

    Parameters
    ----------
    temperature : Value
        Of the air. [F]
    humidity : Value
        Relative humidity, above 0. [1]

    Returns
    -------
    Value
        Dew point. [F]

    Examples
    --------
    Psychrometric charts have 50.5 F for air of 70 F and 50 percent (memory):

    >>> round(dew_point(70.0, 0.5), 1)
    50.5
    """
    part = logarithm(humidity * saturation_pressure(_celsius(temperature)) / MAGNUS_PA)
    return 32.0 + 1.8 * MAGNUS_C * part / (MAGNUS_SLOPE - part)


def humidity_at(surface: Value, room: Value) -> Value:
    """Relative humidity of room air at which a surface begins to get wet.

    Parameters
    ----------
    surface, room : Value
        Temperatures. [F]

    Returns
    -------
    Value
        Relative humidity. [1]

    Examples
    --------
    >>> humidity_at(70.0, 70.0)
    1.0
    """
    return saturation_pressure(_celsius(surface)) / saturation_pressure(_celsius(room))


def _celsius(temperature: Value) -> Value:
    return (temperature - 32.0) / 1.8
