"""Reads what people type into a box whose unit stands beside it; files ask for the unit, see units.py."""

import re

from retrofit_lab.base.units import plain_number, read_quantity
from retrofit_lab.base.values import InputError

MOST_LETTERS = 80
LENGTHS = ("ft", "inch")
_BARE = re.compile(r"^[-+]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?$")
_FRACTION = re.compile(r"(?<![\d./])(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)(?![\d./])")
_FEET_AND_INCHES = re.compile(
    r"^(\d+(?:\.\d+)?)\s*(?:'\s*|(?:ft|feet)\s+)(\d+(?:\.\d+)?)\s*(?:\"|''|in|inch|inches)?$"
)
_AT = re.compile(r"\s*(?:@|\bat\b)\s*", re.IGNORECASE)


def read_typed(text: str, unit: str) -> float:
    """Number in the declared unit that a person typed beside that unit.

    Parameters
    ----------
    text : str
        A bare number in the declared unit, or any quantity: ``"13"``, ``"3 1/2 in"``, ``"5 ft 6 in"``,
        ``"20 C"``, ``"R-13"``.
    unit : str
        Declared unit.

    Returns
    -------
    float
        Value. [unit]

    Raises
    ------
    InputError
        When the text is no quantity, or one of another kind.
    """
    if len(text) > MOST_LETTERS:
        raise InputError(f"the text has {len(text)} letters; a number has at most {MOST_LETTERS}")
    text = _FRACTION.sub(_decimal, text.strip())
    if _BARE.match(text):
        return plain_number(text)
    parts = _FEET_AND_INCHES.match(text)
    if parts and unit in LENGTHS:
        return read_quantity(f"{float(parts[1]) + float(parts[2]) / 12.0} ft", unit)
    return read_quantity(text, unit)


def reading_and_pressure(text: str) -> tuple[str, str]:
    """Flow and pressure of ``"1850 cfm at 50 Pa"``; the pressure is empty when only a flow was typed."""
    flow, *rest = _AT.split(text.strip(), maxsplit=1)
    return flow, rest[0] if rest else ""


def _decimal(found: re.Match[str]) -> str:
    whole, above, below = (int(part) if part else 0 for part in found.groups())
    if below == 0:
        raise InputError(f"'{found[0]}' divides by zero; write a decimal number")
    return repr(whole + above / below)
