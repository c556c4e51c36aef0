"""The best of many measures as SciPy's mixed-integer solver finds it from singles and pairs: a check on ours."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.savings.choosing import AIMS, SLACK, ChoiceError, Limits


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pairwise:
    """Measures one by one and two by two, where there are too many for all sets.

    ``alone`` has a row for each measure with net savings, yearly saving and CO2 saved, shape (n, 3);
    ``beyond`` what two together bring beyond their sum, shape (n, n, 3), of which the upper triangle
    counts. ``excludes`` and ``needs`` are pairs of measures.
    """

    cost: FloatArray
    alone: FloatArray
    beyond: FloatArray
    excludes: tuple[tuple[int, int], ...] = ()
    needs: tuple[tuple[int, int], ...] = ()


def best_set_estimated(pairwise: Pairwise, limits: Limits, aim: str = "net_savings") -> BoolArray:
    """Best set of any number of measures, as far as singles and pairs tell.

    The worth of a set is taken as the sum of its measures and of what its pairs bring beyond that; what
    three or more do to one another is left out. Savings that share one load are then counted somewhat
    too low in large sets, so work the found set out by the model before it is shown.

    Returns
    -------
    ndarray of bool, shape (n,)

    Raises
    ------
    ChoiceError
        When no set keeps the limits, or the solver gives up.
    """
    first, second = _pairs(pairwise)
    count = len(pairwise.cost)
    single = np.column_stack([pairwise.alone, pairwise.cost])
    pair = np.column_stack([pairwise.beyond[first, second], np.zeros(len(first))])
    values = np.vstack([single, pair])
    gain = values @ AIMS[aim]
    rows = [*_pair_rows(count, first, second), *_rule_rows(pairwise), *_limit_rows(values, limits)]
    found = milp(
        -gain,
        constraints=[
            LinearConstraint(_padded(row, len(gain)), -np.inf, most) for row, most in rows
        ],
        integrality=(np.arange(len(gain)) < count).astype(np.int64),
        bounds=Bounds(0.0, 1.0),
    )
    if found.x is None:
        raise ChoiceError(f"no set keeps the limits ({found.message}). Loosen one of them.")
    return np.asarray(found.x[:count] > 0.5)


def _pairs(pairwise: Pairwise) -> tuple[IntArray, IntArray]:
    matters = np.abs(pairwise.beyond).max(axis=-1) > SLACK
    first, second = np.nonzero(np.triu(matters, 1))
    return first, second


_Row = tuple[FloatArray, float]
"""Coefficients of the measures and pairs, and the most that their sum may be."""


def _pair_rows(count: int, first: IntArray, second: IntArray) -> Iterator[_Row]:
    """A pair counts exactly when both of its measures are chosen."""
    for place, (i, j) in enumerate(zip(first, second, strict=True), count):
        row = np.zeros(place + 1)
        row[place] = 1.0
        for one in (i, j):
            lone = row.copy()
            lone[one] = -1.0
            yield lone, 0.0
        both = -row
        both[[i, j]] = 1.0
        yield both, 1.0


def _rule_rows(pairwise: Pairwise) -> Iterator[_Row]:
    for i, j in pairwise.excludes:
        row = np.zeros(len(pairwise.cost))
        row[[i, j]] = 1.0
        yield row, 1.0
    for i, needed in pairwise.needs:
        row = np.zeros(len(pairwise.cost))
        row[[i, needed]] = 1.0, -1.0
        yield row, 0.0


def _limit_rows(values: FloatArray, limits: Limits) -> Iterator[_Row]:
    saving, cost = values[:, 1], values[:, 3]
    if np.isfinite(limits.most_cost):
        yield cost, limits.most_cost
    if np.isfinite(limits.payback):
        yield cost - limits.payback * saving, 0.0
    if np.isfinite(limits.saving):
        yield -saving, -limits.saving


def _padded(row: FloatArray, width: int) -> FloatArray:
    return np.pad(row, (0, width - len(row)))
