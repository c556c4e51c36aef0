"""Weather from one's own temperatures: gaps that are filled and told, monthly normals, and what is refused."""

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from retrofit_lab.climate.gaps import fill_gaps
from retrofit_lab.climate.locating import find_climate, find_weather
from retrofit_lab.climate.weather import ClimateError, month_means

DAYS = [date(2023, 1, 1) + timedelta(days=n) for n in range(365)]
MONTHS = "January February March April May June July August September October November December"


def write(folder: Path, rows: list[str], name: str = "mine.csv") -> None:
    (folder / name).write_text("\n".join(rows), encoding="utf-8")


def days_of(site: str) -> np.ndarray:
    return find_weather(site).temperature


def daily(skip: set[int], warmer: float = 2.0) -> list[str]:
    values = days_of("726580") + warmer
    rows = [f"{day},{values[n]:.3f}" for n, day in enumerate(DAYS) if n not in skip]
    return ["date,tavg_f", *rows]


def test_a_gap_of_a_day_is_filled_between_its_neighbors(tmp_path: Path) -> None:
    write(tmp_path, daily({40}))
    weather = find_weather("mine.csv like 55401", tmp_path)
    assert weather.days == 365
    assert weather.temperature[40] == pytest.approx(weather.temperature[[39, 41]].mean())
    assert any(
        "1 missing day was filled in" in note and "2023-02-10" in note for note in weather.notes
    )


def test_an_empty_cell_is_a_gap(tmp_path: Path) -> None:
    rows = daily(set())
    rows[41] = rows[41].partition(",")[0] + ","
    rows[42] = rows[42].partition(",")[0] + ",M"
    write(tmp_path, rows)
    weather = find_weather("mine.csv like 55401", tmp_path)
    assert any("2 missing days were filled in" in note for note in weather.notes)


def test_a_long_gap_follows_the_typical_year_shifted(tmp_path: Path) -> None:
    gap = set(range(180, 200))
    write(tmp_path, daily(gap))
    weather = find_weather("mine.csv like 726580", tmp_path)
    typical = days_of("726580")
    assert weather.temperature[180:200] - typical[180:200] == pytest.approx(2.0, abs=0.01)
    assert any("20 missing days from 2023-06-30" in n and "+2.0 °F" in n for n in weather.notes)


def test_days_missing_at_the_end_of_the_year(tmp_path: Path) -> None:
    write(tmp_path, daily(set(range(350, 365))))
    weather = find_weather("mine.csv like 726580", tmp_path)
    assert weather.days == 365
    assert weather.temperature[350:] - days_of("726580")[350:] == pytest.approx(2.0, abs=0.01)


def test_rows_in_any_order_and_a_place_in_the_file(tmp_path: Path) -> None:
    rows = daily(set())
    write(tmp_path, ["place,55401", rows[0], *reversed(rows[1:])])
    assert find_weather("mine.csv", tmp_path).temperature == pytest.approx(
        days_of("726580") + 2, abs=0.001
    )


def test_a_leap_year_and_two_years(tmp_path: Path) -> None:
    days = [date(2023, 6, 1) + timedelta(days=n) for n in range(731)]
    write(tmp_path, ["date,tavg", *[f"{day},{40 + day.month}" for day in days if day.day != 29]])
    climate = find_climate("mine.csv like 55401", str(tmp_path))
    assert climate.temperature[6] == pytest.approx(47.0)
    assert climate.days.sum() == 365


def test_filling_keeps_what_is_known() -> None:
    known = np.array([50.0, np.nan, np.nan, 56.0, np.nan])
    filled, notes = fill_gaps(known, np.array([0.0, 1.0, 2.0, 3.0, 4.0]), DAYS[:5])
    assert filled[:4] == pytest.approx([50.0, 52.0, 54.0, 56.0])
    assert filled[4] == pytest.approx(4.0 + (50.0 + 53.0) / 2)
    assert len(notes) == 2


def normals(shift: float = 0.0, head: str = "month,mean") -> list[str]:
    means = month_means(days_of("726580"), find_weather("726580").month)
    return [
        head,
        *[f"{m},{mean + shift:.2f}" for m, mean in zip(MONTHS.split(), means, strict=True)],
    ]


def test_twelve_monthly_means(tmp_path: Path) -> None:
    write(tmp_path, normals(3.0))
    weather = find_weather("mine.csv like 726580", tmp_path)
    assert weather.temperature - days_of("726580") == pytest.approx(3.0, abs=0.006)
    assert weather.hours.groups.mean(axis=1) == pytest.approx(
        month_means(weather.temperature, weather.month)
    )
    assert "twelve monthly means" in " ".join(weather.notes)
    assert "pattern of hours" in weather.notes[0]


def test_monthly_highs_and_lows_in_celsius_and_by_number(tmp_path: Path) -> None:
    means = (month_means(days_of("726580"), find_weather("726580").month) - 32) / 1.8
    rows = [f"{m + 1},{mean + 5:.3f},{mean - 5:.3f}" for m, mean in enumerate(means)]
    write(tmp_path, ["Month,High (C),Low (C)", *rows])
    weather = find_weather("mine.csv like 726580", tmp_path)
    assert weather.temperature == pytest.approx(days_of("726580"), abs=0.01)


