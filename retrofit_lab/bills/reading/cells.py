"""Reads single cells of a table of bills: numbers with units, yes and no; knows no columns and no dates."""

import math
import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.fuels import plain_unit
from retrofit_lab.texts.refusals import told

POINT, COMMA = "point", "comma"
"""How decimals are written: 1,234.5 or 1.234,5."""
_NUMBER = re.compile(
    r"^\(?\s*([-−+]?)\s*(?:US)?[$€]?\s*([-−]?)\s*"
    r"((?:\d[\d.,'’\s]*\d|\d|[.,]\d+)(?:[eE][-+]?\d+)?)[.,]?\s*(.*?)\)?$"
)
_GROUPS = {
    POINT: re.compile(r"^\d{1,3}(,\d{3})+(\.\d*)?$"),
    COMMA: re.compile(r"^\d{1,3}(\.\d{3})+(,\d*)?$"),
}
_PLAIN = {POINT: re.compile(r"^\d*\.?\d*$"), COMMA: re.compile(r"^\d*,?\d*$")}
_SPACED = re.compile(r"^\d{1,3}([\s'’]\d{3})+(?=$|[.,])")
_ENDINGS = {"", "USD", "CR", "€", "EUR", "DR"}
_YES = {"e", "est", "estimated", "estimate", "yes", "y", "true", "1", "x"}
_NO = {"", "a", "act", "actual", "no", "n", "false", "0", "customer", "c", "read", "measured"}


def text_of(cell: object) -> str:
    """Text of a cell; nothing becomes the empty text."""
    if isinstance(cell, datetime):
        midnight = (cell.hour, cell.minute, cell.second) == (0, 0, 0)
        return cell.date().isoformat() if midnight else cell.isoformat(sep=" ")
    if isinstance(cell, date):
        return cell.isoformat()
    text = "" if cell is None else str(cell).strip()
    return "" if text.lower() in ("nan", "n/a", "na", "-", "--", "–", "null", "none") else text


def ways_to_write(texts: Iterable[str], *, semicolons: bool = False) -> tuple[str, ...]:
    """Ways in which the decimals of a column can be written, the likelier first; both where nothing tells.

    A cell with one mark and three digits behind it, such as ``1,120`` or ``1.120``, tells nothing by
    itself; every other mark does, and so do whole numbers beside it: ``980`` beside ``1,120`` shows
    thousands that are parted, ``1523`` that they are not.

    Parameters
    ----------
    texts : iterable of str
        Cells of the column, or of all columns of numbers.
    semicolons : bool
        Whether the file parts its cells by semicolons, as is done where commas are decimals; elsewhere
        a single dot is a decimal point.
    """
    digits = [match[3] for match in map(_NUMBER.match, dict.fromkeys(texts)) if match]
    shown = {way for ways in map(_ways, digits) if len(ways) == 1 for way in ways}
    if len(shown) == 1:
        return tuple(shown)
    if shown:
        return (COMMA, POINT) if semicolons else (POINT, COMMA)
    return _open_ways([d for d in digits if re.search(r"[.,]", d)], digits, semicolons=semicolons)


def _open_ways(
    marked: Sequence[str], digits: Sequence[str], *, semicolons: bool
) -> tuple[str, ...]:
    """The same where every mark may part thousands or decimals."""
    if not marked:
        return (POINT,)
    commas = any("," in text for text in marked)
    if not commas and not semicolons:
        return (POINT,)
    whole = [float(text) for text in digits if text.isdigit()]
    thousands, decimals = (POINT, COMMA) if commas else (COMMA, POINT)
    if whole:
        return (decimals,) if max(whole) >= 1000.0 else (thousands,)
    return (COMMA, POINT) if semicolons else (POINT, COMMA)


def read_number(text: str, decimals: str = POINT) -> tuple[float, str]:
    """Number of a cell and the plain unit written behind it, if any.

    Parameters
    ----------
    text : str
        Such as ``1,120.5 gal``, ``$98.10``, ``(12.50)`` or ``1.120,5``.
    decimals : str
        How its column writes decimals, `POINT` or `COMMA`; it decides only where the cell itself does not.

    Raises
    ------
    InputError
        When it is no number.
    """
    match = _NUMBER.match(text)
    ways = _ways(match[3]) if match else set()
    if not match or not ways or not (match[4].upper() in _ENDINGS or plain_unit(match[4])):
        raise InputError(told("bills.number", text=text))
    value = _value(match[3], decimals if decimals in ways else ways.pop())
    if not math.isfinite(value):
        raise InputError(told("bills.beyond", text=text[:40]))
    negative = bool(match[1] in ("-", "−")) != bool(match[2])
    negative = negative or (text.startswith("(") and text.endswith(")")) or match[4].upper() == "CR"
    return (-value if negative else value), plain_unit(match[4])


def read_estimated(text: str) -> bool:
    """Whether a cell says that the reading was estimated.

    Raises
    ------
    InputError
        When it says neither that nor the opposite.
    """
    word = text.lower().strip(". ")
    if word in _YES or word.startswith("estim"):
        return True
    if word in _NO or word.startswith("actual"):
        return False
    raise InputError(told("bills.estimated", text=text))


def _ways(digits: str) -> set[str]:
    """Ways of writing decimals in which some digits with marks are a number."""
    plain = _unspaced(digits.lower().partition("e")[0])
    return {
        way for way in (POINT, COMMA) if _PLAIN[way].match(plain) or _GROUPS[way].match(plain)
    } - (_impossible(plain))


def _impossible(plain: str) -> set[str]:
    """``0,512`` and ``1523,250`` are no thousands; nor is ``0.512``."""
    for way in (POINT, COMMA):
        if _GROUPS[way].match(plain) and plain.startswith("0"):
            return {way}
    return set()


def _unspaced(digits: str) -> str:
    return re.sub(r"[\s'’]", "", digits) if _SPACED.match(digits) else digits


def _value(digits: str, decimals: str) -> float:
    body, _, power = digits.lower().partition("e")
    plain = _unspaced(body)
    other = "," if decimals == POINT else "."
    number = plain.replace(other, "").replace(",", ".")
    return float(f"{number}e{power}" if power else number)
