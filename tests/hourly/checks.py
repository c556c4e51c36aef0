"""What the hourly house asks of the product, one check for each kind of number, and for each kind summed over houses.

A kind that misses what is wanted fails here too; `tests/mutation` leaves out what fails without a break.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from hourly.compare import Pair, pairs
from hourly.results import read, stored_houses

WANTED = {
    "annual heat": (0.03, 0.07), "heat-pump electricity": (0.04, 0.10), "backup heat": (0.15, 0.60),
    "cooling": (0.08, 0.20),
}  # fmt: skip
"""Greatest median and 90th percentile of the error without its sign. [1]"""
SAVING = (0.07, 0.20)
SUM = 0.05
"""How far the product's sum over all houses may be from the hourly houses' sum. [1]"""
HOUSE = 0.25
"""How far heat and cooling of a single house may be. [1]"""


@dataclass
class _Found:
    """Pairs of all houses, worked out once in a process."""

    pairs: list[Pair] | None = None

    def of(self, kind: str) -> list[Pair]:
        if self.pairs is None:
            self.pairs = list(pairs(stored_houses(), read()))
        return [pair for pair in self.pairs if pair.kind == kind]


FOUND = _Found()


@dataclass(frozen=True)
class HourlyCheck:
    """One number that is to stay below a limit."""

    name: str
    ours: Callable[[], float]
    allowed: float
    expected: float = 0.0

    def __str__(self) -> str:
        return f"hourly house: {self.name}"


def _kinds() -> list[str]:
    works = ("attic_insulation", "wall_fill", "air_sealing", "rim_foam", "relay_batts", "hatch", "foundation_wall",
             "duct_mastic", "duct_insulation", "setback", "windows", "knee_walls")  # fmt: skip
    return [
        *WANTED,
        *(f"saving, {use}: {work}" for use in ("heating", "cooling") for work in works),
    ]


def _quantile(kind: str, share: float) -> float:
    return float(np.quantile([abs(pair.error) for pair in FOUND.of(kind)], share))


def _sum(kind: str) -> float:
    found = FOUND.of(kind)
    return sum(pair.ours for pair in found) / sum(pair.hourly for pair in found) - 1.0


CHECKS = [
    check
    for kind in _kinds()
    for check in (
        HourlyCheck(
            f"{kind}, median error",
            lambda kind=kind: _quantile(kind, 0.5),
            WANTED.get(kind, SAVING)[0],
        ),
        HourlyCheck(
            f"{kind}, 90th percentile",
            lambda kind=kind: _quantile(kind, 0.9),
            WANTED.get(kind, SAVING)[1],
        ),
        HourlyCheck(f"{kind}, sum over houses", lambda kind=kind: _sum(kind), SUM),
    )
]
