"""What houses of an age usually have today in a place as cold, from ``data/stock_*.csv``; no house is made here."""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.house.place import Place
from retrofit_lab.reference_data import read_rows
from retrofit_lab.values import InputError

COLD = (1000.0, 3000.0, 5000.0, 7000.0)
"""Heating degree days that the columns of the table stand for. [F day]"""


@dataclass(frozen=True, slots=True)
class _Row:
    until: int
    values: tuple[float, ...]


def usual(quantity: str, year_built: float, place: Place) -> float:
    """Mean of one quantity over houses of an age in places as cold. [unit of the table]

    Raises
    ------
    InputError
        When the table has no such quantity.
    """
    try:
        rows = _table()[quantity]
    except KeyError:
        raise InputError(
            f"there is no usual '{quantity}'; known are {', '.join(_table())}"
        ) from None
    row = next((row for row in rows if year_built <= row.until), rows[-1])
    return _between(row.values, place.heating_degree_days)


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
        found.setdefault(row["quantity"], []).append(_Row(int(row["until"]), values))
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
