"""Heat pumps over outdoor temperature: output, efficiency, part load, backup heat and the seasonal rating.

What a house asks of them, and how setback brings in backup heat, belong to the rooms above.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.physics.elementwise import interpolated, is_nought, larger, smaller

BTU_PER_KWH = 3412.14
CURVE_TEMPERATURE = (-15.0, 5.0, 17.0, 35.0, 47.0, 62.0)
CAPACITY_SHARE = (0.33, 0.50, 0.62, 0.80, 1.00, 1.18)
COP_SHARE = (0.46, 0.60, 0.69, 0.81, 1.00, 1.14)
"""Output and efficiency against those at 47 F of a usual single-speed unit; the dip at 35 F is defrost.
Judgment, in the range of published rating tables (memory)."""
LEAST_HOURS = 1e-9
"""Keeps quotients defined where nothing is left. [h or 1]"""
CYCLING_LOSS = 0.25
"""Degradation coefficient at part load of a single-speed unit. [1] 10 CFR 430 subpart B appendix M (memory)"""
RATING_BINS = np.arange(62.0, -9.0, -5.0)
RATING_HOURS = np.array(
    [0.132, 0.111, 0.103, 0.093, 0.100, 0.109, 0.126, 0.087, 0.055, 0.036, 0.026, 0.013, 0.006,
     0.002, 0.001]
)  # fmt: skip
"""Share of the heating hours of region IV by outdoor temperature. 10 CFR 430 appendix M (memory)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratings:
    """What is known of a usual unit at 47 F outdoors.

    Parameters
    ----------
    capacity_47 : Value
        Output. [Btu/h]
    cop_47 : Value
        Coefficient of performance. [1]
    """

    capacity_47: Value
    cop_47: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthsOfHeatPump:
    """What a heat pump takes by month.

    Parameters
    ----------
    compressor : Value, shape (..., 12)
        Electricity of compressor and the fans of its rating. [kWh]
    backup : Value, shape (..., 12)
        Backup heat. [Btu]
    run_hours : Value, shape (..., 12)
        Run time of the compressor. [h]
    """

    compressor: Value
    backup: Value
    run_hours: Value


def capacity_share(temperature: Value) -> Value:
    """Output at an outdoor temperature against that at 47 F, straight lines between -15, 5, 17, 35, 47, 62 F.

    Parameters
    ----------
    temperature : Value
        Outdoor temperature; beyond the ends the last value holds. [F]

    Returns
    -------
    Value
        Share. [1] Frost on the coil is in it: at 35 F it lies 6 % under the line from 17 F to 47 F.

    Examples
    --------
    >>> capacity_share(47.0), capacity_share(35.0), capacity_share(-40.0)
    (1.0, 0.8, 0.33)
    """
    return interpolated(temperature, CURVE_TEMPERATURE, CAPACITY_SHARE)


def cop_share(temperature: Value) -> Value:
    """Coefficient of performance at an outdoor temperature against that at 47 F.

    Parameters
    ----------
    temperature : Value
        Outdoor temperature; beyond the ends the last value holds. [F]

    Returns
    -------
    Value
        Share, straight lines between the points of `capacity_share`. [1]

    Examples
    --------
    >>> cop_share(47.0), cop_share(17.0)
    (1.0, 0.69)
    """
    return interpolated(temperature, CURVE_TEMPERATURE, COP_SHARE)


def cycling_factor(load_share: Value, cycling_loss: Value = CYCLING_LOSS) -> Value:
    """Efficiency at part load against that of running on. [1]

    Parameters
    ----------
    load_share : Value
        Load against output, at most 1. [1]
    cycling_loss : Value
        Degradation coefficient; near 0 where the compressor slows down instead of stopping. [1]

    References
    ----------
    10 CFR 430 subpart B appendix M: 1 - C (1 - load) (memory).

    Examples
    --------
    >>> cycling_factor(0.5)
    0.875
    """
    return 1.0 - cycling_loss * (1.0 - load_share)


