"""The hours of each month in a few groups, cold to warm, and what a straight load line asks of a heater in them."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.month_hours import MonthHours
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY
from retrofit_lab.physics.elementwise import is_nought

GROUP_SIZES = (1, 1, 1, 2, 2, 3, 4, 5, 5)
"""How many of the 24 groups of a month's hours are taken together, finest in the cold where backup heat is
needed. Chosen by convergence: against 24 groups the electricity of heat pumps is off by 0.2 % as a rule and
0.4 % at most, and backup heat by 0.5 % of it."""


BLOCK = 2
"""Hours of the clock, and groups of sorted hours, that are taken together to find when heater and cooler run.
Chosen by convergence, see `tests/model/test_cooling_hours.py`. [1]"""
LEAST_SPREAD = 1e-6
"""Keeps quotients defined where all hours are alike. [F2]"""
KEPT = 8
"""Places of which the hours are taken together once: each plan and each draw of a house has the same."""
LEAST_CHANCE = 1e-12
"""Keeps shares defined in groups far from every hour of the mean day. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourGroups:
    """Hours of each month by outdoor temperature, shape (..., 12, groups).

    Parameters
    ----------
    hours : ndarray, shape (12, groups)
        Length of each group. [h]
    temperature : ndarray, shape (..., 12, groups)
        Mean of each group, cold to warm. [F]
    edges : ndarray, shape (..., 12, groups + 1)
        Temperatures between which the hours of a group lie, estimated. [F]
    """

    hours: FloatArray
    temperature: FloatArray
    edges: FloatArray

    def share_above(self, limit: Value) -> Value:
        """Share of each group's hours that are warmer than a limit. [1]

        Parameters
        ----------
        limit : Value
            A float, or an array of shape (..., 1, 1). [F]

        Returns
        -------
        ndarray, shape (..., 12, groups)
            Share; the hours of a group are taken to lie evenly between its edges. [1]

        Examples
        --------
        >>> groups = HourGroups(
        ...     hours=np.ones((1, 2)), temperature=np.array([[15.0, 25.0]]), edges=np.array([[10.0, 20.0, 30.0]])
        ... )
        >>> groups.share_above(18.0).tolist()
        [[0.2, 1.0]]
        """
        low, high = self.edges[..., :-1], self.edges[..., 1:]
        above = (high - limit) / np.maximum(high - low, 1e-9)
        return np.minimum(np.maximum(above, 0.0), 1.0)


def hour_groups(climate: MonthlyClimate) -> HourGroups:
    """Groups of the hours of each month of a climate.

    Parameters
    ----------
    climate : MonthlyClimate
        Its sorted hours, in 24 groups, are taken together by `GROUP_SIZES`.

    Returns
    -------
    HourGroups
        All hours of the year.

    Examples
    --------
    >>> float(hour_groups(climate).hours.sum())
    8760.0
    """
    sizes, warmer = np.array(GROUP_SIZES), with_groups(climate.hours.warmer)
    temperature, edges = _typical_groups(climate.hours.typical, GROUP_SIZES)
    return HourGroups(
        hours=HOURS_PER_DAY * climate.days[:, None] * sizes / sizes.sum(),
        temperature=temperature + warmer,
        edges=edges + warmer,
    )


@lru_cache(maxsize=KEPT)
def _typical_groups(hours: MonthHours, sizes: tuple[int, ...]) -> tuple[FloatArray, FloatArray]:
    """Mean and edges of the groups of each month of a typical year. (12, groups), (12, groups + 1) [F]"""
    ends = np.append(0, np.cumsum(sizes))
    return _taken_together(hours.groups, sizes), _borders(hours.groups)[..., ends]


def _taken_together(groups: FloatArray, sizes: tuple[int, ...]) -> FloatArray:
    """Means of 24 sorted groups taken together, as many at a time as ``sizes`` say.

    Parameters
    ----------
    groups : ndarray, shape (..., 24)
        Cold to warm. [F]

    Returns
    -------
    ndarray, shape (..., groups)
        Cold to warm. [F]
    """
    many = np.array(sizes)
    return np.asarray(np.add.reduceat(groups, np.cumsum(many) - many, axis=-1) / many)


