"""Sentences on why two measures overlap or help each other, from the mechanisms that they touch."""

import tomllib
from collections.abc import Iterable
from functools import cache

from retrofit_lab.reference_data import data_path

OVERLAP = "Both work on the same heat, so part of the saving is counted twice when they are looked at alone."
HELP = "Each leaves the other more to save."


def reason(first: Iterable[str], second: Iterable[str], overlap: float) -> str:
    """Plain sentence on why two measures save less, or more, together than one by one.

    Parameters
    ----------
    first, second : iterable of str
        Mechanism tags of the two measures.
    overlap : float
        Savings one by one less savings together; positive where they overlap. [any]
    """
    return _reason(frozenset(first), frozenset(second), overlap > 0)


@cache
def _reason(first: frozenset[str], second: frozenset[str], overlapping: bool) -> str:
    for tags, less, more in _reasons():
        sentence = less if overlapping else more
        if sentence and _joined(first, second, tags):
            return sentence
    return OVERLAP if overlapping else HELP


@cache
def _reasons() -> tuple[tuple[frozenset[str], str, str], ...]:
    """Tags, and the sentences for less and for more, in the order of the file."""
    rows = tomllib.loads(data_path("reasons.toml").read_text(encoding="utf-8"))["reason"]
    return tuple(
        (frozenset(row["touches"]), row.get("less", ""), row.get("more", "")) for row in rows
    )


def _joined(a: frozenset[str], b: frozenset[str], tags: frozenset[str]) -> bool:
    if len(tags) == 1:
        return tags <= a and tags <= b
    one, other = sorted(tags)
    return (one in a and other in b) or (other in a and one in b)
