"""Typical-year files and the numbers that the model takes from them, against what pvlib reads in the same files.

Expected numbers are of pvlib 0.16.1 (readers, sun position, even sky with 0.2 from the ground) and
psychrolib 2.5.0 on the files that pvlib ships, worked out once; ours read the same files.
"""

import csv
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from checks import Check, assert_check, outside

from retrofit_lab.climate.locating import find_weather
from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.places import find_place, place_weather
from retrofit_lab.climate.stations import miles_between, station_weather, stations
from retrofit_lab.climate.typical_year import read_typical_year
from retrofit_lab.climate.weather import Hours, weather_from_hours
from retrofit_lab.model.hour_groups import hour_groups, share_of_clock, spread_of_days

TOPIC = "weather"
TMY3 = "pvlib 0.16.1 on 723170TYA.CSV (Greensboro, TMY3)"
TMY2 = "pvlib 0.16.1 on 12839.tm2 (Miami, TMY2)"
PSYCHRO = "psychrolib 2.5.0 on the dew points of the same file"
SUMMED = "hours of 723170TYA.CSV, summed independently"
OWN_MARK = "common practice, no source"
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


def shipped() -> MonthlyClimate:
    """Greensboro's station among the shipped ones, worked out of the same file."""
    return monthly_climate(station_weather(next(s for s in stations() if s.number == "723170")))


def station_degree_hours() -> float:
    groups = hour_groups(shipped())
    return float((np.maximum(40.0 - groups.temperature, 0.0) * groups.hours)[JANUARY].sum())


PACKED = [
    *(
        row(f"shipped station, mean of {MONTHS[m]} [F]", "a shipped station", TMY3, value, lambda m=m: shipped().temperature[m],
            0.06, "packed in tenths") for m, value in zip(MONTHS, TEMPERATURES[TMY3], strict=True)
    ),
    *(
        row(f"shipped station, wind of {MONTHS[m]} [mph]", "a shipped station", TMY3, value, lambda m=m: shipped().wind[m], 0.01,
            "packed in hundredths") for m, value in zip((JANUARY, JULY), WINDS[TMY3], strict=True)
    ),
    row("shipped station, moisture of July [lb/lb]", "a shipped station", f"{PSYCHRO}: {FILES[TMY3]}", MOISTURE[TMY3][1],
        lambda: shipped().humidity_ratio[JULY], 0.006, "packed in millionths", relative=True),
    *(
        row(f"shipped station, sun on {plane} in October", "a shipped station", TMY3, SUNS[TMY3, plane][3],
            lambda plane=plane: shipped().sun[plane][OCTOBER], 0.017, "as read", relative=True)
        for plane in ("north", "east", "south", "west", "horizontal")
    ),
    row("shipped station, degree hours below 40 F in January", "a shipped station", SUMMED, 6850.9,
        station_degree_hours, 0.03, "nine groups stand for 744 hours", relative=True),
    row("shipped station, mean of its hours by the clock in January [F]", "a shipped station", TMY3, 32.598,
        lambda: float(shipped().hours.clock_temperature[JANUARY].mean()), 0.06, "packed in tenths"),
    row("shipped station, sun by the clock in July", "a shipped station", TMY3, 1928.38,
        lambda: float(shipped().hours.clock_sun[JULY].sum()), 0.01, "packed in whole Btu", relative=True),
    row("shipped station, moisture by the clock in July", "a shipped station", f"{PSYCHRO}: {FILES[TMY3]}", 0.015212,
        lambda: float(shipped().hours.clock_humidity[JULY].mean()), 0.006, "packed", relative=True),
    row("half the swing of the monthly means [F]", "swing of a year", TMY3, (77.780 - 32.598) / 2, lambda: read(TMY3).annual_amplitude,
        0.8, "July and January are the ends but for a month"),
]  # fmt: skip


@outside("pvlib")
def test_columns_of_an_epw_file_agree_with_a_library_that_reads_them() -> None:
    """A file whose columns are all told apart, read by pvlib and by us."""
    pvlib = pytest.importorskip("pvlib")
    head = "LOCATION,Somewhere,ST,USA,X,1,41.5,-71.4,-5.0,19.0"
    rows = [
        ",".join(
            [
                f"1990,{1 + n // 730},{1 + n // 24 % 28},{1 + n % 24},60,x",
                f"{n % 30}.5",
                f"{n % 20}.25",
                "50",
                "101000",
                "0",
                "0",
                "300",
                f"{n % 700}",
                f"{n % 500}",
                f"{n % 300}",
                "0",
                "0",
                "0",
                "0",
                "180",
                f"{n % 9}.5",
                *["0"] * 13,
            ]
        )
        for n in range(8760)
    ]
    text = "\n".join([head, *["x"] * 6, "DATA PERIODS,1,1,Data,Sunday,1/1,12/31", *rows])
    with TemporaryDirectory() as folder:
        file = Path(folder) / "some.epw"
        file.write_text(text, encoding="latin-1")
        ours = read_typical_year(file)
        theirs, place = pvlib.iotools.read_epw(str(file))
    for mine, name in [("temperature", "temp_air"), ("dew_point", "temp_dew"), ("wind", "wind_speed"),
                       ("horizontal", "ghi"), ("beam", "dni"), ("diffuse", "dhi")]:  # fmt: skip
        assert getattr(ours, mine) == pytest.approx(theirs[name].to_numpy()), mine
    assert (ours.latitude, ours.longitude, ours.zone, ours.elevation) == (
        place["latitude"], place["longitude"], place["TZ"], place["altitude"],
    )  # fmt: skip