def _borders(groups: FloatArray) -> FloatArray:
    """Temperatures half-way between neighboring groups, and as far again beyond the first and the last.

    Parameters
    ----------
    groups : ndarray, shape (..., 24)
        Means of equal groups, cold to warm. [F]

    Returns
    -------
    ndarray, shape (..., 25)
        Borders. [F]
    """
    between = (groups[..., 1:] + groups[..., :-1]) / 2.0
    first = 2.0 * groups[..., :1] - between[..., :1]
    last = 2.0 * groups[..., -1:] - between[..., -1:]
    return np.concatenate([first, between, last], axis=-1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """Hours of each month a few at a time, shape (12, blocks): by the clock, and sorted from cold to warm.

    ``clock`` and ``warmer`` are how temperatures differ from the month's mean [F], ``sun`` how the sun by the
    clock differs from its mean, as a share of it [1], ``follows`` by how much of its mean the sun rises for a
    degree among the sorted hours, shape (12,). [1/F] ``spread``, ``clock_spread`` [F2] and ``sun_spread`` [1]
    are variances of days, of temperatures and of sun by the clock, ``together`` the mean product of the last
    two, shape (12,). [F]
    """

    clock: FloatArray
    warmer: FloatArray
    sun: FloatArray
    follows: FloatArray
    spread: FloatArray
    clock_spread: FloatArray
    sun_spread: FloatArray
    together: FloatArray


def blocks_of(climate: MonthlyClimate) -> Blocks:
    """Hours of the months of a climate; warmer years differ in the mean alone.

    Parameters
    ----------
    climate : MonthlyClimate
        Its hours by the clock and sorted.

    Returns
    -------
    Blocks
        A few hours at a time.

    Examples
    --------
    They differ from their mean, so they sum to nothing:

    >>> bool(np.allclose(blocks_of(climate).clock.sum(axis=-1), 0.0, atol=1e-9))
    True
    """
    return _typical_blocks(climate.hours.typical)


@lru_cache(maxsize=KEPT)
def _typical_blocks(hours: MonthHours) -> Blocks:
    clock, warmer = _pattern(hours.clock_temperature), _pattern(hours.groups)
    sun = _blocks(hours.clock_sun)
    mean = sun.mean(axis=-1, keepdims=True)
    sun = sun / np.where(mean > 0.0, mean, 1.0) - 1.0
    follows = (clock * sun).mean(axis=-1) / np.maximum(warmer.var(axis=-1), LEAST_SPREAD)
    return Blocks(
        clock=clock,
        warmer=warmer,
        sun=sun,
        follows=follows,
        spread=_typical_spread(hours) ** 2.0,
        clock_spread=clock.var(axis=-1),
        sun_spread=sun.var(axis=-1),
        together=(clock * sun).mean(axis=-1),
    )


def _pattern(hours: FloatArray) -> FloatArray:
    """How a few of the 24 at a time differ from their mean.

    Parameters
    ----------
    hours : ndarray, shape (12, 24)
        By the clock or sorted. [F]

    Returns
    -------
    ndarray, shape (12, blocks)
        Differences. [F]
    """
    blocks = _blocks(hours)
    return np.asarray(blocks - blocks.mean(axis=-1, keepdims=True))


def _blocks(hours: FloatArray) -> FloatArray:
    """Means of a few of the 24 at a time.

    Parameters
    ----------
    hours : ndarray, shape (..., 24)
        Any unit.

    Returns
    -------
    ndarray, shape (..., 24 / BLOCK)
        In the same unit.
    """
    shape = (*hours.shape[:-1], hours.shape[-1] // BLOCK, BLOCK)
    return np.asarray(hours.reshape(shape).mean(axis=-1))


def share_of_clock(climate: MonthlyClimate, clock: tuple[int, ...]) -> FloatArray:
    """Share of each group of `hour_groups` that lies in some hours of the clock, each by its beginning. [1]

    Returns
    -------
    ndarray, shape (12, groups)
        Estimated: about its mean of the month an hour of the clock is as often colder as warmer, by the spread
        that the month has beyond that of its mean day.
    """
    return _typical_share(climate.hours.typical, GROUP_SIZES, clock)


@lru_cache(maxsize=KEPT)
def _typical_share(hours: MonthHours, sizes: tuple[int, ...], clock: tuple[int, ...]) -> FloatArray:
    spread = _typical_spread(hours)[:, None, None] ** 2.0
    away = _taken_together(hours.groups, sizes)[:, :, None] - hours.clock_temperature[:, None, :]
    likely = np.exp(-0.5 * away * away / spread) + LEAST_CHANCE
    return np.asarray(likely[:, :, clock].sum(axis=-1) / likely.sum(axis=-1))


def spread_of_days(climate: MonthlyClimate) -> FloatArray:
    """Standard deviation of a month's hours beyond that of its mean day: warm and cold days.

    Parameters
    ----------
    climate : MonthlyClimate
        Its hours by the clock and sorted.

    Returns
    -------
    ndarray, shape (12,)
        At least 1. [F]

    Examples
    --------
    >>> bool((spread_of_days(climate) >= 1.0).all())
    True
    """
    return _typical_spread(climate.hours.typical)


@lru_cache(maxsize=KEPT)
def _typical_spread(hours: MonthHours) -> FloatArray:
    beyond = hours.groups.var(axis=-1) - hours.clock_temperature.var(axis=-1)
    return np.asarray(np.sqrt(np.maximum(beyond, 1.0)))


def load_rates(groups: HourGroups, month: Value, base: Value, colder: Value = 0.0) -> FloatArray:
    """Load in each group of hours, along a straight line, such that its sum is the load of the month.

    Parameters
    ----------
    groups : HourGroups
        Hours of the months.
    month : Value
        Load of a month. [Btu]
    base : Value
        Outdoor temperature at which the load ends. [F]
    colder : Value
        By how much a group's load is less than by that line, as a difference of outdoor temperature, shape
        (..., 12, groups). [F]

    Returns
    -------
    ndarray, shape (..., 12, groups)
        Rates. [Btu/h] Where no hour is as cold as the base the load lies in the coldest group.

    Examples
    --------
    The hours together ask for what the month asks for:

    >>> groups = hour_groups(climate)
    >>> month = np.full(12, 6.0e6)
    >>> asked = (load_rates(groups, month, 60.0) * groups.hours).sum(axis=-1)
    >>> bool(np.allclose(asked, month))
    True
    """
    rate = np.asarray(with_groups(base + 0.0 * month) - groups.temperature)
    if not is_nought(colder):
        rate = rate - colder
    np.maximum(rate, 0.0, out=rate)
    degree_hours = np.einsum("...mk,...mk->...m", rate, groups.hours)
    along = degree_hours > 0.0
    rate *= with_groups(np.where(along, month / np.where(along, degree_hours, 1.0), 0.0))
    rate[..., 0] += np.where(along, 0.0, month) / groups.hours[..., 0]
    return rate


def beyond(rate: FloatArray, groups: HourGroups, most: Value) -> Value:
    """Part of a month's load that a heater of limited output cannot make.

    Parameters
    ----------
    rate : ndarray, shape (..., 12, groups)
        From `load_rates`. [Btu/h]
    groups : HourGroups
        Hours of the months.
    most : Value
        Output of the heater. [Btu/h]

    Returns
    -------
    Value, shape (..., 12)
        What is missing. [Btu]

    Examples
    --------
    A heater without output misses all of it:

    >>> groups = hour_groups(climate)
    >>> rates = load_rates(groups, np.full(12, 6.0e6), 60.0)
    >>> bool(np.allclose(beyond(rates, groups, 0.0), 6.0e6))
    True
    """
    over = np.maximum(rate - with_groups(most), 0.0)
    return np.asarray(np.einsum("...mk,mk->...m", over, groups.hours))


def with_groups(value: Value) -> Value:
    """A value with an axis for the groups at its end; plain floats stay plain.

    Parameters
    ----------
    value : Value
        A float, or an array whose last axis is the months.

    Examples
    --------
    >>> with_groups(2.0), with_groups(np.ones((3, 12))).shape
    (2.0, (3, 12, 1))
    """
    return value[..., None] if isinstance(value, np.ndarray) else value
