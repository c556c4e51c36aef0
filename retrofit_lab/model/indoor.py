"""Indoor temperatures of a described house: what the thermostats ask for and what its mass lets happen."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.climate.month_hours import MonthHours
from retrofit_lab.house.description import House, Period, ThermostatZone
from retrofit_lab.physics.annual_balance import LossLine
from retrofit_lab.physics.elementwise import exponential, is_nought, larger
from retrofit_lab.physics.thermostat import (
    air_drop,
    hours_above_setting,
    mass_temperature,
    recovery_heat,
    setback_period,
    time_constant,
    with_holidays,
)

MONTHS_PER_YEAR = 12.0
HOURS_PER_WEEK = 168.0
HEATING_MONTHS = 6.0
"""Months over which weeks away in the heating season are spread evenly. [1] (judgement)"""
NIGHT = (22, 23, 0, 1, 2, 3, 4, 5)
"""Hours of the clock, each by its beginning, of a period with another setting: it ends at six. (judgement)"""
SHORTEST = 1e-9
"""Keeps quotients defined. [h or Btu]"""
DAYTIME = (8, 9, 10, 11, 12, 13, 14, 15)
DAYTIME_KEYS = ("away",)
"""Keys of periods that are by day, and their hours: people are at work. (judgement)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Indoor:
    """Mean indoor temperature [F] and the heat that brings rooms back up after setbacks. [Btu/day]

    ``fallen`` is by how much periods with another setting lower the mean of all hours, in it already, and
    ``far`` how far below the day's setting rooms in those periods tend to, as a mean of all hours too. [F]
    ``by_night`` is the share of the heat of recovery that ends nights. [1]
    """

    temperature: Value
    recovery: Value
    fallen: Value = 0.0
    far: Value = 0.0
    by_night: Value = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What drives a house while nobody heats it: outdoor air, its hours, heat inside and sun. [F, Btu/h]

    ``excess`` is by how much sun and people warm rooms beyond their setting, day and night together. [F]
    """

    outdoor: Value
    hours: MonthHours
    inside: Value
    sun: Value
    excess: Value = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drift:
    """How a house drifts: from how far above its setting [F], where to, time constant [h], drop [1], mass. [Btu/F]"""

    excess: Value
    toward: Mapping[bool, Value]
    constant: Value
    drop: Value
    capacity: Value


def day_setpoint(house: House, season: str) -> Value:
    """Mean of the zones' day settings for ``"heating"`` or ``"cooling"``. [F]"""
    return total(zone.share * getattr(zone, f"{season}_setpoint") for zone in house.zones)


def house_time_constant(house: House, line: LossLine) -> Value:
    """Time in which the house left alone loses 63 % of its difference to balance. [h]"""
    return time_constant(house.size.heat_capacity * house.size.floor_area, line.inside)


def indoor(house: House, season: str, line: LossLine, around: Surroundings) -> Indoor:
    """Mean temperature of the whole house over a month, zones weighted by their share."""
    drift = _drift(house, season, line, around)
    temperature: Value = 0.0
    recovery: dict[bool, Value] = {True: 0.0, False: 0.0}
    fallen: Value = 0.0
    far: Value = 0.0
    for zone in house.zones:
        day: Value = getattr(zone, f"{season}_setpoint")
        mean, warming, zone_far = _zone(zone, season, drift)
        if season == "heating" and not is_nought(zone.weeks_away):
            held = _with_weeks_away(zone, day, line, around)
            mean = mean + (held - day) + _share_away(zone) * (day - mean)
            day = held
        temperature = temperature + zone.share * mean
        recovery = {key: recovery[key] + zone.share * warming[key] for key in recovery}
        fallen = fallen + zone.share * (day - mean)
        far = far + zone.share * zone_far
    both = recovery[True] + recovery[False]
    return Indoor(
        temperature=temperature,
        recovery=both,
        fallen=fallen,
        far=far,
        by_night=1.0 if is_nought(recovery[True]) else recovery[False] / larger(both, SHORTEST),
    )


