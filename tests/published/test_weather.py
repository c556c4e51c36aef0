"""Typical-year files and the numbers that the model takes from them, against what pvlib reads in the same files.

Expected numbers are of pvlib 0.16.1 (readers, sun position, even sky with 0.2 from the ground) and
psychrolib 2.5.0 on the files that pvlib ships, worked out once; ours read the same files.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from checks import Check, assert_check

from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.places import place_weather
from retrofit_lab.climate.typical_year import read_typical_year
from retrofit_lab.climate.weather import Hours, weather_from_hours
from retrofit_lab.model.hour_groups import hour_groups

TOPIC = "weather"
TMY3 = "pvlib 0.16.1 on 723170TYA.CSV (Greensboro, TMY3)"
TMY2 = "pvlib 0.16.1 on 12839.tm2 (Miami, TMY2)"
PSYCHRO = "psychrolib 2.5.0 on the dew points of the same file"
SUMMED = "hours of 723170TYA.CSV, summed independently"
NORMALS = "normals of the National Weather Service"
FILES = {TMY3: "723170TYA.CSV", TMY2: "12839.tm2"}
JANUARY, APRIL, JULY, OCTOBER = 0, 3, 6, 9
MONTHS = {JANUARY: "January", APRIL: "April", JULY: "July", OCTOBER: "October"}


def path(source: str) -> Path:
    return Path(pytest.importorskip("pvlib").__file__).parent / "data" / FILES[source]


@cache
def hours(source: str) -> Hours:
    return read_typical_year(path(source))


def read(source: str) -> MonthlyClimate:
    """Climate of a file."""
    return monthly_climate(weather_from_hours(hours(source), key="x", source=source))


def row(
    name, mechanism, source, expected, ours, tolerance, why, mark="read", *, relative=False
) -> Check:
    return Check(
        TOPIC,
        name,
        source,
        mark,
        expected,
        ours,
        tolerance,
        why,
        relative=relative,
        mechanism=mechanism,
    )


TEMPERATURES = {TMY3: (32.598, 58.433, 77.780, 55.616), TMY2: (67.981, 76.053, 82.320, 77.093)}
WINDS = {TMY3: (7.0975, 5.8515), TMY2: (9.6967, 8.7938)}
MOISTURE = {TMY3: (0.002795, 0.015212), TMY2: (0.011336, 0.017911)}
SUNS = {
    (TMY3, "north"): (255.08, 516.15, 686.88, 353.52), (TMY3, "east"): (451.63, 943.26, 1021.64, 654.63),
    (TMY3, "south"): (968.97, 949.15, 810.09, 1054.02), (TMY3, "west"): (489.68, 973.85, 1025.43, 709.80),
    (TMY3, "horizontal"): (765.38, 1714.98, 1928.38, 1137.76), (TMY2, "north"): (337.53, 581.45, 753.64, 456.81),
    (TMY2, "east"): (657.86, 1016.83, 1048.38, 799.13), (TMY2, "south"): (1138.22, 845.58, 702.12, 1010.81),
    (TMY2, "west"): (630.10, 1032.31, 957.29, 762.06), (TMY2, "horizontal"): (1107.63, 1954.28, 1899.84, 1385.64),
}  # fmt: skip

READ = [
    *(
        row(f"mean of {MONTHS[m]}, {source[-19:]} [F]", "temperature of a month", source, value,
            lambda source=source, m=m: read(source).temperature[m], 0.01, "rounding")
        for source, values in TEMPERATURES.items() for m, value in zip(MONTHS, values, strict=True)
    ),
    *(
        row(f"wind of {MONTHS[m]}, {source[-19:]} [mph]", "wind of a month", source, value,
            lambda source=source, m=m: read(source).wind[m], 0.001, "rounding", relative=True)
        for source, values in WINDS.items() for m, value in zip((JANUARY, JULY), values, strict=True)
    ),
    *(
        row(f"moisture of {MONTHS[m]}, {source[-19:]} [lb/lb]", "moisture of a month", f"{PSYCHRO}: {FILES[source]}", value,
            lambda source=source, m=m: read(source).humidity_ratio[m], 0.045 if m == JANUARY and source == TMY3 else 0.004,
            "stations give dew points over water; psychrolib takes ice below 32 F: 4 % in a frosty month",
            relative=True)
        for source, values in MOISTURE.items() for m, value in zip((JANUARY, JULY), values, strict=True)
    ),
    *(
        row(f"sun on {plane} in {MONTHS[m]}, {source[-19:]} [Btu/(ft2 day)]", f"sun on a wall to the {plane}" if plane != "horizontal" else "sun on the ground",
            source, value, lambda source=source, plane=plane, m=m: read(source).sun[plane][m], 0.016,
            "our sun stands where Spencer's series has it, in the middle of the hour: 1.6 % on a winter morning", relative=True)
        for (source, plane), values in SUNS.items() for m, value in zip(MONTHS, values, strict=True)
    ),
    *(
        row(f"degree hours below {base:g} F in {MONTHS[m]} by groups of hours", "groups of a month's hours", SUMMED, value,
            lambda base=base, m=m: degree_hours(base, m), tolerance, "nine groups stand for 744 hours", relative=True)
        for base, m, value, tolerance in [(40.0, JANUARY, 6850.9, 0.03), (60.0, JANUARY, 20_406.4, 0.005), (60.0, APRIL, 3555.0, 0.03)]
    ),
]  # fmt: skip


def degree_hours(base: float, month: int) -> float:
    groups = hour_groups(read(TMY3))
    return float((np.maximum(base - groups.temperature, 0.0) * groups.hours)[month].sum())


CLIMATE = [
    *(
        row(f"degree days of {name} to 65 F", "weather of a town", NORMALS, value,
            lambda name=name: degree_days(name), 0.07, "typical years of other decades: 7 %", "memory", relative=True)
        for name, value in {"Minneapolis, MN": 7470.0, "Seattle, WA": 4700.0, "Denver, CO": 5950.0, "Chicago, IL": 6340.0,
                            "98101": 4700.0, "55401": 7470.0, "02108": 5600.0}.items()
    ),
    row("elevation of Denver [ft]", "elevation of a town", "the mile-high city", 5280.0,
        lambda: monthly_climate(place_weather("Denver, CO")).elevation_ft, 0.04, "its airport stands higher", "memory", relative=True),
]  # fmt: skip


def degree_days(place: str) -> float:
    return float(monthly_climate(place_weather(place)).degree_days.heating(65.0).sum())


TABLE = [
    row("cooling degree days of Miami to 65 F", "degree-day table of a house's climate", "typical-year files of pvlib 0.16.1, summed independently",
        4059.0, lambda: float(read(TMY2).degree_days.cooling(65.0).sum()), 0.002, "steps of the table", relative=True),
    *(
        row(f"degree days of Greensboro to {base:g} F", "degree-day table of a house's climate",
            "typical-year files of pvlib 0.16.1, summed independently", value,
            lambda base=base: float(read(TMY3).degree_days.heating(base).sum()), 0.002, "steps of the table", relative=True)
        for base, value in {65.0: 3875.8, 60.0: 2878.9, 55.0: 2034.2, 50.0: 1381.0}.items()
    ),
    row("degree days far above the warmest day", "degree-day table of a house's climate", "base less mean, every day",
        365 * (150 - 58.06), lambda: float(read(TMY3).degree_days.heating(150.0).sum()), 0.003,
        "all days are colder", "common practice, no source", relative=True),
]  # fmt: skip

CHECKS = [*READ, *CLIMATE, *TABLE]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
