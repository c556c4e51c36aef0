"""Heat pumps over outdoor temperature: output, efficiency, backup heat and the seasonal rating."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.values import FloatArray, Value

BTU_PER_KWH = 3412.14
CURVE_TEMPERATURE = (-15.0, 5.0, 17.0, 35.0, 47.0, 62.0)
CAPACITY_SHARE = (0.33, 0.50, 0.62, 0.80, 1.00, 1.18)
COP_SHARE = (0.46, 0.60, 0.69, 0.81, 1.00, 1.14)
"""Output and efficiency against those at 47 F of a usual single-speed unit; the dip at 35 F is defrost.
Judgement, in the range of published rating tables (memory)."""
CYCLING_LOSS = 0.25
"""Degradation coefficient at part load. [1] 10 CFR 430 subpart B appendix M (memory)"""
RATING_BINS = np.arange(62.0, -9.0, -5.0)
RATING_HOURS = np.array(
    [0.132, 0.111, 0.103, 0.093, 0.100, 0.109, 0.126, 0.087, 0.055, 0.036, 0.026, 0.013, 0.006,
     0.002, 0.001]
)  # fmt: skip
"""Share of the heating hours of region IV by outdoor temperature. 10 CFR 430 appendix M (memory)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """Output [Btu/h] and coefficient of performance [1] at 47 F."""

    capacity_47: Value
    cop_47: Value


def capacity_share(temperature: Value) -> Value:
    """Output at an outdoor temperature against that at 47 F. [1]"""
    return _curve(temperature, CAPACITY_SHARE)


def cop_share(temperature: Value) -> Value:
    """Coefficient of performance at an outdoor temperature against that at 47 F. [1]"""
    return _curve(temperature, COP_SHARE)


def _curve(temperature: Value, shares: tuple[float, ...]) -> Value:
    result = np.interp(temperature, CURVE_TEMPERATURE, shares)
    return float(result) if np.ndim(result) == 0 else result


def cycling_factor(load_share: Value) -> Value:
    """Efficiency at part load against that of running on. [1]

    Parameters
    ----------
    load_share : Value
        Load against output, at most 1. [1]
    """
    return 1.0 - CYCLING_LOSS * (1.0 - load_share)


def bin_rating(capacity: FloatArray, power: FloatArray, design_requirement: float) -> float:
    """Seasonal rating from output and power in the rating bins.

    Parameters
    ----------
    capacity, power : ndarray, shape (15,)
        Output and electric power at `RATING_BINS`. [Btu/h, W]
    design_requirement : float
        Design heating requirement. [Btu/h]

    Returns
    -------
    float
        HSPF. [Btu/Wh]

    References
    ----------
    10 CFR 430 subpart B appendix M, region IV, without temperature cutouts (memory).
    """
    load = 0.77 * design_requirement * (65.0 - RATING_BINS) / 60.0
    share = np.minimum(load / np.maximum(capacity, 1e-9), 1.0)
    energy = share * power / cycling_factor(share)
    backup = np.maximum(load - capacity, 0.0) / (BTU_PER_KWH / 1000.0)
    return float((RATING_HOURS * load).sum() / (RATING_HOURS * (energy + backup)).sum())


def ratings_from_hspf(hspf: Value, capacity_47: Value) -> Ratings:
    """Efficiency at 47 F of the usual unit whose bin rating is the given one.

    The rating's energy is (compressor part)/(COP at 47 F) + (backup part), so the COP follows in
    closed form and the bin method gives the label back exactly.

    Parameters
    ----------
    hspf : Value
        Seasonal rating. [Btu/Wh]
    capacity_47 : Value
        Output at 47 F, taken as the design heating requirement of the rating. [Btu/h]
    """
    load = 0.77 * (65.0 - RATING_BINS) / 60.0
    output = capacity_share(RATING_BINS)
    share = np.minimum(load / output, 1.0)
    made = share * output / cycling_factor(share) / cop_share(RATING_BINS)
    total = (RATING_HOURS * load).sum()
    compressor = float((RATING_HOURS * made).sum() / total)
    backup = float((RATING_HOURS * np.maximum(load - output, 0.0)).sum() / total)
    energy = BTU_PER_KWH / 1000.0 / hspf
    return Ratings(capacity_47=capacity_47, cop_47=compressor / (energy - backup))


def heat_pump_bins(
    load_rate: FloatArray,
    hours: FloatArray,
    temperature: FloatArray,
    ratings: Ratings,
    *,
    cutout: Value,
) -> tuple[FloatArray, FloatArray]:
    """Compressor electricity and backup heat of each month by the bin method.

    Parameters
    ----------
    load_rate : ndarray, shape (..., 12, bins)
        Load in each bin. [Btu/h]
    hours, temperature : ndarray, shape (12, bins)
        Hours and outdoor temperature of each bin. [h, F]
    ratings : Ratings
        Floats, or arrays of shape (..., 1, 1).
    cutout : Value
        Temperature below which the compressor rests; float or shape (..., 1, 1). [F]

    Returns
    -------
    tuple of ndarray, shape (..., 12)
        Compressor electricity [kWh] and backup heat [Btu].
    """
    output = ratings.capacity_47 * np.where(temperature >= cutout, capacity_share(temperature), 0.0)
    made = np.minimum(load_rate, output)
    backup = np.einsum("...mk,mk->...m", load_rate - made, hours)
    share = made / np.maximum(output, 1.0)
    made /= cycling_factor(share)
    per_heat = hours / (BTU_PER_KWH * cop_share(temperature))
    compressor = np.einsum("...mk,mk->...m", made, per_heat)
    return compressor / _without_bins(ratings.cop_47), backup


def _without_bins(value: Value) -> Value:
    return value[..., 0] if isinstance(value, np.ndarray) else value
