"""Electricity of lights, standby, appliances and clock-run fans, and the heat it leaves; blowers are in fan.py."""

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.physics.months import MID_MONTH
from retrofit_lab.physics.sun import day_length

RISE_HOUR = 6.0
BED_HOUR = 23.0
STEADY_SHARE = 0.5
"""Hours at which a household gets up and goes to bed [h], and share of lighting that burns whatever the
daylight: baths, cellars, inner rooms [1] (judgment)."""


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
