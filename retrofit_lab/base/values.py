"""The number types that every room shares: a value is one float, or an array of plans, draws and months."""

from math import isfinite
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
Value: TypeAlias = float | FloatArray
"""A float, or an array whose last axis is months (length 12, or 1 where months do not matter).

Axes in front of the last are free: a plan axis, a draw axis, or both.
"""

MaybeValue: TypeAlias = Value | None
"""A number that may stay open: nothing is put in its place, and without it nothing is worked out from it."""

BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.integer[Any]]


class InputError(ValueError):
    """Something typed or read cannot be used; the message names value, rule and way out."""


def is_number_within(value: Any, low: float, high: float) -> bool:
    """Whether something read from a file is a plain number from low to high; yes and no are none.

    >>> is_number_within(3, 0, 10), is_number_within(True, 0, 10), is_number_within("3", 0, 10)
    (True, False, False)
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    # a whole number of hundreds of digits has no float, but can be compared
    return low <= value <= high and isfinite(value)


def shown(value: Any, most: int = 60) -> str:
    """What was written, short enough for a sentence.

    >>> shown("x" * 100, 9), shown(None)
    ("'xxxxx...", 'missing')
    """
    if value is None:
        return "missing"
    try:
        text = repr(value)
    except ValueError:  # Python writes no whole number of thousands of digits
        text = "a number of thousands of digits"
    text = text.replace("\n", " ")
    return text if len(text) <= most else f"{text[: most - 3]}..."


def shown_key(key: str) -> str:
    """A key of a file as it stands where it is a plain word, else in quotes.

    >>> shown_key("elec"), shown_key("two lines")
    ('elec', "'two lines'")
    """
    plain = key.replace("_", "a").replace("-", "a")
    return key if plain.isalnum() and plain.isascii() and len(key) <= 60 else shown(key)
