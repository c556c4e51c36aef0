"""Heat pumps over outdoor temperature: output, efficiency, part load, backup heat and the seasonal rating.

What a house asks of them, and how setback brings in backup heat, belong to the rooms above.
"""

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np

from retrofit_lab.physics.elementwise import interpolated
from retrofit_lab.values import FloatArray, Value

BTU_PER_KWH = 3412.14
CURVE_TEMPERATURE = (-15.0, 5.0, 17.0, 35.0, 47.0, 62.0)
CAPACITY_SHARE = (0.33, 0.50, 0.62, 0.80, 1.00, 1.18)
COP_SHARE = (0.46, 0.60, 0.69, 0.81, 1.00, 1.14)
"""Output and efficiency against those at 47 F of a usual single-speed unit; the dip at 35 F is defrost.
Judgement, in the range of published rating tables (memory)."""
CYCLING_LOSS = 0.25
"""Degradation coefficient at part load of a single-speed unit. [1] 10 CFR 430 subpart B appendix M (memory)"""
RATING_BINS = np.arange(62.0, -9.0, -5.0)
RATING_HOURS = np.array(
    [0.132, 0.111, 0.103, 0.093, 0.100, 0.109, 0.126, 0.087, 0.055, 0.036, 0.026, 0.013, 0.006,
     0.002, 0.001]
)  # fmt: skip
"""Share of the heating hours of region IV by outdoor temperature. 10 CFR 430 appendix M (memory)"""
HSPF_PER_HSPF2 = 8.8 / 7.5
"""Old seasonal rating per new one of a ducted split unit: the 2023 minimum in both. [1] (memory)"""
_AT_47 = np.array([0.0, 0.0, 0.0, 0.6, 1.0, 1.0])
_AT_17 = np.array([0.0, 0.0, 1.0, 0.4, 0.0, 0.0])
_AT_5 = np.array([1.0, 1.0, 0.0, 0.0, 0.0, 0.0])
"""How much each rating point moves the curve at `CURVE_TEMPERATURE`; they add to 1 at every place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """Output [Btu/h] and coefficient of performance [1] at 47 F, and what is left of them in the cold. [1]

    The shares at 17 F and 5 F are against 47 F. Without a rating at 5 F the usual curve goes on from 17 F.
    """

    capacity_47: Value
    cop_47: Value
    capacity_share_17: Value = CAPACITY_SHARE[2]
    cop_share_17: Value = COP_SHARE[2]
    capacity_share_5: Value | None = None
    cop_share_5: Value | None = None

    @property
    def capacity_17(self) -> Value:
        """Output at 17 F. [Btu/h]"""
        return self.capacity_47 * self.capacity_share_17

    @property
    def cop_17(self) -> Value:
        """Coefficient of performance at 17 F. [1]"""
        return self.cop_47 * self.cop_share_17

    def capacity_curve(self, temperature: Value) -> Value:
        """Output at an outdoor temperature against that at 47 F. [1]"""
        return capacity_share(temperature, self.capacity_share_17, self.capacity_share_5)

    def cop_curve(self, temperature: Value) -> Value:
        """Coefficient of performance at an outdoor temperature against that at 47 F. [1]"""
        return cop_share(temperature, self.cop_share_17, self.cop_share_5)


def capacity_share(
    temperature: Value, share_17: Value = CAPACITY_SHARE[2], share_5: Value | None = None
) -> Value:
    """Output at an outdoor temperature against that at 47 F, straight lines between -15, 5, 17, 35, 47, 62 F.

    Parameters
    ----------
    temperature : Value
        Outdoor temperature; beyond the ends the last value holds. [F]
    share_17, share_5 : Value
        Rated output at 17 F and 5 F against that at 47 F. [1]

    Returns
    -------
    Value
        Share. [1] Frost on the coil is in it: at 35 F it lies 6 % under the line from 17 F to 47 F.
    """
    return _curve(temperature, CAPACITY_SHARE, share_17, share_5)


def cop_share(
    temperature: Value, share_17: Value = COP_SHARE[2], share_5: Value | None = None
) -> Value:
    """Coefficient of performance at an outdoor temperature against that at 47 F; as `capacity_share`. [1]"""
    return _curve(temperature, COP_SHARE, share_17, share_5)


def _curve(
    temperature: Value, shares: tuple[float, ...], share_17: Value, share_5: Value | None
) -> Value:
    """The usual curve, stretched so that it runs through the rated points."""
    scale_17 = share_17 / shares[2]
    scale_5 = scale_17 if share_5 is None else share_5 / shares[1]
    if all(isinstance(scale, float) and scale == 1.0 for scale in (scale_17, scale_5)):
        return interpolated(temperature, CURVE_TEMPERATURE, shares)
    return (
        _hat(temperature, _AT_47 * shares)
        + _hat(temperature, _AT_17 * shares) * scale_17
        + _hat(temperature, _AT_5 * shares) * scale_5
    )


def _hat(temperature: Value, places: FloatArray) -> Value:
    result = np.interp(temperature, CURVE_TEMPERATURE, places)
    return float(result) if np.ndim(result) == 0 else result


def capacity(
    temperature: Value,
    *,
    capacity_47: Value,
    capacity_17: Value,
    capacity_5: Value | None = None,
    cutout: Value = -np.inf,
) -> Value:
    """Output of the compressor at full speed.

    Parameters
    ----------
    temperature : Value
        Outdoor temperature. [F]
    capacity_47, capacity_17, capacity_5 : Value
        Rated output at 47, 17 and 5 F. [Btu/h]
    cutout : Value
        Temperature below which the compressor rests. [F]

    Returns
    -------
    Value
        Output, 0 below the cutout. [Btu/h]
    """
    share_5 = None if capacity_5 is None else capacity_5 / capacity_47
    share = capacity_share(temperature, capacity_17 / capacity_47, share_5)
    return capacity_47 * share * _runs(temperature, cutout)


def _runs(temperature: Value, cutout: Value) -> Value:
    """1 at and above the cutout, 0 below."""
    runs = np.asarray(np.greater_equal(temperature, cutout), dtype=np.float64)
    return float(runs) if runs.ndim == 0 else runs


def cop(temperature: Value, *, cop_47: Value, cop_17: Value, cop_5: Value | None = None) -> Value:
    """Coefficient of performance of the compressor at full speed.

    Parameters
    ----------
    temperature : Value
        Outdoor temperature. [F]
    cop_47, cop_17, cop_5 : Value
        Rated coefficient at 47, 17 and 5 F. [1]

    Returns
    -------
    Value
        Coefficient of performance. [1]
    """
    share_5 = None if cop_5 is None else cop_5 / cop_47
    return cop_47 * cop_share(temperature, cop_17 / cop_47, share_5)


def cycling_factor(load_share: Value, cycling_loss: Value = CYCLING_LOSS) -> Value:
    """Efficiency at part load against that of running on. [1]

    Parameters
    ----------
    load_share : Value
        Load against output, at most 1. [1]
    cycling_loss : Value
        Degradation coefficient; near 0 where the compressor slows down instead of stopping. [1]
    """
    return 1.0 - cycling_loss * (1.0 - load_share)


def balance_point(base: Value, slope: Value, ratings: Ratings) -> Value:
    """Outdoor temperature below which the heat pump alone is not enough.

    Parameters
    ----------
    base : Value
        Outdoor temperature at which the house needs no heat. [F]
    slope : Value
        Heat load per degree below that, above 0. [Btu/(h F)]
    ratings : Ratings
        Floats, or arrays that broadcast with the others.

    Returns
    -------
    Value
        Balance point; beyond -15 and 62 F the output is taken as constant. [F]
    """
    lowest, highest = CURVE_TEMPERATURE[0], CURVE_TEMPERATURE[-1]
    best: Value = base - ratings.capacity_47 * ratings.capacity_curve(lowest) / slope
    for low, high in pairwise(CURVE_TEMPERATURE):
        at_low = ratings.capacity_47 * ratings.capacity_curve(low) - slope * (base - low)
        at_high = ratings.capacity_47 * ratings.capacity_curve(high) - slope * (base - high)
        crossing = low + (high - low) * at_low / (at_low - at_high)
        best = np.where((at_low < 0.0) & (at_high >= 0.0), crossing, best)
    beyond = base - ratings.capacity_47 * ratings.capacity_curve(highest) / slope
    best = np.where(beyond > highest, beyond, best)
    return float(best) if np.ndim(best) == 0 else best


def bin_rating(
    capacity: FloatArray,
    power: FloatArray,
    design_requirement: float,
    *,
    temperature: FloatArray = RATING_BINS,
    hours: FloatArray = RATING_HOURS,
    cycling_loss: float = CYCLING_LOSS,
) -> float:
    """Seasonal rating from output and power in the rating bins.

    Parameters
    ----------
    capacity, power : ndarray, shape (bins,)
        Output and electric power at ``temperature``; both 0 below a cutout. [Btu/h, W]
    design_requirement : float
        Design heating requirement. [Btu/h]
    temperature, hours : ndarray, shape (bins,)
        Outdoor temperature of the bins [F] and their share of the heating hours [1]; region IV by default.
    cycling_loss : float
        Degradation coefficient at part load. [1]

    Returns
    -------
    float
        HSPF. [Btu/Wh]

    References
    ----------
    10 CFR 430 subpart B appendix M, bin rule of a single-speed unit (memory). Its design temperature
    of 5 F, for region IV, is kept for any bins.
    """
    load = 0.77 * design_requirement * (65.0 - temperature) / 60.0
    share = np.minimum(load / np.maximum(capacity, 1e-9), 1.0)
    energy = share * power / cycling_factor(share, cycling_loss)
    backup = np.maximum(load - capacity, 0.0) / (BTU_PER_KWH / 1000.0)
    return float((hours * load).sum() / (hours * (energy + backup)).sum())


def ratings_from_hspf(
    hspf: Value, capacity_47: Value, cycling_loss: float = CYCLING_LOSS
) -> Ratings:
    """Ratings of the usual unit whose bin rating is the given one.

    The rating's energy is (compressor part)/(COP at 47 F) + (backup part), so the COP follows in
    closed form and the bin method gives the label back exactly. That the unit is a usual one, with
    the usual loss of output in the cold, is judgement; two rated points are better.

    Parameters
    ----------
    hspf : Value
        Seasonal rating. [Btu/Wh]
    capacity_47 : Value
        Output at 47 F, taken as the design heating requirement of the rating. [Btu/h]
    cycling_loss : float
        Degradation coefficient at part load. [1]
    """
    compressor, backup = _rating_parts(cycling_loss)
    energy = BTU_PER_KWH / 1000.0 / hspf
    return Ratings(capacity_47=capacity_47, cop_47=compressor / (energy - backup))


@cache
def _rating_parts(cycling_loss: float) -> tuple[float, float]:
    """What compressor, at a coefficient of 1 at 47 F, and backup take for each unit of the rating's load. [1]"""
    load = 0.77 * (65.0 - RATING_BINS) / 60.0
    output = capacity_share(RATING_BINS)
    share = np.minimum(load / output, 1.0)
    made = share * output / cycling_factor(share, cycling_loss) / cop_share(RATING_BINS)
    total = (RATING_HOURS * load).sum()
    compressor = float((RATING_HOURS * made).sum() / total)
    backup = float((RATING_HOURS * np.maximum(load - output, 0.0)).sum() / total)
    return compressor, backup


