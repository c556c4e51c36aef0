"""Electricity of lamps, standby, appliances and clock-run fans, and the heat it leaves; blowers are in fan.py."""

import numpy as np

from retrofit_lab.physics.elementwise import smaller
from retrofit_lab.physics.months import DAYS_PER_YEAR, MID_MONTH
from retrofit_lab.physics.sun import day_length
from retrofit_lab.values import FloatArray, Value

BTU_PER_KWH = 3412.14
SEASON_SWING = 0.15
"""How much longer lamps burn in December than in the mean. [1] (judgement)"""
RISE_HOUR = 6.0
BED_HOUR = 23.0
STEADY_SHARE = 0.5
"""Hours at which a household gets up and goes to bed [h], and share of lighting that burns whatever the
daylight: baths, cellars, inner rooms [1] (judgement)."""


def running_energy(watts: Value, hours_per_day: Value, days: float = DAYS_PER_YEAR) -> Value:
    """Electricity of anything that runs at a steady power for some hours a day. [kWh]

    Parameters
    ----------
    watts : Value
        Power. [W]
    hours_per_day : Value
        Time. [h/day]
    days : float
        A year, or the days of a month. [day]
    """
    return watts * hours_per_day * (days / 1000.0)


def lamp_energy(
    watts: Value, count: Value, hours_per_day: Value, days: float = DAYS_PER_YEAR
) -> Value:
    """Electricity of lamps. [kWh]

    Parameters
    ----------
    watts, count : Value
        Of one lamp, and how many. [W, 1]
    hours_per_day : Value
        Mean over the year. [h/day]
    days : float
        A year, or the days of a month. [day]
    """
    return count * running_energy(watts, hours_per_day, days)


def sensor_factor(
    hours: Value,
    needed_hours: Value,
    visits: Value,
    hold_minutes: Value,
    standby_share: Value = 0.0,
) -> Value:
    """Energy of lamps behind an occupancy sensor against what they used without it. [1]

    Parameters
    ----------
    hours : Value
        That they burn now, above 0. [h/day]
    needed_hours : Value
        In which somebody is there. [h/day]
    visits, hold_minutes : Value
        Visits, and how long the sensor leaves the lamps on after each. [1/day, min]
    standby_share : Value
        Power of the sensor, all day, against that of the lamps. [1]

    Notes
    -----
    Never above 1 but for the sensor's own power: lamps that were off in time are not lit longer, since
    people still use the switch.
    """
    with_sensor = needed_hours + visits * hold_minutes / 60.0
    return smaller(with_sensor / hours, 1.0) + standby_share * 24.0 / hours


def standby_energy(
    watts_standby: Value, hours_per_day: Value, days: float = DAYS_PER_YEAR
) -> Value:
    """Electricity of a set while it is off, from the watt meter's reading. [kWh]

    Parameters
    ----------
    watts_standby : Value
        Read with the set off. [W]
    hours_per_day : Value
        In which it is off but plugged in. [h/day]
    days : float
        A year, or the days of a month. [day]
    """
    return running_energy(watts_standby, hours_per_day, days)


def standby_cut(
    watts_on: Value, watts_standby: Value, hours_on: Value, strip_share: Value
) -> tuple[Value, Value]:
    """Electricity of a set in a year, and the part of it that a switched strip spares.

    Parameters
    ----------
    watts_on, watts_standby : Value
        Watt meter with the set on and off. [W]
    hours_on : Value
        In use. [h/day]
    strip_share : Value
        Share of the idle hours in which the strip is off. [1]

    Returns
    -------
    tuple of Value
        Use, and saving out of it. [kWh/year]
    """
    idle = standby_energy(watts_standby, 24.0 - hours_on)
    return running_energy(watts_on, hours_on) + idle, idle * strip_share


def appliance_energy(measured: Value, measured_days: Value, days: float = DAYS_PER_YEAR) -> Value:
    """Electricity of an appliance from what a watt meter counted over some days. [kWh]

    Parameters
    ----------
    measured : Value
        On the meter. [kWh]
    measured_days : Value
        How long it counted; a week or more for anything that cycles. [day]
    days : float
        A year, or the days of a month. [day]
    """
    return measured * (days / measured_days)


def fan_energy(watts: Value, hours_per_day: Value, days: float = DAYS_PER_YEAR) -> Value:
    """Electricity of a ventilation fan that runs by the clock. [kWh]

    Parameters
    ----------
    watts, hours_per_day : Value
        Power and time. [W, h/day]
    days : float
        A year, or the days of a month. [day]
    """
    return running_energy(watts, hours_per_day, days)


def heat_inside(energy: Value, share: Value) -> Value:
    """Heat that electricity leaves in the rooms. [Btu]

    Parameters
    ----------
    energy : Value
        Electricity. [kWh]
    share : Value
        Part that stays: 0 for lamps outdoors, little for a vented dryer; below 0 for what takes heat out,
        as a heat-pump tank does. [1]
    """
    return BTU_PER_KWH * energy * share


def lighting_season(swing: Value = SEASON_SWING) -> FloatArray:
    """Lighting of each month against the mean of the year; adds to twelve.

    Parameters
    ----------
    swing : Value
        How much more in December than in the mean; negative south of the equator; float or array with a
        last axis of 1. [1]

    Returns
    -------
    ndarray, shape (..., 12)
        Factor. [1]
    """
    return np.asarray(1.0 + swing * np.cos(2.0 * np.pi * np.arange(12) / 12.0))


def dark_hours(latitude: Value) -> FloatArray:
    """Hours awake without daylight on a day in the middle of each month, by sun time. [h/day]

    Parameters
    ----------
    latitude : Value
        North positive; float or array with a last axis of 1. [degree]

    Returns
    -------
    ndarray, shape (..., 12)
        Hours between `RISE_HOUR` and `BED_HOUR` with the sun below the horizon.
    """
    half_day = 0.5 * day_length(latitude, MID_MONTH)
    morning = np.clip(12.0 - half_day - RISE_HOUR, 0.0, None)
    evening = np.clip(BED_HOUR - 12.0 - half_day, 0.0, None)
    return np.asarray(morning + evening)


def lighting_season_at(latitude: Value, steady_share: Value = STEADY_SHARE) -> FloatArray:
    """Lighting of each month against the mean of the year at a latitude; adds to twelve. [1]

    Parameters
    ----------
    latitude : Value
        North positive; float or array with a last axis of 1. [degree]
    steady_share : Value
        Share of the lighting that does not follow the daylight. [1]

    Returns
    -------
    ndarray, shape (..., 12)
        Factor. [1]
    """
    dark = dark_hours(latitude)
    share = dark / dark.mean(axis=-1, keepdims=True)
    return np.asarray(steady_share + (1.0 - steady_share) * share)
