"""Hours of the months: from hourly files, lent by the nearest station, and shifted for a warmer year."""

from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest
from test_weather_files import epw

from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.month_hours import MonthHours, month_hours
from retrofit_lab.climate.monthly import monthly_climate, warmer_climate
from retrofit_lab.climate.stations import nearest_stations, station_weather, stations
from retrofit_lab.climate.typical_year import read_typical_year
from retrofit_lab.climate.weather import ClimateError, Hours, weather_from_hours

OLD_SITES = ("greensboro_nc", "sand_point_ak", "miami_fl", "high_desert_co")
EVERY_TENTH = [station.number for station in stations()[::101]]


def station_of(number: str):
    return next(station for station in stations() if station.number == number)


def test_hours_of_a_file_by_group_and_by_the_clock(tmp_path: Path) -> None:
    weather = weather_from_hours(read_typical_year(epw(tmp_path)), key="made_up", source="test")
    hours = weather.hours
    assert hours.groups[:, :12] == pytest.approx(50.0)
    assert hours.groups[:, 12:] == pytest.approx(68.0)
    assert hours.clock_temperature[6] == pytest.approx([50.0] * 6 + [68.0] * 12 + [50.0] * 6)
    assert hours.clock_sun[0] == pytest.approx([0.0] * 6 + [400 * 0.316998] * 12 + [0.0] * 6)
    assert hours.clock_humidity == pytest.approx(weather.humidity_ratio.mean())


def test_groups_of_uneven_months_still_average_to_the_mean() -> None:
    month = np.repeat(np.arange(12.0), 100)
    hour = np.tile(np.arange(100.0) % 24 + 1, 12)
    temperature = np.random.default_rng(3).normal(50, 20, 1200)
    groups = month_hours(month, hour, temperature, temperature, temperature).groups
    assert groups.mean(axis=1) == pytest.approx(temperature.reshape(12, 100).mean(axis=1))
    assert (np.diff(groups, axis=1) >= 0).all()


def test_a_missing_hour_of_the_clock_is_named(tmp_path: Path) -> None:
    whole = read_typical_year(epw(tmp_path))
    kept = ~((whole.month == 3) & (whole.hour == 5))
    values = {f.name: getattr(whole, f.name) for f in fields(Hours)}
    rest = Hours(**{n: v[kept] if isinstance(v, np.ndarray) else v for n, v in values.items()})
    with pytest.raises(ClimateError, match=r"Made Up: month 3 has no hour ending at 5:00"):
        weather_from_hours(rest, key="made_up", source="test")


@pytest.mark.parametrize("name", OLD_SITES)
def test_old_sites_keep_their_days_and_borrow_hours(name: str) -> None:
    climate = find_climate(name)
    assert_hours_belong(climate.hours, climate.temperature)
    daily_sun = climate.hours.clock_sun.sum(axis=1)
    assert daily_sun == pytest.approx(climate.sun["horizontal"], rel=1e-9)
    assert climate.hours.clock_humidity.mean(axis=1) == pytest.approx(climate.humidity_ratio)
    assert "hours of the day follow the pattern of" in climate.notes[0]


@pytest.mark.parametrize("number", EVERY_TENTH)
def test_stations_are_whole(number: str) -> None:
    weather = station_weather(station_of(number))
    climate = monthly_climate(weather)
    assert weather.days == 365
    assert climate.notes == ()
    assert_hours_belong(climate.hours, climate.temperature)
    assert climate.degree_days.heating(65.0).sum() == pytest.approx(
        station_of(number).heating_degree_days, abs=15
    )


def assert_hours_belong(hours: MonthHours, means: np.ndarray) -> None:
    for field in fields(MonthHours):
        assert getattr(hours, field.name).shape == (12, 24)
    assert hours.groups.mean(axis=1) == pytest.approx(means)
    assert hours.clock_temperature.mean(axis=1) == pytest.approx(means)
    assert (np.diff(hours.groups, axis=1) >= 0).all()


def test_greensboro_station_equals_the_site_and_the_hourly_file() -> None:
    pvlib = pytest.importorskip("pvlib")
    file = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    read = weather_from_hours(read_typical_year(file), key="x", source="test")
    shipped = station_weather(station_of("723170"))
    assert shipped.temperature == pytest.approx(read.temperature, abs=0.06)
    assert shipped.hours.groups == pytest.approx(read.hours.groups, abs=0.11)
    assert shipped.hours.clock_temperature == pytest.approx(read.hours.clock_temperature, abs=0.11)
    assert shipped.hours.clock_sun == pytest.approx(read.hours.clock_sun, abs=1.1)
    assert shipped.hours.clock_humidity == pytest.approx(read.hours.clock_humidity, abs=1.1e-5)
    table, _ = pvlib.iotools.read_tmy3(str(file), map_variables=False)
    dry = table["Dry-bulb (C)"].to_numpy() * 1.8 + 32
    climate = monthly_climate(read)
    assert climate.design_heating == pytest.approx(np.quantile(dry, 0.01), abs=1.0)
    assert climate.design_cooling == pytest.approx(np.quantile(dry, 0.99), abs=1.0)


def test_warmer_year_shifts_the_hours() -> None:
    climate = find_climate("greensboro_nc")
    warmer = warmer_climate(climate, 2.0)
    assert warmer.hours.groups - climate.hours.groups == pytest.approx(2.0)
    assert warmer.hours.clock_temperature - climate.hours.clock_temperature == pytest.approx(2.0)
    assert warmer.design_heating == pytest.approx(climate.design_heating + 2.0)
    years = warmer_climate(climate, np.array([[-1.0], [3.0]]))
    assert years.hours.groups.shape == (2, 12, 24)
    assert years.hours.groups[1] - climate.hours.groups == pytest.approx(3.0)
    assert years.hours.clock_sun is climate.hours.clock_sun


def test_nearest_station_is_told_with_miles() -> None:
    (first, near), (_, far), _ = nearest_stations(44.97, -93.26)
    assert first.place == "Minneapolis-St Paul international airport, MN"
    assert 4 < near < far
