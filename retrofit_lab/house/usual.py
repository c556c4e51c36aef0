"""What houses of an age usually have today in a place as cold, from ``data/stock_*.csv``; no house is made here."""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.house.place import Place

COLD = (1000.0, 3000.0, 5000.0, 7000.0)
"""Heating degree days that the columns of the table stand for. [F day]"""


@dataclass(frozen=True, slots=True)
class _Row:
    until: int
    values: tuple[float, ...]
    low: float
    high: float


def usual(quantity: str, year_built: float, place: Place) -> float:
    """Mean of one quantity over houses of an age in places as cold. [unit of the table]

    Raises
    ------
    InputError
        When the table has no such quantity.
    """
    return _between(_row(quantity, year_built).values, place.heating_degree_days)


def usual_spread(quantity: str, year_built: float) -> tuple[float, float]:
    """Factors on the mean between which eight in ten houses of an age lie. [1]"""
    row = _row(quantity, year_built)
    return row.low, row.high


def usual_use_per_area(heating_degree_days_65: float) -> tuple[float, float]:
    """Range in which eight in ten houses of a climate lie. [kBtu/(ft2 year)]

    Parameters
    ----------
    heating_degree_days_65 : float
        Yearly heating degree days at base 65 F. [F day]
    """
    rows = read_rows("use_per_area.csv")
    row = next(
        (r for r in rows if heating_degree_days_65 < float(r["heating_degree_days_65_high_F_day"])),
        rows[-1],
    )
    return float(row["low_kBtu_per_ft2_year"]), float(row["high_kBtu_per_ft2_year"])


def _row(quantity: str, year_built: float) -> _Row:
    try:
        rows = _table()[quantity]
    except KeyError:
        known = ", ".join(_table())
        raise InputError(f"there is no usual '{quantity}'; known are {known}") from None
    return next((row for row in rows if year_built <= row.until), rows[-1])


def _between(values: tuple[float, ...], degree_days: float) -> float:
    degree_days = min(max(degree_days, COLD[0]), COLD[-1])
    at = max(bisect_left(COLD, degree_days), 1)
    share = (degree_days - COLD[at - 1]) / (COLD[at] - COLD[at - 1])
    return values[at - 1] + share * (values[at] - values[at - 1])


@cache
def _table() -> Mapping[str, tuple[_Row, ...]]:
    found: dict[str, list[_Row]] = {}
    for row in read_rows("stock_by_age.csv"):
        values = tuple(float(row[f"at_{cold:.0f}"]) for cold in COLD)
        low, high = float(row["low"]), float(row["high"])
        made = _Row(int(row["until"]), values, low, high)
        found.setdefault(row["quantity"], []).append(made)
    return {name: tuple(sorted(rows, key=lambda r: r.until)) for name, rows in found.items()}


def usual_use(key: str, year_built: float, people: float, floor_area: float) -> float:
    """What an appliance uses in a year, by people and floor area [ft2]. [kWh/year]"""
    rows = [row for row in _uses() if row["key"] == key and year_built <= float(row["until"])]
    row = min(rows, key=lambda row: float(row["until"]))
    by_people = float(row["per_person_kWh"]) * people
    return float(row["base_kWh"]) + by_people + float(row["per_area_kWh_per_ft2"]) * floor_area


def bulb_shares(year: float, *, old_ones: bool) -> Mapping[str, float]:
    """Shares of the kinds of bulbs that houses have in a year; without ``old_ones`` fluorescent in their place. [1]"""
    rows = _bulbs()
    years = [float(row["year"]) for row in rows]
    kinds = ("led", "fluorescent", "incandescent")
    found = {
        kind: float(np.interp(year, years, [float(row[kind]) for row in rows])) for kind in kinds
    }
    if not old_ones:
        found["fluorescent"] += found.pop("incandescent")
    return found


@cache
def _uses() -> list[dict[str, str]]:
    return read_rows("stock_uses.csv")


@cache
def _bulbs() -> list[dict[str, str]]:
    return read_rows("stock_bulbs.csv")
