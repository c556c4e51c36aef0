"""The monthly numbers that the model takes from a year of weather."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.leak_weather import leak_weather
from retrofit_lab.climate.month_hours import HoursOfYears, temperature_exceeded, warmer_hours
from retrofit_lab.climate.weather import MONTH_DAYS, PLANES, Weather, month_means
from retrofit_lab.physics.degree_days import DegreeDayTable, degree_day_table


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthlyClimate:
    """Weather of one place by month, arrays of shape (12,).

    ``days`` [day], ``temperature`` [F], ``wind`` [mph], ``sun`` by plane [Btu/(ft2 day)],
    ``humidity_ratio`` [lb/lb], ``annual_mean`` and ``annual_amplitude`` (half the swing of the
    monthly means) [F], ``elevation_ft`` [ft], ``hours``
    of each month. ``design_heating`` and ``design_cooling`` [F] lie below 99 % and 1 % of the year's
    hours, estimated from the groups of hours. ``leak_weather`` is the weather factor of the
    ventilation standard [1/h]. ``notes`` say what was filled in from elsewhere.
    """

    name: str
    latitude: float
    days: FloatArray
    temperature: FloatArray
    wind: FloatArray
    sun: Mapping[str, FloatArray]
    humidity_ratio: FloatArray
    annual_mean: float
    annual_amplitude: float
    elevation_ft: float
    degree_days: DegreeDayTable
    hours: HoursOfYears
    design_heating: Value
    design_cooling: Value
    leak_weather: float
    notes: tuple[str, ...] = ()


def monthly_climate(weather: Weather) -> MonthlyClimate:
    """Monthly means, hours and degree-day table of a year of weather.

    Months with missing days are taken as whole months at the mean of the days on record.
    """
    temperature = month_means(weather.temperature, weather.month)
    whole = np.array(MONTH_DAYS, dtype=np.float64)
    table = degree_day_table(weather.temperature, weather.month)
    scale = whole / table.days
    return MonthlyClimate(
        name=weather.name,
        latitude=weather.latitude,
        days=whole,
        temperature=temperature,
        wind=month_means(weather.wind, weather.month),
        sun={plane: month_means(weather.sun[plane], weather.month) for plane in PLANES},
        humidity_ratio=month_means(weather.humidity_ratio, weather.month),
        annual_mean=float((temperature * whole).sum() / whole.sum()),
        annual_amplitude=float(np.ptp(temperature) / 2.0),
        elevation_ft=weather.elevation,
        degree_days=DegreeDayTable(
            first=table.first, values=table.values * scale[:, None], days=whole, mean=table.mean
        ),
        hours=weather.hours,
        design_heating=temperature_exceeded(weather.hours, 0.99, whole),
        design_cooling=temperature_exceeded(weather.hours, 0.01, whole),
        leak_weather=leak_weather(weather.hours, month_means(weather.wind, weather.month), whole),
        notes=weather.notes,
    )


def warmer_climate(climate: MonthlyClimate, degrees: Value) -> MonthlyClimate:
    """Climate in which every day is warmer by some degrees: the weather of another year. [F]

    Parameters
    ----------
    climate : MonthlyClimate
        Typical year.
    degrees : Value
        By how much; a float, or an array with a last axis of 1.
    """
    return replace(
        climate,
        temperature=climate.temperature + degrees,
        degree_days=replace(climate.degree_days, warmer=climate.degree_days.warmer + degrees),
        hours=warmer_hours(climate.hours, degrees),
        design_heating=climate.design_heating + degrees,
        design_cooling=climate.design_cooling + degrees,
    )
