"""Whether work is worth its cost: present worth of savings and costs, ratio, net savings and payback."""

import numpy as np

from retrofit_lab.money.factors import single_present_value, uniform_present_value
from retrofit_lab.values import FloatArray, Value


def replacements(life: float, period: int) -> tuple[int, ...]:
    """Years at whose end a thing of a given life is bought again within the study period."""
    return tuple(round(float(year)) for year in np.arange(life, period - 1e-9, life))


def residual_share(life: float, period: int) -> float:
    """Share of the price that the last purchase still holds at the end, by straight line. [1]"""
    bought = max((0, *replacements(life, period)))
    return max(0.0, 1.0 - (period - bought) / life)


def cost_factor_over_life(life: float, period: int, rate: float) -> float:
    """Present worth of all purchases less the residual, for each dollar of price. [1]

    Parameters
    ----------
    life : float
        Years that one purchase lasts. [year]
    period : int
        Study period. [year]
    rate : float
        Real discount rate. [1/year]

    References
    ----------
    10 CFR 436.19: investment less salvage plus replacements less salvage (read).
    """
    later = sum(single_present_value(rate, year) for year in replacements(life, period))
    end = residual_share(life, period) * single_present_value(rate, period)
    return float(1.0 + later - end)


def net_savings(savings: Value, costs: Value) -> Value:
    """Present worth of savings less that of costs. [dollars] 10 CFR 436.20 (read)"""
    return savings - costs


def savings_to_investment_ratio(savings: Value, costs: Value) -> Value:
    """Present worth of savings for each dollar of present-worth cost; infinite where nothing is paid. [1]"""
    free = np.asarray(costs) <= 0
    ratio = np.where(free, np.where(np.asarray(savings) >= 0, np.inf, -np.inf), 0.0)
    result = np.where(free, ratio, savings / np.where(free, 1.0, costs))
    return float(result) if result.ndim == 0 else result


def adjusted_internal_rate(ratio: Value, rate: float, years: float) -> Value:
    """Yearly return with savings put by at the discount rate. [1/year] 10 CFR 436.22 (read)"""
    return (1.0 + rate) * ratio ** (1.0 / years) - 1.0


def simple_payback(cost: Value, saved_per_year: Value) -> Value:
    """Years until savings equal the cost, without interest; infinite where nothing is saved. [year]"""
    saved = np.asarray(saved_per_year, dtype=np.float64)
    result = np.where(saved > 0, cost / np.where(saved > 0, saved, 1.0), np.inf)
    result = np.where(np.asarray(cost) <= 0, np.where(saved >= 0, 0.0, np.inf), result)
    return float(result) if result.ndim == 0 else result


def discounted_payback(
    cost: float, saved_per_year: float, rate: float, *, whole_years: bool
) -> float:
    """Years until discounted savings equal the cost; infinite when they never do. [year]

    Parameters
    ----------
    cost, saved_per_year : float
        [dollars, dollars/year]
    rate : float
        Real discount rate. [1/year]
    whole_years : bool
        True for the first whole year at whose end it is paid back, False to interpolate inside it.
    """
    if cost <= 0:
        return 0.0
    if saved_per_year <= cost * rate:
        return float("inf")
    year = 1
    while uniform_present_value(rate, year) * saved_per_year < cost - 1e-9:
        year += 1
    if whole_years:
        return float(year)
    before = float(uniform_present_value(rate, year - 1)) * saved_per_year
    step = float(single_present_value(rate, year)) * saved_per_year
    return year - 1 + (cost - before) / step


def stack_costs(masks: FloatArray, prices: FloatArray) -> FloatArray:
    """Cost of every set: shape (stacks, measures) with (measures,) or (measures, k)."""
    return np.asarray(masks @ prices)
