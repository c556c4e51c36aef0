"""What the bills of a house say against those of the house as described: by fuel, every day, in cold and in heat.

A straight line in degree days, as a class draws it with a pencil; the fit of real bills stands elsewhere.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import pairwise

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.period_weather import bill_weather
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.classroom.made_bills import DAYS
from retrofit_lab.climate.locating import find_weather
from retrofit_lab.house.description import House
from retrofit_lab.physics.degree_days import cooling_degree_days, heating_degree_days

BASE = 65.0
"""Base of the degree days that a sheet tells. [F]"""
EVERY_DAY, COLD, HOT = "every day", "cold", "hot"
FEWEST = 100.0
"""Degree days a year below which a season is none. [F day]"""
LEAST_PART = 0.1
"""A part of a fuel's use that no month has a tenth of cannot be judged by bills. [1]"""
ELECTRICITY = "electricity"
Part = tuple[str, str]
"""A fuel, and when it is used."""


@cache
def months_degree_days(climate: str) -> tuple[FloatArray, FloatArray]:
    """Heating and cooling degree days of the months of the bills. shapes (12,) [F day]"""
    weather = bill_weather(find_weather(climate))
    months = [weather.between(start, end) for start, end in pairwise(DAYS)]
    return (
        np.array([heating_degree_days(month, BASE) for month in months]),
        np.array([cooling_degree_days(month, BASE) for month in months]),
    )


def months_of(bills: BillSet, fuel: str) -> FloatArray:
    """Use of a fuel by bill. shape (12,) [unit of the fuel]"""
    return np.array([bill.quantity for bill in bills.usable(fuel)])


def more_than_described(
    bills: BillSet, described: BillSet, climate: str, merged: Mapping[str, Sequence[int]]
) -> Mapping[Part, float]:
    """By how much each part of the use exceeds that of the house as described. [1]

    Parameters
    ----------
    bills : BillSet
        Bills of the house.
    described : BillSet
        What it would use as described, in the same weather.
    climate : str
        Its weather.
    merged : mapping of str to sequence of int
        Two months of a fuel that count as one, since one was estimated and the other made up for it; 0 for January.

    Returns
    -------
    mapping
        Share by fuel and season; parts too small to be judged are left out.
    """
    found: dict[Part, float] = {}
    for fuel in bills.fuels:
        used, usual = months_of(bills, fuel), months_of(described, fuel)
        if usual.sum() <= 0:
            continue
        seasons = _seasons(climate, fuel)
        table = np.array(list(seasons.values())).T
        one = merged.get(fuel, ())
        used, usual, table = (_merged(values, one) for values in (used, usual, table))
        before, extra = (_line(table, values, usual) for values in (usual, used - usual))
        for place, season in enumerate(seasons):
            if (before[place] * table[:, place] >= LEAST_PART * usual).any():
                found[fuel, season] = float(extra[place] / before[place])
    return found


def _seasons(climate: str, fuel: str) -> dict[str, FloatArray]:
    """Days and degree days of the months in which a fuel can be used; what burns does not cool."""
    heating, cooling = months_degree_days(climate)
    days = np.array([float((end - start).days) for start, end in pairwise(DAYS)])
    seasons = {EVERY_DAY: days, COLD: heating}
    if fuel == ELECTRICITY:
        seasons[HOT] = cooling
    return {name: values for name, values in seasons.items() if values.sum() >= FEWEST}


def _merged(values: FloatArray, months: Sequence[int]) -> FloatArray:
    """Values with two neighboring months as one."""
    if not months:
        return values
    first, second = months
    together = np.delete(values, second, axis=0)
    together[first] = values[first] + values[second]
    return together


def _line(table: FloatArray, values: FloatArray, usual: FloatArray) -> FloatArray:
    """Use by day and by degree day, months weighed as chance moves them: by their size."""
    weight = 1.0 / np.maximum(usual, 0.02 * usual.max())
    return np.asarray(np.linalg.lstsq(table * weight[:, None], values * weight, rcond=None)[0])


def parts_of(house: House, names: Sequence[str]) -> frozenset[Part]:
    """Parts of the use that a fault moves: ``heat``, ``cool``, ``water`` and ``electric`` by this house's fuels."""
    heat = house.fuel_heaters[0].fuel if house.fuel_heaters else ELECTRICITY
    by_name = {
        "heat": (heat, COLD),
        "cool": (ELECTRICITY, HOT),
        "water": (house.water_heaters[0].fuel, EVERY_DAY),
        "electric": (ELECTRICITY, EVERY_DAY),
    }
    return frozenset(by_name[name] for name in names)
