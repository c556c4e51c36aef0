"""Heaters, heat pumps, air conditioners and blowers against rating procedures, trade figures and limiting cases.

Where sources contradict each other, the choices are these.

- Efficiency over outdoor temperature: 1.5 % per degree, against a field rule of 2 points per 10 F, whose own
  example reads gentler than the rule.
- COP from HSPF: the rating rule with a usual unit's curve, against a straight line quoted beside the EER
  formula; they agree near HSPF 7.7 and part by 10 % at HSPF 10 (4.33 against 3.93), which is not listed below.
- Frost: our usual curve dips 6 % at 35 F, the rating rule takes 10 % from a unit that was not tested there.
"""

import numpy as np
import psychrolib
import pytest
from checks import Check, assert_check

from retrofit_lab.physics.air_conditioner import (
    latent_load,
    seasonal_input,
    site_seer,
)
from retrofit_lab.physics.fan import fan_heat
from retrofit_lab.physics.fuel_heater import (
    fuel_input,
    pilot_input,
)
from retrofit_lab.physics.heat_pump import (
    BTU_PER_KWH,
    capacity_share,
    cop_share,
    heat_pump_months,
    ratings_from_hspf,
)

RULE = "10 CFR 430 subpart B appendix M, region IV"
REGION_IV = {
    62: 0.132, 57: 0.111, 52: 0.103, 47: 0.093, 42: 0.100, 37: 0.109, 32: 0.126, 27: 0.087,
    22: 0.055, 17: 0.036, 12: 0.026, 7: 0.013, 2: 0.006, -3: 0.002, -8: 0.001,
}  # fmt: skip
"""Share of the heating hours of region IV by outdoor temperature, as the rule prints them. [F: 1]"""


def rated_again(hspf: float) -> float:
    """The seasonal rating that the product's heat pump of a label reaches in the rule's hours and load."""
    temperature = np.tile(np.array([*REGION_IV], dtype=np.float64), (12, 1))
    hours = np.tile(1_000.0 * np.array([*REGION_IV.values()]), (12, 1))
    load = 0.77 * 36_000.0 * (65.0 - temperature) / 60.0
    used = heat_pump_months(load, hours, temperature, ratings_from_hspf(hspf, 36_000.0))
    watt_hours = 1_000.0 * (used.compressor[0] + used.backup[0] / BTU_PER_KWH)
    return float((load * hours)[0].sum() / watt_hours)


MONTH = 730.0
NAME = "equipment"
ANSWER = "public answer on cooling and heating ratings"
CYCLING = "10 CFR 430 subpart B appendix M"
PSYCHROMETRICS = "PsychroLib, moist-air enthalpy"


def moisture_enthalpy() -> float:
    """Heat of 0.004 lb/lb in 100 cfm of standard air at 75 F, by the library. [Btu/h]"""
    psychrolib.SetUnitSystem(psychrolib.IP)
    wet, dry = (psychrolib.GetMoistAirEnthalpy(75.0, w) for w in (0.014, 0.010))
    return 100.0 * 60.0 * 0.075 * (wet - dry)


CHECKS = [
    *(
        Check("equipment", f"label of {hspf} comes back", RULE, "memory", hspf,
              lambda hspf=hspf: rated_again(hspf), 1e-9, "closed form")
        for hspf in (6.8, 7.7, 8.2, 10.0)
    ),
    Check("equipment", "120 MMBtu from 15,000 kWh", "encyclopedia article on HSPF", "read", 15_000.0,
          lambda: seasonal_input(120e6, 8.0), 1e-6, "exact"),
    Check(NAME, "output left at 35 F against the line from 17 F to 47 F", CYCLING, "memory", 0.90,
          lambda: capacity_share(35.0) / (0.4 * capacity_share(17.0) + 0.6), 0.06,
          "the rule's value for a unit not tested at 35 F; a usual unit is better"),
    Check(NAME, "efficiency left at 35 F against the same line", CYCLING, "memory", 0.90 / 0.985,
          lambda: cop_share(35.0) / (0.4 * cop_share(17.0) + 0.6), 0.06,
          "the rule's output and power for a unit not tested at 35 F"),
    *(
        Check(NAME, f"COP at 47 F of a unit of HSPF {hspf}", ANSWER, "read", 0.28 * hspf + 1.13,
              lambda hspf=hspf: float(ratings_from_hspf(hspf, 36_000.0).cop_47), 0.2,
              "a straight line through ratings of units, of another slope than the rating rule's")
        for hspf in (7.0, 7.7, 8.2)
    ),
    Check(NAME, "a SEER 12 unit on a 105 F day", "fennigphc.com, air conditioning", "read", 8.3,
          lambda: site_seer(12.0, 105.0), 0.7, "the page's own range: 7.6 by its rule, 8 to 9 in its example"),
    Check(NAME, "efficiency lost by ten degrees", "fennigphc.com, air conditioning", "read", 2.0 / 12.0,
          lambda: 1 - site_seer(12.0, 92.0) / 12.0, 0.03, "two points of SEER 12; ours is 15 %"),
    Check(NAME, "moisture load of 1 grain in 1 cfm", "engineeringtoolbox.com d_747, cooling equations", "read", 0.68,
          lambda: latent_load(1.0, 1 / 7000.0, 1.0), 0.015,
          "the table's own 4840 per lb is 0.691 per grain"),
    Check(NAME, "moisture load of 100 cfm and 0.004 lb/lb", PSYCHROMETRICS, "read", moisture_enthalpy(),
          lambda: latent_load(100.0, 0.004, 1.0), 0.025,
          "1076 Btu/lb against the library's 1094 at 75 F", relative=True),
    Check(NAME, "furnace of AFUE 0.8", "definition of AFUE", "memory", 100e6,
          lambda: fuel_input(80e6, 0.8), 1e-3, "exact"),
    Check(NAME, "limit: AFUE 1", "limiting case", "common practice, no source", 80e6,
          lambda: fuel_input(80e6, 1.0), 0.0, "exact"),
    Check(NAME, "limit: no load", "limiting case", "common practice, no source", 0.0,
          lambda: fuel_input(0.0, 0.8), 0.0, "exact"),
    Check(NAME, "furnace pilot in a month", "we-energies.com, help on furnace pilots", "read", 8.0,
          lambda: pilot_input(1_100.0, MONTH) / 1e5, 0.05, "therms, printed whole"),
    Check(NAME, "water-heater pilot in a month", "peoplesgasdelivery.com, help on water-heater pilots", "read", 5.48,
          lambda: pilot_input(750.0, MONTH) / 1e5, 0.01, "therms, printed to hundredths"),
    Check(NAME, "pilot of 800 Btu/h in 30 days", "engineerfix.com, cost of a pilot light", "read", 5.76,
          lambda: pilot_input(800.0, 720.0) / 1e5, 1e-9, "exact"),
    Check(NAME, "heat of the rating's default blower", "10 CFR 430 subpart B appendix M", "memory", 1250.0,
          lambda: fan_heat(365.0), 0.005, "both printed per 1,000 cfm, rounded", relative=True),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
