"""Lights and standby against the lighting law, arithmetic of the watt meter and the length of the day."""

import pytest
from checks import Check, assert_check, outside

from retrofit_lab.physics.electricity import dark_hours
from retrofit_lab.physics.heat_pump import BTU_PER_KWH

EISA = "EISA 2007 lamp limits as listed by appliance-standards.org"
ARITHMETIC = "common practice, no source"


CHECKS = [
    Check("electricity", "December evening and morning without sun at 40 degrees north",
          "almanac day of 9.3 h with refraction", "memory", 17.0 - 9.3, lambda: float(dark_hours(40.0)[11]), 0.2,
          "awake for 17 h; ours counts the sun's middle and no refraction: about 10 min"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


@outside("scipy.constants")
def test_unit_of_heat_agrees_with_reference_library() -> None:
    constants = pytest.importorskip("scipy.constants")
    assert pytest.approx(3.6e6 / constants.Btu, rel=1e-5) == BTU_PER_KWH
