"""What setbacks do to the indoor temperature of a house with mass, and what warming up again takes."""

import numpy as np

from retrofit_lab.values import Value


def time_constant(heat_capacity: Value, heat_loss_coefficient: Value) -> Value:
    """Time in which a house left alone loses 63 % of its difference to balance. [h]

    Parameters
    ----------
    heat_capacity : Value
        Of the rooms and what stands in them. [Btu/F]
    heat_loss_coefficient : Value
        Loss per degree of indoor temperature. [Btu/(h F)]
    """
    return heat_capacity / heat_loss_coefficient


def setback_period(
    setpoint: Value,
    setback: Value,
    hours: Value,
    floating: Value,
    time_constant: Value,
    *,
    cooling: bool = False,
) -> tuple[Value, Value]:
    """Mean and last temperature of a period with another setting.

    The rooms drift from the day setting toward the temperature without heating, and are held when
    they reach the setting of the period.

    Parameters
    ----------
    setpoint, setback : Value
        Settings of the day and of the period. [F]
    hours : Value
        Length of the period. [h]
    floating : Value
        Temperature without heating or cooling. [F]
    time_constant : Value
        Of the house. [h]
    cooling : bool
        True for a summer setting: everything is mirrored.

    Returns
    -------
    tuple of Value
        Mean and last temperature. [F]
    """
    sign = -1.0 if cooling else 1.0
    if isinstance(setback, float) and isinstance(setpoint, float) and setback == setpoint:
        return setpoint, setpoint
    rest = np.minimum(sign * floating, sign * setpoint)
    drop = sign * setpoint - rest
    left = (sign * setback - rest) / np.maximum(drop, 1e-9)
    end = np.minimum(np.maximum(left, np.exp(-hours / time_constant)), 1.0)
    drift = -time_constant * np.log(end)
    share = (time_constant * (1.0 - end) + end * (hours - drift)) / np.maximum(hours, 1e-9)
    return sign * (rest + drop * share), sign * (rest + drop * end)


def recovery_heat(heat_capacity: Value, end: Value, setpoint: Value) -> Value:
    """Heat that brings the rooms back to the day setting. [Btu]"""
    return heat_capacity * np.maximum(setpoint - end, 0.0)


def backup_recovery(recovery: Value, spare_capacity: Value, hours: Value) -> Value:
    """Part of a recovery that backup heat makes because the heat pump cannot in the time given.

    Parameters
    ----------
    recovery : Value
        Heat of the recovery. [Btu]
    spare_capacity : Value
        Heat pump output beyond the load. [Btu/h]
    hours : Value
        Time given. [h]
    """
    return np.maximum(recovery - spare_capacity * hours, 0.0)


def setback_saving_bound(degrees: Value, hours: Value, mean_difference: Value) -> Value:
    """Share of heating that a setback saves in a house without mass: an upper bound. [1]

    Parameters
    ----------
    degrees : Value
        Depth of the setback. [F]
    hours : Value
        Hours a day. [h]
    mean_difference : Value
        Indoor setting less mean outdoor temperature less what gains make up. [F]
    """
    return degrees * hours / 24.0 / mean_difference
