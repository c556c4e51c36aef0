"""The shipped typical years of a thousand stations, one at a time; how a place is found is in `places`."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.shipped_files import data_path, read_rows
from retrofit_lab.base.values import FloatArray
from retrofit_lab.climate.month_hours import MonthHours, moved_to
from retrofit_lab.climate.weather import MONTH_DAYS, PLANES, Weather
from retrofit_lab.texts.refusals import told

SOURCE = "typical year, station {number} (US Department of Energy, public domain)"
EARTH_RADIUS_MILES = 3958.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station with a typical year: degrees north and east, feet, degree days to 65 F of its days."""

    row: int
    number: str
    name: str
    state: str
    latitude: float
    longitude: float
    elevation: float
    heating_degree_days: float
    cooling_degree_days: float

    @property
    def place(self) -> str:
        """Name with state, such as ``Duluth international airport, MN``."""
        return f"{self.name}, {self.state}"


@cache
def stations() -> tuple[Station, ...]:
    """All stations, in the order of the shipped file."""
    return tuple(
        Station(
            row=number,
            number=row["station"],
            name=row["name"],
            state=row["state"],
            latitude=float(row["latitude_degree"]),
            longitude=float(row["longitude_degree"]),
            elevation=float(row["elevation_ft"]),
            heating_degree_days=float(row["heating_degree_days_65"]),
            cooling_degree_days=float(row["cooling_degree_days_65"]),
        )
        for number, row in enumerate(read_rows("climates", "us_stations.csv"))
    )


def nearest_stations(
    latitude: float, longitude: float, count: int = 3
) -> list[tuple[Station, float]]:
    """Stations nearest to a point with their distances along the ground, the nearest first. [mile]"""
    points = np.array([(station.latitude, station.longitude) for station in stations()])
    distance = miles_between(latitude, longitude, points[:, 0], points[:, 1])
    return [
        (stations()[i], float(distance[i])) for i in np.argsort(distance, kind="stable")[:count]
    ]


def miles_between(
    latitude: float, longitude: float, latitudes: FloatArray, longitudes: FloatArray
) -> FloatArray:
    """Distance of points from one point on a round earth (haversine formula). [degree] -> [mile]"""
    north, east = np.radians(latitudes - latitude), np.radians(longitudes - longitude)
    level = np.cos(np.radians(latitude)) * np.cos(np.radians(latitudes))
    half = np.sin(north / 2.0) ** 2 + level * np.sin(east / 2.0) ** 2
    return np.asarray(2.0 * EARTH_RADIUS_MILES * np.arcsin(np.sqrt(half)))


def station_weather(station: Station) -> Weather:
    """Typical year of a station; wind, sun and moisture are the same on all days of a month."""
    record = _record(station.row)
    month = np.repeat(np.arange(12.0), MONTH_DAYS)
    day = month.astype(int)
    temperature = _numbers(record, "temperature_tenth_F", 0.1)
    humidity = _numbers(record, "humidity_ratio_millionth", 1e-6)
    sun = _numbers(record, "sun_Btu_per_ft2_day", 1.0)
    means = np.array([temperature[day == m].mean() for m in range(12)])
    return Weather(
        key=station.number,
        name=station.place,
        latitude=station.latitude,
        longitude=station.longitude,
        elevation=station.elevation,
        source=SOURCE.format(number=station.number),
        month=month,
        temperature=temperature,
        wind=_numbers(record, "wind_hundredth_mph", 0.01)[day],
        sun={plane: sun[place][day] for place, plane in enumerate(PLANES)},
        humidity_ratio=humidity[day],
        hours=moved_to(_hours(record), means, humidity, sun[0]),
    )


def nearest_hours(
    latitude: float,
    longitude: float,
    temperature: FloatArray,
    humidity: FloatArray,
    sun: FloatArray,
) -> tuple[MonthHours, str]:
    """Hours for a place that has none: the nearest station's, about the place's own months.

    Parameters
    ----------
    latitude, longitude : float
        Of the place. [degree]
    temperature, humidity, sun : ndarray, shape (12,)
        Its months, as `moved_to` takes them.

    Returns
    -------
    tuple
        Hours, and the sentence that says where they come from.
    """
    station, miles = nearest_stations(latitude, longitude, 1)[0]
    key = "place.hours_away" if miles >= 1.0 else "place.hours"
    note = told(key, station=station.place, miles=f"{miles:.0f}")
    return moved_to(_hours(_record(station.row)), temperature, humidity, sun), note


def _record(row: int) -> np.void:
    """Numbers of one station; the file is mapped, so only its own 3 kB are read."""
    years = np.load(data_path("climates", "us_typical_years.npy"), mmap_mode="r")
    found: np.void = years[row]
    return found


def _hours(record: np.void) -> MonthHours:
    return MonthHours(
        groups=_numbers(record, "hour_groups_tenth_F", 0.1),
        clock_temperature=_numbers(record, "clock_temperature_tenth_F", 0.1),
        clock_humidity=_numbers(record, "clock_humidity_ratio_hundred_thousandth", 1e-5),
        clock_sun=_numbers(record, "clock_sun_Btu_per_ft2_h", 1.0),
    )


def _numbers(record: np.void, name: str, unit: float) -> FloatArray:
    return np.asarray(record[name], dtype=np.float64) * unit
