"""How numbers that no one gave are spread over such houses, from ``data/doubt.csv``; no house is drawn here."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.texts.english_only import sentence
from retrofit_lab.uncertainty.even_points import place_of

EIGHTY_PERCENT = 1.2815515655446004
"""Half of the 80 % range of a normal distribution, in standard deviations. [1]"""
LEAST_CHANCE = 0.12
"""What is less likely than this, or likelier than the rest, counts as settled: else the tenth and ninetieth of a
hundred houses would both leave out what the mean holds. [1]"""
EITHER, FACTOR, SHIFT = "either", "factor", "shift"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Spread of one parameter over houses: how, between what, and what of it is shared with other numbers."""

    how: str
    low: float
    high: float
    shared: str
    common: float

    def __post_init__(self) -> None:
        if self.how not in (EITHER, FACTOR, SHIFT) or not 0.0 <= self.common <= 1.0:
            raise InputError(
                sentence("uncertainty_doubt.common_spread", how=self.how, common=f"{self.common:g}")
            )

    def drawn(self, value: float, normal: FloatArray) -> FloatArray:
        """Values with the mean that is given, at places of a normal distribution. [unit of the value]"""
        if self.how == EITHER:
            return _either(value, normal)
        if self.how == SHIFT:
            moved = np.where(normal < 0.0, -self.low, self.high) * normal / EIGHTY_PERCENT
            return np.asarray(value + moved - moved.mean())
        times = np.where(normal < 0.0, 1.0 / self.low, self.high) ** (normal / EIGHTY_PERCENT)
        return np.asarray(value * times / times.mean())


@cache
def doubts() -> Mapping[str, Doubt]:
    """Declared spreads by parameter, such as ``surface.r_label``."""
    return MappingProxyType({row["parameter"]: _doubt(row) for row in read_rows("doubt.csv")})


def settled_already(doubt: Doubt, value: float) -> bool:
    """Whether a number needs no drawing: nothing to scale, or all but sure to be there or not."""
    if doubt.how == EITHER:
        return not LEAST_CHANCE <= value <= 1.0 - LEAST_CHANCE
    return doubt.how == FACTOR and value == 0.0


def with_common(doubt: Doubt, own: FloatArray, shared: FloatArray) -> FloatArray:
    """Places of a number that has a part of its spread in common with others. [1]"""
    return np.asarray(np.sqrt(doubt.common) * shared + np.sqrt(1.0 - doubt.common) * own)


def _either(chance: float, normal: FloatArray) -> FloatArray:
    return np.where(place_of(normal) > 1.0 - chance, 1.0, 0.0)


def _doubt(row: Mapping[str, str]) -> Doubt:
    return Doubt(
        how=row["how"],
        low=float(row["low"] or 0.0),
        high=float(row["high"] or 0.0),
        shared=row["shared"],
        common=float(row["common"]),
    )