def ratings_from_hspf(
    hspf: Value, capacity_47: Value, cycling_loss: float = CYCLING_LOSS
) -> Ratings:
    """Ratings of the usual unit whose bin rating is the given one.

    The rating's energy is (compressor part)/(COP at 47 F) + (backup part), so the COP follows in
    closed form and the bin method gives the label back exactly. That the unit is a usual one, with
    the usual loss of output in the cold, is judgment.

    Parameters
    ----------
    hspf : Value
        Seasonal rating. [Btu/Wh]
    capacity_47 : Value
        Output at 47 F, taken as the design heating requirement of the rating. [Btu/h]
    cycling_loss : float
        Degradation coefficient at part load. [1]

    References
    ----------
    10 CFR 430 subpart B appendix M, bin rule of a single-speed unit in region IV (memory).
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


def heat_pump_months(
    load_rate: FloatArray,
    hours: FloatArray,
    temperature: FloatArray,
    ratings: Ratings,
    *,
    allowed: Value = 1.0,
    at_full: Value = 0.0,
    cycling_loss: float = CYCLING_LOSS,
) -> MonthsOfHeatPump:
    """Electricity, backup heat and run time of each month over groups of its hours.

    The compressor makes what it can at each temperature, backup makes the rest.

    Parameters
    ----------
    load_rate : ndarray, shape (..., 12, groups)
        Load in each group, not below 0, with every leading axis that the others have. [Btu/h]
    hours, temperature : ndarray, shape (12, groups) or (..., 12, groups)
        Hours and outdoor temperature of each group. [h, F]
    ratings : Ratings
        Floats, or arrays of shape (..., 1, 1).
    allowed : Value
        Share of each group's hours in which the compressor may run: those not below its cutout. [1]
    at_full : Value
        Share of the heat that warms rooms up after setbacks. It is made at full output, where nothing is lost
        by cycling. Shape (..., 12) or a float. [1]
    cycling_loss : float
        Degradation coefficient at part load. [1]

    Returns
    -------
    MonthsOfHeatPump
        Arrays of shape (..., 12).
    """
    curve = capacity_share(temperature)
    share = load_rate / (ratings.capacity_47 * curve)
    np.minimum(share, 1.0, out=share)
    made = hours * curve * allowed
    heat = _month_sum(share, made) * _without_groups(ratings.capacity_47)
    run = _month_sum(share, hours * allowed)
    backup = np.maximum(_month_sum(load_rate, hours) - heat, 0.0)
    spared: Value = 1.0
    if not is_nought(at_full):
        usual = _month_sum(share, share * hours) / np.maximum(_month_sum(share, hours), LEAST_HOURS)
        spared = recovering_at_full(usual, at_full, cycling_loss)
    # Written over in place: with every plan and group these arrays are the largest of the whole model.
    lost = cycling_loss * share
    lost += 1.0 - cycling_loss
    share /= lost
    power = _month_sum(share, made / cop_share(temperature)) / BTU_PER_KWH
    size = _without_groups(ratings.capacity_47 / ratings.cop_47)
    return MonthsOfHeatPump(compressor=spared * power * size, backup=backup, run_hours=run)


def recovering_at_full(
    load_share: Value, at_full: Value, cycling_loss: float = CYCLING_LOSS
) -> Value:
    """Electricity of a compressor that makes part of its heat at full output, against one that makes all evenly. [1]

    Parameters
    ----------
    load_share : Value
        Load against output where all is made evenly, below 1. [1]
    at_full : Value
        Share of the heat that is made at full output. [1]
    cycling_loss : float
        Degradation coefficient at part load. [1]

    Notes
    -----
    For ``at_full`` times the load share of the time the compressor runs on; what is left of the heat is made
    evenly in what is left of the time. The hours before, in which rooms fall and it rests, are none of it.

    Examples
    --------
    >>> round(recovering_at_full(0.4, 0.2), 3), recovering_at_full(1.0, 0.2), recovering_at_full(0.4, 0.0)
    (0.982, 1.0, 1.0)
    """
    left = larger(1.0 - at_full * load_share, LEAST_HOURS)
    evenly = smaller((1.0 - at_full) * load_share / left, 1.0)
    usual = cycling_factor(load_share, cycling_loss)
    return (1.0 - at_full) * (usual / cycling_factor(evenly, cycling_loss)) + at_full * usual


def _month_sum(values: FloatArray, weights: FloatArray) -> FloatArray:
    letters = "...mk,mk->...m" if np.ndim(weights) == 2 else "...mk,...mk->...m"
    return np.asarray(np.einsum(letters, values, weights))


def _without_groups(value: Value) -> Value:
    return value[..., 0] if isinstance(value, np.ndarray) else value
