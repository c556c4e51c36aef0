"""Reads single cells of a table of bills: dates, numbers with units, yes and no; knows no columns."""

import re
from collections.abc import Sequence
from datetime import date, datetime

from retrofit_lab.bills.fuels import plain_unit
from retrofit_lab.values import InputError

DATE_FORMS = (
    "%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%Y/%m/%d", "%Y%m%d", "%d.%m.%Y", "%m-%d-%Y", "%d/%m/%Y",
    "%b %d, %Y", "%B %d, %Y", "%b %d %Y", "%B %d %Y", "%d %b %Y", "%d %B %Y", "%d-%b-%Y", "%d-%b-%y",
)  # fmt: skip
MONTH_FORMS = ("%Y-%m", "%m/%Y", "%b %Y", "%B %Y", "%b-%Y", "%b-%y", "%Y/%m", "%Y%m")
FIRST_YEAR, LAST_YEAR = 1950, 2100
_NUMBER = re.compile(
    r"^\(?\s*([-−+]?)\s*\$?\s*([-−]?)((?:\d[\d,]*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\)?$"
)
_YES = {"e", "est", "estimated", "estimate", "yes", "y", "true", "1", "x"}
_NO = {"", "a", "act", "actual", "no", "n", "false", "0", "customer", "c", "read", "measured"}


def text_of(cell: object) -> str:
    """Text of a cell; nothing becomes the empty text."""
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    if isinstance(cell, date):
        return cell.isoformat()
    text = "" if cell is None else str(cell).strip()
    return "" if text.lower() == "nan" else text


def date_form(texts: Sequence[str], forms: Sequence[str] = DATE_FORMS) -> str:
    """The one form that most dates of a column have; day and month are never guessed cell by cell."""
    filled = [text for text in texts if text]
    counts = [sum(_parsed(text, form) is not None for text in filled) for form in forms]
    return forms[counts.index(max(counts))]


def read_date(text: str, form: str) -> date:
    """Date of a cell in the form of its column.

    Raises
    ------
    InputError
        When it is no date of that form, or of no likely year.
    """
    parsed = _parsed(text, form) or _parsed(text, DATE_FORMS[0])
    if parsed is None:
        raise InputError(f"'{text}' is no date; write it as 2025-01-31, or take the row out")
    if not FIRST_YEAR <= parsed.year <= LAST_YEAR:
        raise InputError(
            f"the year of '{text}' is {parsed.year}; must be {FIRST_YEAR} to {LAST_YEAR}. Correct it"
        )
    return parsed


def read_number(text: str) -> tuple[float, str]:
    """Number of a cell and the plain unit written behind it, if any.

    Raises
    ------
    InputError
        When it is no number.
    """
    match = _NUMBER.match(text)
    if not match or (
        match[4] and not plain_unit(match[4]) and match[4].upper() not in ("USD", "CR")
    ):
        raise InputError(f"'{text}' is no number; write it such as 512.5, or leave the cell empty")
    negative = bool(match[1] in ("-", "−")) != bool(match[2])
    negative = negative or (text.startswith("(") and text.endswith(")")) or match[4].upper() == "CR"
    value = float(match[3].replace(",", ""))
    return (-value if negative else value), plain_unit(match[4])


def read_estimated(text: str) -> bool:
    """Whether a cell says that the reading was estimated.

    Raises
    ------
    InputError
        When it says neither that nor the opposite.
    """
    word = text.lower().strip(". ")
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise InputError(f"'{text}' says neither estimated nor actual; write E or A")


def _parsed(text: str, form: str) -> date | None:
    head = text.split("T", maxsplit=1)[0] if form == DATE_FORMS[0] else text
    for candidate in (head, head.split(" ")[0]):
        try:
            return datetime.strptime(candidate, form).date()
        except ValueError:
            continue
    return None
