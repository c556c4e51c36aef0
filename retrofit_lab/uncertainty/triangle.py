"""A triangular distribution between a lowest and a highest value; nothing is drawn here."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.texts.english_only import sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Triangle:
    """A triangular distribution: lowest, likeliest and highest value."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise InputError(
                sentence(
                    "uncertainty_triangle.rise_from",
                    low=f"{self.low:g}",
                    likely=f"{self.likely:g}",
                    high=f"{self.high:g}",
                )
            )

    def at(self, place: FloatArray) -> FloatArray:
        """Value below which a given share of the distribution lies. [unit of the corners]"""
        width = self.high - self.low
        rise, fall = self.likely - self.low, self.high - self.likely
        up = self.low + np.sqrt(place * width * rise)
        down = self.high - np.sqrt((1.0 - place) * width * fall)
        return np.where(place * width < rise, up, down)
