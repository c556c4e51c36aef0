"""Heat into the ground: basement walls and floors, slab edges, crawl spaces, and how warm the soil is by month."""

from collections.abc import Mapping
from math import log, pi
from types import MappingProxyType

import numpy as np

from retrofit_lab.physics.conduction import mean_along
from retrofit_lab.physics.elementwise import interpolated
from retrofit_lab.physics.months import DAYS_PER_YEAR, MID_MONTH
from retrofit_lab.values import FloatArray, InputError, Value

SOIL_CONDUCTIVITY = 0.8
"""Conductivity of ordinary soil. [Btu/(h ft F)] ASHRAE Fundamentals chapter 18 (memory); an engineering
text gives 0.3 to 1.4 with make and moisture (read)."""
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


def wall_u(
    depth: Value, r_wall: Value, soil_conductivity: Value = SOIL_CONDUCTIVITY, top: Value = 0.0
) -> Value:
    """Mean U-value of a wall from grade, or from a depth `top`, down to `depth`.

    Parameters
    ----------
    depth : Value
        Lower edge below grade. [ft]
    r_wall : Value
        Wall, insulation and inside film. [h ft2 F/Btu]
    soil_conductivity : Value
        Conductivity of the soil. [Btu/(h ft F)]
    top : Value
        Upper edge below grade. [ft]

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
    start = r_wall + soil * top
    return mean_along(soil * (depth - top) / start) / start


def partly_insulated_wall_u(
    depth: Value,
    insulated_depth: Value,
    r_bare: Value,
    r_insulated: Value,
    soil_conductivity: Value = SOIL_CONDUCTIVITY,
) -> Value:
    """Mean U-value of a wall below grade that is insulated from grade down to a depth only.

    Parameters
    ----------
    depth, insulated_depth : Value
        Of the wall and of its insulation; the wall's is above 0 and at least the other. [ft]
    r_bare, r_insulated : Value
        Without and with insulation, inside film included. [h ft2 F/Btu]
    soil_conductivity : Value
        Conductivity of the soil. [Btu/(h ft F)]
    """
    share = insulated_depth / depth
    upper = wall_u(insulated_depth, r_insulated, soil_conductivity)
    lower = wall_u(depth, r_bare, soil_conductivity, top=insulated_depth)
    return lower + share * (upper - lower)


def floor_u(
    depth: Value, width: Value, r_floor: Value, soil_conductivity: Value = SOIL_CONDUCTIVITY
) -> Value:
    """Mean U-value of a floor below grade. [Btu/(h ft2 F)]

    Parameters
    ----------
    depth, width : Value
        Depth below grade and shorter side. [ft]
    r_floor : Value
        Floor and inside film. [h ft2 F/Btu]
    soil_conductivity : Value
        Conductivity of the soil. [Btu/(h ft F)]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 18 (memory): the mean of 1/(R + pi (z + x)/(2 k)) from the wall,
    x = 0, to the middle, x = width/2, with half of the wall's depth z.
    """
    soil = pi / soil_conductivity
    edge = r_floor + soil * depth / 2.0
    return mean_along(soil * width / (2.0 * edge)) / edge


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


def iso_slab_u(area: float, perimeter: float, thickness: float, conductivity: float) -> float:
    """U-value of an evenly built slab on grade, as a cross-check; in any one system of units.

    Parameters
    ----------
    area, perimeter : float
        Of the slab. [ft2, ft]
    thickness : float
        Thickness of the walls, and the soil that insulates as well as floor and films. [ft]
    conductivity : float
        Of the soil. [Btu/(h ft F)]

    Returns
    -------
    float
        U-value to outdoors. [Btu/(h ft2 F)]

    References
    ----------
    ISO 13370 (memory): one form for slabs that insulate less than the soil under them, one for the rest.
    """
    width = area / (0.5 * perimeter)
    if thickness >= width:
        return conductivity / (0.457 * width + thickness)
    inner = pi * width
    return 2.0 * conductivity / (inner + thickness) * log(inner / thickness + 1.0)


def crawl_space_u(
    u_floor: Value, floor_area: Value, ground_conductance: Value, outdoor_conductance: Value
) -> Value:
    """U-value of a floor and the crawl space below it together, as if it looked at outdoors.

    Parameters
    ----------
    u_floor : Value
        Floor alone. [Btu/(h ft2 F)]
    floor_area : Value
        Its area. [ft2]
    ground_conductance, outdoor_conductance : Value
        From the crawl space into the ground and, through walls and vents, to outdoors; above 0 in
        sum. [Btu/(h F)]

    Notes
    -----
    Takes the ground at outdoor temperature, as ISO 13370 does for suspended floors (memory); the monthly
    balance keeps ground and outdoors apart.
    """
    below = (ground_conductance + outdoor_conductance) / floor_area
    return u_floor * below / (u_floor + below)


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
