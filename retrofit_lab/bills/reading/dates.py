"""Reads dates and times of bills, and finds out from a whole column whether the day or the month comes first."""

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from retrofit_lab.base.values import InputError
from retrofit_lab.texts.refusals import told

if TYPE_CHECKING:
    from dateutil.parser import parserinfo

MONTH_FIRST, DAY_FIRST = "month-first", "day-first"
FIRST_YEAR, LAST_YEAR = 1950, 2100
_NUMERIC = re.compile(r"^(\d{1,2})\s*([/.\-])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})(?!\d)")
_YEAR_FIRST = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)[T\s]*(.*)$")
_YEAR_MONTH = re.compile(r"^(?:(\d{4})[-/.]?(\d{2})|(\d{1,2})[-/](\d{4}))$")
_MONTH_YEAR = re.compile(r"^([A-Za-z]{3,})[-\s.,']+(\d{2})$")
_COMPACT = re.compile(r"^(?:19|20)\d{6}$")
_SERIAL = re.compile(r"^[2-6]\d{4}(\.\d+)?$")
_SERIAL_ZERO = datetime(1899, 12, 30)  # noqa: DTZ001 - a date on a bill has no zone
_ZONE = re.compile(r"\s*(?:Z|[+-]\d{2}:?\d{2}|[A-Z]{2,3}T)$")
_SPANISH = ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic")
_SPANISH_LONG = (
    "enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre",
    "noviembre", "diciembre",
)  # fmt: skip


def date_orders(texts: Iterable[str]) -> tuple[str, ...]:
    """Orders in which the dates of a whole column can be read, the likelier first; both where nothing tells.

    ``25/01/2024`` and ``8.1.2024`` show that the day comes first, ``01/25/2024`` that the month does.
    """
    shown: set[str] = set()
    open_dates = False
    for match in filter(None, map(_NUMERIC.match, texts)):
        first, second = int(match[1]), int(match[3])
        if first > 12 or match[2] == ".":
            shown.add(DAY_FIRST)
        elif second > 12:
            shown.add(MONTH_FIRST)
        open_dates |= first != second
    if len(shown) == 1:
        return tuple(shown)
    return (MONTH_FIRST, DAY_FIRST) if open_dates else (MONTH_FIRST,)


def read_moment(text: str, order: str = MONTH_FIRST) -> datetime:
    """Date of a cell, with its clock time where it has one; a time zone is dropped, so clocks stay local.

    Raises
    ------
    InputError
        When it is no date with a day, or of no likely year.
    """
    moment, has_day = _parsed(text.strip(), order)
    if moment is None or not has_day:
        raise InputError(told("bills.date", text=text))
    return _likely(moment, text)


def read_date(text: str, order: str = MONTH_FIRST) -> date:
    """Day of a cell; see `read_moment`."""
    return read_moment(text, order).date()


def read_month(text: str, order: str = MONTH_FIRST) -> date:
    """First day of the month of a cell, such as ``2024-01``, ``Jan 2024`` or any day of it.

    Raises
    ------
    InputError
        When it is no month of a likely year.
    """
    moment, _ = _parsed(text.strip(), order)
    if moment is None:
        raise InputError(told("bills.month", text=text))
    return _likely(moment, text).date().replace(day=1)


def _likely(moment: datetime, text: str) -> datetime:
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        said = told("bills.year", text=text, year=moment.year, low=FIRST_YEAR, high=LAST_YEAR)
        raise InputError(said)
    return moment


@lru_cache(maxsize=4096)
def _parsed(text: str, order: str) -> tuple[datetime | None, bool]:
    """Moment of a text, if it is one, and whether it names a day."""
    text = _MONTH_YEAR.sub(r"\1 20\2", _ZONE.sub("", text) if ":" in text else text)
    if match := _YEAR_MONTH.match(text):
        year, month = int(match[1] or match[4]), int(match[2] or match[3])
        return (datetime(year, month, 1) if 1 <= month <= 12 else None), False  # noqa: DTZ001
    try:
        if _COMPACT.match(text):
            return datetime.strptime(text, "%Y%m%d"), True
        if _SERIAL.match(text):
            return _SERIAL_ZERO + timedelta(days=float(text)), True
        if match := _YEAR_FIRST.match(text):
            text = f"{match[1]}-{int(match[2]):02d}-{int(match[3]):02d} {match[4]}".strip()
            return _worded(text, order)
        return _worded(text, order) if re.search(r"\d", text) else (None, False)
    except (ValueError, OverflowError):
        return None, False


def _worded(text: str, order: str) -> tuple[datetime, bool]:
    """Read by the library twice on different days: what differs is not in the text.

    Raises
    ------
    ValueError
        When it is no date, or has no month or year.
    """
    from dateutil.parser import parse  # noqa: PLC0415 - only where bills are read

    day_first = bool((match := _NUMERIC.match(text)) and (order == DAY_FIRST or match[2] == "."))
    one, other = (
        parse(text, dayfirst=day_first, parserinfo=_words(), default=default, ignoretz=True)
        for default in (datetime(2000, 1, 1), datetime(2004, 3, 2))  # noqa: DTZ001
    )
    if (one.year, one.month) != (other.year, other.month):
        raise ValueError(text)
    return one, one.day == other.day


@lru_cache(maxsize=1)
def _words() -> "parserinfo":
    from dateutil.parser import parserinfo  # noqa: PLC0415

    class BothLanguages(parserinfo):
        MONTHS = [  # noqa: RUF012 - the library's own attribute
            (*names, short, long)
            for names, short, long in zip(parserinfo.MONTHS, _SPANISH, _SPANISH_LONG, strict=True)
        ]
        JUMP = [*parserinfo.JUMP, "de", "del"]  # noqa: RUF012

    return BothLanguages()
