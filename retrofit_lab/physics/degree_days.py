"""Degree days at any base from daily mean temperatures, under one pinned definition.

Heating degree days of a day are max(0, base - T) and cooling degree days max(0, T - base), unrounded,
with T the mean of the day's hours, or of its highest and lowest where hours are not at hand.
Which weather is used belongs to the climate room.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.values import FloatArray, IntArray, Value

STEP = 0.25
MARGIN = 1.0


def heating_degree_days(temperature: FloatArray, base: float) -> float:
    """Sum of what daily means lie below a base.

    Parameters
    ----------
    temperature : ndarray, shape (days,)
        Daily mean temperature. [F]
    base : float
        Base temperature. [F]

    Returns
    -------
    float
        Heating degree days. [F day]

    Examples
    --------
    >>> heating_degree_days(np.array([30.0, 60.0, 75.0]), 65.0)
    40.0
    """
    return float(np.maximum(base - temperature, 0.0).sum())


def cooling_degree_days(temperature: FloatArray, base: float) -> float:
    """Sum of what daily means lie above a base.

    Parameters
    ----------
    temperature : ndarray, shape (days,)
        Daily mean temperature. [F]
    base : float
        Base temperature. [F]

    Returns
    -------
    float
        Cooling degree days. [F day]

    Examples
    --------
    >>> cooling_degree_days(np.array([30.0, 60.0, 75.0]), 65.0)
    10.0
    """
    return float(np.maximum(temperature - base, 0.0).sum())


@dataclass(frozen=True, slots=True)
class DegreeDayTable:
    """Monthly heating degree days on a fine grid of bases, for many bases at once.

    Parameters
    ----------
    first : float
        Lowest base. [F]
    values : ndarray, shape (12, bases)
        Heating degree days. [F day]
    days, mean : ndarray, shape (12,)
        Length and mean temperature of the months. [day, F]
    warmer : Value
        By how much every day is warmer than on record; it may have axes in front. [F]

    Notes
    -----
    Between grid points the exact curve is a broken line; reading it linearly errs by at most
    a quarter of `STEP` for each day whose temperature falls inside the step, upward.
    """

    first: float
    values: FloatArray
    days: FloatArray
    mean: FloatArray
    warmer: Value = 0.0

    def heating(self, base: Value) -> FloatArray:
        """Heating degree days by month.

        Parameters
        ----------
        base : Value
            A float, or of shape (..., 12) or (..., 1). [F]

        Returns
        -------
        ndarray, shape (..., 12)
            [F day]

        Examples
        --------
        >>> table = degree_day_table(np.repeat(40.0, 365), np.arange(365) // 30.5)
        >>> round(float(table.heating(65.0).sum()), 6)
        9125.0
        """
        last = self.values.shape[1] - 1
        place = np.asarray((base - self.warmer - self.first) / STEP, dtype=np.float64)
        inside = np.minimum(np.maximum(place, 0.0), last - 1e-9)
        index = inside.astype(np.int32)
        months = _starts(last + 1)
        flat = self.values.ravel()
        low = flat[months + index]
        inside -= index
        result = low + inside * (flat[months + index + 1] - low)
        above = np.maximum(place - last, 0.0)
        return np.asarray(result + above * (STEP * self.days))

    def days_below(self, base: Value) -> FloatArray:
        """Days by month that are colder than a base: by how much `heating` rises with it.

        Parameters
        ----------
        base : Value
            As for `heating`. [F]

        Returns
        -------
        ndarray, shape (..., 12)
            [day]

        Examples
        --------
        >>> table = degree_day_table(np.repeat(40.0, 365), np.arange(365) // 30.5)
        >>> float(table.days_below(65.0).sum()), float(table.days_below(30.0).sum())
        (365.0, 0.0)
        """
        last = self.values.shape[1] - 1
        place = np.asarray((base - self.warmer - self.first) / STEP, dtype=np.float64)
        index = np.clip(place, 0.0, last - 1e-9).astype(np.int32)
        months = _starts(last + 1)
        flat = self.values.ravel()
        days = (flat[months + index + 1] - flat[months + index]) / STEP
        return np.asarray(np.where(place < 0.0, 0.0, np.where(place >= last, self.days, days)))

    def cooling(self, base: Value) -> FloatArray:
        """Cooling degree days by month, from the identity of both with the mean.

        Parameters
        ----------
        base : Value
            As for `heating`. [F]

        Returns
        -------
        ndarray, shape (..., 12)
            [F day]

        Notes
        -----
        Base less mean, times the days, is heating less cooling degree days, whatever the base.
        """
        return np.maximum(self.heating(base) - self.days * (base - self.warmer - self.mean), 0.0)


@cache
def _starts(bases: int) -> IntArray:
    """Where each month of a table begins in its numbers one after the other; not to be written to."""
    return np.arange(12, dtype=np.int32) * np.int32(bases)


def degree_day_table(temperature: FloatArray, month: FloatArray) -> DegreeDayTable:
    """Table for daily means.

    Parameters
    ----------
    temperature : ndarray, shape (days,)
        Daily mean temperature. [F]
    month : ndarray, shape (days,)
        Month of each day, 0 to 11.
    """
    first = float(np.floor(temperature.min() - MARGIN))
    bases = np.arange(first, np.ceil(temperature.max() + MARGIN) + STEP, STEP)
    below = np.maximum(bases[None, :] - temperature[:, None], 0.0)
    values = np.stack([below[month == m].sum(axis=0) for m in range(12)])
    days = np.array([float((month == m).sum()) for m in range(12)])
    mean = np.array([temperature[month == m].mean() for m in range(12)])
    return DegreeDayTable(first=first, values=values, days=days, mean=mean)
