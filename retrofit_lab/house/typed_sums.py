"""Reads a sum as people type it on a sketch, such as ``52x26 + 8x(3x4)``; units and bounds are looked at elsewhere.

>>> worked_out("52x26 + 8x(3x4)")
1448.0
>>> worked_out("10.5' x 8'")
84.0
"""

import re

from retrofit_lab.base.values import InputError
from retrofit_lab.texts.refusals import told

MOST_PARTS = 40
_TOKEN = re.compile(r"\s*(\d[\d,]*\.?\d*|\.\d+|[-+*/x×·()])")
_FEET = re.compile(r"(\d+(?:\.\d+)?)\s*'\s*(?:(\d+(?:\.\d+)?)\s*(?:\"|'')?)?")
_INCHES = re.compile(r"(\d+(?:\.\d+)?)\s*(?:\"|'')")
_IS_SUM = re.compile(
    r"\d[\s'\")]*[x×·*+(]\s*[\d(.]|\d[\s'\")]*\s-\s*[\d(.]|\)\s*[-+*/x×·(]|^\s*\(", re.IGNORECASE
)
_LAST_UNIT = re.compile(r"(?<=[\d)\s'\"])\s*((?![xX]\s*[\d(.])[A-Za-z][A-Za-z0-9 .^/²³]*)$")
TIMES = "x×·*"


def is_sum(text: str) -> bool:
    """Whether a text is a sum or a product and not one number."""
    return bool(_IS_SUM.search(text))


def parted(text: str) -> tuple[str, str]:
    """A sum and the unit behind it, which may be empty."""
    unit = _LAST_UNIT.search(text)
    return (text[: unit.start()], unit[1].strip()) if unit else (text, "")


def worked_out(text: str) -> float:
    """Value of a sum; feet and inches count in feet.

    Raises
    ------
    InputError
        When it cannot be read as a sum, or divides by zero.
    """
    plain = _FEET.sub(lambda m: repr(float(m[1]) + float(m[2] or 0.0) / 12.0), text)
    plain = _INCHES.sub(lambda m: repr(float(m[1]) / 12.0), plain)
    tokens = _tokens(plain.lower(), text)
    value, rest = _added(tokens, text)
    if rest:
        raise _unreadable(text)
    return value


def _tokens(plain: str, text: str) -> list[str]:
    tokens: list[str] = []
    place = 0
    while plain[place:].strip():
        found = _TOKEN.match(plain, place)
        if not found or len(tokens) >= MOST_PARTS:
            raise _unreadable(text)
        tokens.append(found[1])
        place = found.end()
    return tokens


def _added(tokens: list[str], text: str) -> tuple[float, list[str]]:
    value, rest = _multiplied(tokens, text)
    while rest and rest[0] in "+-":
        sign = 1.0 if rest[0] == "+" else -1.0
        other, rest = _multiplied(rest[1:], text)
        value += sign * other
    return value, rest


def _multiplied(tokens: list[str], text: str) -> tuple[float, list[str]]:
    value, rest = _one(tokens, text)
    while rest and (rest[0] in TIMES or rest[0] in "/("):
        divides, follows = rest[0] == "/", rest if rest[0] == "(" else rest[1:]
        other, rest = _one(follows, text)
        if divides and other == 0.0:
            raise InputError(told("typed.zero", text=text))
        value = value / other if divides else value * other
    return value, rest


def _one(tokens: list[str], text: str) -> tuple[float, list[str]]:
    if tokens and tokens[0] == "(":
        value, rest = _added(tokens[1:], text)
        if rest[:1] != [")"]:
            raise _unreadable(text)
        return value, rest[1:]
    if not tokens or not (tokens[0][0].isdigit() or tokens[0][0] == "."):
        raise _unreadable(text)
    return float(tokens[0].replace(",", "")), tokens[1:]


def _unreadable(text: str) -> InputError:
    return InputError(told("typed.sum", text=text))
