"""Finds out from one row of a table when its bill or its interval began and ended; reads no quantities."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.cells import read_number
from retrofit_lab.bills.reading.dates import read_moment, read_month
from retrofit_lab.texts.refusals import told

_BETWEEN = re.compile(r"\s+(?:-|–|—|to|thru|through|until|al?)\s+", re.IGNORECASE)
_CLOCK = re.compile(r"^(\d{1,2})(?::?(\d{2}))?(?::(\d{2}))?\s*([ap])?\.?m?\.?$", re.IGNORECASE)
NOON = 12
LAST_MINUTES = (14, 29, 44, 59)
"""Minutes at which an interval ends whose last minute is stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowTime:
    """Begin, if the row says it, and end of a row; both are the same where the row says its begin alone."""

    start: datetime | None
    end: datetime


def row_time(cells: Mapping[str, str], order: str, *, hours_end: bool = False) -> RowTime:
    """When a row began and ended.

    Parameters
    ----------
    cells : mapping
        Text of each role, such as ``start``, ``end``, ``days``, ``month``; empty or missing where unknown.
    order : str
        Whether the day or the month comes first.
    hours_end : bool
        Whether a column of hours counts from 1 to 24.

    Raises
    ------
    InputError
        When a date is missing or is not one.
    """
    if cells.get("period"):
        return _period(cells["period"], order)
    start, end = cells.get("start", ""), cells.get("end", "")
    if cells.get("start_time") or cells.get("hour"):
        return _clocked(cells, order, hours_end=hours_end)
    if end:
        return _dated(start, end, cells.get("days", ""), order)
    if start and cells.get("days"):
        begin = read_moment(start, order)
        return RowTime(start=begin, end=begin + timedelta(days=whole(cells["days"])))
    if start and "end" not in cells:
        begin = read_moment(start, order)
        return RowTime(start=begin, end=begin)
    return _of_month(cells, order)


def _dated(start: str, end: str, days: str, order: str) -> RowTime:
    last = read_moment(end, order)
    if start:
        return RowTime(start=read_moment(start, order), end=last)
    return RowTime(start=last - timedelta(days=whole(days)) if days else None, end=last)


def _period(text: str, order: str) -> RowTime:
    parts = _BETWEEN.split(text)
    if len(parts) == 1:
        parts = text.split("-" if "/" in text else "/")
    if len(parts) != 2:
        raise InputError(told("bills.period", text=text))
    return RowTime(start=read_moment(parts[0], order), end=read_moment(parts[1], order))


def _clocked(cells: Mapping[str, str], order: str, *, hours_end: bool) -> RowTime:
    """A date with a clock time of the start, and of the end where it is given."""
    day = read_moment(cells.get("start") or cells.get("end") or "", order)
    midnight = datetime.combine(day.date(), time())
    hour = cells.get("hour", "")
    if hour and not cells.get("start_time"):
        begin = midnight + (
            timedelta(hours=whole(hour) - hours_end) if hour.isdigit() else clock(hour)
        )
        return RowTime(start=begin, end=begin + timedelta(hours=1))
    begin = midnight + clock(cells["start_time"])
    if not cells.get("end_time"):
        return RowTime(start=None, end=begin)
    end = midnight + clock(cells["end_time"])
    if end.minute in LAST_MINUTES and begin.minute not in LAST_MINUTES:
        end = end.replace(second=0) + timedelta(minutes=1)
    return RowTime(start=begin, end=end if end > begin else end + timedelta(days=1))


def clock(text: str) -> timedelta:
    """Clock time since midnight of a text such as ``13:15``, ``1:15 PM`` or ``1315``.

    Raises
    ------
    InputError
        When it is none.
    """
    match = _CLOCK.match(text.strip())
    if not match:
        raise InputError(told("bills.time", text=text))
    hour, minute, half = int(match[1]), int(match[2] or 0), (match[4] or "").lower()
    hour = hour % NOON + (NOON if half == "p" else 0) if half else hour
    if not (hour <= 24 and minute < 60):
        raise InputError(told("bills.time", text=text))
    return timedelta(hours=hour, minutes=minute, seconds=int(match[3] or 0))


def _of_month(cells: Mapping[str, str], order: str) -> RowTime:
    month, year, day = (cells.get(role, "") for role in ("month", "year", "day"))
    if not month:
        raise InputError(told("bills.no_date"))
    if year and day:
        end = read_moment(f"{whole(year):04d}-{whole(month):02d}-{whole(day):02d}")
        days = cells.get("days", "")
        return RowTime(start=end - timedelta(days=whole(days)) if days else None, end=end)
    first = read_month(_with_year(month, year), order)
    after = (first + timedelta(days=32)).replace(day=1)
    return RowTime(start=_midnight(first), end=_midnight(after))


def _with_year(month: str, year: str) -> str:
    if not year:
        return month
    return (
        f"{whole(year):04d}-{int(month):02d}" if month.isdigit() else f"{month} {whole(year):04d}"
    )


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time())


def whole(text: str) -> int:
    """Whole number of a cell, such as of days or of a year."""
    return round(read_number(text)[0])
