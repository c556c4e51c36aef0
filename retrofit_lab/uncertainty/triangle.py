"""A triangular distribution between a lowest and a highest value; nothing is drawn here."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Triangle:
    """A triangular distribution: lowest, likeliest and highest value."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise InputError(
                f"{self.low:g}, {self.likely:g}, {self.high:g} must rise from low to high. Sort them."
            )

    def at(self, place: FloatArray) -> FloatArray:
        """Value below which a given share of the distribution lies. [unit of the corners]"""
        width = self.high - self.low
        rise, fall = self.likely - self.low, self.high - self.likely
        up = self.low + np.sqrt(place * width * rise)
        down = self.high - np.sqrt((1.0 - place) * width * fall)
        return np.where(place * width < rise, up, down)
