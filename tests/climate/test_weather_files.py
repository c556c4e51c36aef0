"""Weather from files of every open format, and what is said of those that cannot be used."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.climate.daily_csv import shipped_weather
from retrofit_lab.climate.locating import find_climate, find_weather
from retrofit_lab.climate.monthly import monthly_climate
from retrofit_lab.climate.typical_year import read_typical_year
from retrofit_lab.climate.weather import MONTH_DAYS, ClimateError, weather_from_hours
from retrofit_lab.physics.degree_days import (
    cooling_degree_days,
    degree_day_table,
    heating_degree_days,
)

DATES = [
    f"2023-{month:02d}-{day:02d}"
    for month, days in enumerate(MONTH_DAYS, start=1)
    for day in range(1, days + 1)
]


def daily(tmp_path: Path, header: str, rows: list[str]) -> Path:
    path = tmp_path / "mine.csv"
    path.write_text("\n".join([header, *rows]), encoding="utf-8")
    return path


def test_own_temperatures_in_celsius_with_high_and_low(tmp_path: Path) -> None:
    daily(tmp_path, "Date,tmax_c,tmin_c", [f"{day},15,5" for day in DATES])
    weather = find_weather("mine.csv like greensboro_nc", tmp_path)
    assert weather.temperature == pytest.approx(50.0)
    assert heating_degree_days(weather.temperature, 65.0) == pytest.approx(15 * 365)
    assert (
        "moisture of the air and the pattern of hours are those of Greensboro" in weather.notes[0]
    )


def test_house_may_name_its_own_temperatures(tmp_path: Path) -> None:
    daily(tmp_path, "date,tavg", [f"{day},50" for day in DATES])
    assert find_weather("mine.csv like miami_fl", tmp_path).temperature == pytest.approx(50.0)


BAD = {
    "text for a number": ("date,tavg", lambda d: f"{d},warm", r"mine\.csv, row 2: tavg is 'warm'; a number"),
    "no date": ("when,tavg", lambda d: f"{d},50", r"no column named one of date"),
    "bad date": ("date,tavg", lambda _: "31/31/2023,50", r"mine\.csv, row 2: '31/31/2023' is not a date"),
    "kelvin": ("date,tavg", lambda d: f"{d},283", r"day 1 has 283 °F; must be -80 to 130"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_daily_file(tmp_path: Path, name: str) -> None:
    header, row, words = BAD[name]
    daily(tmp_path, header, [row(day) for day in DATES])
    with pytest.raises(ClimateError, match=words):
        find_weather("mine.csv like greensboro_nc", tmp_path)


def test_too_few_days(tmp_path: Path) -> None:
    daily(tmp_path, "date,tavg", [f"{day},50" for day in DATES[:90]])
    with pytest.raises(ClimateError, match="90 days are on record; at least 330"):
        find_weather("mine.csv like greensboro_nc", tmp_path)


def test_unknown_site_and_unreadable_file(tmp_path: Path) -> None:
    with pytest.raises(ClimateError, match=r"there is no climate 'atlantis'.*Give a ZIP code"):
        find_climate("atlantis")
    (tmp_path / "x.epw").write_bytes(b"\x00\x01 nothing\nmore\n")
    with pytest.raises(ClimateError, match=r"x\.epw: cannot be read as a typical-year file"):
        find_weather("x.epw", tmp_path)


def epw(tmp_path: Path) -> Path:
    """A small made-up year in the open EPW layout: 10 C by night, 20 C by day."""
    head = [
        "LOCATION,Made Up,XX,,,0,40.0,-100.0,-7.0,300.0",
        "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ]
    rows = []
    for month, days in enumerate(MONTH_DAYS, start=1):
        for day in range(1, days + 1):
            for hour in range(1, 25):
                light = 7 <= hour <= 18
                fields = ["0"] * 35
                fields[:4] = ["2001", str(month), str(day), str(hour)]
                fields[6], fields[7] = ("20" if light else "10"), "5"
                fields[13:16] = ["400", "500", "100"] if light else ["0", "0", "0"]
                fields[21] = "3"
                rows.append(",".join(fields))
    path = tmp_path / "made_up.epw"
    path.write_text("\n".join([*head, *rows]), encoding="latin-1")
    return path


def test_epw_file(tmp_path: Path) -> None:
    weather = weather_from_hours(read_typical_year(epw(tmp_path)), key="made_up", source="test")
    assert weather.days == 365
    assert weather.temperature == pytest.approx(59.0)
    assert weather.wind == pytest.approx(3 * 2.236936)
    assert weather.sun["horizontal"] == pytest.approx(12 * 400 * 0.316998)
    assert weather.sun["south"][355] > weather.sun["north"][355]


def test_shipped_files_equal_the_package_they_came_from() -> None:
    pvlib = pytest.importorskip("pvlib")
    folder = Path(pvlib.__file__).parent / "data"
    table, _ = pvlib.iotools.read_tmy3(str(folder / "723170TYA.CSV"), map_variables=False)
    means = table["Dry-bulb (C)"].to_numpy().reshape(365, 24).mean(axis=1) * 1.8 + 32
    assert shipped_weather("greensboro_nc").temperature == pytest.approx(means, abs=0.001)


@given(st.floats(-20, 120))
@settings(deadline=None, max_examples=60)
def test_table_equals_the_sum_and_the_identity(base: float) -> None:
    weather = shipped_weather("high_desert_co")
    table = degree_day_table(weather.temperature, weather.month)
    heating, cooling = table.heating(base).sum(), table.cooling(base).sum()
    assert heating == pytest.approx(heating_degree_days(weather.temperature, base), abs=1.5)
    assert cooling == pytest.approx(cooling_degree_days(weather.temperature, base), abs=1.5)
    assert heating >= heating_degree_days(weather.temperature, base) - 1e-6


def test_table_is_monotone_and_broadcasts() -> None:
    table = monthly_climate(shipped_weather("greensboro_nc")).degree_days
    bases = np.linspace(-50, 150, 400)[:, None] * np.ones(12)
    rows = table.heating(bases)
    assert rows.shape == (400, 12)
    assert (np.diff(rows, axis=0) >= -1e-9).all()
    assert rows[123] == pytest.approx(table.heating(float(bases[123, 0])))
