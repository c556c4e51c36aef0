"""Indoor temperatures of a described house: what the thermostats ask for and what its mass lets happen."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.month_hours import HoursOfYears
from retrofit_lab.house.description import House, Period, ThermostatZone
from retrofit_lab.physics.annual_balance import LossLine
from retrofit_lab.physics.elementwise import exponential, is_nought, larger
from retrofit_lab.physics.thermostat import (
    air_drop,
    hours_above_setting,
    hours_falling,
    mass_temperature,
    recovery_heat,
    setback_period,
    time_constant,
    with_holidays,
)

MONTHS_PER_YEAR = 12.0
HOURS_PER_WEEK = 168.0
DAYS_PER_WEEK = 7.0
HEATING_MONTHS = 6.0
"""Months over which weeks away in the heating season are spread evenly. [1] (judgment)"""
NIGHT = (22, 23, 0, 1, 2, 3, 4, 5)
"""Hours of the clock, each by its beginning, of a period with another setting: it ends at six. (judgment)"""
SHORTEST = 1e-9
"""Keeps quotients defined. [h or Btu]"""
DAYTIME = (8, 9, 10, 11, 12, 13, 14, 15)
DAYTIME_KEYS = ("away",)
"""Keys of periods that are by day, and their hours: people are at work. (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Indoor:
    """What the thermostats and the mass of a house make of a month.

    Parameters
    ----------
    temperature : Value, shape (..., 12)
        Mean of the rooms. [F]
    recovery : Value
        Heat that brings rooms back up after setbacks, mean of all days. [Btu/day]
    fallen : Value
        By how much periods with another setting lower the temperature, in it already. [F]
    far : Value
        How far below the day's setting rooms in those periods tend to, mean of all hours too. [F]
    by_night : Value
        Share of the recovery that ends nights. [1]
    falling : Value
        Share of all hours, at night, in which rooms fall to their setting and no heat is made. [1]
    """

    temperature: Value
    recovery: Value
    fallen: Value = 0.0
    far: Value = 0.0
    by_night: Value = 1.0
    falling: Value = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What drives a house while no one heats it.

    Parameters
    ----------
    outdoor : Value, shape (..., 12)
        Mean outdoor temperature. [F]
    hours : HoursOfYears
        Hours of the months by the clock.
    inside : Value
        Heat of people, machines and hot water, day and night. [Btu/h]
    sun : Value
        Sun, mean of day and night. [Btu/h]
    spread : Value
        How far cold and warm days of the month are from its mean. [F]
    excess : Value
        By how much sun and people warm rooms beyond their setting, mean of day and night. [F]
    """

    outdoor: Value
    hours: HoursOfYears
    inside: Value
    sun: Value
    spread: Value = 0.0
    excess: Value = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drift:
    """How a house drifts.

    Parameters
    ----------
    excess : Value
        How far above its setting it begins, mean of the days. [F]
    toward : mapping of bool to Value
        Where to by day and by night, mean of the days. [F]
    away : Value
        How far from there cold and warm days are. [F]
    constant, drop, capacity : Value
        Time constant [h], drop of the air [1], mass [Btu/F].
    """

    excess: Value
    toward: Mapping[bool, Value]
    away: Value
    constant: Value
    drop: Value
    capacity: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """What a period does: mean above the day's setting [F], recovery [Btu/day], how far it tends, time it falls."""

    above: Value
    warming: Value = 0.0
    far: Value = 0.0
    falling: Value = 0.0


def day_setpoint(house: House, season: str) -> Value:
    """Mean of the zones' day settings.

    Parameters
    ----------
    house : House
        Its thermostat zones, by their share of the house.
    season : str
        ``"heating"`` or ``"cooling"``.

    Returns
    -------
    Value
        Setting. [F]

    Examples
    --------
    >>> zone = house.zones[0]
    >>> zones = (
    ...     replace(zone, share=0.75, heating_setpoint=70.0), replace(zone, key="b", share=0.25, heating_setpoint=62.0)
    ... )
    >>> day_setpoint(replace(house, zones=zones), "heating")
    68.0
    """
    return total(zone.share * getattr(zone, f"{season}_setpoint") for zone in house.zones)


def house_time_constant(house: House, line: LossLine) -> Value:
    """Time in which the house left alone loses 63 % of its difference to balance.

    Parameters
    ----------
    house : House
        Its heat capacity [Btu/(ft2 F)] and floor area. [ft2]
    line : LossLine
        For the loss per degree indoors. [Btu/(h F)]

    Returns
    -------
    Value
        Time constant. [h]

    Examples
    --------
    >>> light = replace(house, size=replace(house.size, heat_capacity=5.0, floor_area=2000.0))
    >>> house_time_constant(light, LossLine(inside=400.0, outside=400.0, fixed=0.0))
    25.0
    """
    return time_constant(house.size.heat_capacity * house.size.floor_area, line.inside)


def indoor(house: House, season: str, line: LossLine, around: Surroundings) -> Indoor:
    """Mean temperature of the whole house over a month, zones weighted by their share.

    Parameters
    ----------
    house : House
        Its zones with their periods, and its mass.
    season : str
        ``"heating"`` or ``"cooling"``.
    line : LossLine
        How fast it drifts, and where to.
    around : Surroundings
        Outdoor air, gains and sun of the month.

    Returns
    -------
    Indoor
        Temperature [F] and heat of recovery. [Btu/day]

    Notes
    -----
    At night the house drifts toward what it would have without sun in the hours of the night, by day with the
    sun of these hours. A cold and a warm day stand for those of a month: in a mild one only the cold ones let
    rooms fall, and only the warm ones begin the night above their setting. Weeks away lie in the six months of heating.

    Examples
    --------
    Without periods and weeks away the rooms are as the thermostat says:

    >>> zones = tuple(replace(z, periods=(), weeks_away=0.0, heating_setpoint=69.0) for z in house.zones)
    >>> plain = replace(house, zones=zones)
    >>> around = Surroundings(outdoor=climate.temperature, hours=climate.hours, inside=0.0, sun=0.0)
    >>> round(indoor(plain, "heating", LossLine(inside=400.0, outside=400.0, fixed=0.0), around).temperature, 9)
    69.0
    """
    drift = _drift(house, season, line, around)
    temperature: Value = 0.0
    recovery: dict[bool, Value] = {True: 0.0, False: 0.0}
    fallen: Value = 0.0
    far: Value = 0.0
    falling: Value = 0.0
    for zone in house.zones:
        day: Value = getattr(zone, f"{season}_setpoint")
        mean, warming, zone_far, zone_falling = _zone(zone, season, drift)
        if season == "heating" and not is_nought(zone.weeks_away):
            held = _with_weeks_away(zone, day, line, around)
            mean = mean + (held - day) + _share_away(zone) * (day - mean)
            day = held
        temperature = temperature + zone.share * mean
        recovery = {key: recovery[key] + zone.share * warming[key] for key in recovery}
        fallen = fallen + zone.share * (day - mean)
        far = far + zone.share * zone_far
        falling = falling + zone.share * zone_falling
    both = recovery[True] + recovery[False]
    return Indoor(
        temperature=temperature,
        recovery=both,
        fallen=fallen,
        far=far,
        falling=falling,
        by_night=1.0 if is_nought(recovery[True]) else recovery[False] / larger(both, SHORTEST),
    )


def _drift(house: House, season: str, line: LossLine, around: Surroundings) -> _Drift:
    """How a house drifts in a season, worked out once for all its zones.

    Parameters
    ----------
    house : House
        Its mass, and in which periods it is left alone.
    season : str
        ``"heating"`` or ``"cooling"``.
    line : LossLine
        Its loss.
    around : Surroundings
        What drives it.
    """
    wanted = {
        period.key in DAYTIME_KEYS
        for zone in house.zones
        for period in zone.periods
        if differs(zone, period, season)
    }
    return _Drift(
        excess=around.excess,
        toward={by_day: np.asarray(_floating(line, around, by_day=by_day)) for by_day in wanted},
        away=line.outside / line.inside * around.spread,
        constant=house_time_constant(house, line),
        drop=air_drop(line.inside, house.size.floor_area),
        capacity=house.size.heat_capacity * house.size.floor_area,
    )


def differs(zone: ThermostatZone, period: Period, season: str) -> bool:
    """Whether a period is set otherwise in any variant of the house.

    Parameters
    ----------
    zone : ThermostatZone
        Its setting of the day.
    period : Period
        Its own setting.
    season : str
        ``"heating"`` or ``"cooling"``.
    """
    day, setting = (getattr(record, f"{season}_setpoint") for record in (zone, period))
    return bool(np.any(day != setting)) if isinstance(day - setting, np.ndarray) else day != setting


def _floating(line: LossLine, around: Surroundings, *, by_day: bool) -> Value:
    """Temperature that the house tends to in the hours of a period: at night there is no sun.

    Parameters
    ----------
    line : LossLine
        Its loss.
    around : Surroundings
        Outdoor air by the clock, heat inside and sun.
    by_day : bool
        In `DAYTIME`, else in `NIGHT`.

    Returns
    -------
    Value, shape (..., 12)
        Temperature. [F]
    """
    hours = around.hours
    clock = DAYTIME if by_day else NIGHT
    outdoor = hours.clock_mean(clock)
    if not by_day:
        return line.floating_temperature(outdoor, around.inside)
    sun = hours.clock_sun[..., clock].mean(axis=-1)
    part = sun / np.maximum(hours.clock_sun.mean(axis=-1), 1e-9)
    return line.floating_temperature(outdoor, around.inside + part * around.sun)


def _zone(
    zone: ThermostatZone, season: str, drift: _Drift
) -> tuple[Value, dict[bool, Value], Value, Value]:
    """Mean temperature, heat of recovery after days and nights, and how far below its setting it tends to.

    Parameters
    ----------
    zone : ThermostatZone
        Its setting of the day and its periods.
    season : str
        ``"heating"`` or ``"cooling"``.
    drift : _Drift
        How the house drifts.

    Returns
    -------
    tuple
        Mean [F], recovery by day and by night [Btu/day], the distance, mean of day and night [F], and the share
        of all hours in which it falls at night. [1]
    """
    day: Value = getattr(zone, f"{season}_setpoint")
    mean: Value = day
    recovery: dict[bool, Value] = {True: 0.0, False: 0.0}
    far: Value = 0.0
    falling: Value = 0.0
    for period in zone.periods:
        if differs(zone, period, season):
            by_day = period.key in DAYTIME_KEYS
            found = _period(zone, period, season, drift)
            mean = mean + found.above
            recovery[by_day] = recovery[by_day] + found.warming
            far = far + found.far
            falling = falling + (0.0 if by_day else found.falling)
    return mean, recovery, far, falling


def _period(zone: ThermostatZone, period: Period, season: str, drift: _Drift) -> _Found:
    """What one period makes of the mean of day and night, over cold and warm days of the month.

    Parameters
    ----------
    zone : ThermostatZone
        Its setting of the day.
    period : Period
        Its hours and its own setting.
    season : str
        ``"heating"`` or ``"cooling"``.
    drift : _Drift
        How the house drifts.
    """
    day, setting = (getattr(record, f"{season}_setpoint") for record in (zone, period))
    by_day = period.key in DAYTIME_KEYS
    toward, front = drift.toward[by_day], _front(zone, period, drift, season)
    rest = _two_days(toward - drift.away, toward + drift.away, front)
    hours = period.hours if by_day else _hours_left(period, day - rest, drift, front)
    cooling, drop = season == "cooling", drift.drop
    mean, end = setback_period(
        day, setting, hours, rest, drift.constant, drop=drop, cooling=cooling
    )
    share = period.days_per_week * hours / HOURS_PER_WEEK
    above = _of_two(share * (mean - day))
    if cooling:
        return _Found(above=above)
    fall = hours_falling(day, setting, hours, rest, drift.constant, drop=drop)
    warming = recovery_heat(drift.capacity, mass_temperature(end, setting, rest, drop), day)
    return _Found(
        above=above,
        warming=_of_two(period.days_per_week / DAYS_PER_WEEK * warming),
        far=_of_two(share * larger(day - rest, 0.0)),
        falling=_of_two(period.days_per_week / HOURS_PER_WEEK * fall),
    )


def _front(zone: ThermostatZone, period: Period, drift: _Drift, season: str) -> int:
    """Axes that cold and warm days have to stand in front of."""
    settings = (getattr(record, f"{season}_setpoint") for record in (zone, period))
    found = (drift.away, drift.excess, drift.constant, drift.drop, drift.capacity)
    own = (period.hours, period.days_per_week, *drift.toward.values())
    return max(np.ndim(value) for value in (*settings, *found, *own))


def _two_days(cold: Value, warm: Value, front: int) -> FloatArray:
    """A cold and a warm day on a first axis, before all others.

    Parameters
    ----------
    cold, warm : Value
        Of each.
    front : int
        From `_front`.
    """
    both = [np.asarray(day) for day in np.broadcast_arrays(cold, warm)]
    return np.stack([day.reshape((1,) * (front - day.ndim) + day.shape) for day in both])


def _of_two(days: Value) -> FloatArray:
    """Mean of the cold and the warm day on the first axis."""
    both = np.asarray(days)
    return np.asarray(0.5 * (both[0] + both[1]))


def _hours_left(period: Period, below: Value, drift: _Drift, front: int) -> Value:
    """Hours of a night that are left when rooms warmed by the sun have fallen to their setting.

    Parameters
    ----------
    period : Period
        Its hours.
    below : Value
        By how much the rooms tend to lie below the day's setting. [F]
    drift : _Drift
        From how far above the setting they start: warm days leave rooms too warm first, and cold ones too where
        the mean of the days is farther above it than cold days are from their mean.
    front : int
        From `_front`.

    Returns
    -------
    Value
        Time. [h]
    """
    if is_nought(drift.excess):
        return period.hours
    cold = larger(drift.excess - drift.away, 0.0)
    above = _two_days(cold, 2.0 * drift.excess - cold, front)
    late = larger(hours_above_setting(above, below, drift.constant), SHORTEST)
    return period.hours - late * (1.0 - exponential(-period.hours / late))


def held_temperature(house: House, line: LossLine, around: Surroundings) -> Value:
    """Mean of the heated rooms by their day settings and weeks away, other settings of a period left out.

    Parameters
    ----------
    house : House
        Its zones.
    line : LossLine
        Its loss, for the weeks away.
    around : Surroundings
        What drives it meanwhile.

    Returns
    -------
    Value
        Temperature. [F]

    Examples
    --------
    >>> zones = tuple(replace(zone, weeks_away=0.0, heating_setpoint=67.0) for zone in house.zones)
    >>> around = Surroundings(outdoor=climate.temperature, hours=climate.hours, inside=0.0, sun=0.0)
    >>> line = LossLine(inside=400.0, outside=400.0, fixed=0.0)
    >>> round(held_temperature(replace(house, zones=zones), line, around), 9)
    67.0
    """
    held: Value = 0.0
    for zone in house.zones:
        day: Value = zone.heating_setpoint
        if not is_nought(zone.weeks_away):
            day = _with_weeks_away(zone, day, line, around)
        held = held + zone.share * day
    return held


def _with_weeks_away(
    zone: ThermostatZone, day: Value, line: LossLine, around: Surroundings
) -> Value:
    """Setting of the day, with weeks in which the house is left at another or floats above it. [F]

    Parameters
    ----------
    zone : ThermostatZone
        Weeks and setting while away.
    day : Value
        Setting of the day. [F]
    line, around : LossLine, Surroundings
        Where the house floats.
    """
    floating = line.floating_temperature(around.outdoor, around.inside + around.sun)
    away = np.minimum(np.maximum(zone.away_setpoint, floating), day)
    return with_holidays(day, away, _weeks_of_season(zone))


def _share_away(zone: ThermostatZone) -> Value:
    """Share of the heating season in which no one lives in a zone. [1]"""
    return with_holidays(0.0, 1.0, _weeks_of_season(zone))


def _weeks_of_season(zone: ThermostatZone) -> Value:
    """Weeks away as if the heating season were the year. [week]"""
    return zone.weeks_away * MONTHS_PER_YEAR / HEATING_MONTHS
