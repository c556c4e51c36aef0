"""Lamps through the seasons; use and standby are plain products and stand where they are needed."""

import numpy as np

from retrofit_lab.values import FloatArray

SEASON_SWING = 0.15
"""How much longer lamps burn in December than in the mean. [1] (judgement)"""


def lighting_season() -> FloatArray:
    """Lighting of each month against the mean of the year; adds to twelve.

    Returns
    -------
    ndarray, shape (12,)
        Factor. [1]
    """
    return np.asarray(1.0 + SEASON_SWING * np.cos(2.0 * np.pi * np.arange(12) / 12.0))
