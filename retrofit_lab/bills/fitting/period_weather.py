"""Daily temperatures of the very days that bills cover, from a dated file where given, else from a typical year."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.bills.reading.cells import read_number, text_of
from retrofit_lab.bills.reading.dates import date_orders, read_date
from retrofit_lab.bills.reading.record import BillError
from retrofit_lab.climate.weather import COLDEST, HOTTEST, Weather
from retrofit_lab.texts.refusals import told

MOST_BYTES = 5_000_000
MOST_DAYS = 36_600
_MEAN = {"tavg", "tmean", "mean", "average", "temperature", "temp", "avg"}
_HIGH = {"tmax", "high", "max", "maximum"}
_LOW = {"tmin", "low", "min", "minimum"}
_DATE = {"date", "day", "time"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ActualDays:
    """Daily mean temperatures by date; days that the file lacks are not a number. [F]"""

    name: str
    first: date
    temperature: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class BillWeather:
    """Temperatures for any day: the actual ones where known, else those of a typical year.

    ``typical`` has shape (12, 31), month by day, with the last day repeated in short months. [F]
    """

    name: str
    typical: FloatArray
    actual: ActualDays | None = None

    def between(self, start: date, end: date) -> FloatArray:
        """Daily mean temperatures from a day up to, not with, another. [F] shape (days,)"""
        usual = self._typical_between(start, end)
        measured = self._measured(start, len(usual))
        return np.where(np.isnan(measured), usual, measured)

    def share_measured(self, start: date, end: date) -> float:
        """Share of the days of a time whose temperature was measured."""
        return float((~np.isnan(self._measured(start, (end - start).days))).mean())

    def normal_year(self) -> FloatArray:
        """The 365 days of the typical year. [F]"""
        return self._typical_between(date(2001, 1, 1), date(2002, 1, 1))

    def _typical_between(self, start: date, end: date) -> FloatArray:
        days = [start + timedelta(days=n) for n in range((end - start).days)]
        return np.array([self.typical[day.month - 1, day.day - 1] for day in days])

    def _measured(self, start: date, count: int) -> FloatArray:
        result = np.full(count, np.nan)
        if self.actual is None:
            return result
        offset = (start - self.actual.first).days
        known = self.actual.temperature
        low, high = max(offset, 0), min(offset + count, len(known))
        if low < high:
            result[low - offset : high - offset] = known[low:high]
        return result


def bill_weather(weather: Weather, actual: ActualDays | None = None) -> BillWeather:
    """Temperatures for bills, from a site's typical year and, where given, the measured days."""
    table = np.empty((12, 31))
    for month in range(12):
        days = weather.temperature[weather.month == month]
        table[month] = days[np.minimum(np.arange(31), len(days) - 1)]
    return BillWeather(name=weather.name, typical=table, actual=actual)


def read_actual_days(path: str | Path) -> ActualDays:
    """Dated daily temperatures of a CSV file: a date with a mean, or with a high and a low.

    Parameters
    ----------
    path : str or Path
        Columns in F, or in C where the heading says so.

    Raises
    ------
    BillError
        Naming file, row, value, rule and way out.
    """
    path = Path(path)
    headings, rows = _table(path)
    when = _column(headings, _DATE, path)
    mean = _column(headings, _MEAN, path, needed=False)
    places = [mean] if mean >= 0 else [_column(headings, names, path) for names in (_HIGH, _LOW)]
    form = date_orders([text_of(row[when]) for row in rows])[0]
    by_day: dict[date, float] = {}
    for number, row in enumerate(rows, start=2):
        try:
            day = read_date(text_of(row[when]), form)
            by_day[day] = float(np.mean([_degrees(row[p], headings[p]) for p in places]))
        except (InputError, IndexError) as error:
            raise BillError(
                told("period_weather.row", file=path.name, number=number, why=error)
            ) from error
    return _by_date(by_day, path.name)


def _table(path: Path) -> tuple[list[str], list[list[str]]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BillError(told("period_weather.large", file=path.name, most=f"{MOST_BYTES:,}"))
        with path.open(newline="", encoding="utf-8-sig") as file:
            table = [row for row in csv.reader(file) if any(cell.strip() for cell in row)]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise BillError(told("period_weather.unread", file=path.name, why=error)) from error
    if len(table) < 2:
        raise BillError(told("period_weather.no_days", file=path.name))
    return table[0], table[1:]


def _column(headings: Sequence[str], names: set[str], path: Path, *, needed: bool = True) -> int:
    for place, heading in enumerate(headings):
        if set(re.findall(r"[a-z]+", heading.lower().replace("_", " "))) & names:
            return place
    if needed:
        raise BillError(
            told(
                "period_weather.column",
                file=path.name,
                known=", ".join(sorted(names)),
                found=", ".join(headings),
            )
        )
    return -1


def _degrees(cell: str, heading: str) -> float:
    value = read_number(cell.strip())[0]
    celsius = re.search(r"(?:^|[^a-z])(?:deg)?c(?:elsius)?(?:$|[^a-z])", heading.lower())
    degrees = value * 1.8 + 32.0 if celsius else value
    if not COLDEST < degrees < HOTTEST:
        raise InputError(
            f"{heading} is {value:g}; must be {COLDEST:g} to {HOTTEST:g} °F. Look for a wrong unit"
        )
    return degrees


def _by_date(by_day: dict[date, float], name: str) -> ActualDays:
    first, last = min(by_day), max(by_day)
    count = (last - first).days + 1
    if count > MOST_DAYS:
        raise BillError(
            told("period_weather.span", name=name, count=f"{count:,}", most=f"{MOST_DAYS:,}")
        )
    temperature = np.full(count, np.nan)
    for day, value in by_day.items():
        temperature[(day - first).days] = value
    return ActualDays(name=name, first=first, temperature=temperature)
