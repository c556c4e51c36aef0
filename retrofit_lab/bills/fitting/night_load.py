"""The electric load of quiet nights, from meter readings of less than a day."""

import numpy as np

from retrofit_lab.bills.reading.record import Intervals

FIRST_HOUR, LAST_HOUR = 1.0, 5.0
"""Clock hours in which people sleep."""
LONGEST_READING = 1.0
"""Longer readings do not show the night. [h]"""
QUIET = 0.1
"""Share of the nights that count as quiet: neither heated nor cooled, nor with anything special on."""
LEAST_NIGHTS = 14


def night_watts(readings: Intervals) -> float | None:
    """Mean power in quiet nights.

    Parameters
    ----------
    readings : Intervals
        Electricity by intervals on local clock time.

    Returns
    -------
    float or None
        The tenth part of the nights that uses least stays below it [W]; none where readings are too
        long or nights too few.
    """
    if np.median(readings.hours) > LONGEST_READING:
        return None
    hour = readings.start / 3600.0 % 24.0
    inside = (hour >= FIRST_HOUR) & (hour < LAST_HOUR)
    night = (readings.start[inside] // 86_400.0).astype(np.int64)
    names, place = np.unique(night, return_inverse=True)
    if len(names) < LEAST_NIGHTS:
        return None
    energy = np.bincount(place, weights=readings.quantity[inside])
    hours = np.bincount(place, weights=readings.hours[inside])
    return float(np.quantile(1000.0 * energy / hours, QUIET))
