"""Reads and writes quantities in the units of the trade; conversion happens here, once, and nowhere else.

The registry is built only when a text is not in the plain spelling that house files are saved in,
so that opening a house does not wait for it.
"""

import re
from functools import cache
from typing import Any

from retrofit_lab.base.values import InputError
from retrofit_lab.texts.refusals import told, word

SPELLING = {
    "1": "",
    "degF": "F",
    "delta_degF": "F difference",
    "ft": "ft",
    "ft2": "ft2",
    "ft3": "ft3",
    "inch": "in",
    "cfm": "cfm",
    "Pa": "Pa",
    "inH2O": "in wc",
    "second": "s",
    "ppm": "ppm",
    "percent": "%",
    "picocurie/liter": "pCi/L",
    "hour": "h",
    "1/hour": "per h",
    "minute": "min",
    "W": "W",
    "year": "",
    "degree": "deg",
    "gallon": "gal",
    "gallon/minute": "gpm",
    "gallon/day": "gal/day",
    "kWh/year": "kWh/year",
    "Btu/hour": "Btu/h",
    "Btu/hour/delta_degF": "Btu/h/F",
    "Btu/hour/ft2/delta_degF": "U",
    "Btu/ft2/delta_degF": "Btu/ft2/F",
    "Btu/W/hour": "Btu/Wh",
    "ft2*hour*delta_degF/Btu": "R",
    "lb": "lb",
}
"""How each declared unit is written in a file; R and U stand in front of their number."""

FOR_PEOPLE = {
    "F": "°F",
    "F difference": "°F difference",
    "F day": "°F days",
    "ft2": "sq ft",
    "ft3": "cu ft",
    "in wc": "in. wc",
    "per h": "per hour",
    "deg": "degrees",
    "Btu/h/F": "Btu/(h·°F)",
    "Btu/(h F)": "Btu/(h·°F)",
    "Btu/(h F cfm)": "Btu/(h·°F·cfm)",
    "Btu/(h ft2 F)": "Btu/(h·ft²·°F)",
    "h ft2 F/Btu": "h·ft²·°F/Btu",
    "Btu/ft2/F": "Btu/(ft²·°F)",
}
"""Units that people read otherwise than a file writes them; a box takes either."""

SI = {
    "F": ("\N{DEGREE SIGN}C", 5 / 9, 32.0),
    "F difference": ("K", 5 / 9, 0.0),
    "F day": ("K days", 5 / 9, 0.0),
    "ft": ("m", 0.3048, 0.0),
    "ft2": ("m²", 0.09290304, 0.0),
    "ft3": ("m³", 0.028316846592, 0.0),
    "in": ("cm", 2.54, 0.0),
    "in wc": ("Pa", 249.08891, 0.0),
    "pCi/L": ("Bq/m³", 37.0, 0.0),
    "cfm": ("L/s", 0.4719474432, 0.0),
    "gal": ("L", 3.785411784, 0.0),
    "gpm": ("L/min", 3.785411784, 0.0),
    "gal/day": ("L/day", 3.785411784, 0.0),
    "lb": ("kg", 0.45359237, 0.0),
    "Btu": ("kWh", 2.930710701722222e-4, 0.0),
    "million Btu": ("kWh", 293.0710701722222, 0.0),
    "Btu/h": ("W", 0.2930710701722222, 0.0),
    "Btu/h/F": ("W/K", 0.5275279263101, 0.0),
    "Btu/(h F)": ("W/K", 0.5275279263101, 0.0),
    "Btu/(h F cfm)": ("W/(K·L/s)", 1.1177684896, 0.0),
    "Btu/(h ft2 F)": ("W/(m²·K)", 5.678263341113488, 0.0),
    "U": ("W/(m²·K)", 5.678263341113488, 0.0),
    "h ft2 F/Btu": ("m²·K/W", 0.17611018368230, 0.0),
    "R": ("m²·K/W", 0.17611018368230, 0.0),
    "Btu/ft2/F": ("kJ/(m²·K)", 20.44174802800856, 0.0),
    "Btu/Wh": ("W/W", 0.2930710701722222, 0.0),
}
"""SI unit of each unit that is shown, the factor to it, and what is taken off before. A test asks pint."""

