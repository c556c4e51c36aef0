"""How the guesses of a class lie about the answer; where they are kept is none of its business."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray

MOST_BARS = 10
CLOSE = 0.2
"""A guess within this share of the answer counts as close. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Guesses of a class, beside the answer where it is known.

    Half of them lie from ``low`` to ``high``; ``close`` came within a fifth of the answer. ``edges`` and
    ``counts`` are the guesses by size; ``place`` is the group in which the answer lies, or nothing.
    """

    count: int
    middle: float
    low: float
    high: float
    close: int
    edges: tuple[float, ...]
    counts: tuple[int, ...]
    place: int | None


def spread(guesses: Sequence[float], answer: float | None = None) -> Spread | None:
    """Spread of the guesses about the answer, or None while there are none; without it nothing points to it."""
    if not guesses:
        return None
    given = np.array(guesses, dtype=np.float64)
    shown = given if answer is None else np.append(given, answer)
    edges = _edges(float(shown.min()), float(shown.max()))
    counts, _ = np.histogram(given, edges)
    low, middle, high = np.quantile(given, (0.25, 0.5, 0.75))
    return Spread(
        count=len(given),
        middle=float(middle),
        low=float(low),
        high=float(high),
        close=0 if answer is None else int((np.abs(given - answer) <= CLOSE * abs(answer)).sum()),
        edges=tuple(edges.tolist()),
        counts=tuple(counts.tolist()),
        place=None if answer is None else _place(edges, answer),
    )


def _place(edges: FloatArray, answer: float) -> int:
    return int(np.clip(np.searchsorted(edges, answer, side="right") - 1, 0, len(edges) - 2))


def _edges(low: float, high: float) -> FloatArray:
    """Round borders of at most `MOST_BARS` groups that hold everything."""
    span = max(high - low, abs(high) * 0.1, 1e-6)
    ten = 10.0 ** np.floor(np.log10(span / MOST_BARS))
    step = next(ten * m for m in (1.0, 2.0, 5.0, 10.0, 20.0) if span / (ten * m) <= MOST_BARS - 1)
    first = np.floor(low / step) * step
    return np.asarray(first + step * np.arange(np.floor((high - first) / step) + 2))
