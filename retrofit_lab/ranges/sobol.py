"""Points that fill a cube evenly: the scrambled Sobol sequence; what stands on the axes is not known here.

SciPy has the same sequence, and the tests hold this one against it. It is worked out here because SciPy's
statistics take 70 MB and a second in every page's kernel, for these few lines.
"""

from functools import cache

import numpy as np

from retrofit_lab.reference_data import read_rows
from retrofit_lab.values import FloatArray, InputError, IntArray

BITS = 30
"""Digits of a place, in base 2."""


def sobol_points(columns: int, count: int, seed: int) -> FloatArray:
    """First points of the sequence, scrambled by a random matrix and shift.

    Parameters
    ----------
    columns : int
        Axes of the cube.
    count : int
        Points, a power of two.
    seed : int
        Of the scrambling.

    Returns
    -------
    ndarray, shape (count, columns)
        Places from 0 up to, not including, 1. The first power of two of them fill the cube evenly too.

    Raises
    ------
    InputError
        When the number of points is no power of two, or there are too many axes.

    References
    ----------
    Joe and Kuo 2008 for the directions, Matousek 1998 for the scrambling, as in `scipy.stats.qmc.Sobol` (read).
    """
    if count < 2 or count & (count - 1):
        raise InputError(f"{count} draws are asked for; must be a power of two. Use 4096.")
    known = _directions()
    if columns > len(known):
        raise InputError(f"{columns} causes are drawn; at most {len(known)} can be. Name fewer.")
    directions, shift = _scrambled(known[:columns], np.random.default_rng(seed).spawn(1)[0])
    # Each point differs from the one before by the direction of the lowest 0 in the number before it.
    before = np.arange(count - 1)
    lowest = np.log2(~before & (before + 1)).astype(np.intp)
    steps = np.concatenate([shift[None, :], directions[:, lowest].T])
    return np.asarray(np.bitwise_xor.accumulate(steps, axis=0) * 0.5**BITS)


@cache
def _directions() -> IntArray:
    """Directions of every axis as whole numbers of `BITS` digits. shape (axes, BITS)"""
    rows = read_rows("sobol_directions.csv")
    made = [_axis(int(row["polynomial"]), [int(m) for m in row["first"].split()]) for row in rows]
    return np.array(made, dtype=np.int64) << np.arange(BITS - 1, -1, -1)


def _axis(polynomial: int, first: list[int]) -> list[int]:
    """Odd numbers of one axis, from the first ones and the recurrence of its polynomial."""
    degree = polynomial.bit_length() - 1
    if degree == 0:
        return [1] * BITS
    numbers = list(first)
    for place in range(degree, BITS):
        number = numbers[place - degree]
        for back in range(1, degree + 1):
            if polynomial >> (degree - back) & 1:
                number ^= numbers[place - back] << back
        numbers.append(number)
    return numbers


def _scrambled(directions: IntArray, rng: np.random.Generator) -> tuple[IntArray, IntArray]:
    """Directions behind a random lower triangle of digits, with ones on its diagonal, and a random shift."""
    axes = len(directions)
    digits = 1 << np.arange(BITS - 1, -1, -1, dtype=np.int64)
    shift = rng.integers(2, size=(axes, BITS), dtype=np.uint32) @ digits[::-1]
    triangle = np.tril(rng.integers(2, size=(axes, BITS, BITS), dtype=np.uint32), -1)
    mixed = (triangle + np.eye(BITS)).swapaxes(1, 2)
    split = (directions[:, :, None] >> np.arange(BITS - 1, -1, -1) & 1).astype(np.float64)
    return (split @ mixed).astype(np.int64) % 2 @ digits, shift
