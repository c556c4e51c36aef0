"""Which measure earns what: alone, last and by fair share, from the worth of every set of measures.

Arrays start with an axis of all 2**n sets numbered as in combinations.py; further axes are free
(fuels, cost, CO2).
"""

from functools import cache
from math import comb

import numpy as np

from retrofit_lab.base.sums import weighted
from retrofit_lab.base.values import FloatArray


def count_of(values: FloatArray) -> int:
    """Number of measures behind an array of all sets."""
    return int(values.shape[0]).bit_length() - 1


def alone(values: FloatArray) -> FloatArray:
    """Worth of each measure by itself. (2**n, ...) -> (n, ...)"""
    return np.asarray(values[1 << np.arange(count_of(values))] - values[0])


def last(values: FloatArray) -> FloatArray:
    """Worth of each measure added to all others. (2**n, ...) -> (n, ...)"""
    full = values.shape[0] - 1
    return np.asarray(values[full] - values[full - (1 << np.arange(count_of(values)))])


def fair_share(values: FloatArray) -> FloatArray:
    """Mean of what each measure adds over all orders in which the measures can come (Shapley value).

    Parameters
    ----------
    values : ndarray, shape (2**n, ...)
        Worth of each set.

    Returns
    -------
    ndarray, shape (n, ...)
        Shares that add to the worth of the full set less that of the empty one.

    References
    ----------
    Shapley 1953; the sum over sets with weights |S|! (n - |S| - 1)! / n! (memory).
    """
    n = count_of(values)
    outputs = np.ascontiguousarray(values.reshape(values.shape[0], -1).T)
    shares = np.empty((n, len(outputs)))
    for i in range(n):
        halves = outputs.reshape(-1, 2 ** (n - 1 - i), 2, 2**i)
        added = (halves[:, :, 1] - halves[:, :, 0]).reshape(len(outputs), -1)
        shares[i] = weighted(added, _weights(n))
    return shares.reshape(n, *values.shape[1:])


@cache
def _weights(n: int) -> FloatArray:
    """Weight of each set of the other n - 1 measures, in their order of numbers; not to be written to."""
    size = np.array([int(number).bit_count() for number in range(2**n // 2)], dtype=np.intp)
    by_size = np.array([1.0 / (n * comb(n - 1, k)) for k in range(n)])
    weights = np.asarray(by_size[size])
    weights.flags.writeable = False
    return weights


def dividends(values: FloatArray) -> FloatArray:
    """What each set adds beyond all its parts (Harsanyi dividends). (2**n, ...) -> (2**n, ...)"""
    result = np.array(values, dtype=np.float64)
    flat = result.reshape(values.shape[0], -1)
    for i in range(count_of(values)):
        halves = flat.reshape(-1, 2, 2**i, flat.shape[1])
        halves[:, 1] -= halves[:, 0]
    return flat.reshape(values.shape)


def interaction(values: FloatArray) -> FloatArray:
    """Mean interaction of each pair over all sets of the others; negative where they overlap.

    Parameters
    ----------
    values : ndarray, shape (2**n, ...)
        Worth of each set.

    Returns
    -------
    ndarray, shape (n, n, ...)
        Symmetric, zero on the diagonal.

    References
    ----------
    Shapley interaction index, Grabisch and Roubens 1999 (memory): sum of dividends over |T| - 1.
    """
    n = count_of(values)
    parts = dividends(values).reshape(values.shape[0], -1)
    numbers = np.arange(values.shape[0])
    size = np.array([int(number).bit_count() for number in numbers])
    weighted = parts / np.maximum(size - 1, 1)[:, None]
    result = np.zeros((n, n, parts.shape[1]))
    for i in range(n):
        for j in range(i + 1, n):
            both = ((numbers >> i) & (numbers >> j) & 1).astype(bool)
            result[i, j] = result[j, i] = weighted[both].sum(axis=0)
    return result.reshape(n, n, *values.shape[1:])


def lost_to_overlap(values: FloatArray) -> FloatArray:
    """How much more the measures promise one by one than they keep together. (2**n, ...) -> (...)"""
    return np.asarray(alone(values).sum(axis=0) - (values[-1] - values[0]))