def ratings_from_points(
    *,
    capacity_47: Value,
    cop_47: Value,
    capacity_17: Value,
    cop_17: Value,
    capacity_5: Value | None = None,
    cop_5: Value | None = None,
) -> Ratings:
    """Ratings from the points of a data sheet; output in Btu/h, coefficients of performance in 1."""
    return Ratings(
        capacity_47=capacity_47,
        cop_47=cop_47,
        capacity_share_17=capacity_17 / capacity_47,
        cop_share_17=cop_17 / cop_47,
        capacity_share_5=None if capacity_5 is None else capacity_5 / capacity_47,
        cop_share_5=None if cop_5 is None else cop_5 / cop_47,
    )


def hspf_from_hspf2(hspf2: Value) -> Value:
    """HSPF of a ducted unit whose label states HSPF2, the rating since 2023. [Btu/Wh]"""
    return hspf2 * HSPF_PER_HSPF2


def heat_pump_bins(
    load_rate: FloatArray,
    hours: FloatArray,
    temperature: FloatArray,
    ratings: Ratings,
    *,
    cutout: Value,
    cycling_loss: Value = CYCLING_LOSS,
) -> tuple[FloatArray, FloatArray]:
    """Compressor electricity and backup heat of each month by the bin method.

    The compressor makes what it can at each temperature, backup makes the rest; the heat that the
    compressor makes is the load less the backup, see `compressor_heat`.

    Parameters
    ----------
    load_rate : ndarray, shape (..., 12, bins)
        Load in each bin, not below 0, with every leading axis that the others have. [Btu/h]
    hours, temperature : ndarray, shape (12, bins)
        Hours and outdoor temperature of each bin. [h, F]
    ratings : Ratings
        Floats, or arrays of shape (..., 1, 1).
    cutout : Value
        Temperature below which the compressor rests; float or shape (..., 1, 1). [F]
    cycling_loss : Value
        Degradation coefficient at part load; float or shape (..., 1, 1). [1]

    Returns
    -------
    tuple of ndarray, shape (..., 12)
        Compressor electricity [kWh] and backup heat [Btu].
    """
    output = _output(temperature, ratings, cutout)
    made = np.minimum(load_rate, output)
    scratch = load_rate - made
    backup = np.einsum("...mk,mk->...m", scratch, hours)
    # Written over in place: with every stack and bin these arrays are the largest of the whole model.
    np.multiply(made, cycling_loss / np.maximum(output, 1.0), out=scratch)
    scratch += 1.0 - cycling_loss
    made /= scratch
    per_heat = hours / (BTU_PER_KWH * ratings.cop_curve(temperature))
    letters = "...mk,mk->...m" if np.ndim(per_heat) == 2 else "...mk,...mk->...m"
    compressor = np.einsum(letters, made, per_heat)
    return compressor / _without_bins(ratings.cop_47), backup


def compressor_heat(
    load_rate: FloatArray,
    hours: FloatArray,
    temperature: FloatArray,
    ratings: Ratings,
    *,
    cutout: Value,
) -> FloatArray:
    """Heat that the compressor makes in each month; parameters as in `heat_pump_bins`. [Btu]"""
    made = np.minimum(load_rate, _output(temperature, ratings, cutout))
    return np.asarray(np.einsum("...mk,mk->...m", made, hours))


def _output(temperature: FloatArray, ratings: Ratings, cutout: Value) -> Value:
    return ratings.capacity_47 * (ratings.capacity_curve(temperature) * _runs(temperature, cutout))


def _without_bins(value: Value) -> Value:
    return value[..., 0] if isinstance(value, np.ndarray) else value