@outside("pvlib")
def test_columns_of_an_nsrdb_file_agree_with_a_library_that_reads_them() -> None:
    """A file of the national solar database whose columns are all told apart, read by pvlib and by us."""
    pvlib = pytest.importorskip("pvlib")
    head = [
        "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone",
        "NSRDB,1,-,-,-,41.5,-71.4,-5,19,-5",
    ]
    columns = "Year,Month,Day,Hour,Minute,DHI,DNI,GHI,Temperature,Dew Point,Wind Speed"
    rows = [
        f"1990,{1 + n // 730},{1 + n // 24 % 28},{n % 24},30,{n % 300},{n % 500},{n % 700},{n % 30}.5,{n % 20}.25,{n % 9}.5"
        for n in range(8760)
    ]
    with TemporaryDirectory() as folder:
        file = Path(folder) / "some.csv"
        file.write_text("\n".join([*head, columns, *rows]), encoding="latin-1")
        ours = read_typical_year(file)
        theirs, place = pvlib.iotools.read_nsrdb_psm4(str(file), map_variables=True)
    for mine, name in [("temperature", "temp_air"), ("dew_point", "temp_dew"), ("wind", "wind_speed"),
                       ("horizontal", "ghi"), ("beam", "dni"), ("diffuse", "dhi")]:  # fmt: skip
        assert getattr(ours, mine) == pytest.approx(theirs[name].to_numpy()), mine
    assert (ours.latitude, ours.longitude, ours.elevation) == (place["latitude"], place["longitude"], place["altitude"])  # fmt: skip
    assert ours.zone == -5.0
    assert (ours.month == theirs.index.month).all()
    assert (ours.day == theirs.index.day).all()
    assert (ours.hour == theirs.index.hour + 1).all()


def own(lines: str) -> MonthlyClimate:
    """Climate of a table that a person brings, its sun and moisture lent by Greensboro."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "mine.csv"
        path.write_text(lines, encoding="utf-8")
        return monthly_climate(find_weather(f"{path} like greensboro_nc"))


def greensboro_days() -> np.ndarray:
    """Mean of each day of Greensboro's file, read here. [F]"""
    with path(TMY3).open(encoding="utf-8") as file:
        next(file)
        air = [float(line["Dry-bulb (C)"]) for line in csv.DictReader(file)]
    return np.array(air).reshape(365, 24).mean(axis=1) * 1.8 + 32.0


RISING = 40.0 + 0.1 * np.arange(365)
"""A year that gets a tenth of a degree warmer every day. [F]"""
MAY = slice(120, 151)


def lacking(first: int, count: int) -> MonthlyClimate:
    """That year as a person's file that lacks some days."""
    dates = [date(2023, 1, 1) + timedelta(days=n) for n in range(365)]
    kept = [n for n in range(365) if not first <= n < first + count]
    return own("\n".join(["date,tavg (F)", *(f"{dates[n]:%Y-%m-%d},{RISING[n]}" for n in kept)]))


def filled_long(first: int, count: int) -> float:
    """Mean of its May with a typical year put in, moved to the 15 days on each side. [F]"""
    typical, whole = greensboro_days(), RISING.copy()
    beside = np.r_[first - 15 : first, first + count : first + count + 15]
    whole[first : first + count] = (
        typical[first : first + count] + (RISING - typical)[beside].mean()
    )
    return float(whole[MAY].mean())


GAPS = [
    *(
        row(f"gap of {count} days in May: mean of the month [F]", "gaps of a person's own weather", "straight line by hand", float(RISING[MAY].mean()),
            lambda count=count: float(lacking(128, count).temperature[4]), 0.02, "on the line", "common practice, no source")
        for count in (1, 3)
    ),
    row("gap of 20 days in May: mean of the month [F]", "gaps of a person's own weather", "days of 723170TYA.CSV put in by hand", filled_long(125, 20),
        lambda: float(lacking(125, 20).temperature[4]), 0.06, "moved to the days beside", "common practice, no source"),
    *(
        row(f"{what} of ZIP code {code}", "place of a ZIP code", "gazetteer", value, lambda code=code, what=what: getattr(find_place(code), what), tolerance,
            "middle of its area", "memory", relative=True)
        for code, values in {"98101": (47.61, -122.33), "80435": (39.6, -105.93, 9300.0), "33139": (25.79, -80.14)}.items()
        for what, value, tolerance in zip(("latitude", "longitude", "elevation"), values, (0.005, 0.002, 0.14), strict=False)
    ),
]  # fmt: skip

