"""A number that a page asks for: its bounds, what a page sent, and how it is described to the page."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A number that a panel asks for, with its bounds; a field with ``choices`` is picked by place."""

    name: str
    label: str
    value: float
    low: float
    high: float
    step: float
    choices: tuple[str, ...] = ()


def checked_numbers(fields: Sequence[Field], sent: Any) -> dict[str, float]:
    """Numbers that a page sent, within their bounds; anything else becomes the default."""
    given = sent if isinstance(sent, dict) else {}
    return {field.name: _within(field, given.get(field.name)) for field in fields}


def _within(field: Field, number: Any) -> float:
    if isinstance(number, bool) or not isinstance(number, int | float) or _is_nan(number):
        return field.value
    return float(min(max(number, field.low), field.high))


def _is_nan(number: Any) -> bool:
    # a whole number may be too large for a float
    return isinstance(number, float) and math.isnan(number)


def field_content(field: Field) -> dict[str, Any]:
    """What the page needs to know of one field."""
    names = ("name", "label", "value", "low", "high", "step")
    return {name: getattr(field, name) for name in names} | {"choices": list(field.choices)}
