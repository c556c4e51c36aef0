"""Heat into the ground: basement walls and floors, slab edges, crawl spaces, and how warm the soil is by month."""

from collections.abc import Mapping
from math import pi
from types import MappingProxyType

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError, Value
from retrofit_lab.physics.conduction import mean_along
from retrofit_lab.physics.elementwise import exponential, interpolated, larger, logarithm, power
from retrofit_lab.physics.months import DAYS_PER_YEAR, MID_MONTH

SOIL_CONDUCTIVITY = 0.8
"""Conductivity of ordinary soil. [Btu/(h ft F)] ASHRAE Fundamentals chapter 18 (memory); an engineering
text gives 0.3 to 1.4 with make and moisture (read)."""
WALL_THICKNESS = 8.0 / 12.0
"""Concrete walls. [ft] WAC 51-11C-61042 takes 8 in (read)."""
SOIL_DIFFUSIVITY = 0.6
"""Diffusivity of ordinary soil. [ft2/day] (judgment, within handbook tables from memory)"""
COLDEST_DAY = 18.0
FROZEN_CONDUCTIVITY, FROZEN_HEAT, FREEZING_HEAT = 0.8, 30.0, 2160.0
"""Damp loam: conductivity [Btu/(h ft F)] and heat capacity [Btu/(ft3 F)] when frozen, and heat to freeze the
water in it, 15 % of 100 lb. [Btu/ft3] (judgment within handbook tables)"""
FREEZING_POINT = 32.0
"""Day of the year on which the ground's surface is coldest. [day] (judgment)"""

PENETRATION = (2.0 * SOIL_DIFFUSIVITY * DAYS_PER_YEAR / (2.0 * pi)) ** 0.5
"""Depth at which the year's swing is 1/e of the surface's. [ft]"""
SMALLEST = 1e-9
"""Keeps a floor of no width from dividing by zero. [ft]"""
WAVE = 0.37
LAG_DAYS = DAYS_PER_YEAR / 12.0
"""Factor of the periodic transfer to outdoors, and how late it comes. [1, day] EN ISO 13370 Annex A (memory)"""
LEAD = 2.0 * pi * 20.0 / DAYS_PER_YEAR
"""By how much heat into the soil is ahead of the place's own swing: 19 to 24 days in solved sections. [radian]"""

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


def wall_wave_u(depth: Value, r_wall: Value) -> Value:
    """What a wall below grade passes of the year's swing outdoors, as a mean U-value. [Btu/(h ft2 F)]

    Parameters
    ----------
    depth, r_wall : Value
        As for `wall_u`, above 0. [ft, h ft2 F/Btu]

    References
    ----------
    EN ISO 13370:2007 Annex A, external periodic transfer of a heated basement, its part by the walls (memory).
    """
    reach = logarithm(PENETRATION / (SOIL_CONDUCTIVITY * r_wall) + 1.0)
    return 2.0 * WAVE * SOIL_CONDUCTIVITY * (1.0 - _left_at(depth)) * reach / depth


def floor_wave_u(depth: Value, length: Value, width: Value, r_floor: Value) -> Value:
    """What a floor on the ground or below it passes of the year's swing outdoors, as a U-value. [Btu/(h ft2 F)]

    Parameters
    ----------
    depth, length, width, r_floor : Value
        As for `floor_u`.

    References
    ----------
    EN ISO 13370:2007 Annex A, external periodic transfer by the floor: it comes in along the edges (memory).
    """
    wide = length * width / (length + width)
    reach = logarithm(PENETRATION / (WALL_THICKNESS + SOIL_CONDUCTIVITY * r_floor) + 1.0)
    return 2.0 * WAVE * SOIL_CONDUCTIVITY * _left_at(depth) * reach / larger(wide, SMALLEST)


