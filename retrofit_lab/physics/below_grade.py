"""Heat into the ground: basement walls and floors, slab edges, and how warm the soil is by month."""

import numpy as np

from retrofit_lab.values import FloatArray, Value

SOIL_CONDUCTIVITY = 0.8
"""Conductivity of ordinary soil. [Btu/(h ft F)] ASHRAE Fundamentals chapter 18 (memory)."""
SOIL_DIFFUSIVITY = 0.6
"""Diffusivity of ordinary soil. [ft2/day] (judgement, within handbook tables from memory)"""
MID_MONTH = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
COLDEST_DAY = 18.0
SLAB_R = (0.0, 5.0, 10.0, 15.0)
SLAB_F = (0.73, 0.58, 0.54, 0.52)
"""Slab edge factors for 2 ft of vertical insulation. [Btu/(h ft F)] WAC 51-11C-61061 (read)."""


def wall_u(depth: Value, r_wall: Value, soil_conductivity: float = SOIL_CONDUCTIVITY) -> Value:
    """Mean U-value of a wall from grade down to a depth.

    Parameters
    ----------
    depth : Value
        Depth below grade. [ft]
    r_wall : Value
        Wall, insulation and inside film. [h ft2 F/Btu]
    soil_conductivity : float
        Conductivity of the soil. [Btu/(h ft F)]

    Returns
    -------
    Value
        U-value from inside to the ground surface. [Btu/(h ft2 F)]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 18, after Latta and Boileau 1969 (memory).
    """
    start = 2.0 * soil_conductivity * r_wall / np.pi
    return 2.0 * soil_conductivity / (np.pi * depth) * np.log((depth + start) / start)


def floor_u(
    depth: Value, width: Value, r_floor: Value, soil_conductivity: float = SOIL_CONDUCTIVITY
) -> Value:
    """Mean U-value of a floor below grade. [Btu/(h ft2 F)]

    Parameters
    ----------
    depth, width : Value
        Depth below grade and shorter side. [ft]
    r_floor : Value
        Floor and inside film. [h ft2 F/Btu]
    soil_conductivity : float
        Conductivity of the soil. [Btu/(h ft F)]

    References
    ----------
    ASHRAE Handbook Fundamentals chapter 18 (memory).
    """
    start = depth / 2.0 + soil_conductivity * r_floor / np.pi
    return 2.0 * soil_conductivity / (np.pi * width) * np.log((width / 2.0 + start) / start)


def slab_edge_factor(r_insulation: Value) -> Value:
    """Heat loss of a slab on grade per foot of edge. [Btu/(h ft F)]

    Parameters
    ----------
    r_insulation : Value
        Edge insulation, 2 ft deep. [h ft2 F/Btu]
    """
    result = np.interp(r_insulation, SLAB_R, SLAB_F)
    return float(result) if np.ndim(result) == 0 else result


def iso_slab_u(area: float, perimeter: float, thickness: float, conductivity: float) -> float:
    """U-value of an uninsulated slab in SI units, as a cross-check. [W/(m2 K)]

    Parameters
    ----------
    area, perimeter : float
        Of the slab. [m2, m]
    thickness : float
        Wall thickness plus soil equivalent of all resistances. [m]
    conductivity : float
        Of the soil. [W/(m K)]

    References
    ----------
    ISO 13370 (memory).
    """
    width = area / (0.5 * perimeter)
    return float(
        2.0 * conductivity / (np.pi * width + thickness) * np.log(np.pi * width / thickness + 1.0)
    )


def ground_temperature(annual_mean: float, annual_amplitude: float, depth: float) -> FloatArray:
    """Temperature of soil at a depth, by month.

    Parameters
    ----------
    annual_mean, annual_amplitude : float
        Of the monthly mean air temperature. [F]
    depth : float
        Below the surface. [ft]

    Returns
    -------
    ndarray, shape (12,)
        Temperature. [F]

    References
    ----------
    Damped, lagged yearly wave in a half-space (textbook solution, memory).
    """
    wave = np.sqrt(np.pi / (365.0 * SOIL_DIFFUSIVITY))
    lag = depth / 2.0 * np.sqrt(365.0 / (np.pi * SOIL_DIFFUSIVITY))
    phase = 2.0 * np.pi * (MID_MONTH - COLDEST_DAY - lag) / 365.0
    return np.asarray(annual_mean - annual_amplitude * np.exp(-depth * wave) * np.cos(phase))
