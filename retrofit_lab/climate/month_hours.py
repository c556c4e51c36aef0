"""The hours of each month, sorted by temperature and by the clock; how days are used belongs to `monthly`."""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError, Value
from retrofit_lab.texts.english_only import sentence

GROUPS = 24
"""Equal groups, cold to warm, that the hours of a month are cut into."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MonthHours:
    """Hours of the twelve months in arrays of shape (12, 24).

    ``groups`` [F]: the month's hours sorted from cold to warm and cut into 24 equal groups, the mean
    of each, so that the groups of a month average to its mean. By the clock, hours ending 1 to 24:
    ``clock_temperature`` [F], ``clock_humidity`` [lb/lb] and ``clock_sun`` on the horizontal
    [Btu/(ft2 h)], each the mean of the month at that hour. The same hours are one and the same object, so
    what is made of them once can be looked up by it.
    """

    groups: FloatArray
    clock_temperature: FloatArray
    clock_humidity: FloatArray
    clock_sun: FloatArray

    @property
    def typical(self) -> "MonthHours":
        """Hours of the typical year, without axes in front; warmer years differ from it in their means alone."""
        return self

    @property
    def warmer(self) -> Value:
        """By how much these years are warmer than the typical one. [F]"""
        return 0.0

    @property
    def coldest(self) -> Value:
        """Mean of the coldest group of hours. shape (12,) [F]"""
        return self.groups[:, 0]

    def clock_mean(self, clock: slice | tuple[int, ...]) -> FloatArray:
        """Mean temperature of some hours of the clock. shape (12,) [F]"""
        return np.asarray(self.clock_temperature[:, clock].mean(axis=-1))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WarmerHours:
    """Hours of years that are ``warmer`` [F] than a typical one, by a float or an array with a last axis of 1.

    Temperatures have its axes in front, shape (..., 12, 24); they are worked out where they are asked for, since
    thousands of years have many hours.
    """

    typical: MonthHours
    warmer: Value

    @property
    def groups(self) -> FloatArray:
        """As in `MonthHours`. [F]"""
        return self.typical.groups + _before_hours(self.warmer)

    @property
    def clock_temperature(self) -> FloatArray:
        """As in `MonthHours`. [F]"""
        return self.typical.clock_temperature + _before_hours(self.warmer)

    @property
    def clock_humidity(self) -> FloatArray:
        """As in the typical year. [lb/lb]"""
        return self.typical.clock_humidity

    @property
    def clock_sun(self) -> FloatArray:
        """As in the typical year. [Btu/(ft2 h)]"""
        return self.typical.clock_sun

    @property
    def coldest(self) -> Value:
        """Mean of the coldest group of hours. shape (..., 12) [F]"""
        return self.typical.coldest + self.warmer

    def clock_mean(self, clock: slice | tuple[int, ...]) -> Value:
        """Mean temperature of some hours of the clock. shape (..., 12) [F]"""
        return self.typical.clock_mean(clock) + self.warmer


HoursOfYears: TypeAlias = MonthHours | WarmerHours
"""Hours of a typical year, or of years warmer than it."""


def month_hours(
    month: FloatArray,
    hour: FloatArray,
    temperature: FloatArray,
    humidity: FloatArray,
    sun: FloatArray,
) -> MonthHours:
    """Hours of the months from a year of hourly values, each of shape (hours,).

    Parameters
    ----------
    month, hour : ndarray
        Month 0 to 11, and hour of the clock at the end of the hour, 1 to 24.
    temperature, humidity, sun : ndarray
        [F], [lb/lb], and sun on the horizontal [Btu/(ft2 h)].

    Raises
    ------
    InputError
        When a month has no value at some hour of the clock.
    """
    place = (month * 24 + (hour - 1) % 24).astype(np.intp)
    count = np.bincount(place, minlength=12 * 24).reshape(12, 24)
    if not count.all():
        at, clock = np.argwhere(count == 0)[0]
        raise InputError(sentence("climate_month_hours.month_has", at=at + 1, clock=clock + 1))
    clocks = [
        np.bincount(place, weights=values, minlength=12 * 24).reshape(12, 24) / count
        for values in (temperature, humidity, sun)
    ]
    return MonthHours(
        groups=np.stack([_equal_groups(temperature[month == m]) for m in range(12)]),
        clock_temperature=clocks[0],
        clock_humidity=clocks[1],
        clock_sun=clocks[2],
    )


def _equal_groups(values: FloatArray) -> FloatArray:
    """Means of equal groups of sorted values; a value on a border counts in both by its shares."""
    sums = np.concatenate([[0.0], np.cumsum(np.sort(values))])
    borders = np.linspace(0.0, len(values), GROUPS + 1)
    return np.asarray(
        np.diff(np.interp(borders, np.arange(len(sums)), sums)) * GROUPS / len(values)
    )


def moved_to(
    hours: HoursOfYears, temperature: FloatArray, humidity: FloatArray, sun: FloatArray
) -> MonthHours:
    """Same pattern of hours about another place's own months.

    Temperatures are shifted, moisture and sun are scaled, so that each month of the result has the
    mean that is given.

    Parameters
    ----------
    hours : HoursOfYears
        Hours of the place that lends its pattern.
    temperature, humidity, sun : ndarray, shape (12,)
        Means of the months: [F], [lb/lb], and sun on the horizontal [Btu/(ft2 day)].
    """
    goal = temperature[:, None]
    return MonthHours(
        groups=hours.groups + goal - hours.groups.mean(axis=1, keepdims=True),
        clock_temperature=hours.clock_temperature
        + goal
        - hours.clock_temperature.mean(axis=1, keepdims=True),
        clock_humidity=hours.clock_humidity
        * (humidity[:, None] / hours.clock_humidity.mean(axis=1, keepdims=True)),
        clock_sun=hours.clock_sun * _sun_scale(hours.clock_sun.sum(axis=1), sun)[:, None],
    )


def _sun_scale(lent: FloatArray, own: FloatArray) -> FloatArray:
    """By how much lent sun is scaled; a month without sun stays dark."""
    return np.asarray(own / np.where(lent > 0.0, lent, 1.0))


def warmer_hours(hours: HoursOfYears, degrees: Value) -> WarmerHours:
    """Hours of a year in which every hour is warmer; degrees are a float or have a last axis of 1. [F]"""
    return WarmerHours(typical=hours.typical, warmer=hours.warmer + degrees)


def _before_hours(degrees: Value) -> Value:
    """Degrees of years, shape (..., 1), as they are added to the hours of months."""
    return degrees[..., None] if isinstance(degrees, np.ndarray) else degrees


def temperature_exceeded(hours: HoursOfYears, share: float, days: FloatArray) -> float:
    """Temperature that a share of the year's hours lie above, for hours without axes in front. [F]

    Estimated: between the groups' means the hours are taken to lie on a straight line.

    Parameters
    ----------
    hours : HoursOfYears
        Hours of the twelve months.
    share : float
        0.99 for the heating design temperature, 0.01 for the cooling one.
    days : ndarray, shape (12,)
        Days of each month. [day]
    """
    groups = hours.groups.ravel()
    order = np.argsort(groups)
    weight = np.repeat(days, GROUPS)[order]
    below = (np.cumsum(weight) - weight / 2.0) / weight.sum()
    return float(np.interp(1.0 - share, below, groups[order]))