COUNTED = "hours of 723170TYA.CSV, counted by numpy"
SPREADS = {JANUARY: 10.217, APRIL: 7.649, JULY: 5.683}
"""Root of the variance of a month's hours less that of its mean day. [F]"""
AT_NIGHT = {APRIL: 0.577, JULY: 0.590, OCTOBER: 0.510}
"""Of the coldest ten in twenty-four hours of a month, how many lie from ten at night to six. [1]"""


def cold_at_night(month: int) -> float:
    groups = hour_groups(read(TMY3))
    share = share_of_clock(read(TMY3), (22, 23, 0, 1, 2, 3, 4, 5))[month][:6]
    return float((share * groups.hours[month][:6]).sum() / groups.hours[month][:6].sum())


SORTED = [
    *(
        row(f"cold and warm days of {MONTHS[m]} [F]", "spread of a month's days", COUNTED, value, lambda m=m: float(spread_of_days(read(TMY3))[m]), 0.012,
            "groups of 31 hours", relative=True)
        for m, value in SPREADS.items()
    ),
    *(
        row(f"night among the coldest hours of {MONTHS[m]}", "hours of the clock among the cold ones", COUNTED, value, lambda m=m: cold_at_night(m), 0.05,
            "hours of the clock lie evenly about their mean", relative=True)
        for m, value in AT_NIGHT.items()
    ),
]  # fmt: skip

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


def days(unit: str, high: float, low: float) -> str:
    """A year whose days are all alike, without the 10th of May."""
    dates = (date(2023, 1, 1) + timedelta(days=n) for n in range(365))
    rows = (f"{day:%Y-%m-%d},{high},{low}" for day in dates if (day.month, day.day) != (5, 10))
    return "\n".join([f"date,high ({unit}),low ({unit})", *rows])


def months(unit: str, high: float, low: float) -> str:
    """Normals of twelve months that are all alike."""
    return "\n".join(
        [f"month,high ({unit}),low ({unit})", *(f"{m},{high},{low}" for m in range(1, 13))]
    )


def southern() -> Hours:
    """Miami's file with its place turned over to the other side of the equator and of Greenwich."""
    text = path(TMY2).read_text(encoding="latin-1")
    with TemporaryDirectory() as folder:
        file = Path(folder) / "south.tm2"
        file.write_text(
            text.replace(" N 25 ", " S 25 ", 1).replace(" W  80 ", " E  80 ", 1), encoding="latin-1"
        )
        return read_typical_year(file)


OWN = [
    row("latitude of station 723170", "place of a station's number", TMY3, 36.1, lambda: find_place("723170").latitude, 0.01, "Greensboro"),
    row("latitude of a file from the south", "place of a weather file", "the head of the file", -25.8, lambda: southern().latitude, 1e-3, "S 25 48", OWN_MARK),
    row("longitude of a file from the east", "place of a weather file", "the head of the file", 80.26667, lambda: southern().longitude, 1e-3, "E 80 16", OWN_MARK),
    row("a person's monthly normals of 20 and 0 C: mean of the year [F]", "a person's own monthly normals", "worked by hand from the file", 50.0,
        lambda: float(own(months("C", 20.0, 0.0)).temperature.mean()), 0.05, "10 C", "common practice, no source"),
    row("the same: warmest month [F]", "a person's own monthly normals", "worked by hand from the file", 50.0,
        lambda: float(own(months("C", 20.0, 0.0)).temperature.max()), 0.05, "all months alike", "common practice, no source"),
    *(
        row(f"{name} of Miami's file", "place of a weather file", TMY2, value, lambda get=get: get(read_typical_year(path(TMY2))), 1e-3,
            "as pvlib reads it")
        for name, value, get in [("latitude", 25.8, lambda h: h.latitude), ("longitude", -80.26667, lambda h: h.longitude),
                                 ("clock", -5.0, lambda h: h.zone), ("elevation [m]", 2.0, lambda h: h.elevation)]
    ),
    row("a person's days of 30 and 10 C: degree days to 75 F", "a person's own daily weather", "worked by hand from the file", 7.0 * 365,
        lambda: float(own(days("C", 30.0, 10.0)).degree_days.heating(75.0).sum()), 0.004, "20 C is 68 F; a gap of a day is filled",
        "common practice, no source", relative=True),
    row("the same in F", "a person's own daily weather", "worked by hand from the file", 15.0 * 365,
        lambda: float(own(days("F", 70.0, 50.0)).degree_days.heating(75.0).sum()), 0.004, "mean 60 F",
        "common practice, no source", relative=True),
    *(
        row(f"miles from {name}", "distance between places", "distances of airports in tables of great circles", value,
            lambda a=a, b=b: float(miles_between(*a, np.array([b[0]]), np.array([b[1]]))[0]), 0.004, "round earth", "memory", relative=True)
        for name, a, b, value in [
            ("New York JFK to Los Angeles LAX", (40.6398, -73.7789), (33.9425, -118.4081), 2475.0),
            ("Chicago ORD to Miami MIA", (41.9786, -87.9048), (25.7932, -80.2906), 1197.0),
        ]
    ),
]  # fmt: skip

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

CHECKS = [*READ, *PACKED, *GAPS, *SORTED, *CLIMATE, *OWN, *TABLE]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
