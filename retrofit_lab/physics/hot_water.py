"""Hot water: mixing at the faucet, drawing, standing in the tank, cooling in the pipe, and the tank's own fuel."""

from math import pi

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.physics.elementwise import larger, logarithm, power, smaller
from retrofit_lab.physics.months import MID_MONTH

BTU_PER_GALLON_F = 8.25
"""Heat that warms a gallon of water by a degree, near 100 F. [Btu/(gal F)] (memory; CoolProp agrees)"""
GALLONS_PER_FT3 = 7.4805
TANK_HEIGHT_TO_WIDTH = 2.5
PIPE_FILM = 1.9
"""Convection and radiation from a bare warm pipe. [Btu/(h ft2 F)] (judgment)"""
FOAM_CONDUCTIVITY = 0.25
"""Pipe insulation. [Btu in/(h ft2 F)] (common practice, no source)"""


HEAT_PUMP_APPROACH = 15.0
HEAT_PUMP_DRAW_DOWN = 25.0
HEAT_PUMP_CUTOUT = 40.0
HEAT_PUMP_RATING = (67.5, 125.0)
"""Refrigerant above the water and below the air [F], coldest air it works in [F] (judgment), and air and
tank in the uniform energy-factor test [F] (memory)."""
KELVIN_OFFSET_F = 459.67
RATING_GALLONS, RATING_RISE, RATING_ABOVE_ROOM = 64.3, 77.0, 67.5
"""Water drawn [gal], its rise and the tank above its room [F] in the day of the older rating test (memory)."""


def hot_fraction(mixed: Value, cold: Value, hot: Value) -> Value:
    """Share of hot water in water mixed to a temperature, at least none and at most all of it. [1]

    Parameters
    ----------
    mixed, cold, hot : Value
        Temperatures at the faucet, of the mains and of the tank. [F]

    Examples
    --------
    A shower of 105 F out of a tank of 130 F and mains of 55 F:

    >>> round(hot_fraction(105.0, 55.0, 130.0), 4)
    0.6667
    """
    return smaller(larger(mixed - cold, 0.0) / larger(hot - cold, 1e-6), 1.0)


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
        Share of the surface that the blanket reaches. [1] (judgment)
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
    width = power(4.0 * cubic_feet / (pi * TANK_HEIGHT_TO_WIDTH), 1.0 / 3.0)
    area = pi * width * width * (TANK_HEIGHT_TO_WIDTH + 0.5)
    return area / r_tank


def fuel_for_standby(energy_factor: Value, efficiency: Value) -> Value:
    """Fuel that a standing tank burns per degree above its place, from its energy factor. [Btu/(h F)]

    Parameters
    ----------
    energy_factor : Value
        Heat drawn for each unit of fuel in the older day-long rating test. [1]
    efficiency : Value
        Heat into the water for each unit of fuel. [1]

    References
    ----------
    The test of 10 CFR 430, appendix E, before 2015: 64.3 gal a day warmed by 77 F, the tank 67.5 F above its
    room (memory).

    Examples
    --------
    A tank that loses nothing has the factor of its burner:

    >>> float(fuel_for_standby(0.76, 0.76))
    0.0
    """
    drawn = draw_energy(RATING_GALLONS, RATING_RISE)
    burned = drawn / energy_factor - drawn / efficiency
    return larger(burned, 0.0) / (24.0 * RATING_ABOVE_ROOM)


def heat_pump_tank_cop(
    rated_cop: Value, ambient: Value, setpoint: Value, cutout: Value = HEAT_PUMP_CUTOUT
) -> Value:
    """COP of a heat pump water heater in the air around it and at its setting; 1 where its element does the work.

    Parameters
    ----------
    rated_cop : Value
        In the rating test. [1]
    ambient, setpoint : Value
        Air round it and tank. [F]
    cutout : Value
        Coldest air it works in. [F]

    Notes
    -----
    Keeps the share of the ideal COP between refrigerant temperatures that the rating shows, which makes
    about 1 % a degree; measured curves differ by make (judgment, no source).
    """
    rated = _ideal_cop(*HEAT_PUMP_RATING)
    cop = larger(rated_cop * _ideal_cop(ambient, setpoint) / rated, 1.0)
    if isinstance(cop, np.ndarray) or isinstance(ambient, np.ndarray):
        return np.where(ambient < cutout, 1.0, cop)
    return 1.0 if ambient < cutout else cop


def _ideal_cop(ambient: Value, setpoint: Value) -> Value:
    warm = setpoint + HEAT_PUMP_APPROACH
    cold = ambient - HEAT_PUMP_DRAW_DOWN
    return (warm + KELVIN_OFFSET_F) / larger(warm - cold, 1.0)


def heat_taken(heat: Value, cop: Value) -> Value:
    """Heat that a heat pump water heater takes out of its room. [same as `heat`]

    Parameters
    ----------
    heat : Value
        Heat into the water. [Btu]
    cop : Value
        Heat for each unit of electricity. [1]

    Examples
    --------
    >>> heat_taken(4000.0, 4.0)
    3000.0
    """
    return heat * (1.0 - 1.0 / cop)


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
    layer = logarithm(outer / diameter) / (2.0 * pi * FOAM_CONDUCTIVITY / 12.0)
    film = 1.0 / (PIPE_FILM * pi * outer / 12.0)
    return 1.0 / (layer + film)


def mains_temperature(annual_mean: Value, annual_amplitude: Value) -> FloatArray:
    """Temperature of the water mains by month.

    Parameters
    ----------
    annual_mean, annual_amplitude : Value
        Of the monthly mean air temperature, the second half of its swing; floats or arrays with a last
        axis of 1. [F]

    Returns
    -------
    ndarray, shape (..., 12)
        Temperature, never below 33. [F]

    References
    ----------
    Burch and Christensen 2007 (formula memory; its abstract, read, has the offset of about 6 F and an
    amplitude of about 0.4 of the air's).
    """
    ratio = 0.4 + 0.01 * (annual_mean - 44.0)
    lag = 35.0 - 1.0 * (annual_mean - 44.0)
    angle = np.radians(0.986 * (MID_MONTH - 15.0 - lag) - 90.0)
    wave = ratio * annual_amplitude * np.sin(angle)
    return np.maximum(annual_mean + 6.0 + wave, 33.0)
