"""Carries the model's months of a typical year over to the very periods and weather of bills."""

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import DegreeDayFit
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.reading.checking import Period
from retrofit_lab.bills.reading.fuels import heat_contents
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.model.year import YearEnergy, year_energy

MONTHS = 12
LEAST_DAILY = 0.02
"""Share of the mean daily use below which a day does not count, so that no month is divided by nothing."""


def month_shares(
    whole: Sequence[Period],
    weather: BillWeather,
    fit: DegreeDayFit | None,
    warmer: float = 0.0,
) -> FloatArray:
    """How much of each model month falls into each period.

    A period takes the share of a month that its days have in it; where a line of use against
    temperature is known, days count by what that line says of their actual temperature, over what it
    says of the month's typical days. So a cold January takes more than one model January. ``warmer`` is
    by how much the days of the bills were warmer than ``weather`` says. [F]

    Returns
    -------
    ndarray, shape (periods, 12)
        To be multiplied with the use of the months. [1]
    """
    typical = weather.normal_year()
    months = _months_between(date(2001, 1, 1), date(2002, 1, 1))
    usual = np.bincount(months, weights=_daily(typical, typical, fit), minlength=MONTHS)
    shares = np.empty((len(whole), MONTHS))
    for place, period in enumerate(whole):
        use = _daily(weather.between(period.start, period.end) + warmer, typical, fit)
        own = _months_between(period.start, period.end)
        shares[place] = np.bincount(own, weights=use, minlength=MONTHS) / usual
    return shares


def fuel_months(year: YearEnergy, fuel: str, variants: int) -> FloatArray:
    """Use of one fuel by month, over all end uses. shape (variants, 12) [unit of the fuel]"""
    total = np.zeros((variants, MONTHS))
    for (name, _), energy in year.monthly.items():
        if name == fuel:
            total += energy
    return total / heat_contents()[fuel]


def model_fuels(house: House, climate: MonthlyClimate) -> tuple[str, ...]:
    """Fuels of which the model says that the house uses some."""
    year = year_energy(house, climate)
    used = {fuel for fuel, _ in year.monthly if fuel_months(year, fuel, 1).sum() > 0}
    return tuple(sorted(used))


def _daily(temperature: FloatArray, typical: FloatArray, fit: DegreeDayFit | None) -> FloatArray:
    if fit is None:
        return np.ones_like(temperature)
    least = LEAST_DAILY * float(fit.use(typical).mean())
    return np.maximum(fit.use(temperature), least)


def _months_between(start: date, end: date) -> FloatArray:
    return np.array([(start + timedelta(days=n)).month - 1 for n in range((end - start).days)])
