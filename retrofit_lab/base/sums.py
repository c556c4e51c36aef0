"""Sums whose last digit depends on the numbers alone: not on how many rows stand beside one, nor on the Python at hand.

A product of a matrix and a vector adds in another order for one row than for many, so the same set of measures
would cost 1e-13 more or less with what was asked together with it. What is not a row of numbers has no place here.
"""

from collections.abc import Iterable

import numpy as np

from retrofit_lab.base.values import FloatArray, Value

MONTHS = 12


def total(values: Iterable[Value]) -> Value:
    """Sum of a few values from the first to the last, 0 where there is none.

    The `sum` of Python 3.12 and later adds plain floats more exactly than arrays, so one set of measures would
    differ from its row among many.

    >>> total([0.1, 0.2, 0.3]) == total([np.array(0.1), 0.2, 0.3])
    np.True_
    """
    result: Value = 0.0
    for value in values:
        result = result + value
    return result


def over_last(values: FloatArray) -> FloatArray:
    """Sum over the last axis, every row by itself and in the same order. (..., n) -> (...)

    >>> over_last(np.array([[1.0, 2.0], [3.0, 4.0]]))
    array([3., 7.])
    """
    result: FloatArray = np.ascontiguousarray(values).sum(axis=-1)
    return result


def over_year(monthly: Value) -> Value:
    """Sum over the months, the last axis; a value that is the same in all of them counts twelve times.

    >>> float(over_year(2.0)), float(over_year(np.full(12, 2.0)))
    (24.0, 24.0)
    """
    values = np.asarray(monthly)
    return over_last(np.broadcast_to(values, (*values.shape[:-1], MONTHS)))


def weighted(values: FloatArray, weights: FloatArray) -> FloatArray:
    """Sum of values times weights over the last axis, as `over_last`. (..., n), (n,) -> (...)

    >>> weighted(np.array([[1.0, 2.0], [3.0, 4.0]]), np.array([10.0, 1.0]))
    array([12., 34.])
    """
    return over_last(values * weights)
