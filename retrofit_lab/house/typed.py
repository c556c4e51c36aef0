"""Reads what people type into a box whose unit stands beside it; files ask for the unit, see units.py."""

import re

from retrofit_lab.base.units import plain_number, read_quantity
from retrofit_lab.base.values import InputError
from retrofit_lab.house.typed_sums import is_sum, parted, worked_out
from retrofit_lab.texts.refusals import told

MOST_LETTERS = 80
LENGTHS = ("ft", "inch")
_BARE = re.compile(r"^[-+]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?$")
_FRACTION = re.compile(r"(?<![\d./])(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)(?![\d./])")
_FEET_AND_INCHES = re.compile(
    r"^(\d+(?:\.\d+)?)\s*(?:'\s*|(?:ft|feet|pies?)\s+)(\d+(?:\.\d+)?)\s*(?:\"|''|in|inch|inches|pulg|pulgadas?)?$"
)
SUMMED = ("1", "ft", "ft2", "ft3", "inch", "W", "hour", "minute", "gallon")
"""Units in which people add up on a sketch."""
BTU_PER_TON = 12_000.0
"""A ton of cooling. [Btu/h]"""
_TONS = re.compile(r"^(\d+(?:\.\d+)?|\.\d+)\s*(?:tons?|toneladas?)$", re.IGNORECASE)
POINTS = (
    "N",
    "NNE",
    "NE",
    "ENE",
    "E",
    "ESE",
    "SE",
    "SSE",
    "S",
    "SSW",
    "SW",
    "WSW",
    "W",
    "WNW",
    "NW",
    "NNW",
)
WORDS_OF_POINTS = {
    "NORTH": "N", "EAST": "E", "SOUTH": "S", "WEST": "W", "NORTE": "N", "OESTE": "W", "ESTE": "E", "SUR": "S",
}  # fmt: skip
_DECIMAL_COMMA = re.compile(r"(?<![\d,.])(\d+),(\d{1,2}|\d{4,})(?![\d,.])")
_AT = re.compile(r"\s*(?:@|\bat\b|\ba\b)\s*", re.IGNORECASE)


def read_typed(text: str, unit: str) -> float:
    """Number in the declared unit that a person typed beside that unit.

    Parameters
    ----------
    text : str
        A bare number in the declared unit, or any quantity: ``"13"``, ``"3 1/2 in"``, ``"5 ft 6 in"``,
        ``"20 C"``, ``"R-13"``; a sum as on a sketch, ``"52x26 + 8x(3x4)"``; a point of the compass, ``"SSE"``;
        tons of cooling.
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
        raise InputError(told("typed.letters", count=len(text), most=MOST_LETTERS))
    text = _FRACTION.sub(_decimal, text.strip())
    if unit == "degree" and (point := _compass(text)) is not None:
        return point
    if unit == "Btu/hour" and (tons := _TONS.match(text)):
        return BTU_PER_TON * float(tons[1])
    if unit in SUMMED and is_sum(text):
        return _summed(text, unit)
    if _BARE.match(text):
        return plain_number(text)
    parts = _FEET_AND_INCHES.match(text)
    if parts and unit in LENGTHS:
        return read_quantity(f"{float(parts[1]) + float(parts[2]) / 12.0} ft", unit)
    return read_quantity(text, unit)


def with_decimal_points(text: str) -> str:
    """A text in which a comma that cannot part thousands is a decimal point, for languages that write it so.

    >>> with_decimal_points("R-3,5"), with_decimal_points("1,200 ft2"), with_decimal_points("12,75 x 8")
    ('R-3.5', '1,200 ft2', '12.75 x 8')
    """
    return _DECIMAL_COMMA.sub(r"\1.\2", text)


def reading_and_pressure(text: str) -> tuple[str, str]:
    """Flow and pressure of ``"1850 cfm at 50 Pa"``; the pressure is empty when only a flow was typed."""
    flow, *rest = _AT.split(text.strip(), maxsplit=1)
    return flow, rest[0] if rest else ""


def _decimal(found: re.Match[str]) -> str:
    whole, above, below = (int(part) if part else 0 for part in found.groups())
    if below == 0:
        raise InputError(told("typed.zero", text=found[0]))
    return repr(whole + above / below)


def _summed(text: str, unit: str) -> float:
    """A sum in the declared unit, or in the one behind it; feet and inches come out in feet."""
    inside, written = parted(text)
    value = worked_out(inside)
    if unit == "inch" and not written and "'" in inside:
        return 12.0 * value
    return read_quantity(f"{value!r} {written}", unit) if written else value


def _compass(text: str) -> float | None:
    """Degrees from north of a point of the compass in English or Spanish, where O stands for west."""
    word = text.strip().upper().replace("-", "").replace(" ", "")
    for name, point in WORDS_OF_POINTS.items():
        word = word.replace(name, point)
    word = word.replace("O", "W")
    return 360.0 / len(POINTS) * POINTS.index(word) if word in POINTS else None
