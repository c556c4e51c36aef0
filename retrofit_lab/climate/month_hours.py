"""The hours of each month, sorted by temperature and by the clock; how days are used belongs to `monthly`."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError, Value

GROUPS = 24
"""Equal groups, cold to warm, that the hours of a month are cut into."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthHours:
    """Hours of the twelve months in arrays of shape (..., 12, 24).

    ``groups`` [F]: the month's hours sorted from cold to warm and cut into 24 equal groups, the mean
    of each, so that the groups of a month average to its mean. By the clock, hours ending 1 to 24:
    ``clock_temperature`` [F], ``clock_humidity`` [lb/lb] and ``clock_sun`` on the horizontal
    [Btu/(ft2 h)], each the mean of the month at that hour. Only temperatures have axes in front.
    """

    groups: FloatArray
    clock_temperature: FloatArray
    clock_humidity: FloatArray
    clock_sun: FloatArray

    @property
    def typical(self) -> "MonthHours":
        """Hours of the typical year, without axes in front; warmer years differ from it in their means alone."""
        return self


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmerHours(MonthHours):
    """Hours of years that are warmer than a typical one, and ``like`` what they were made of."""

    like: MonthHours

    @property
    def typical(self) -> MonthHours:
        """What they were made of."""
        return self.like


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
        raise InputError(
            f"month {at + 1} has no hour ending at {clock + 1}:00; every hour of the day is needed. "
            f"Give hourly values."
        )
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
    hours: MonthHours, temperature: FloatArray, humidity: FloatArray, sun: FloatArray
) -> MonthHours:
    """Same pattern of hours about another place's own months.

    Temperatures are shifted, moisture and sun are scaled, so that each month of the result has the
    mean that is given.

    Parameters
    ----------
    hours : MonthHours
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


def warmer_hours(hours: MonthHours, degrees: Value) -> MonthHours:
    """Hours of a year in which every hour is warmer; degrees are a float or have a last axis of 1. [F]"""
    change = degrees[..., None] if isinstance(degrees, np.ndarray) else degrees
    return WarmerHours(
        groups=hours.groups + change,
        clock_temperature=hours.clock_temperature + change,
        clock_humidity=hours.clock_humidity,
        clock_sun=hours.clock_sun,
        like=hours.typical,
    )


def temperature_exceeded(hours: MonthHours, share: float, days: FloatArray) -> float:
    """Temperature that a share of the year's hours lie above, for hours without axes in front. [F]

    Estimated: between the groups' means the hours are taken to lie on a straight line.

    Parameters
    ----------
    hours : MonthHours
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
