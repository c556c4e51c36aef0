"""Daily weather of one place as a frozen record, and how hours become days; files are read elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.climate.month_hours import HoursOfYears, MonthHours, month_hours
from retrofit_lab.physics.air_properties import saturation_pressure
from retrofit_lab.physics.sun import ORIENTATIONS, on_wall, sun_direction
from retrofit_lab.texts.refusals import told

BTU_PER_FT2_PER_WH_PER_M2 = 0.316998
MPH_PER_M_PER_S = 2.236936
PLANES = ("horizontal", *ORIENTATIONS)
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
LEAST_DAYS = 330
COLDEST, HOTTEST = -80.0, 130.0


class ClimateError(InputError):
    """Weather that cannot be read or used."""


@dataclass(frozen=True, kw_only=True)
class Weather:
    """Daily weather of a year.

    ``month`` is 0 to 11 for each day; temperatures [F], wind [mph], sun by plane [Btu/(ft2 day)],
    moisture of the air [lb/lb]; ``hours`` by month. Latitude and longitude [degree north and east],
    elevation [ft]. ``notes`` say what was filled in from elsewhere.
    """

    key: str
    name: str
    latitude: float
    longitude: float
    elevation: float
    source: str
    month: FloatArray
    temperature: FloatArray
    wind: FloatArray
    sun: Mapping[str, FloatArray]
    humidity_ratio: FloatArray
    hours: HoursOfYears
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        check_temperatures(self.name, self.temperature)
        for month in range(12):
            if not (self.month == month).any():
                raise ClimateError(told("weather.no_days", name=self.name, month=month + 1))

    @cached_property
    def days(self) -> int:
        """Number of days on record."""
        return len(self.temperature)


def month_means(values: FloatArray, month: FloatArray) -> FloatArray:
    """Means of daily values by month, shape (12,); the month of each day is 0 to 11."""
    return np.array([values[month == m].mean() for m in range(12)])


def check_temperatures(name: str, temperature: FloatArray) -> None:
    """Refuse temperatures that no inhabited place has, and years with too few days.

    Raises
    ------
    ClimateError
        Naming the place, the value and the rule.
    """
    if len(temperature) < LEAST_DAYS:
        raise ClimateError(
            told("weather.few_days", name=name, count=len(temperature), least=LEAST_DAYS)
        )
    wrong = ~((temperature > COLDEST) & (temperature < HOTTEST))
    if wrong.any():
        day = int(np.argmax(wrong))
        raise ClimateError(
            told(
                "weather.day_beyond",
                name=name,
                day=day + 1,
                value=f"{temperature[day]:g}",
                low=f"{COLDEST:g}",
                high=f"{HOTTEST:g}",
            )
        )


@dataclass(frozen=True, kw_only=True)
class Hours:
    """Hourly weather as open typical-year files hold it, in their units.

    Hours end at ``hour`` (1 to 24); temperature and dew point [C], wind [m/s], irradiation [W/m2],
    elevation [m], clock zone [h].
    """

    name: str
    latitude: float
    longitude: float
    zone: float
    elevation: float
    month: FloatArray
    day: FloatArray
    hour: FloatArray
    temperature: FloatArray
    dew_point: FloatArray
    wind: FloatArray
    horizontal: FloatArray
    beam: FloatArray
    diffuse: FloatArray


def weather_from_hours(hours: Hours, *, key: str, source: str) -> Weather:
    """Daily weather from hourly values; the daily mean is the mean of the hours."""
    by_day = _day_index(hours)
    temperature = hours.temperature * 1.8 + 32.0
    moisture = humidity_ratio(hours.dew_point, hours.elevation)
    return Weather(
        key=key,
        name=hours.name,
        latitude=hours.latitude,
        longitude=hours.longitude,
        elevation=hours.elevation * 3.28084,
        source=source,
        month=_daily_mean(hours.month, by_day).round() - 1.0,
        temperature=_daily_mean(temperature, by_day),
        wind=_daily_mean(hours.wind, by_day) * MPH_PER_M_PER_S,
        sun=_daily_sun(hours, by_day),
        humidity_ratio=_daily_mean(moisture, by_day),
        hours=_month_hours(hours, temperature, moisture),
    )


def _month_hours(hours: Hours, temperature: FloatArray, moisture: FloatArray) -> MonthHours:
    sun = hours.horizontal * BTU_PER_FT2_PER_WH_PER_M2
    try:
        return month_hours(hours.month - 1.0, hours.hour, temperature, moisture, sun)
    except InputError as error:
        raise ClimateError(told("place.note", file=hours.name, note=error)) from error


def humidity_ratio(dew_point: FloatArray, elevation: float) -> FloatArray:
    """Moisture of air of a dew point. [C, m] -> [lb/lb]

    References
    ----------
    Standard atmosphere (memory).
    """
    vapor = saturation_pressure(dew_point)
    pressure = 101_325.0 * (1.0 - 2.25577e-5 * elevation) ** 5.2559
    return np.asarray(0.62198 * vapor / (pressure - vapor))


def _day_index(hours: Hours) -> FloatArray:
    label = hours.month * 100 + hours.day
    starts = np.concatenate([[True], label[1:] != label[:-1]])
    return np.asarray(np.cumsum(starts) - 1)


def _daily_mean(values: FloatArray, by_day: FloatArray) -> FloatArray:
    count = np.bincount(by_day)
    return np.asarray(np.bincount(by_day, weights=values) / count)


def _daily_sun(hours: Hours, by_day: FloatArray) -> dict[str, FloatArray]:
    days_before = np.concatenate([[0], np.cumsum(MONTH_DAYS)[:-1]])
    day = days_before[hours.month.astype(int) - 1] + hours.day
    direction = sun_direction(hours.latitude, hours.longitude, hours.zone, day, hours.hour - 0.5)
    planes = {
        facing: on_wall(facing, direction, hours.beam, hours.diffuse, hours.horizontal)
        for facing in ORIENTATIONS
    }
    planes["horizontal"] = hours.horizontal
    factor = 24.0 * BTU_PER_FT2_PER_WH_PER_M2
    return {plane: _daily_mean(planes[plane], by_day) * factor for plane in PLANES}