def _drift(house: House, season: str, line: LossLine, around: Surroundings) -> _Drift:
    wanted = {
        period.key in DAYTIME_KEYS
        for zone in house.zones
        for period in zone.periods
        if differs(zone, period, season)
    }
    return _Drift(
        excess=around.excess,
        toward={by_day: _floating(line, around, by_day=by_day) for by_day in wanted},
        constant=house_time_constant(house, line),
        drop=air_drop(line.inside, house.size.floor_area),
        capacity=house.size.heat_capacity * house.size.floor_area,
    )


def differs(zone: ThermostatZone, period: Period, season: str) -> bool:
    """Whether a period is set otherwise in any variant of the house."""
    day, setting = (getattr(record, f"{season}_setpoint") for record in (zone, period))
    return bool(np.any(day != setting)) if isinstance(day - setting, np.ndarray) else day != setting


def _floating(line: LossLine, around: Surroundings, *, by_day: bool) -> Value:
    """Temperature that the house tends to in the hours of a period: at night there is no sun. [F]"""
    hours = around.hours
    clock = DAYTIME if by_day else NIGHT
    outdoor = hours.clock_temperature[..., clock].mean(axis=-1)
    if not by_day:
        return line.floating_temperature(outdoor, around.inside)
    sun = hours.clock_sun[..., clock].mean(axis=-1)
    part = sun / np.maximum(hours.clock_sun.mean(axis=-1), 1e-9)
    return line.floating_temperature(outdoor, around.inside + part * around.sun)


def _zone(
    zone: ThermostatZone, season: str, drift: _Drift
) -> tuple[Value, dict[bool, Value], Value]:
    """Mean temperature, heat of recovery after days and nights, and how far below its setting it tends to."""
    day: Value = getattr(zone, f"{season}_setpoint")
    mean: Value = day
    recovery: dict[bool, Value] = {True: 0.0, False: 0.0}
    far: Value = 0.0
    for period in zone.periods:
        if not differs(zone, period, season):
            continue
        setting: Value = getattr(period, f"{season}_setpoint")
        by_day = period.key in DAYTIME_KEYS
        floating = drift.toward[by_day]
        hours = period.hours if by_day else _hours_left(period, day - floating, drift)
        period_mean, end = setback_period(
            day,
            setting,
            hours,
            floating,
            drift.constant,
            drop=drift.drop,
            cooling=season == "cooling",
        )
        share = period.days_per_week * hours / HOURS_PER_WEEK
        mean = mean + share * (period_mean - day)
        if season == "heating":
            walls = mass_temperature(end, setting, floating, drift.drop)
            per_day = period.days_per_week / 7.0
            warming = per_day * recovery_heat(drift.capacity, walls, day)
            recovery[by_day] = recovery[by_day] + warming
            far = far + share * larger(day - floating, 0.0)
    return mean, recovery, far


def _hours_left(period: Period, below: Value, drift: _Drift) -> Value:
    """Hours of a night that are left when rooms warmed by the sun have fallen to their setting. [h]"""
    if is_nought(drift.excess):
        return period.hours
    late = larger(hours_above_setting(drift.excess, below, drift.constant), SHORTEST)
    return period.hours - late * (1.0 - exponential(-period.hours / late))


def held_temperature(house: House, line: LossLine, around: Surroundings) -> Value:
    """Mean of the heated rooms by their day settings and weeks away, other settings of a period left out. [F]"""
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
    floating = line.floating_temperature(around.outdoor, around.inside + around.sun)
    away = np.minimum(np.maximum(zone.away_setpoint, floating), day)
    return with_holidays(day, away, _weeks_of_season(zone))


def _share_away(zone: ThermostatZone) -> Value:
    """Share of the heating season in which nobody lives in a zone. [1]"""
    return with_holidays(0.0, 1.0, _weeks_of_season(zone))


def _weeks_of_season(zone: ThermostatZone) -> Value:
    """Weeks away as if the heating season were the year. [week]"""
    return zone.weeks_away * MONTHS_PER_YEAR / HEATING_MONTHS
