"""Air that wind and warm air drive through the leaks of a house; fans are in ventilation.py."""

import numpy as np

from retrofit_lab.values import Value

STORIES = (1.0, 2.0, 3.0)
STACK = {False: (0.054, 0.078, 0.098), True: (0.069, 0.089, 0.107)}
WIND = {
    ("basement", False): (0.156, 0.170, 0.170),
    ("basement", True): (0.142, 0.156, 0.167),
    ("crawlspace", False): (0.128, 0.142, 0.154),
    ("crawlspace", True): (0.128, 0.142, 0.154),
}
SHELTER = {False: (1.00, 0.90, 0.70, 0.50, 0.30), True: (1.10, 1.02, 0.86, 0.70, 0.53)}
WIND_SPEED_SHARE = (0.48, 0.59, 0.67)
"""Coefficients of the enhanced model and wind at the eaves against the weather station.
ASHRAE Handbook Fundamentals chapter 16 (memory)."""
M_PER_S_PER_MPH = 0.44704
F_PER_K = 1.8


def stack_factor(stories: Value, flue: bool) -> Value:
    """Stack coefficient of the enhanced model. [(Pa/K)^n] (memory)"""
    return _by_story(stories, STACK[flue])


def wind_factor(stories: Value, foundation: str, flue: bool = False) -> Value:
    """Wind coefficient of the enhanced model. [(Pa s2/m2)^n] (memory)

    Parameters
    ----------
    stories : Value
        Storeys. [1]
    foundation : str
        ``"basement"`` (also slab) or ``"crawlspace"``.
    flue : bool
        Whether a flue is open.
    """
    return _by_story(stories, WIND[foundation, flue])


def shelter_factor(shelter_class: Value, flue: bool) -> Value:
    """Share of the wind at the eaves that reaches the walls, class 1 open to 5 sheltered. [1] (memory)"""
    return _interpolated(shelter_class, (1.0, 2.0, 3.0, 4.0, 5.0), SHELTER[flue])


def eave_wind_share(stories: Value) -> Value:
    """Wind at the eaves against the weather station's. [1] (memory)"""
    return _by_story(stories, WIND_SPEED_SHARE)


def natural_flow(
    coefficient: Value,
    exponent: Value,
    temperature_difference: Value,
    wind_speed: Value,
    *,
    stack_factor: Value,
    wind_factor: Value,
    shelter_factor: Value,
) -> Value:
    """Air flow by stack and wind.

    Parameters
    ----------
    coefficient, exponent : Value
        Power law of the house. [cfm/Pa^n, 1]
    temperature_difference : Value
        Between indoors and outdoors, without sign. [F]
    wind_speed : Value
        At the eaves, unsheltered. [mph]
    stack_factor, wind_factor, shelter_factor : Value
        From the functions of these names.

    Returns
    -------
    Value
        Flow. [cfm]

    References
    ----------
    Enhanced model, ASHRAE Handbook Fundamentals chapter 16 (memory): stack and wind add as squares.
    """
    stack = stack_factor * (temperature_difference / F_PER_K) ** exponent
    wind = wind_factor * (shelter_factor * wind_speed * M_PER_S_PER_MPH) ** (2.0 * exponent)
    return coefficient * np.sqrt(stack * stack + wind * wind)


def basic_flow(
    leakage_area: Value, difference: Value, wind_speed: Value, stack: float, wind: float
) -> Value:
    """Air flow of the basic model, as a cross-check.

    Parameters
    ----------
    leakage_area : Value
        At 4 Pa. [cm2]
    difference : Value
        Of temperature. [K]
    wind_speed : Value
        At the weather station. [m/s]
    stack, wind : float
        Coefficients. [(L/s)^2/(cm4 K), (L/s)^2/(cm4 (m/s)^2)]

    Returns
    -------
    Value
        Flow. [L/s]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 16 (memory).
    """
    return leakage_area * np.sqrt(stack * difference + wind * wind_speed**2)


def annual_flow(flow_50: Value, stories: Value, weather_factor: Value) -> Value:
    """Effective yearly infiltration by the published annual method, as a cross-check. [cfm]

    References
    ----------
    ASHRAE 62.2-2013: 0.052 x weather factor x storey factor x flow at 50 Pa (read).
    """
    return 0.052 * weather_factor * stories**0.4 * flow_50


def _by_story(stories: Value, values: tuple[float, ...]) -> Value:
    return _interpolated(stories, STORIES, values)


def _interpolated(x: Value, points: tuple[float, ...], values: tuple[float, ...]) -> Value:
    result = np.interp(x, points, values)
    return float(result) if np.ndim(result) == 0 else result
