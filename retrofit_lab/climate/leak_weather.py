"""How hard the weather of a place draws air through leaks, as one number for the year; no house of anyone."""

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.climate.month_hours import HoursOfYears
from retrofit_lab.physics.natural_airflow import (
    eave_wind_share,
    natural_flow,
    shelter_factor,
    stack_factor,
    wind_factor,
)
from retrofit_lab.physics.ventilation import CREDIT_OF_READING

EXPONENT = 0.65
"""Flow exponent that the standard takes for every house. [1] (memory)"""
STORIES, SHELTER_CLASS = 1.0, 3.0
"""House that the number is made for: one story on a slab, no flue, neighbors across the street. The class
was chosen of the five as the one that comes closest to factors of the standard's table, which are from memory."""
HEATED_TO, COOLED_TO = 68.0, 78.0
"""Indoor temperatures; between them the house is as warm as outdoors. [F]"""


def leak_weather(hours: HoursOfYears, wind: FloatArray, days: FloatArray) -> float:
    """Weather and shielding factor of a place. [1/h]

    Parameters
    ----------
    hours : HoursOfYears
        Groups of each month's hours. [F]
    wind : ndarray
        Mean wind of each month at the weather station, shape (12,). [mph]
    days : ndarray
        Days of each month, shape (12,). [day]

    Returns
    -------
    float
        Factor: the mean flow over the year of a reference house, as a share of its flow at 50 Pa, in the
        standard's scale.

    Notes
    -----
    The standard prints its factors by weather station, worked out from hours of a typical year with the
    enhanced model. That table is not shipped; the same model runs here on the groups of hours of the
    place, which comes within 0.1 of eleven factors of that table (from memory). Places with little wind
    and mild winters come out up to 0.08 low, so a fan is asked for sooner there.

    References
    ----------
    ASHRAE 62.2-2013, infiltration credit (read in a public summary, without its table of factors).
    """
    outdoors = np.asarray(hours.groups, dtype=np.float64)
    difference = np.clip(outdoors, HEATED_TO, COOLED_TO) - outdoors
    share = natural_flow(
        50.0**-EXPONENT,
        EXPONENT,
        difference,
        wind[:, None] * eave_wind_share(STORIES),
        stack_factor=stack_factor(STORIES, flue=False, exponent=EXPONENT),
        wind_factor=wind_factor(STORIES, "basement", exponent=EXPONENT),
        shelter_factor=shelter_factor(SHELTER_CLASS, flue=False),
    )
    by_month = np.mean(share, axis=-1)
    return float((by_month * days).sum() / days.sum()) / CREDIT_OF_READING
