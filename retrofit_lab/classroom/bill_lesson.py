"""Numbers of the lesson on bills: a year of gas bills of a house with a hidden leak, split by the program's own fit."""

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import fit_kind
from retrofit_lab.bills.fitting.period_weather import BillWeather, bill_weather
from retrofit_lab.bills.fitting.splitting import daily_use, split_fuel
from retrofit_lab.bills.fitting.unusual_bills import find_peculiar
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.classroom.made_bills import DAYS, made_bills
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
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def read_the_bills(study: Study, values: Mapping[str, float]) -> LessonNumbers:
    """Base load and weather in the gas bills; by hand: what a colder January would take. [therm]"""
    weather, bills = _weather(study.as_found.site.climate), _bills(study)
    split = split_fuel(bills, FUEL, weather)
    fit = fit_kind(daily_use(split.periods, weather), "heating")
    used = np.array([bill.quantity for bill in bills.usable(FUEL)])
    days = np.array([float((end - start).days) for start, end in pairwise(DAYS)])
    line = {"base": fit.base_load, "slope": fit.heating_slope, "below": fit.heating_base}
    january = weather.between(DAYS[0], DAYS[1])
    degree_days = round(COLDER * heating_degree_days(january, fit.heating_base), -1)
    cold = fit.heating_slope * degree_days
    always = fit.base_load * days[0]
    mine = _line(weather, {**line, **values})
    explained = _explained(study)
    found = find_peculiar(study.as_found, study.climate, bills, [split], weather)
    return LessonNumbers(
        facts={
            **line,
            "year": float(used.sum()),
            "base_year": 365.0 * fit.base_load,
            "degree_days": degree_days,
            "july": float(used[6]),
            "explained": explained,
            "beyond": 365.0 * (fit.base_load - explained),
            "best": float(np.abs(_line(weather, line) - used).mean()),
            "miss": float(np.abs(mine - used).mean()),
            "worst": float(np.abs(mine - used).max()),
        },
        guessed=365.0 * fit.base_load,
        answer=cold + float(always),
        slips={
            "no_base": cold,
            "no_degree_days": float(always),
            "this_january": float(fit.use(january).sum()),
        },
        bars=_bars(used, mine, fit.base_load * days, own=bool(values)),
        before=_months({"on the bill": used}),
        sentences=tuple(
            f"{item.sentence} {item.look_for}" for item in found if item.key == "high_summer_use"
        ),
    )


def _bars(used: FloatArray, mine: FloatArray, base: FloatArray, *, own: bool) -> Bars:
    if own:
        return _months({"on the bill": used, "by your line": mine})
    base = np.minimum(base, used)
    split = {"every day, whatever the weather": base, "what follows the cold": used - base}
    return _months(split, stacked=True)


def _months(series: Mapping[str, FloatArray], *, stacked: bool = False) -> Bars:
    return Bars(
        of="Month",
        labels=MONTHS,
        series={name: tuple(amounts.tolist()) for name, amounts in series.items()},
        unit="therms a month",
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
