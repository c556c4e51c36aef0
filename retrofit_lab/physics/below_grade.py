"""Heat into the ground: basement walls and floors, slab edges, crawl spaces, and how warm the soil is by month."""

from collections.abc import Mapping
from math import pi
from types import MappingProxyType

import numpy as np

from retrofit_lab.physics.conduction import mean_along
from retrofit_lab.physics.elementwise import interpolated, logarithm
from retrofit_lab.physics.months import DAYS_PER_YEAR, MID_MONTH
from retrofit_lab.values import FloatArray, InputError, Value

SOIL_CONDUCTIVITY = 0.8
"""Conductivity of ordinary soil. [Btu/(h ft F)] ASHRAE Fundamentals chapter 18 (memory); an engineering
text gives 0.3 to 1.4 with make and moisture (read)."""
WALL_THICKNESS = 8.0 / 12.0
"""Concrete walls. [ft] WAC 51-11C-61042 takes 8 in (read)."""
SOIL_DIFFUSIVITY = 0.6
"""Diffusivity of ordinary soil. [ft2/day] (judgement, within handbook tables from memory)"""
COLDEST_DAY = 18.0
"""Day of the year on which the ground's surface is coldest. [day] (judgement)"""

SLAB_R = (0.0, 5.0, 10.0, 15.0)
SLAB_FACTOR: Mapping[str, tuple[float, ...]] = MappingProxyType(
    {
        "vertical_2_ft": (0.73, 0.58, 0.54, 0.52),
        "vertical_4_ft": (0.73, 0.54, 0.48, 0.45),
        "horizontal_4_ft": (0.73, 0.67, 0.64, 0.63),
    }
)
"""Slab edge factors at `SLAB_R`, by where the insulation lies. [Btu/(h ft F)] WAC 51-11C-61061 (read)."""


def wall_u(depth: Value, r_wall: Value, soil_conductivity: Value = SOIL_CONDUCTIVITY) -> Value:
    """Mean U-value of a wall from grade down to `depth`.

    Parameters
    ----------
    depth : Value
        Lower edge below grade. [ft]
    r_wall : Value
        Wall, insulation and inside film. [h ft2 F/Btu]
    soil_conductivity : Value
        Conductivity of the soil. [Btu/(h ft F)]

    Returns
    -------
    Value
        U-value from inside to the ground surface. [Btu/(h ft2 F)]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 18, after Latta and Boileau 1969 (memory): heat leaves along
    quarter circles, so at depth z the soil adds pi z/(2 k), and this is the mean of 1/(R + pi z/(2 k)).
    """
    soil = pi / (2.0 * soil_conductivity)
    return mean_along(soil * depth / r_wall) / r_wall


def floor_u(
    depth: Value,
    length: Value,
    width: Value,
    r_floor: Value,
    *,
    soil_conductivity: Value = SOIL_CONDUCTIVITY,
    wall_thickness: Value = WALL_THICKNESS,
) -> Value:
    """Mean U-value of a floor on the ground or below it, to the surface outside. [Btu/(h ft2 F)]

    Parameters
    ----------
    depth, length, width : Value
        Depth below grade and sides of the floor. [ft]
    r_floor : Value
        Floor and inside film. [h ft2 F/Btu]
    soil_conductivity : Value
        Conductivity of the soil. [Btu/(h ft F)]
    wall_thickness : Value
        Of the walls around it. [ft]

    Notes
    -----
    Heat leaves under all four walls, each spot of the floor toward every one of them. The handbook's older
    form (chapter 18, after Latta and Boileau) counts the way to the nearest long wall alone and comes to
    half of this or less; a law's table of basement floors lies at this form, not at that.

    References
    ----------
    ISO 13370, floors of heated basements (memory): U = 2k/(pi B + t) ln(pi B/t + 1) with B the area over half
    of the perimeter and t = wall + k R + depth/2; k/(0.457 B + t) where t exceeds B.

    Examples
    --------
    >>> round(floor_u(7.0, 40.0, 24.0, 1.5), 3), round(floor_u(0.0, 40.0, 24.0, 20.0), 3)
    (0.07, 0.034)
    """
    wide = length * width / (length + width)
    path = wall_thickness + soil_conductivity * r_floor + 0.5 * depth
    turn = pi * wide / path
    poor = 2.0 * soil_conductivity / (path * (turn + 1.0)) * logarithm(turn + 1.0)
    good = soil_conductivity / (0.457 * wide + path)
    if isinstance(path, np.ndarray) or isinstance(wide, np.ndarray):
        return np.where(path < wide, poor, good)
    return poor if path < wide else good


def slab_edge_factor(r_insulation: Value, placement: str = "vertical_2_ft") -> Value:
    """Heat loss of a slab on grade per foot of edge and degree to outdoors. [Btu/(h ft F)]

    Parameters
    ----------
    r_insulation : Value
        Edge insulation; beyond R-15 nothing more is claimed. [h ft2 F/Btu]
    placement : str
        A key of `SLAB_FACTOR`.

    Raises
    ------
    InputError
        For another placement.
    """
    if placement not in SLAB_FACTOR:
        raise InputError(f"slab insulation {placement!r} is unknown; use one of {[*SLAB_FACTOR]}")
    return interpolated(r_insulation, SLAB_R, SLAB_FACTOR[placement])


def ground_temperature(
    annual_mean: Value,
    annual_amplitude: Value,
    depth: Value,
    diffusivity: float = SOIL_DIFFUSIVITY,
    coldest_day: float = COLDEST_DAY,
) -> FloatArray:
    """Temperature of soil at a depth, by month.

    Parameters
    ----------
    annual_mean, annual_amplitude : Value
        Of the ground's surface, for which the monthly mean air temperature stands; floats or arrays
        with a last axis of 1. [F]
    depth : Value
        Below the surface; float or array with a last axis of 1. [ft]
    diffusivity : float
        Of the soil. [ft2/day]
    coldest_day : float
        Day of the year on which the surface is coldest. [day]

    Returns
    -------
    ndarray, shape (..., 12)
        Temperature. [F]

    References
    ----------
    Damped, lagged yearly wave in a half-space: T = mean - amplitude exp(-z/d) cos(w (t - t0) - z/d), with
    d = sqrt(2 D/w) (read on a soil-physics teaching page after Hillel 1982).
    """
    turn = 2.0 * pi / DAYS_PER_YEAR
    damping_depth = (2.0 * diffusivity / turn) ** 0.5
    deep = depth / damping_depth
    phase = turn * (MID_MONTH - coldest_day) - deep
    return np.asarray(annual_mean - annual_amplitude * np.exp(-deep) * np.cos(phase))
