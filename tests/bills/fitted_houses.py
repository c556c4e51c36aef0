"""Example houses whose numbers were changed in a known way, with the bills that the model makes of them."""

from datetime import date
from itertools import pairwise

import numpy as np

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.bills.fitting.house_fit import numbers_at
from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.bills.fitting.period_weather import bill_weather
from retrofit_lab.bills.reading.record import Bill, BillSet
from retrofit_lab.climate.daily_csv import shipped_weather
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.year import year_energy
from retrofit_lab.uncertainty.sampling import spreads

HOUSES = {
    name: load_house(data_path("houses", f"{name}.toml"))
    for name in ("wren_cottage", "alder_street")
}
RANGES = {name: tuple(spreads(house)) for name, house in HOUSES.items()}
CLIMATE = {name: find_climate(house.site.climate) for name, house in HOUSES.items()}
WEATHER = {
    name: bill_weather(shipped_weather(house.site.climate)) for name, house in HOUSES.items()
}
MONTHS = [*(date(2023, month, 1) for month in range(1, 13)), date(2024, 1, 1)]


def true_house(name: str, seed: int, spread: float = 1.0 / 1.2815515655446004):
    """The house with every cause drawn from its stated range."""
    causes = tuple(dict.fromkeys(item.cause for item in RANGES[name]))
    places = np.random.default_rng(seed).normal(0.0, spread, (1, len(causes))).clip(-2.0, 2.0)
    numbers = numbers_at(HOUSES[name], RANGES[name], causes, places)
    return with_numbers(HOUSES[name], {path: float(v[0, 0]) for path, v in numbers.items()})


def billed(
    house, name: str, noise: float = 0.05, seed: int = 0, factor: float = 1.0, months=range(12)
) -> BillSet:
    """A bill by calendar month of every fuel that a house uses."""
    rng = np.random.default_rng(seed + 10_000)
    year = year_energy(house, CLIMATE[name])
    made = []
    for fuel in sorted({fuel for fuel, _ in year.monthly}):
        use = fuel_months(year, fuel, 1)[0] * (1.0 + noise * rng.standard_normal(12)) * factor
        for month, (start, end) in enumerate(pairwise(MONTHS)):
            if month in months:
                made.append(
                    Bill(fuel=fuel, start=start, end=end, quantity=float(use[month]), row=month + 1)
                )
    return BillSet(name="made bills", bills=tuple(made))
