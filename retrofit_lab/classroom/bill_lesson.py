"""Numbers of the lesson on bills: a year of gas bills of a house with a hidden leak, split by the program's own fit."""

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise

import numpy as np

from retrofit_lab.bills.peculiar import find_peculiar
from retrofit_lab.bills.period_weather import BillWeather, bill_weather
from retrofit_lab.bills.record import BillSet
from retrofit_lab.bills.splitting import FuelSplit, split_fuel
from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.classroom.made_bills import DAYS, made_bills
from retrofit_lab.climate.daily_csv import shipped_weather
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.physics.degree_days import heating_degree_days
from retrofit_lab.study import Study
from retrofit_lab.values import FloatArray

FUEL = "natural_gas"
LEAK = {"hot_water.machine_gallons": 65.0}
"""What the bills of the lesson hide: a hot pipe that leaks 60 gallons a day into the crawl space."""
NOISE, SEED = 0.02, 6
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def read_the_bills(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """Base load and weather in the gas bills; by hand: what January should take. [therm]"""
    weather = _weather(study.as_found.site.climate)
    bills, split = _bills(study), _split(study)
    if split.fit is None or split.base_load is None or split.normal_heating is None:
        raise AssertionError("twelve made bills can always be split")
    used = np.array([bill.quantity for bill in bills.usable(FUEL)])
    days = np.array([float((end - start).days) for start, end in pairwise(DAYS)])
    base, slope, below = split.fit.base_load, split.fit.heating_slope, split.fit.heating_base
    january = weather.between(DAYS[0], DAYS[1])
    degree_days = heating_degree_days(january, below)
    expected = float(split.fit.use(january).sum())
    mine = _line(
        weather, values.get("base", base), values.get("slope", slope), values.get("below", below)
    )
    found = find_peculiar(study.as_found, study.climate, bills, [split], weather)
    return LessonNumbers(
        facts={
            "year": float(used.sum()),
            "heating": split.normal_heating.value,
            "base": base,
            "base_year": 365.0 * base,
            "slope": slope,
            "below": below,
            "degree_days": degree_days,
            "january": float(used[0]),
            "expected": expected,
            "july": float(used[6]),
            "explained": _explained(study),
            "beyond": 365.0 * (base - _explained(study)),
            "miss": float(np.abs(mine - used).mean()),
            "worst": float(np.abs(mine - used).max()),
        },
        guessed=365.0 * base,
        answer=expected,
        slips={
            "no_base": slope * degree_days,
            "no_degree_days": base * days[0],
            "mean_month": float(used.sum()) / 12.0,
        },
        bars=_bars(used, mine, base * days, own="base" in values),
        sentences=tuple(
            f"{item.sentence} {item.look_for}" for item in found if item.key == "high_summer_use"
        ),
    )


def _bars(used: FloatArray, mine: FloatArray, base: FloatArray, *, own: bool) -> Bars:
    if own:
        series = {"on the bill": used, "by your line": mine}
    else:
        series = {"every day, whatever the weather": base, "what follows the cold": used - base}
    return Bars(
        labels=MONTHS,
        series={name: tuple(amounts.tolist()) for name, amounts in series.items()},
        unit="therms a month",
        stacked=not own,
    )


def _line(weather: BillWeather, base: float, slope: float, below: float) -> FloatArray:
    """Use of each month by a line. [therm] shape (12,)"""
    months = [weather.between(start, end) for start, end in pairwise(DAYS)]
    return np.array([base * len(m) + slope * heating_degree_days(m, below) for m in months])


def _explained(study: Study) -> float:
    """Use a day in summer that the house as described explains. [therm/day]"""
    made = made_bills(study.as_found, study.climate, 0.0, np.random.default_rng(SEED))
    return min(bill.quantity / bill.days for bill in made.usable(FUEL))


def _bills(study: Study) -> BillSet:
    leaking = with_numbers(study.as_found, LEAK)
    return made_bills(leaking, study.climate, NOISE, np.random.default_rng(SEED))


def _split(study: Study) -> FuelSplit:
    return split_fuel(_bills(study), FUEL, _weather(study.as_found.site.climate))


@lru_cache(maxsize=4)
def _weather(site: str) -> BillWeather:
    return bill_weather(shipped_weather(site))
