"""Weather from a person's own temperatures, daily or twelve monthly normals, with the rest lent by a place like it."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.climate.gaps import fill_gaps
from retrofit_lab.climate.month_hours import moved_to
from retrofit_lab.climate.own_table import DATE, MONTH, OwnTable
from retrofit_lab.climate.weather import (
    COLDEST,
    HOTTEST,
    PLANES,
    ClimateError,
    Weather,
    check_temperatures,
    month_means,
)
from retrofit_lab.texts.refusals import told

MOST_DAYS = 36_600
UNLIKE = 20.0
"""How far the year's mean may lie from that of the place that is like it before a wrong unit is suspected. [F]"""
_DATE_FORMS = ("%Y-%m-%d", "%m/%d/%Y", "%Y/%m/%d", "%Y%m%d", "%d.%m.%Y")
_MONTH_NAMES = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def own_weather(table: OwnTable, base: Weather) -> Weather:
    """Weather of a table of days or of months; wind, sun, moisture and the pattern of hours are lent.

    Parameters
    ----------
    table : OwnTable
        Temperatures.
    base : Weather
        Typical year of the place that is like it.

    Raises
    ------
    ClimateError
        Naming the file, the row, the value and the rule.
    """
    return _of_months(table, base) if table.by_month else _of_days(table, base)


def _of_days(table: OwnTable, base: Weather) -> Weather:
    first, known = _days_on_record(table)
    check_temperatures(table.name, known[~np.isnan(known)])
    _check_unit(table, float(np.nanmean(known)), base)
    days = [first + timedelta(days=n) for n in range(max(len(known), 365))]
    whole = np.full(len(days), np.nan)
    whole[: len(known)] = known
    filled, notes = fill_gaps(whole, _typical_days(base, days), days, base.name)
    month = np.array([float(day.month - 1) for day in days])
    return _lent(
        table,
        base,
        month,
        filled,
        [told("place.note", file=table.name, note=note) for note in notes],
    )


def _of_months(table: OwnTable, base: Weather) -> Weather:
    normals = _normals(table)
    check = ~((normals > COLDEST) & (normals < HOTTEST))
    if check.any():
        month = int(np.argmax(check))
        raise ClimateError(
            told(
                "weather.month_beyond",
                name=table.name,
                month=month + 1,
                value=f"{normals[month]:g}",
                low=f"{COLDEST:g}",
                high=f"{HOTTEST:g}",
            )
        )
    _check_unit(table, float(normals.mean()), base)
    shift = normals - month_means(base.temperature, base.month)
    temperature = base.temperature + shift[base.month.astype(int)]
    note = told("place.normals", file=table.name, place=base.name)
    return _lent(table, base, base.month, temperature, [note])


def _lent(
    table: OwnTable, base: Weather, month: FloatArray, temperature: FloatArray, notes: list[str]
) -> Weather:
    """Weather of own temperatures with all else taken from a base, by month."""
    place = month.astype(int)
    moisture = month_means(base.humidity_ratio, base.month)
    sun = {plane: month_means(base.sun[plane], base.month) for plane in PLANES}
    lent = told("place.lent", file=table.name, place=base.name)
    stem = table.name.rpartition(".")[0] or table.name
    return replace(
        base,
        key=stem,
        name=stem,
        source=f"temperatures from {table.name}",
        month=month,
        temperature=temperature,
        wind=month_means(base.wind, base.month)[place],
        sun={plane: sun[plane][place] for plane in PLANES},
        humidity_ratio=moisture[place],
        hours=moved_to(base.hours, month_means(temperature, month), moisture, sun["horizontal"]),
        notes=(lent, *notes, *base.notes),
    )


def _days_on_record(table: OwnTable) -> tuple[date, FloatArray]:
    """First day, and a temperature for each day from it on; not a number where one is missing. [F]"""
    when = table.column(DATE)
    temperature = table.temperatures()
    known: dict[int, float] = {}
    for line, row, value in zip(table.lines, table.rows, temperature, strict=True):
        day = _date(row.get(when, ""), line, table).toordinal()
        if day in known:
            raise ClimateError(told("weather.day_twice", name=table.name, row=line, day=row[when]))
        known[day] = value
    first, last = min(known), max(known)
    if last - first > MOST_DAYS:
        raise ClimateError(told("weather.span", name=table.name, most=f"{MOST_DAYS:,}"))
    days = np.full(last - first + 1, np.nan)
    for day, value in known.items():
        days[day - first] = value
    return date.fromordinal(first), days


def _date(text: str | None, line: int, table: OwnTable) -> date:
    for form in _DATE_FORMS:
        try:
            return datetime.strptime((text or "").strip()[:10], form).date()
        except ValueError:
            continue
    raise ClimateError(told("weather.date", name=table.name, row=line, text=text))


def _typical_days(base: Weather, days: list[date]) -> FloatArray:
    """Temperature of the base on each day of the calendar; the last of February counts twice in leap years."""
    by_month = [base.temperature[base.month == m] for m in range(12)]
    return np.array(
        [by_month[d.month - 1][min(d.day, len(by_month[d.month - 1])) - 1] for d in days]
    )


def _normals(table: OwnTable) -> FloatArray:
    """Means of the twelve months in order. [F]"""
    when = table.column(MONTH)
    values = table.temperatures()
    found: dict[int, float] = {}
    for line, row, value in zip(table.lines, table.rows, values, strict=True):
        month = _month(row.get(when, ""), line, table)
        if month in found:
            raise ClimateError(
                told("weather.month_twice", name=table.name, row=line, month=row[when])
            )
        if np.isnan(value):
            raise ClimateError(
                told("weather.month_empty", name=table.name, row=line, month=row[when])
            )
        found[month] = value
    if len(found) < 12:
        missing = [_MONTH_NAMES[m].title() for m in range(12) if m not in found]
        raise ClimateError(told("weather.months", name=table.name, missing=missing))
    return np.array([found[month] for month in range(12)])


def _month(text: str | None, line: int, table: OwnTable) -> int:
    word = (text or "").strip().lower()
    if word.isdecimal() and 1 <= int(word) <= 12:
        return int(word) - 1
    if word[:3] in _MONTH_NAMES:
        return _MONTH_NAMES.index(word[:3])
    raise ClimateError(told("weather.month", name=table.name, row=line, text=text))


def _check_unit(table: OwnTable, mean: float, base: Weather) -> None:
    """Refuse Celsius in a column that is read as Fahrenheit."""
    usual = float(base.temperature.mean())
    if abs(mean - usual) > UNLIKE and abs(mean * 1.8 + 32.0 - usual) < UNLIKE / 2.0:
        raise ClimateError(
            told(
                "weather.celsius",
                name=table.name,
                mean=f"{mean:.0f}",
                usual=f"{usual:.0f}",
                place=base.name,
            )
        )
