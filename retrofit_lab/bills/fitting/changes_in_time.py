"""Finds a step or a trend in what weather leaves unexplained of a series of bills; says nothing of causes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.least_squares import LinearFit, linear_fit

LEAST_EACH_SIDE = 3
LEAST_SHARE = 0.1
"""Smallest change worth a sentence, as a share of the mean use. judgment"""
LEAST_YEARS = 1.5
"""Shortest series in which a trend can be told from the seasons. [year] judgment"""
SIGNIFICANCE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A step (size in unit/day, at a day number) or a trend (size in unit/day and year).

    ``residual_sum`` is the sum of squares that is left.
    """

    kind: str
    size: float
    at: float
    residual_sum: float


def step_change(when: FloatArray, rest: FloatArray, days: FloatArray, mean: float) -> Change | None:
    """The most likely step, if there is one beyond chance.

    Parameters
    ----------
    when : ndarray, shape (n,)
        Middle of each period. [day]
    rest : ndarray, shape (n,)
        Use less what weather explains. [unit/day]
    days : ndarray, shape (n,)
        Weight of each period. [day]
    mean : float
        Mean use. [unit/day]

    Notes
    -----
    The level is shared out before and after each possible day; the F test of the best is made n times
    as strict, because n days were tried (Bonferroni).
    """
    tries = range(LEAST_EACH_SIDE, len(rest) - LEAST_EACH_SIDE + 1)
    fits = {
        place: _fitted([(when >= when[place]).astype(np.float64)], rest, days) for place in tries
    }
    if not fits:
        return None
    place = min(fits, key=lambda n: fits[n].residual_sum)
    size = float(fits[place].coefficients[1])
    if abs(size) < LEAST_SHARE * mean or not _beyond_chance(fits[place], rest, days, len(fits)):
        return None
    return Change(
        kind="step", size=size, at=float(when[place]), residual_sum=fits[place].residual_sum
    )


def trend(when: FloatArray, rest: FloatArray, days: FloatArray, mean: float) -> Change | None:
    """A steady rise or fall over the years, if there is one beyond chance; arguments as `step_change`."""
    years = (when - when.mean()) / 365.25
    if np.ptp(years) < LEAST_YEARS:
        return None
    fit = _fitted([years], rest, days)
    size = float(fit.coefficients[1])
    if abs(size) * np.ptp(years) < LEAST_SHARE * mean or not _beyond_chance(fit, rest, days, 1):
        return None
    return Change(kind="trend", size=size, at=float(when[0]), residual_sum=fit.residual_sum)


def _fitted(columns: Sequence[FloatArray], rest: FloatArray, days: FloatArray) -> LinearFit:
    return linear_fit(np.stack([np.ones_like(rest), *columns], axis=1), rest, days)


def _beyond_chance(fit: LinearFit, rest: FloatArray, days: FloatArray, tries: int) -> bool:
    from scipy.stats import f as f_distribution  # noqa: PLC0415 - slow to import

    level = float((days * rest).sum() / days.sum())
    total = float((days * (rest - level) ** 2).sum())
    ratio = (total - fit.residual_sum) / max(fit.residual_sum / fit.degrees_of_freedom, 1e-300)
    limit = f_distribution.ppf(1.0 - SIGNIFICANCE / tries, 1, fit.degrees_of_freedom)
    return bool(total > 0 and ratio > limit)
