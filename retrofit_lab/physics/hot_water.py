"""Hot water: mixing at the tap, drawing, standing in the tank and cooling in the pipe."""

import numpy as np

from retrofit_lab.values import FloatArray, Value

BTU_PER_GALLON_F = 8.25
"""Heat that warms a gallon of water by a degree, near 100 F. [Btu/(gal F)] (memory; CoolProp agrees)"""
GALLONS_PER_FT3 = 7.4805
TANK_HEIGHT_TO_WIDTH = 2.5
PIPE_FILM = 1.9
"""Convection and radiation from a bare warm pipe. [Btu/(h ft2 F)] (judgement)"""
FOAM_CONDUCTIVITY = 0.25
"""Pipe insulation. [Btu in/(h ft2 F)] (common practice, no source)"""
MID_MONTH = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])


def hot_fraction(mixed: Value, cold: Value, hot: Value) -> Value:
    """Share of hot water in water mixed to a temperature, at most all of it. [1]

    Parameters
    ----------
    mixed, cold, hot : Value
        Temperatures at the tap, of the mains and of the tank. [F]
    """
    return np.minimum((mixed - cold) / np.maximum(hot - cold, 1e-6), 1.0)


def draw_energy(gallons: Value, temperature_rise: Value) -> Value:
    """Heat in drawn hot water. [Btu]

    Parameters
    ----------
    gallons : Value
        Hot water. [gal]
    temperature_rise : Value
        Above the mains. [F]
    """
    return BTU_PER_GALLON_F * gallons * temperature_rise


def with_wrap(r_tank: Value, r_wrap: Value, covered: float = 0.85) -> Value:
    """Resistance of a tank with a blanket round most of it. [h ft2 F/Btu]

    Parameters
    ----------
    r_tank, r_wrap : Value
        Jacket and blanket. [h ft2 F/Btu]
    covered : float
        Share of the surface that the blanket reaches. [1] (judgement)
    """
    return 1.0 / (covered / (r_tank + r_wrap) + (1.0 - covered) / r_tank)


def standby_coefficient(volume: Value, r_tank: Value) -> Value:
    """Loss of a standing tank through its jacket, per degree. [Btu/(h F)]

    Parameters
    ----------
    volume : Value
        Of water. [gal]
    r_tank : Value
        Jacket. [h ft2 F/Btu]
    """
    cubic_feet = volume / GALLONS_PER_FT3
    width = (4.0 * cubic_feet / (np.pi * TANK_HEIGHT_TO_WIDTH)) ** (1.0 / 3.0)
    area = np.pi * width * width * (TANK_HEIGHT_TO_WIDTH + 0.5)
    return area / r_tank


def pipe_loss_coefficient(diameter: Value, insulation: Value) -> Value:
    """Loss of a warm pipe per foot and degree. [Btu/(h ft F)]

    Parameters
    ----------
    diameter : Value
        Outside, bare. [in]
    insulation : Value
        Thickness. [in]
    """
    outer = diameter + 2.0 * insulation
    layer = np.log(outer / diameter) / (2.0 * np.pi * FOAM_CONDUCTIVITY / 12.0)
    film = 1.0 / (PIPE_FILM * np.pi * outer / 12.0)
    return 1.0 / (layer + film)


def mains_temperature(annual_mean: float, annual_amplitude: float) -> FloatArray:
    """Temperature of the water mains by month.

    Parameters
    ----------
    annual_mean, annual_amplitude : float
        Of the monthly mean air temperature. [F]

    Returns
    -------
    ndarray, shape (12,)
        Temperature, never below 33. [F]

    References
    ----------
    Burch and Christensen 2007 (memory).
    """
    ratio = 0.4 + 0.01 * (annual_mean - 44.0)
    lag = 35.0 - 1.0 * (annual_mean - 44.0)
    angle = np.radians(0.986 * (MID_MONTH - 15.0 - lag) - 90.0)
    wave = ratio * annual_amplitude * np.sin(angle)
    return np.maximum(annual_mean + 6.0 + wave, 33.0)
