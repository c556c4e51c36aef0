"""Whether work is worth its cost: present worth of savings and costs, ratio, net savings and payback."""

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.money.factors import single_present_value

LEAST_PAID = 0.005
"""Cost below which nothing is paid: half a cent. [dollars]"""


def replacements(life: float, period: int) -> tuple[int, ...]:
    """Years at whose end a thing of a given life is bought again within the study period."""
    return tuple(round(float(year)) for year in np.arange(life, period - 1e-9, life))


def residual_share(life: float, period: int) -> float:
    """Share of the price that the last purchase still holds at the end, by straight line. [1]"""
    bought = max((0, *replacements(life, period)))
    return max(0.0, 1.0 - (period - bought) / life)


def cost_factors_over_life(life: float, period: int, rate: float) -> tuple[float, float]:
    """Present worth of the first purchase and of the later ones, for each dollar of their prices. [1]

    What is left at the end is taken off the last purchase.

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
    return (1.0, float(later - end)) if later else (float(1.0 - end), 0.0)


def net_savings(savings: Value, costs: Value) -> Value:
    """Present worth of savings less that of costs. [dollars] 10 CFR 436.20 (read)"""
    return savings - costs


def savings_to_investment_ratio(savings: Value, costs: Value) -> Value:
    """Present worth of savings for each dollar of present-worth cost; not a number where nothing is paid. [1]

    What costs nothing, or less than anyone is billed for, has no ratio: it is judged by its net savings.
    """
    paid = np.asarray(costs) >= LEAST_PAID
    result = np.where(paid, savings / np.where(paid, costs, 1.0), np.nan)
    return float(result) if result.ndim == 0 else result


def adjusted_internal_rate(ratio: Value, rate: float, years: float) -> Value:
    """Yearly return with savings put by at the discount rate; -1, all lost, where nothing is saved. [1/year]

    Not a number where the ratio is none. 10 CFR 436.22 (read)
    """
    return (1.0 + rate) * np.maximum(ratio, 0.0) ** (1.0 / years) - 1.0


def calculable(value: float) -> float | None:
    """The value itself, or None where it is not a number."""
    return None if np.isnan(value) else value


def simple_payback(cost: Value, saved_per_year: Value) -> Value:
    """Years until savings equal the cost, without interest; infinite where nothing is saved. [year]"""
    saved = np.asarray(saved_per_year, dtype=np.float64)
    with np.errstate(over="ignore"):  # a saving of next to nothing never pays back either
        result = np.where(saved > 0, cost / np.where(saved > 0, saved, 1.0), np.inf)
    result = np.where(np.asarray(cost) <= 0, np.where(saved >= 0, 0.0, np.inf), result)
    return float(result) if result.ndim == 0 else result


def discounted_payback(cost: float, worth_by_year: FloatArray, *, whole_years: bool) -> float:
    """Years until discounted savings equal the cost; infinite when they do not in the years given. [year]

    Parameters
    ----------
    cost : float
        [dollars]
    worth_by_year : ndarray, shape (years,)
        Present worth of the savings of the first year, of the first two, and so on. [dollars]
    whole_years : bool
        True for the first whole year at whose end it is paid back, False to interpolate inside it.
    """
    if cost <= 0:
        return 0.0
    paid_back = np.flatnonzero(worth_by_year >= cost - 1e-9)
    if paid_back.size == 0:
        return float("inf")
    before = int(paid_back[0])
    if whole_years:
        return float(before + 1)
    start, end = np.concatenate([[0.0], worth_by_year])[before : before + 2]
    return float(before + (cost - start) / (end - start))