R_UNIT = "ft2*hour*delta_degF/Btu"
U_UNIT = "Btu/hour/ft2/delta_degF"
_PREFIXED = {R_UNIT: "R", U_UNIT: "U"}
_NUMBER = r"[-+]?(?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
_THOUSANDS = re.compile(r"[-+]?[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?(?:[eE][-+]?\d+)?")
MOST_UNIT_LETTERS = 40
_TOKEN = re.compile(r"[^\W\d]\w*|\*\*|\d+(?:\.\d*)?|\S")
_RAISED = ("**", "^")
_PLAIN = re.compile(rf"^\s*({_NUMBER})\s*(.*?)\s*$")
_LETTER = re.compile(rf"^\s*([RU])\s*-?\s*({_NUMBER})\s*$", re.IGNORECASE)
_TRADE_WORDS = (
    (r"\bpulg(?:adas?)?\.? de agua\b", "inH2O"),
    (r"\bpies? cuadrados?\b|\bpies?²", "ft**2"),
    (r"\bpies? cúbicos?\b|\bpies?³", "ft**3"),
    (r"\bpies?\b", "ft"),
    (r"\bpulg(?:adas?)?\b\.?", "inch"),
    (r"\bgal(?:ón|ones)\b", "gallon"),
    (r"\bdía\b", "day"),
    (r"\bhoras?\b", "hour"),
    (r"\bminutos?\b", "minute"),
    (r"\bmes\b", "month"),
    (r"\baño\b", "year"),
    (r"\bgrados\b", "degree"),
    (r"^\s*(?:por|per)\b", "1/"),
    (r"\bpor\b", "/"),
    (r"\bBTU\b|\bbtu\b", "Btu"),
    (r"\bsq\.?\s*ft\b|\bsquare feet\b|\bft²", "ft**2"),
    (r"\bcu\.?\s*ft\b|\bcubic feet\b|\bft³", "ft**3"),
    (r"\bft2\b", "ft**2"),
    (r"\bft3\b", "ft**3"),
    (r"\bm2\b|m²", "m**2"),
    (r"\bgpm\b", "gallon/minute"),
    (r"\bin\.?\s*(?:of\s+)?(?:wc|w\.c\.|wg|water|H2O)(?!\w)", "inH2O"),
    (r"\bpCi\b", "picocurie"),
    (r"\bBq\b", "becquerel"),
    (r"\bm3\b|m³", "m**3"),
    (r'"', " inch"),
    (r"\bfeet\b|\bfoot\b|'", " ft"),
    (r"\bper\b", "/"),
    (r"·", "*"),
    (r"\bdegrees\b", "degree"),
)


@cache
def registry() -> Any:
    """The one unit registry, with the trade's units and money added."""
    import pint  # noqa: PLC0415 - slow to build, and plain texts do not need it

    ureg: Any = pint.UnitRegistry()
    ureg.define("cubic_foot_per_minute = foot ** 3 / minute = cfm = CFM")
    ureg.define("hundred_cubic_feet = 100 * foot ** 3 = ccf = CCF")
    ureg.define("dollar = [money] = USD")
    return ureg


def read_quantity(text: str | float, unit: str) -> float:
    """Number in the declared unit that a person's text stands for.

    Parameters
    ----------
    text : str or float
        Such as ``"3.5 in"``, ``"R-13"``, ``"20 C"``, ``"85 %"``; a bare number is taken only where the
        declared unit is a plain number.
    unit : str
        Declared unit, one of the keys of `SPELLING`.

    Returns
    -------
    float
        Value. [unit]

    Raises
    ------
    InputError
        When the text is no quantity, or one of another kind.
    """
    if isinstance(text, bool):
        raise InputError(told("units.yes_or_no", value=text))
    if isinstance(text, int | float):
        return _bare_number(_float(text), unit)
    if not isinstance(text, str):
        raise InputError(told("units.no_number", example=example(unit)))
    lettered = _LETTER.match(text)
    if lettered:
        return _lettered(lettered[1].upper(), plain_number(lettered[2]), unit)
    plain = _PLAIN.match(text)
    if not plain:
        raise InputError(told("units.not_a_number", text=text, example=example(unit)))
    return _with_unit(plain_number(plain[1]), plain[2], unit)


def write_quantity(value: float, unit: str) -> str | float:
    """Plain spelling of a number in its declared unit, as house files hold it."""
    if not SPELLING[unit]:
        return value
    if unit in _PREFIXED:
        return f"{_PREFIXED[unit]}-{value!r}"
    return f"{value!r} {SPELLING[unit]}"


def amount(value: float, unit: str) -> str:
    """A number of a declared unit as a sentence has it, with its unit; R and U stand in front."""
    if unit in _PREFIXED and value >= 0:
        return f"{_PREFIXED[unit]}-{value:g}"
    if not SPELLING[unit]:
        return f"{value:g}"
    return told("amount.with_unit", number=f"{value:g}", unit=word(spelled(unit)))


