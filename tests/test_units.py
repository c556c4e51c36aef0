"""What people write for quantities, and what they are told when it is none."""

import pytest

from retrofit_lab.base.units import (
    R_UNIT,
    SI,
    SPELLING,
    U_UNIT,
    in_si,
    read_quantity,
    registry,
    write_quantity,
)
from retrofit_lab.base.values import InputError

GOOD = [
    ("3.5 in", "inch", 3.5), ('5.5"', "inch", 5.5), ("9 cm", "inch", 3.5433), ("R-13", R_UNIT, 13.0),
    ("r 13", R_UNIT, 13.0), ("1850 cfm", "cfm", 1850.0), ("50 L/s", "cfm", 105.944), ("20 C", "degF", 68.0),
    ("68 F", "degF", 68.0), ("85 %", "1", 0.85), ("1,200 sq ft", "ft2", 1200.0), ("100 m2", "ft2", 1076.39),
    ("3 kW", "Btu/hour", 10236.4), ("2.5 gpm", "gallon/minute", 2.5), ("U-0.35", U_UNIT, 0.35),
    ("2 W/m2/K", U_UNIT, 0.35222), ("3 m2*K/W", R_UNIT, 17.0348),
    (0.4, "1", 0.4), ("0.5 in wc", "inH2O", 0.5), ("125 Pa", "inH2O", 0.501829),
    ("0.5 in. w.c.", "inH2O", 0.5), ("148 Bq/m3", "picocurie/liter", 4.0), ("35 ppm", "ppm", 35.0),
    ("2 min", "second", 120.0), ("19 %", "percent", 19.0), ("36,000 BTU/hour", "Btu/hour", 36000.0),
]  # fmt: skip


@pytest.mark.parametrize(("text", "unit", "value"), GOOD)
def test_understood(text, unit: str, value: float) -> None:
    assert read_quantity(text, unit) == pytest.approx(value, rel=1e-5)


BAD = [
    (13, "ft2", "13 has no unit; write for example '13 sq ft'"),
    ("abc", "ft", "'abc' is not a number"),
    ("5 kg", "ft", "cannot be read as ft"),
    ("U-0.077", R_UNIT, "an R-value is needed; U-0.077 is R-13"),
    ("R-13", "ft", "'R-13' does not fit here"),
    (True, "1", "yes or no"),
    ("12 lightyears_of_nothing", "ft", "cannot be read as ft"),
]


@pytest.mark.parametrize(("text", "unit", "words"), BAD)
def test_refused(text, unit: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        read_quantity(text, unit)


@pytest.mark.parametrize(("text", "unit", "value"), GOOD)
def test_written_and_read_again(text, unit: str, value: float) -> None:
    assert read_quantity(write_quantity(value, unit), unit) == value


PINT_NAMES = {
    "F": "delta_degF", "F difference": "delta_degF", "F day": "delta_degF*day", "in": "inch",
    "cfm": "foot**3/minute", "gal": "gallon", "gpm": "gallon/minute", "gal/day": "gallon/day",
    "million Btu": "MBtu", "Btu/h": "Btu/hour", "Btu/h/F": "Btu/hour/delta_degF",
    "Btu/(h F)": "Btu/hour/delta_degF", "Btu/(h F cfm)": "Btu/hour/delta_degF/(foot**3/minute)",
    "Btu/(h ft2 F)": "Btu/hour/foot**2/delta_degF", "U": "Btu/hour/foot**2/delta_degF",
    "h ft2 F/Btu": "hour*foot**2*delta_degF/Btu", "R": "hour*foot**2*delta_degF/Btu",
    "Btu/ft2/F": "Btu/foot**2/delta_degF", "Btu/Wh": "Btu/watt/hour",
    "ft2": "foot**2", "ft3": "foot**3",
    "\N{DEGREE SIGN}C": "kelvin", "K": "kelvin", "K days": "kelvin*day", "L/s": "liter/second",
    "L": "liter", "L/min": "liter/minute", "L/day": "liter/day", "kWh": "kilowatt_hour",
    "W": "watt", "W/K": "watt/kelvin", "W/(K·L/s)": "watt/kelvin/(liter/second)",
    "W/(m²·K)": "watt/meter**2/kelvin", "m²·K/W": "meter**2*kelvin/watt",
    "kJ/(m²·K)": "kilojoule/meter**2/kelvin", "W/W": "", "m²": "meter**2", "m³": "meter**3",
    "in wc": "inH2O", "pCi/L": "picocurie/liter", "Bq/m³": "becquerel/meter**3", "Pa": "pascal",
    "cm": "cm", "kg": "kg", "m": "meter", "ft": "foot", "lb": "pound", "Btu": "Btu",
}  # fmt: skip


@pytest.mark.parametrize("written", SI)
def test_factors_to_si_are_those_of_the_registry(written: str) -> None:
    unit, factor, _ = SI[written]
    ours = registry().Quantity(1.0, PINT_NAMES[written]).to(PINT_NAMES[unit] or "dimensionless")
    assert factor == pytest.approx(
        ours.magnitude, rel=1e-6
    )  # two definitions of the Btu differ by 1e-7


@pytest.mark.parametrize(
    ("value", "written", "expected"),
    [
        (68.0, "F", (20.0, "\N{DEGREE SIGN}C")),
        (9.0, "F difference", (5.0, "K")),
        (100.0, "cfm", (47.19474432, "L/s")),
        (3.0, "kWh/year", (3.0, "kWh/year")),
        (50.0, "Pa", (50.0, "Pa")),
    ],
)
def test_shown_in_si(value: float, written: str, expected: tuple[float, str]) -> None:
    shown, unit = in_si(value, written)
    assert shown == pytest.approx(expected[0])
    assert unit == expected[1]


def test_every_declared_unit_has_an_si_form_or_is_one() -> None:
    same = {"", "Pa", "h", "per h", "min", "W", "deg", "kWh/year", "s", "ppm", "%"}
    assert set(SPELLING.values()) - same <= set(SI)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("R-3,5", R_UNIT), ("3,5 in", "inch"), ("0,125 in", "inch"), ("1,23,4 ft", "ft"), ("12,34", "1")],
)  # fmt: skip
def test_decimal_comma_is_refused_and_never_ten_times_the_number(text: str, unit: str) -> None:
    with pytest.raises(
        InputError, match=r"a comma that does not separate thousands; write a decimal point"
    ):
        read_quantity(text, unit)


@pytest.mark.parametrize(
    "unit",
    ["ft**9**9**9", "ft^9^9", "(9**9)**9 ft", "1e9**1e9 ft", "ft**2**3", "ft**(9**9)", "a" * 41, "a" * 39 + "!"],
)  # fmt: skip
def test_towers_of_powers_are_refused_at_once(unit: str) -> None:
    with pytest.raises(InputError, match=r"is not a unit|cannot be read"):
        read_quantity(f"5 {unit}", "ft")


@pytest.mark.parametrize(
    ("text", "value"), [("5 ft**2", 5.0), ("5 ft^2", 5.0), ("5 ft²", 5.0), ("5 m**2", 53.8196)]
)
def test_small_powers_are_units(text: str, value: float) -> None:
    assert read_quantity(text, "ft2") == pytest.approx(value, rel=1e-5)
