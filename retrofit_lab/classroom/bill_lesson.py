"""Numbers of the lesson on bills: a year of gas bills of a house with a hidden leak, split by the program's own fit."""

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import fit_kind
from retrofit_lab.bills.fitting.period_weather import BillWeather, bill_weather
from retrofit_lab.bills.fitting.splitting import daily_use, split_fuel
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.classroom.lesson_numbers import Bars, Curve, Curves, LessonNumbers
from retrofit_lab.classroom.made_bills import DAYS, made_bills
from retrofit_lab.classroom.months import MONTHS
from retrofit_lab.climate.locating import find_weather
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.physics.degree_days import heating_degree_days
from retrofit_lab.study.study import Study

FUEL = "natural_gas"
LEAK = {"hot_water.machine_gallons": 65.0}
"""What the bills of the lesson hide: a hot pipe that leaks 60 gallons a day into the crawl space."""
NOISE, SEED = 0.02, 6
COLDER = 1.25
"""Degree days of the colder January in the question worked out by hand, against the month of the bills. [1]"""


def read_the_bills(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """Base load and weather in the gas bills; by hand: what a colder January would take. [therm]"""
    weather, bills = _weather(study.as_found.site.climate), _bills(study)
    split = split_fuel(bills, FUEL, weather)
    fit = fit_kind(daily_use(split.periods, weather), "heating")
    used = np.array([bill.quantity for bill in bills.usable(FUEL)])
    line = {"base": fit.base_load, "slope": fit.heating_slope, "below": fit.heating_base}
    mine = _line(weather, values)
    january = weather.between(DAYS[0], DAYS[1])
    cold_days = round(COLDER * heating_degree_days(january, fit.heating_base), -1)
    days = np.array([float((end - start).days) for start, end in pairwise(DAYS)])
    explained = _explained(study)
    return LessonNumbers(
        facts={
            **line,
            "year": float(used.sum()),
            "base_year": 365.0 * fit.base_load,
            "cold_days": cold_days,
            "january_days": days[0],
            "cold_january": fit.base_load * days[0] + fit.heating_slope * cold_days,
            "this_january": float(fit.use(january).sum()),
            "july": float(used[6]),
            "twelve_julys": float(12.0 * used[6]),
            "explained": explained,
            "beyond": 365.0 * (fit.base_load - explained),
            "best": float(np.abs(_line(weather, line) - used).mean()),
            "miss": float(np.abs(mine - used).mean()),
            "worst": float(np.abs(mine - used).max()),
        },
        charts=(
            _against_the_cold(weather, used, days, values),
            _split_bars(used, fit.base_load * days),
        ),
        before=_months({"billed": used}),
    )


def _split_bars(used: FloatArray, base: FloatArray) -> Bars:
    base = np.minimum(base, used)
    return _months({"every_day": base, "with_cold": used - base}, stacked=True)


def _against_the_cold(
    weather: BillWeather, used: FloatArray, days: FloatArray, line: Mapping[str, float]
) -> Curves:
    """Use a day of each month over its degree days a day below the line's own bend, and that line."""
    months = [weather.between(start, end) for start, end in pairwise(DAYS)]
    cold = np.array([heating_degree_days(month, line["below"]) for month in months]) / days
    ends = np.array([0.0, float(cold.max()) * 1.05])
    return Curves(
        x_unit="cold_axis",
        y_unit="thermday",
        curves={
            "billed": Curve(x=tuple(cold), y=tuple(used / days), joined=False),
            "line": Curve(x=tuple(ends), y=tuple(line["base"] + line["slope"] * ends)),
        },
    )


def _months(series: Mapping[str, FloatArray], *, stacked: bool = False) -> Bars:
    return Bars(
        of="month",
        labels=MONTHS,
        series={name: tuple(amounts.tolist()) for name, amounts in series.items()},
        unit="therm",
        stacked=stacked,
    )


def _line(weather: BillWeather, line: Mapping[str, float]) -> FloatArray:
    """Use of each month by a line. [therm] shape (12,)"""
    months = [weather.between(start, end) for start, end in pairwise(DAYS)]
    cold = [heating_degree_days(month, line["below"]) for month in months]
    days = np.array([len(month) for month in months])
    return np.asarray(line["base"] * days + line["slope"] * np.array(cold))


def _explained(study: Study) -> float:
    """Use a day in summer that the house as described explains. [therm/day]"""
    made = made_bills(study.as_found, study.climate, 0.0, np.random.default_rng(SEED))
    return min(bill.quantity / bill.days for bill in made.usable(FUEL))


def _bills(study: Study) -> BillSet:
    leaking = with_numbers(study.as_found, LEAK)
    return made_bills(leaking, study.climate, NOISE, np.random.default_rng(SEED))


@lru_cache(maxsize=4)
def _weather(site: str) -> BillWeather:
    return bill_weather(find_weather(site))