def test_normals_as_the_public_tables_head_them(tmp_path: Path) -> None:
    write(tmp_path, ["# from the public table", *normals(0.0, "month,MLY-TAVG-NORMAL")])
    assert find_weather("mine.csv like 726580", tmp_path).days == 365


def test_a_changed_file_is_read_again(tmp_path: Path) -> None:
    write(tmp_path, normals(0.0))
    before = find_climate("mine.csv like 726580", str(tmp_path)).temperature
    write(tmp_path, normals(5.0))
    (tmp_path / "mine.csv").touch()
    after = find_climate("mine.csv like 726580", str(tmp_path)).temperature
    assert after - before == pytest.approx(5.0, abs=0.02)


EVERY = ["date,tavg", *[f"{day},50" for day in DAYS]]
WRONG = {
    "no place": (EVERY, "", r"mine\.csv: which place is it like"),
    "place unknown": (EVERY, " like Nowhere, MN", r"mine\.csv: place: no weather station is in Nowhere"),
    "twice": ([*EVERY, EVERY[5]], " like 55401", r"mine\.csv, row 367: 2023-01-05 appears there twice"),
    "low above high": (["date,high,low", *[f"{d},40,60" for d in DAYS]], " like 55401",
                       r"mine\.csv, row 2: the low is 60 °F and the high 40 °F"),
    "celsius": (["date,tavg", *[f"{d},8" for d in DAYS]], " like 55401", r"seem to be in °C"),
    "span": ([*EVERY, "1823-01-01,50"], " like 55401", r"dates span more than"),
    "eleven months": (["month,mean", *[f"{m},50" for m in range(1, 12)]], " like 55401",
                      r"mine\.csv: twelve months are needed; missing: Dec"),
    "thirteen months": (["month,mean", *[f"{m},50" for m in range(1, 13)], "Mar,50"], " like 55401",
                        r"row 14: month Mar appears there twice"),
    "no such month": (["month,mean", *[f"{m},50" for m in range(2, 14)]], " like 55401",
                      r"row 13: '13' is not a month"),
    "empty month": (["month,mean", "1,", *[f"{m},50" for m in range(2, 13)]], " like 55401",
                    r"row 2: month 1 has no temperature"),
    "hot month": (["month,mean", *[f"{m},5000" for m in range(1, 13)]], " like 55401",
                  r"month 1 has a mean of 5000 °F"),
    "head only": (["date,tavg"], " like 55401", r"a heading line and rows below"),
    "no temperatures": (["date,rain", *[f"{d},8" for d in DAYS]], " like 55401", r"no column named one of tmax"),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_used_is_told_with_file_and_row(tmp_path: Path, name: str) -> None:
    rows, like, words = WRONG[name]
    write(tmp_path, rows)
    with pytest.raises(ClimateError, match=words):
        find_weather(f"mine.csv{like}", tmp_path)


def test_unreadable_and_large_files(tmp_path: Path) -> None:
    (tmp_path / "mine.csv").write_bytes(b"\xff\xfe\x00 nothing")
    with pytest.raises(ClimateError, match=r"mine\.csv: "):
        find_weather("mine.csv like 55401", tmp_path)
    (tmp_path / "mine.csv").write_bytes(b"x" * 6_000_000)
    with pytest.raises(ClimateError, match="larger than"):
        find_weather("mine.csv like 55401", tmp_path)


def epw_lines() -> list[str]:
    head = [
        "LOCATION,Made Up,XX,,,0,40.0,-100.0,-7.0,300.0",
        "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ]
    rows = []
    for day in DAYS:
        for hour in range(1, 25):
            fields = ["0"] * 22
            fields[:4] = ["2001", str(day.month), str(day.day), str(hour)]
            rows.append(",".join(fields))
    return [*head, *rows]


BROKEN = {
    "a word": (6, "warm", r"x\.epw, line 12: temperature is 'warm'"),
    "missing mark": (6, "99.9", r"x\.epw, line 12: temperature is 99\.9 °C; must be -90 to 70"),
    "missing sun": (13, "9999", r"line 12: global sun is 9999 W/m²"),
    "no number": (21, "nan", r"line 12: wind is nan"),
    "hour 25": (3, "25", r"line 12: hour is 25"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_hour_is_named_by_file_line_and_field(tmp_path: Path, name: str) -> None:
    place, text, words = BROKEN[name]
    lines = epw_lines()
    fields = lines[11].split(",")
    fields[place] = text
    lines[11] = ",".join(fields)
    write(tmp_path, lines, "x.epw")
    with pytest.raises(ClimateError, match=words):
        find_weather("x.epw", tmp_path)


def test_a_short_line_is_named(tmp_path: Path) -> None:
    lines = epw_lines()
    lines[11] = "2001,1,1,10"
    write(tmp_path, lines, "x.epw")
    with pytest.raises(ClimateError, match=r"x\.epw, line 12: the line ends before"):
        find_weather("x.epw", tmp_path)