def spelled(unit: str) -> str:
    """How a declared unit is written for people."""
    return for_people(SPELLING[unit])


def for_people(written: str) -> str:
    """How people read a unit that a file writes, or one of an amount of something.

    Examples
    --------
    >>> for_people("F"), for_people("ft2 of duct"), for_people("cfm")
    ('°F', 'sq ft of duct', 'cfm')
    """
    unit, of, what = written.partition(" of ")
    return f"{FOR_PEOPLE.get(unit, unit)}{of}{what}"


def in_si(value: float, written: str) -> tuple[float, str]:
    """Number and unit in SI of a number shown in a unit of the trade; unchanged where both use the same.

    Parameters
    ----------
    value : float
        Number. [written]
    written : str
        Unit as it is shown, such as ``"cfm"``.
    """
    if written not in SI:
        return value, written
    unit, factor, before = SI[written]
    return (value - before) * factor, unit


def example(unit: str) -> str:
    """A text that would be understood for this unit, for messages."""
    return f"{_PREFIXED[unit]}-13" if unit in _PREFIXED else f"13 {spelled(unit)}".strip()


def _float(number: float) -> float:
    try:
        return float(number)
    except OverflowError:
        raise InputError(told("units.digits")) from None


def _bare_number(value: float, unit: str) -> float:
    if SPELLING[unit] == "":
        return value
    raise InputError(told("units.no_unit", value=f"{value:g}", example=example(unit)))


def _lettered(letter: str, value: float, unit: str) -> float:
    if _PREFIXED.get(unit) == letter:
        return value
    typed = f"{letter}-{value:g}"
    if unit in _PREFIXED and value > 0:
        key, other = "units.needs_r" if letter == "U" else "units.needs_u", f"{1 / value:.3g}"
        raise InputError(told(key, typed=typed, value=f"{value:g}", other=other))
    raise InputError(told("units.letter", typed=typed, example=example(unit)))


def _with_unit(value: float, written: str, unit: str) -> float:
    if written in (SPELLING[unit], spelled(unit)):
        return value
    if written == "":
        return _bare_number(value, unit)
    if written == "%" and unit == "1":
        return value / 100.0
    return _converted(value, written, unit)


def _converted(value: float, written: str, unit: str) -> float:
    if not _bounded(written):
        short = written[:MOST_UNIT_LETTERS]
        raise InputError(told("units.not_a_unit", unit=short, example=example(unit)))
    ureg = registry()
    target = _pint_name(unit)
    try:
        if unit == "degF":
            return float(ureg.Quantity(value, _temperature_name(written)).to("degF").magnitude)
        return float(ureg.Quantity(value, _pint_name(written)).to(target).magnitude)
    except Exception as error:
        key = "units.cannot" if SPELLING[unit] else "units.cannot_plain"
        typed, wanted = f"{value:g} {written}", word(spelled(unit))
        raise InputError(told(key, typed=typed, unit=wanted, example=example(unit))) from error


def _bounded(written: str) -> bool:
    """Whether a unit can be worked out at all: numbers in it are small powers, since towers of powers never end."""
    if len(written) > MOST_UNIT_LETTERS:
        return False
    tokens = _TOKEN.findall(written.replace("-", " "))
    for before, token in zip(["", *tokens], tokens, strict=False):
        number = token[0].isdigit()
        if number and (before not in _RAISED or token not in ("1", "2", "3", "4")):
            return False
        if token in _RAISED and before[:1].isdigit():
            return False
    return True


def _pint_name(written: str) -> str:
    for pattern, replacement in _TRADE_WORDS:
        written = re.sub(pattern, replacement, written)
    return re.sub(r"(?:°\s*|\b)F\b(?: difference\b| de diferencia\b)?", "delta_degF", written)


def _temperature_name(written: str) -> str:
    letter = written.replace("°", "").replace("deg", "").strip().upper()
    return {"F": "degF", "C": "degC", "K": "kelvin"}[letter]


def plain_number(text: str) -> float:
    """Number of a text of digits; commas stand between thousands only.

    Raises
    ------
    InputError
        When a comma stands elsewhere, such as a decimal comma.

    Examples
    --------
    >>> plain_number("1,200"), plain_number("3.5")
    (1200.0, 3.5)
    """
    if "," in text and not _THOUSANDS.fullmatch(text):
        raise InputError(told("units.comma", text=text))
    return float(text.replace(",", ""))
