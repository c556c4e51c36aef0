"""Points that fill a unit cube of many columns evenly, and their places on a normal distribution; no house.

The points are a scrambled Sobol sequence. Its directions are a table made once with SciPy, so that a page
that draws needs neither the time nor the memory that SciPy takes.
"""

from functools import cache
from statistics import NormalDist

import numpy as np

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import FloatArray, InputError, IntArray
from retrofit_lab.texts.english_only import sentence

BITS = 12
MOST = 2**BITS
"""Points that the table reaches. [1]"""


def even_points(columns: int, count: int) -> FloatArray:
    """Points that fill the unit cube evenly; the first power of two of them do so too.

    Parameters
    ----------
    columns : int
        Columns of the cube.
    count : int
        Number of points, a power of two.

    Returns
    -------
    ndarray, shape (count, columns)
        Middles of the `MOST` equal parts of 0 to 1; each part once in a column of `MOST` points. [1]

    Raises
    ------
    InputError
        When the number of points is no power of two, or the table has too few columns.

    References
    ----------
    Scrambled Sobol sequence of `scipy.stats.qmc` (read), in the order of the Gray code.
    """
    if not 2 <= count <= MOST or count & (count - 1):
        raise InputError(sentence("uncertainty_even_points.draws_asked", count=count, most=MOST))
    shifts, directions = _table()
    if columns > len(shifts):
        raise InputError(
            sentence("uncertainty_even_points.unsure_numbers", columns=columns, count=len(shifts))
        )
    number = np.arange(count)
    code = number ^ (number >> 1)
    points = np.broadcast_to(shifts[:columns], (count, columns)).copy()
    for bit in range(BITS):
        points ^= np.where((code >> bit & 1)[:, None], directions[:columns, bit], 0)
    return np.asarray((points + 0.5) / MOST)


def normal_at(place: FloatArray) -> FloatArray:
    """Value of the standard normal distribution below which a share of it lies. [standard deviations]"""
    return np.interp(place, *_quantiles())


def place_of(normal: FloatArray) -> FloatArray:
    """Share of the standard normal distribution below a value; the other way round of `normal_at`. [1]"""
    places, values = _quantiles()
    return np.interp(normal, values, places)


@cache
def _quantiles() -> tuple[FloatArray, FloatArray]:
    places = (np.arange(MOST) + 0.5) / MOST
    return places, np.array([NormalDist().inv_cdf(place) for place in places])


@cache
def _table() -> tuple[IntArray, IntArray]:
    rows = read_rows("even_points", "directions.csv")
    shifts = np.array([int(row["shift"]) for row in rows])
    names = [f"d{bit + 1}" for bit in range(BITS)]
    return shifts, np.array([[int(row[name]) for name in names] for row in rows])
