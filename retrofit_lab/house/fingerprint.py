"""A short mark of a house's numbers, to see whether a house has changed; no name, note, label or address goes in."""

import hashlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from retrofit_lab.house.description import House

LENGTH = 16
LEFT_OUT = frozenset({"name", "note", "label", "bills", "photos", "assumed", "basics", "job"})
"""Words that change nothing in the results, or that could say who lives there."""


def fingerprint(house: House) -> str:
    """Mark of a house: the same for the same numbers and kinds, whatever the house is called."""
    text = "\n".join(f"{path}={value!r}" for path, value in sorted(_facts(house, "")))
    return hashlib.sha256(text.encode()).hexdigest()[:LENGTH]


def _facts(record: Any, prefix: str) -> Iterator[tuple[str, object]]:
    for name in (field.name for field in fields(record)):
        value = getattr(record, name)
        if name not in LEFT_OUT:
            yield from _below(value, f"{prefix}{name}")


def _below(value: Any, path: str) -> Iterator[tuple[str, object]]:
    if is_dataclass(value):
        yield from _facts(value, f"{path}.")
    elif isinstance(value, tuple):
        for place, item in enumerate(value):
            yield from _below(item, f"{path}.{place}")
    elif value is not None:
        yield path, float(value) if isinstance(value, int) else value
