"""Reads daily weather: the shipped sites, and a person's own table of daily temperatures."""

import csv
import re
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from pathlib import Path

import numpy as np

from retrofit_lab.climate.month_hours import moved_to
from retrofit_lab.climate.stations import nearest_hours
from retrofit_lab.climate.weather import (
    MONTH_DAYS,
    PLANES,
    ClimateError,
    Weather,
    check_temperatures,
)
from retrofit_lab.reference_data import read_rows
from retrofit_lab.values import FloatArray

_MEAN = ("tavg", "tmean", "mean", "average", "temperature", "temp")
_HIGH = ("tmax", "high", "max")
_LOW = ("tmin", "low", "min")
_DATE = ("date", "day", "time")
_DATE_FORMS = ("%Y-%m-%d", "%m/%d/%Y", "%Y/%m/%d", "%Y%m%d", "%d.%m.%Y")
MOST_BYTES = 5_000_000


def site_rows() -> dict[str, dict[str, str]]:
    """Shipped sites by key."""
    return {row["key"]: row for row in read_rows("climates", "sites.csv")}


def shipped_weather(key: str) -> Weather:
    """Daily weather of a shipped site.

    Raises
    ------
    ClimateError
        When there is no such site.
    """
    sites = site_rows()
    if key not in sites:
        raise ClimateError(
            f"there is no climate '{key}'; shipped are {', '.join(sorted(sites))}. "
            f"Or give the path of a weather file."
        )
    site = sites[key]
    rows = read_rows("climates", f"{key}.csv")
    columns = {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}
    month = columns["month"] - 1.0
    sun = {plane: columns[f"sun_{plane}_Btu_per_ft2_day"] for plane in PLANES}
    latitude, longitude = float(site["latitude_degree"]), float(site["longitude_degree"])
    hours, note = nearest_hours(
        latitude,
        longitude,
        _month_means(columns["mean_temperature_F"], month),
        _month_means(columns["humidity_ratio_lb_per_lb"], month),
        _month_means(sun["horizontal"], month),
    )
    return Weather(
        key=key,
        name=site["name"],
        latitude=latitude,
        longitude=longitude,
        elevation=float(site["elevation_ft"]),
        source=site["source"],
        month=month,
        temperature=columns["mean_temperature_F"],
        wind=columns["wind_mph"],
        sun=sun,
        humidity_ratio=columns["humidity_ratio_lb_per_lb"],
        hours=hours,
        notes=(note,),
    )


def read_daily_temperatures(path: str | Path, like: str) -> Weather:
    """Weather from a person's own daily temperatures; wind, sun and moisture come from a shipped site.

    Parameters
    ----------
    path : str or Path
        CSV with a date and either a mean or a high and a low; columns in F, or in C when the
        heading says so.
    like : str
        Key of the shipped site whose wind, sun and moisture are taken, by month.

    Raises
    ------
    ClimateError
        Naming the file, the row, the value and the rule.
    """
    path = Path(path)
    rows = _rows(path)
    header = list(rows[0]) if rows else []
    when = _column(header, _DATE, path)
    days = [_date(row[when], number, path) for number, row in enumerate(rows, start=2)]
    temperature = _temperatures(rows, header, path)
    order = np.argsort([day.toordinal() for day in days], kind="stable")
    month = np.array([float(day.month - 1) for day in days])[order]
    base = shipped_weather(like)
    note = f"{path.name}: wind, sun, moisture of the air and the pattern of hours are those of {base.name}."
    missing = sum(MONTH_DAYS) - len(rows)
    notes = (note, f"{path.name}: {missing} days are missing.") if missing > 0 else (note,)
    temperature = temperature[order]
    check_temperatures(path.stem, temperature)
    hours = moved_to(
        base.hours,
        _month_means(temperature, month),
        _month_means(base.humidity_ratio, base.month),
        _month_means(base.sun["horizontal"], base.month),
    )
    return Weather(
        key=path.stem,
        name=path.stem,
        latitude=base.latitude,
        longitude=base.longitude,
        elevation=base.elevation,
        source=f"daily temperatures from {path.name}",
        month=month,
        temperature=temperature,
        wind=_by_month(base, base.wind, month),
        sun={plane: _by_month(base, base.sun[plane], month) for plane in PLANES},
        humidity_ratio=_by_month(base, base.humidity_ratio, month),
        hours=hours,
        notes=notes,
    )


def _rows(path: Path) -> list[Mapping[str, str]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ClimateError(f"{path.name}: larger than {MOST_BYTES:,} bytes. Give daily values.")
        with path.open(newline="", encoding="utf-8-sig") as file:
            return list(csv.DictReader(file))
    except (OSError, UnicodeDecodeError) as error:
        raise ClimateError(f"{path.name}: cannot be read ({error}). Give a CSV file.") from error


def _temperatures(rows: Sequence[Mapping[str, str]], header: list[str], path: Path) -> FloatArray:
    mean = _column(header, _MEAN, path, needed=False)
    names = [mean] if mean else [_column(header, _HIGH, path), _column(header, _LOW, path)]
    columns = [_numbers(rows, name, path) for name in names]
    return np.asarray(np.mean(columns, axis=0))


def _numbers(rows: Sequence[Mapping[str, str]], name: str, path: Path) -> FloatArray:
    values = []
    for number, row in enumerate(rows, start=2):
        try:
            values.append(float(row[name]))
        except (TypeError, ValueError):
            raise ClimateError(
                f"{path.name}, row {number}: {name} is {row[name]!r}; a number is needed. "
                f"Fill it in or take the row out."
            ) from None
    array = np.array(values)
    celsius = re.search(r"(?:^|[^a-z])(?:deg)?c(?:elsius)?(?:$|[^a-z])", name.lower())
    return array * 1.8 + 32.0 if celsius else array


def _column(header: list[str], words: Sequence[str], path: Path, *, needed: bool = True) -> str:
    for name in header:
        plain = name.lower().replace("_", " ").split(" ")[0].split("(")[0]
        if plain in words:
            return name
    if needed:
        raise ClimateError(
            f"{path.name}: no column named one of {', '.join(words)}; found {', '.join(header)}. "
            f"Rename a column."
        )
    return ""


def _date(text: str, number: int, path: Path) -> date:
    for form in _DATE_FORMS:
        try:
            return datetime.strptime(text.strip()[:10], form).date()
        except (ValueError, AttributeError):
            continue
    raise ClimateError(f"{path.name}, row {number}: '{text}' is no date; write it as 2025-01-31.")


def _by_month(weather: Weather, values: FloatArray, month: FloatArray) -> FloatArray:
    return np.asarray(_month_means(values, weather.month)[month.astype(int)])


def _month_means(values: FloatArray, month: FloatArray) -> FloatArray:
    return np.array([values[month == m].mean() for m in range(12)])
