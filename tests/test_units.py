"""What people write for quantities, and what they are told when it is none."""

import pytest

from retrofit_lab.units import R_UNIT, U_UNIT, read_quantity, write_quantity
from retrofit_lab.values import InputError

GOOD = [
    ("3.5 in", "inch", 3.5), ('5.5"', "inch", 5.5), ("9 cm", "inch", 3.5433), ("R-13", R_UNIT, 13.0),
    ("r 13", R_UNIT, 13.0), ("1850 cfm", "cfm", 1850.0), ("50 L/s", "cfm", 105.944), ("20 C", "degF", 68.0),
    ("68 F", "degF", 68.0), ("85 %", "1", 0.85), ("1,200 sq ft", "ft2", 1200.0), ("100 m2", "ft2", 1076.39),
    ("3 kW", "Btu/hour", 10236.4), ("2.5 gpm", "gallon/minute", 2.5), ("U-0.35", U_UNIT, 0.35),
    ("2 W/m2/K", U_UNIT, 0.35222), ("3 m2*K/W", R_UNIT, 17.0348),
    (0.4, "1", 0.4), ("36,000 BTU/hour", "Btu/hour", 36000.0),
]  # fmt: skip


@pytest.mark.parametrize(("text", "unit", "value"), GOOD)
def test_understood(text, unit: str, value: float) -> None:
    assert read_quantity(text, unit) == pytest.approx(value, rel=1e-5)


BAD = [
    (13, "ft2", "13 has no unit; write for example '13.0 ft2'"),
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
