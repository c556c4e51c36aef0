"""The hours of a month in which heater or cooler run, by outdoor temperature and sun; not what they take."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.house.description import INSIDE
from retrofit_lab.model.balance import Balance, Parts
from retrofit_lab.model.hour_groups import with_groups

SUN_AT_ONCE = 0.75
"""Share of the sun through windows that is a load within three hours; the rest is given off by floors and
furniture over day and night. [1] Radiant time series of light and medium construction, ASHRAE Fundamentals
(memory)"""
LEAST_LOAD = 1e-6
"""Keeps means defined where nothing is asked for. [F]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningHours:
    """The hours of a month in which heater or cooler run, each weighted by its load.

    Parameters
    ----------
    outdoor : Value, shape (..., 12)
        Their mean temperature. [F]
    sun : Value, shape (..., 12)
        Sun in them against that of day and night together. [1]
    shape : ndarray, shape (..., 12, groups)
        Load in equal groups of hours, cold to warm, against that of day and night. [1]
    """

    outdoor: Value
    sun: Value
    shape: FloatArray

    @property
    def peak(self) -> Value:
        """Load in the hours of running against that of day and night. [1]

        Returns
        -------
        Value, shape (..., 12)
            1 where the load is even, 2 where all of it falls into half of the hours.

        Examples
        --------
        >>> half = RunningHours(outdoor=30.0, sun=1.0, shape=np.array([[2.0, 0.0]]))
        >>> half.peak.tolist()
        [2.0]
        """
        return np.asarray(
            np.einsum("...g,...g->...", self.shape, self.shape) / self.shape.shape[-1]
        )

    def beyond(self, mean: Value, most: Value) -> Value:
        """Part of a mean load that a machine of limited output cannot make, in the unit of both.

        Parameters
        ----------
        mean : Value, shape (..., 12)
            Load, mean of day and night.
        most : Value
            Output of the machine.

        Returns
        -------
        Value, shape (..., 12)
            What is missing, mean of day and night.

        Examples
        --------
        A load of 10 that all falls into half of the hours is 20 there:

        >>> half = RunningHours(outdoor=30.0, sun=1.0, shape=np.array([[2.0, 0.0]]))
        >>> half.beyond(np.array([10.0]), 15.0).tolist()
        [2.5]
        """
        over = np.maximum(self.shape * with_groups(mean) - with_groups(most), 0.0)
        return np.asarray(over.mean(axis=-1))


def running_hours(
    parts: Parts, state: Balance, excess: Value, start: Value, *, cooling: bool
) -> RunningHours:
    """When heater or cooler run: by temperature over all hours of the month, by sun over those of a day.

    Parameters
    ----------
    parts : Parts
        Climate with its hours, and the sun.
    state : Balance
        Loss line, by which sun is like warmer air.
    excess : Value
        Load of a mean day with load, as a difference of outdoor temperature. [F]
    start : Value
        Outdoor temperature at which the load begins. [F]
    cooling : bool
        True for a cooler, which runs in the warm hours.

    Returns
    -------
    RunningHours
        Temperature, sun and shape of the hours that count.

    Notes
    -----
    In an hour the load is a straight line in outdoor temperature and sun. Over the sorted hours of the
    month, its hot and cold days among them, the sun follows the temperature as it does by the clock.

    Examples
    --------
    A heater runs in hours that are colder than the month:

    >>> year = year_energy(house, climate)
    >>> when = running_hours(year.parts, year.heating.state, 20.0, 60.0, cooling=False)
    >>> bool((when.outdoor <= climate.temperature).all())
    True
    """
    blocks, sign = parts.blocks, 1.0 if cooling else -1.0
    felt = sun_felt(parts, state)
    by_clock = _load(sign * felt, blocks.sun, excess + 0.0 * felt, sign * blocks.clock)
    sun = 1.0 + _mean_by(by_clock, blocks.sun)
    above = sign * (parts.climate.temperature - start)
    load = _load(sign * (1.0 + felt * blocks.follows), blocks.warmer, above + 0.0 * felt)
    outdoor = parts.climate.temperature + _mean_by(load, blocks.warmer)
    load /= load.mean(axis=-1, keepdims=True)
    return RunningHours(outdoor=outdoor, sun=sun, shape=load)


def _load(
    slope: Value, along: FloatArray, mean: Value, beside: FloatArray | None = None
) -> FloatArray:
    """Load of groups of hours along a straight line, as a difference of outdoor temperature.

    It is written over in place: with every plan, draw and group these arrays are among the largest of the model.

    Parameters
    ----------
    slope, mean : Value, shape (..., 12)
        Of the line, ``mean`` with every axis that ``slope`` has. [F]
    along, beside : ndarray, shape (12, groups)
        Where each group lies on it, and what is added to it. [1, F]
    """
    load = np.asarray(with_groups(slope + 0.0 * mean) * along)
    if beside is not None:
        load += beside
    load += with_groups(mean)
    return np.maximum(load, LEAST_LOAD, out=load)


def sun_felt(parts: Parts, state: Balance) -> Value:
    """By how much the mean sun, as a load of the same hours, is like warmer outdoor air.

    Parameters
    ----------
    parts : Parts
        Sun through windows, of which a part is a load later.
    state : Balance
        All sun, and the loss for each degree.

    Returns
    -------
    Value, shape (..., 12)
        Temperature. [F]
    """
    later = (1.0 - SUN_AT_ONCE) * parts.shell.sun.get(INSIDE, 0.0)
    return (state.sun - later) / state.line.outside


def _mean_by(weight: FloatArray, values: FloatArray) -> FloatArray:
    """Mean of values of groups of hours, weighted. [unit of the values]

    Parameters
    ----------
    weight, values : ndarray, shape (..., 12, groups)
        Load of each group, and what is averaged.
    """
    return np.asarray(np.einsum("...mh,mh->...m", weight, values) / weight.sum(axis=-1))
