"""Lamps and standby against the lighting law, arithmetic of the watt meter and the length of the day."""

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.electricity import (
    BTU_PER_KWH,
    appliance_energy,
    dark_hours,
    fan_energy,
    heat_inside,
    lamp_energy,
    sensor_factor,
    standby_cut,
    standby_energy,
)

EISA = "EISA 2007 lamp limits as listed by appliance-standards.org"
ARITHMETIC = "common practice, no source"


def lamp_saving(old: float, new: float) -> float:
    return 1.0 - lamp_energy(new, 1.0, 3.0) / lamp_energy(old, 1.0, 3.0)


CHECKS = [
    *(
        Check("electricity", f"{old:g} W lamp replaced by {new:g} W", EISA, "read", saving,
              lambda old=old, new=new: lamp_saving(old, new), 0.005,
              "per cent with one decimal; the law calls it 25 to 30 %")
        for old, new, saving in [(100.0, 72.0, 0.280), (75.0, 53.0, 0.293), (60.0, 43.0, 0.283),
                                 (40.0, 29.0, 0.275)]
    ),
    Check("electricity", "60 W to 9 W for 3 h a day", "arithmetic", ARITHMETIC, 55.8,
          lambda: lamp_energy(60.0, 1.0, 3.0) - lamp_energy(9.0, 1.0, 3.0), 0.05, "one decimal"),
    Check("electricity", "one watt all year", "arithmetic", ARITHMETIC, 8.76,
          lambda: standby_energy(1.0, 24.0), 1e-9, "exact"),
    Check("electricity", "fan of 30 W for 8 h a day", "arithmetic", ARITHMETIC, 87.6,
          lambda: fan_energy(30.0, 8.0), 1e-9, "exact"),
    Check("electricity", "refrigerator, 9.8 kWh in a week", "arithmetic", ARITHMETIC, 511.0,
          lambda: appliance_energy(9.8, 7.0), 1e-9, "exact"),
    Check("electricity", "strip on a set of 12 W idle, 4 h a day in use", "arithmetic", ARITHMETIC, 87.6,
          lambda: standby_cut(120.0, 12.0, 4.0, 1.0)[1], 1e-9, "12 W for 20 h a day"),
    Check("electricity", "heat of a kilowatt hour", "3.41 Btu per Wh, HSPF article in Wikipedia", "read", 3410.0,
          lambda: heat_inside(1.0, 1.0), 5.0, "three digits printed"),
    Check("electricity", "lamp 10 h a day, needed 3 h in 4 visits held 15 min",
          "arithmetic", ARITHMETIC, 0.4, lambda: sensor_factor(10.0, 3.0, 4.0, 15.0), 1e-12, "exact"),
    Check("electricity", "December evening and morning without sun at 40 degrees north",
          "almanac day of 9.3 h with refraction", "memory", 17.0 - 9.3, lambda: float(dark_hours(40.0)[11]), 0.2,
          "awake for 17 h; ours counts the sun's middle and no refraction: about 10 min"),
    Check("electricity", "limit: nobody turns it on", "arithmetic", ARITHMETIC, 0.0,
          lambda: lamp_energy(60.0, 10.0, 0.0), 1e-12, "limiting case"),
    Check("electricity", "limit: sensor that never lets go", "arithmetic", ARITHMETIC, 1.0,
          lambda: sensor_factor(10.0, 3.0, 1.0, 1e6), 1e-12, "a sensor never lights lamps longer"),
    Check("electricity", "limit: lamps outdoors", "arithmetic", ARITHMETIC, 0.0,
          lambda: heat_inside(100.0, 0.0), 1e-12, "limiting case"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def test_unit_of_heat_agrees_with_reference_library() -> None:
    constants = pytest.importorskip("scipy.constants")
    assert pytest.approx(3.6e6 / constants.Btu, rel=1e-5) == BTU_PER_KWH
