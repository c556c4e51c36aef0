"""Indoor temperatures of a described house: what the thermostats ask for and what its mass lets happen."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.house.description import House, Period, ThermostatZone
from retrofit_lab.physics.annual_balance import LossLine
from retrofit_lab.physics.thermostat import (
    recovery_heat,
    setback_period,
    time_constant,
    with_holidays,
)
from retrofit_lab.sums import total
from retrofit_lab.values import Value

MONTHS_PER_YEAR = 12.0
HEATING_MONTHS = 6.0
"""Months over which weeks away in the heating season are spread evenly. [1] (judgement)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Indoor:
    """Mean indoor temperature [F] and the heat that brings rooms back up after setbacks. [Btu/day]"""

    temperature: Value
    recovery: Value


def day_setpoint(house: House, season: str) -> Value:
    """Mean of the zones' day settings for ``"heating"`` or ``"cooling"``. [F]"""
    return total(zone.share * getattr(zone, f"{season}_setpoint") for zone in house.zones)


def indoor(house: House, season: str, line: LossLine, outdoor: Value, gains: Value) -> Indoor:
    """Mean temperature of the whole house over a month, zones weighted by their share."""
    floating = line.floating_temperature(outdoor, gains)
    capacity = house.size.heat_capacity * house.size.floor_area
    constant = time_constant(capacity, line.inside)
    temperature: Value = 0.0
    recovery: Value = 0.0
    for zone in house.zones:
        zone_mean, zone_recovery = _zone(zone, season, floating, constant, capacity)
        if season == "heating":
            zone_mean = _with_weeks_away(zone, zone_mean, floating)
        temperature = temperature + zone.share * zone_mean
        recovery = recovery + zone.share * zone_recovery
    return Indoor(temperature=temperature, recovery=recovery)


def _zone(
    zone: ThermostatZone, season: str, floating: Value, constant: Value, capacity: Value
) -> tuple[Value, Value]:
    day: Value = getattr(zone, f"{season}_setpoint")
    mean: Value = day
    recovery: Value = 0.0
    for period in zone.periods:
        setting: Value = getattr(period, f"{season}_setpoint")
        period_mean, end = setback_period(
            day, setting, period.hours, floating, constant, cooling=season == "cooling"
        )
        mean = mean + week_share(period) * (period_mean - day)
        per_day = period.days_per_week / 7.0
        recovery = recovery + per_day * recovery_heat(capacity, end, day)
    return mean, recovery


def _with_weeks_away(zone: ThermostatZone, mean: Value, floating: Value) -> Value:
    if isinstance(zone.weeks_away, float) and zone.weeks_away == 0.0:
        return mean
    weeks = zone.weeks_away * MONTHS_PER_YEAR / HEATING_MONTHS
    away = np.minimum(np.maximum(zone.away_setpoint, floating), mean)
    return with_holidays(mean, away, weeks)


def week_share(period: Period) -> Value:
    """Share of the week that a period takes. [1]"""
    return period.days_per_week * period.hours / 168.0
