"""Bills of invented houses whose truth is known, and the weather that made them."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from itertools import pairwise

import numpy as np

from retrofit_lab.bills.fitting.period_weather import ActualDays, BillWeather, bill_weather
from retrofit_lab.bills.reading.checking import Period
from retrofit_lab.climate.daily_csv import shipped_weather


@dataclass(frozen=True)
class Truth:
    """What a house uses: base load a day, slopes a degree day, base temperatures."""

    base_load: float = 1.0
    heating_slope: float = 0.2
    heating_base: float = 61.0
    cooling_slope: float = 0.0
    cooling_base: float = 70.0

    def use(self, temperature: np.ndarray) -> np.ndarray:
        return (
            self.base_load
            + self.heating_slope * np.maximum(self.heating_base - temperature, 0.0)
            + self.cooling_slope * np.maximum(temperature - self.cooling_base, 0.0)
        )


@cache
def typical(site: str = "greensboro_nc") -> BillWeather:
    return bill_weather(shipped_weather(site))


@cache
def measured(site: str = "greensboro_nc", seed: int = 0, years: int = 2) -> BillWeather:
    """Days of invented actual years: the typical year with a wandering difference."""
    rng = np.random.default_rng(seed)
    base = typical(site)
    first = date(2022, 1, 1)
    days = base.between(first, date(2022 + years, 1, 1))
    wander = np.convolve(rng.normal(0.0, 2.5, len(days) + 9), np.ones(10) / np.sqrt(10), "valid")
    return bill_weather(
        shipped_weather(site), ActualDays(name="made up", first=first, temperature=days + wander)
    )


def reading_days(
    count: int = 12, first: date = date(2022, 1, 9), step: float = 30.4375
) -> list[date]:
    return [first + timedelta(days=round(step * n)) for n in range(count + 1)]


def bills_of(truth, weather, dates, noise: float = 0.0, seed: int = 0, fuel: str = "natural_gas"):
    """Periods of a house: daily noise as a share of the mean use, independent from day to day."""
    rng = np.random.default_rng(seed)
    mean = truth.use(weather.normal_year()).mean()
    made = []
    for row, (start, end) in enumerate(pairwise(dates), start=1):
        days = truth.use(weather.between(start, end))
        days = days + rng.normal(0.0, noise * mean, len(days))
        made.append(
            Period(fuel=fuel, start=start, end=end, quantity=float(days.sum()), rows=(row,))
        )
    return made


def normal_year(truth: Truth, weather: BillWeather) -> float:
    return float(truth.use(weather.normal_year()).sum())
