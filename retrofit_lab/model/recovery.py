"""How heat pumps of a described house bring rooms back up after setbacks; what they take for it is in heating.py."""

from dataclasses import replace

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import HeatPump
from retrofit_lab.model.balance import Parts, Season
from retrofit_lab.model.hour_groups import spread_of_days
from retrofit_lab.model.running_hours import sun_felt
from retrofit_lab.physics.elementwise import is_nought, larger, smaller
from retrofit_lab.physics.heat_pump import capacity_share
from retrofit_lab.physics.thermostat import SlowRecovery, slow_recovery, wall_lag

DAWN, FORENOON = slice(6, 9), slice(9, 12)
"""Hours of the clock in which houses are warmed up after a night, and those that follow. (judgment)"""
USUAL_WAIT = 3.0
"""Time after which a recovery is in the forenoon. [h]"""
BACKUP_DROOP = 1.0
"""How far below its setting a thermostat lets the rooms be before it calls for backup heat: the last degree
of a recovery is the compressor's. [F] (common practice: 1 to 2 F)"""
LEAST_SUN = 1e-9


def recoveries(parts: Parts, season: Season) -> dict[str, SlowRecovery]:
    """Mean recovery of each heat pump by its key; none where no setting falls.

    Parameters
    ----------
    parts : Parts
        House, with its heat pumps, and climate.
    season : Season
        Heating, with the heat that brings rooms back.

    Returns
    -------
    dict of str to SlowRecovery
        Backup heat and how late the rooms are, mean of the days.

    Examples
    --------
    A house without periods never has to come back:

    >>> zones = tuple(replace(zone, periods=()) for zone in house.zones)
    >>> year = year_energy(replace(house, zones=zones), climate)
    >>> recoveries(year.parts, year.heating)
    {}
    """
    if is_nought(season.rooms.recovery):
        return {}
    return {
        pump.key: _recovery(parts, season, pump)
        for pump in parts.house.heat_pumps
        if not is_nought(pump.share)
    }


def _recovery(parts: Parts, season: Season, pump: HeatPump) -> SlowRecovery:
    """Mean of a cold and a warm day, each as far from the month's mean as its days are.

    It runs from dawn on; the longer backup waits, the more of the forenoon's sun and milder air helps.
    """
    size = parts.house.size
    store = size.heat_capacity * size.floor_area
    spare = _spare(parts, season, pump, store)
    first, then = spare[:, 0], spare[:, 1]
    waited = smaller(pump.recovery_hours / USUAL_WAIT, 1.0)
    found = slow_recovery(
        season.rooms.recovery,
        spare_first=first,
        spare_then=first + waited * (then - first),
        hours=pump.recovery_hours,
        lag=wall_lag(size.heat_capacity),
        heat_capacity=store,
        droop=BACKUP_DROOP,
    )
    return replace(found, backup=_of_two(found.backup), late=_of_two(found.late))


def _spare(parts: Parts, season: Season, pump: HeatPump, store: Value) -> FloatArray:
    """Output that reaches the rooms beyond their loss while they are warmed up, shape (2, 2, ..., 12). [Btu/h]

    The first axis is a cold and a warm day, the second dawn and forenoon. In the mean of a recovery the rooms
    are half as far behind their setting as at its beginning.
    """
    line, rooms = season.state.line, season.rooms
    reaches = season.ducts.useful if pump.ducted == "yes" else 1.0
    behind = rooms.temperature - 0.5 * rooms.recovery / store
    base = line.base_temperature(behind, season.useful)
    felt = sun_felt(parts, season.state)
    lead = max(np.ndim(v) for v in (line.outside, base, reaches, felt, pump.capacity)) - 1
    outdoor, more_sun = _outdoors(parts.climate, lead)
    able = pump.capacity * capacity_share(outdoor) * reaches
    loss = line.outside * larger(base - outdoor - more_sun * felt, 0.0)
    return np.asarray(larger(able - loss, 0.0))


def _outdoors(climate: MonthlyClimate, lead: int) -> tuple[FloatArray, FloatArray]:
    """Temperature of dawn and forenoon on two days [F], and by how much their sun is above the day's mean. [1]

    Parameters
    ----------
    lead : int
        Axes of the house in front of its months.
    """
    hours, away = climate.hours, spread_of_days(climate)
    sun = np.stack([hours.clock_sun[..., window].mean(axis=-1) for window in (DAWN, FORENOON)])
    more = sun / np.maximum(hours.clock_sun.mean(axis=-1), LEAST_SUN) - 1.0
    air = [np.asarray(hours.clock_mean(window)) for window in (DAWN, FORENOON)]
    front = (1,) * (lead + 1 - air[0].ndim)
    windows = np.stack([a.reshape(front + a.shape) for a in air])
    days = np.stack([-away, away]).reshape(2, *(1,) * (windows.ndim - 1), 12)
    return windows + days, more.reshape(2, *(1,) * (windows.ndim - 2), 12)


def _of_two(days: Value) -> Value:
    """Mean of the cold and the warm day on the first axis, where there is one."""
    return 0.5 * (days[0] + days[1]) if isinstance(days, np.ndarray) else days
