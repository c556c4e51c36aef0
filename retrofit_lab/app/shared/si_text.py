"""Numbers with American units inside ready sentences of the data, said in SI; sentences of a page ask `Words`."""

import re
from collections.abc import Callable
from fractions import Fraction

from retrofit_lab.base.units import SI as FACTORS

_NUMBER = r"(?:\d+/\d+|\d[\d,]*(?:\.\d+)?(?: \d+/\d+)?)"
_UNITS = {
    r"°?\s?F\b": ("F", "°C"),
    r"square feet\b|sq\.? ?ft\b|ft²|pies cuadrados\b": ("ft2", "m²"),
    r"pounds a cubic foot\b|pounds per cubic foot\b|libras por pie cúbico\b": ("", "kg/m³"),
    r"cubic feet\b|pies cúbicos\b": ("ft3", "m³"),
    r"gallons?\b|galones\b|galón\b": ("gal", "L"),
    r"inch(?:es)?\b|pulgadas?\b": ("in", "cm"),
    r"feet\b|foot\b|pies?\b(?! (?:cuadrad|cúbic)os?)": ("ft", "m"),
    r"cfm\b": ("cfm", "L/s"),
}
"""Units as the data writes them, their key among `FACTORS`, and how SI is written."""
KG_PER_M3 = 16.018463
"""A pound a cubic foot. [kg/m3]"""
RSI = FACTORS["R"][1]
_AMOUNT = [
    (re.compile(rf"({_NUMBER})((?: to | a | y | and ){_NUMBER})?[\s-]?(?:{unit})"), key, written)
    for unit, (key, written) in _UNITS.items()
]
_R_VALUE = re.compile(r"\bR-?(\d+(?:\.\d+)?)\b")


def in_si(text: str, *, beside: bool = False) -> str:
    """A sentence with its American units in SI.

    Parameters
    ----------
    text : str
        Sentence of the data, in any language of the page.
    beside : bool
        Whether SI is in brackets after the American number, as where a rule is quoted.

    Examples
    --------
    >>> in_si("Set the heat to 68 °F during the day")
    'Set the heat to 20 °C during the day'
    >>> in_si("Wrap the ducts with R-8")
    'Wrap the ducts with RSI-1.4'
    >>> in_si("Keep insulation 3 inches away.", beside=True)
    'Keep insulation 3 inches (7.6 cm) away.'
    >>> in_si("más de 6 pies cuadrados, bajo 1/2 pulgada de tablaroca")
    'más de 0.56 m², bajo 1.3 cm de tablaroca'
    >>> in_si("más de 6 pies cuadrados", beside=True)
    'más de 6 pies cuadrados (0.56 m²)'
    """
    for pattern, key, written in _AMOUNT:
        text = pattern.sub(_put(key, written, beside), text)
    return _R_VALUE.sub(_put_r(beside), text)


def _put(key: str, written: str, beside: bool) -> Callable[[re.Match[str]], str]:
    def replaced(found: re.Match[str]) -> str:
        first, second = found.group(1), found.group(2) or ""
        said = f"{_said(first, key)}"
        if second:
            words = re.match(r" \D+ ", second)
            between = words.group() if words else " "
            said += f"{between}{_said(second.removeprefix(between), key)}"
        return f"{found.group()} ({said} {written})" if beside else f"{said} {written}"

    return replaced


def _put_r(beside: bool) -> Callable[[re.Match[str]], str]:
    def replaced(found: re.Match[str]) -> str:
        said = f"RSI-{float(found.group(1)) * RSI:.1f}"
        return f"{found.group()} ({said})" if beside else said

    return replaced


def _said(number: str, key: str) -> str:
    value = float(sum(Fraction(part) for part in number.replace(",", "").split()))
    if not key:
        return f"{value * KG_PER_M3:.0f}"
    _, factor, taken_off = FACTORS[key]
    converted = (value - taken_off) * factor
    return f"{converted:.0f}" if key == "F" or converted >= 100 else f"{converted:.2g}"
