"""The hours of each month in a few groups, cold to warm, and what a straight load line asks of a heater in them."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY

GROUP_SIZES = (1, 1, 1, 2, 2, 3, 4, 5, 5)
"""How many of the 24 groups of a month's hours are taken together, finest in the cold where backup heat is
needed. Chosen by convergence: against 24 groups the electricity of heat pumps is off by 0.2 % as a rule and
0.4 % at most, and backup heat by 0.5 % of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourGroups:
    """Hours of each month by outdoor temperature, shape (..., 12, groups).

    ``hours`` [h], ``temperature`` mean of each group [F]; ``edges`` with one more on the last axis are
    the temperatures between which its hours lie, estimated. [F]
    """

    hours: FloatArray
    temperature: FloatArray
    edges: FloatArray

    def share_above(self, limit: Value) -> Value:
        """Share of each group's hours that are warmer than a limit; float or shape (..., 1, 1). [1]"""
        low, high = self.edges[..., :-1], self.edges[..., 1:]
        above = (high - limit) / np.maximum(high - low, 1e-9)
        return np.minimum(np.maximum(above, 0.0), 1.0)


def hour_groups(climate: MonthlyClimate) -> HourGroups:
    """Groups of the hours of each month of a climate."""
    sizes = np.array(GROUP_SIZES)
    ends = np.cumsum(sizes)
    groups = climate.hours.groups
    return HourGroups(
        hours=HOURS_PER_DAY * climate.days[:, None] * sizes / sizes.sum(),
        temperature=np.add.reduceat(groups, ends - sizes, axis=-1) / sizes,
        edges=_borders(groups)[..., np.append(0, ends)],
    )


def _borders(groups: FloatArray) -> FloatArray:
    """Temperatures half-way between neighboring groups, and as far again beyond the first and the last. [F]"""
    between = (groups[..., 1:] + groups[..., :-1]) / 2.0
    first = 2.0 * groups[..., :1] - between[..., :1]
    last = 2.0 * groups[..., -1:] - between[..., -1:]
    return np.concatenate([first, between, last], axis=-1)


def load_rates(groups: HourGroups, month: Value, base: Value) -> FloatArray:
    """Load in each group of hours, along a straight line, such that its sum is the load of the month.

    Parameters
    ----------
    groups : HourGroups
        Hours of the months.
    month : Value
        Load of a month. [Btu]
    base : Value
        Outdoor temperature at which the load ends. [F]

    Returns
    -------
    ndarray, shape (..., 12, groups)
        Rates. [Btu/h] Where no hour is as cold as the base the load lies in the coldest group.
    """
    rate = np.asarray(with_groups(base + 0.0 * month) - groups.temperature)
    np.maximum(rate, 0.0, out=rate)
    degree_hours = np.einsum("...mk,mk->...m", rate, groups.hours)
    along = degree_hours > 0.0
    rate *= with_groups(np.where(along, month / np.where(along, degree_hours, 1.0), 0.0))
    rate[..., 0] += np.where(along, 0.0, month) / groups.hours[:, 0]
    return rate


def beyond(rate: FloatArray, groups: HourGroups, most: Value) -> Value:
    """Part of a month's load that a heater of limited output cannot make. [Btu]"""
    over = np.maximum(rate - with_groups(most), 0.0)
    return np.asarray(np.einsum("...mk,mk->...m", over, groups.hours))


def with_groups(value: Value) -> Value:
    """A value with an axis for the groups at its end; plain floats stay plain."""
    return value[..., None] if isinstance(value, np.ndarray) else value
