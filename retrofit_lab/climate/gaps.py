"""Fills the days that a record of daily temperatures lacks, and tells it; files are read elsewhere."""

from collections.abc import Sequence
from datetime import date

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.texts.refusals import told

SHORT = 3
"""Days that a gap may have to be filled between its neighbors. [day] (judgment)"""
BESIDE = 15
"""Days on each side of a longer gap that say how much warmer the year is than a typical one. [day] (judgment)"""
MOST_TOLD = 4


def fill_gaps(
    temperature: FloatArray, typical: FloatArray, days: Sequence[date], place: str = ""
) -> tuple[FloatArray, list[str]]:
    """Record without gaps, and sentences that say what was filled.

    A gap of a few days is filled in a straight line between its neighbors, a longer one, or one at
    an end, with the typical year shifted to the days beside it.

    Parameters
    ----------
    temperature : ndarray, shape (days,)
        Daily means, not a number where missing; some are there. [F]
    typical : ndarray, shape (days,)
        Typical year on the same days. [F]
    days : sequence of date
        The days themselves.
    place : str
        Whose typical year it is.
    """
    missing = np.isnan(temperature)
    filled = temperature.copy()
    short, long = [], []
    for start, end in _runs(missing):
        if end - start <= SHORT and start > 0 and end < len(missing):
            line = np.linspace(temperature[start - 1], temperature[end], end - start + 2)
            filled[start:end] = line[1:-1]
            short.append((start, end))
        else:
            shift = _shift(temperature, typical, start, end)
            filled[start:end] = typical[start:end] + shift
            long.append((start, end, shift))
    return filled, [*_short_notes(short, days), *_long_notes(long, days, place)]


def _runs(missing: BoolArray) -> list[tuple[int, int]]:
    """Where runs of missing days begin, and the day after each."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], missing, [False]]).astype(int)))
    return [(int(start), int(end)) for start, end in edges.reshape(-1, 2)]


def _shift(temperature: FloatArray, typical: FloatArray, start: int, end: int) -> float:
    known = np.flatnonzero(~np.isnan(temperature))
    beside = np.concatenate([known[known < start][-BESIDE:], known[known >= end][:BESIDE]])
    return float((temperature[beside] - typical[beside]).mean())


def _short_notes(gaps: list[tuple[int, int]], days: Sequence[date]) -> list[str]:
    if not gaps:
        return []
    count = sum(end - start for start, end in gaps)
    named = [days[start].isoformat() for start, _ in gaps[:MOST_TOLD]]
    if len(gaps) > MOST_TOLD:
        named[-1] = told("place.more_gaps", day=named[-1], count=len(gaps) - MOST_TOLD)
    return [told("place.one_gap" if count == 1 else "place.gaps", count=count, days=named)]


def _long_notes(gaps: list[tuple[int, int, float]], days: Sequence[date], place: str) -> list[str]:
    return [
        told(
            "place.long_gap", count=end - start, first=days[start].isoformat(), place=place,
            shift=f"{shift:+.1f}",
        )
        for start, end, shift in gaps
    ]  # fmt: skip