def inner_wave_u(u_at_rest: Value, r_value: Value) -> Value:
    """What a wall or floor passes of the year's swing of the place inside, as a U-value. [Btu/(h ft2 F)]

    Soil is a store: what a basement loses more into it in summer comes back in winter.

    Parameters
    ----------
    u_at_rest : Value
        To the surface outside, from `wall_u` or `floor_u`. [Btu/(h ft2 F)]
    r_value : Value
        Wall or floor with insulation and inside film, above 0. [h ft2 F/Btu]

    Notes
    -----
    The standard's coefficient is that of soil without end, which stores and passes nothing on; what reaches the
    surface outside adds to it at a right angle, as stored heat is a quarter of a year off. So it lies within
    8 % of solved sections of basements, crawl spaces and slabs with and without insulation.

    References
    ----------
    EN ISO 13370:2007 Annex A, internal periodic transfer (memory).

    Examples
    --------
    >>> round(inner_wave_u(0.0, 1.5), 3), round(inner_wave_u(0.07, 1.5), 3)
    (0.118, 0.137)
    """
    path = SOIL_CONDUCTIVITY * r_value
    deep = 1.0 + PENETRATION / path
    stored = SOIL_CONDUCTIVITY / path
    return power(u_at_rest * u_at_rest + stored * stored * 2.0 / (deep * deep + 1.0), 0.5)


def _left_at(depth: Value) -> Value:
    """Share of the surface's swing that is left in undisturbed soil at a depth. [1]"""
    return exponential(-depth / PENETRATION)


def insulated_edge_share(r_insulation: Value) -> Value:
    """What a slab loses with insulation 2 ft down its edge against without. [1]

    Parameters
    ----------
    r_insulation : Value
        On the edge. [h ft2 F/Btu]

    References
    ----------
    As `slab_edge_factor`.

    Examples
    --------
    >>> round(insulated_edge_share(10.0), 3)
    0.74
    """
    return slab_edge_factor(r_insulation) / slab_edge_factor(0.0)


def frost_depth(freezing_index: Value, days: Value, annual_mean: Value) -> Value:
    """Depth to which bare soil freezes in a winter. [ft]

    Parameters
    ----------
    freezing_index : Value
        Degree days below 32 F of that winter. [F day]
    days : Value
        Days that are colder. [day]
    annual_mean : Value
        Of the air, for which the soil below stands. [F]

    References
    ----------
    Stefan's formula `sqrt(48 k I / L)`, less what the warm soil below gives: the first terms of Neumann's
    solution, as the modified Berggren method has them (memory). Damp loam. Snow and grass keep frost shallower;
    codes go by the coldest winter of many.

    Examples
    --------
    The same cold reaches less deep into warm ground:

    >>> bool(frost_depth(300.0, 60.0, 55.0) < frost_depth(300.0, 60.0, 40.0))
    True
    """
    season = larger(days, 1.0)
    below = larger(freezing_index, 0.0) / season
    stefan = power(48.0 * FROZEN_CONDUCTIVITY * below * season / FREEZING_HEAT, 0.5)
    share = power(FROZEN_HEAT * below / FREEZING_HEAT / 2.0, 0.5)
    held = larger(annual_mean - FREEZING_POINT, 0.0) / larger(below, 1e-6) * share / pi**0.5
    left: Value = power(held * held + 1.0, 0.5) - held
    return stefan * left


def ground_temperature(annual_mean: Value, annual_amplitude: Value, share: Value) -> FloatArray:
    """Temperature of the soil that floors and walls lose to, by month.

    Parameters
    ----------
    annual_mean, annual_amplitude : Value
        Of the ground's surface, for which the monthly mean air temperature stands; floats or arrays
        with a last axis of 1. [F]
    share : Value
        Heat that they pass by the year's swing against what they pass at rest. [1]

    Returns
    -------
    ndarray, shape (..., 12)
        Temperature that gives the heat of the month with their conductance at rest. [F]

    References
    ----------
    EN ISO 13370:2007 Annex A (memory): heat by the year's mean at rest, and by the swing a month later.
    """
    turn = 2.0 * pi / DAYS_PER_YEAR
    swing = np.cos(turn * (MID_MONTH - COLDEST_DAY - LAG_DAYS))
    return np.asarray(annual_mean - annual_amplitude * share * swing)
