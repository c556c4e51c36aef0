"""Heaters, heat pumps, coolers and blowers against rating procedures, trade figures and limiting cases.

Where sources contradict each other, the choices are these.

- EER from SEER: the quadratic that a public answer quotes, against 0.875 or 0.9 times SEER elsewhere, which
  lie within half a point at SEER 10.
- Efficiency over outdoor temperature: 1.5 % per degree, against a field rule of 2 points per 10 F, whose own
  example reads gentler than the rule.
- COP from HSPF: the rating rule with a usual unit's curve, against a straight line quoted beside the EER
  formula; they agree near HSPF 7.7 and part by 10 % at HSPF 10 (4.33 against 3.93), which is not listed below.
- Frost: our usual curve dips 6 % at 35 F, the rating rule takes 10 % from a unit that was not tested there.
- Minimum ratings of 2023: ingener.by prints SEER2 14.0 for the North where memory has 13.4 (14.0 on the old
  scale); memory was kept.
"""

import numpy as np
import psychrolib
import pytest
from checks import Check, assert_check

from retrofit_lab.physics.air_conditioner import (
    eer_from_seer,
    latent_load_infiltration,
    seasonal_input,
    seer_from_seer2,
    sensible_heat_ratio,
    site_seer,
)
from retrofit_lab.physics.dehumidifier import POUNDS_PER_PINT, dehumidifier_input
from retrofit_lab.physics.fan import (
    PASCALS_PER_INCH_WATER,
    efficiency_at_flow,
    fan_heat,
    fan_power,
    flow_with_resistance,
    power_with_resistance,
)
from retrofit_lab.physics.fuel_heater import (
    IDLE_LOSS_GAS,
    IDLE_LOSS_OIL_BOILER,
    TEST_SIZE_RATIO,
    fuel_input,
    oversize_factor,
    pilot_input,
    resistance_input,
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
FILTER_DROP = (0.28 - 0.10) * PASCALS_PER_INCH_WATER
NAME = "equipment"
ANSWER = "public answer on cooling and heating ratings"
CYCLING = "10 CFR 430 subpart B appendix M"
PSYCHROMETRICS = "PsychroLib, moist-air enthalpy"
FIELD_EDUCATOR = "Karg, jlconline.com, Q&A on oversized heating systems"
FILTERS = "Stephens and others 2010, HVAC&R Research 16(3), abstract"


def moisture_enthalpy() -> float:
    """Heat of 0.004 lb/lb in 100 cfm of standard air at 75 F, by the library. [Btu/h]"""
    psychrolib.SetUnitSystem(psychrolib.IP)
    wet, dry = (psychrolib.GetMoistAirEnthalpy(75.0, w) for w in (0.014, 0.010))
    return 100.0 * 60.0 * 0.075 * (wet - dry)


def cooling_change_by_filter() -> float:
    """Change of a cooler's electricity when a filter of the mean drop replaces one of the design drop."""
    flow = flow_with_resistance(1.0, FILTER_DROP, 0.0)
    pressure = 0.82 * PASCALS_PER_INCH_WATER
    fan_share = 0.15
    fan = fan_share * power_with_resistance(1.0, pressure, FILTER_DROP, 0.0)
    return (1.0 - fan_share + fan) / efficiency_at_flow(flow) - 1.0


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
    Check(NAME, "SEER2 13.4 on the old scale", "United States minimum of the North, 14.0 and 13.4", "memory",
          14.0, lambda: seer_from_seer2(13.4), 0.1, "our factor comes from another pair, 15 and 14.3"),
    Check(NAME, "EER of SEER 10", ANSWER, "read", 9.2, lambda: eer_from_seer(10.0), 0.01, "worked there"),
    Check(NAME, "EER of SEER 10 by a rule of nine tenths", ANSWER, "read", 9.0,
          lambda: eer_from_seer(10.0), 0.5, "contradicting rule beside it"),
    Check(NAME, "EER of SEER 10 by a rule of seven eighths", "westvirginiahvacauthority.com, SEER and EER", "read",
          8.75, lambda: eer_from_seer(10.0), 0.5, "contradicting rule"),
    Check(NAME, "minimum EER that goes with SEER 14", "highperformancehvac.com, minimum ratings of 2015", "read", 12.2,
          lambda: eer_from_seer(14.0), 0.5, "a minimum for hot dry regions, so above the usual"),
    Check(NAME, "a SEER 12 unit on a 105 F day", "fennigphc.com, air conditioning", "read", 8.3,
          lambda: site_seer(12.0, 105.0), 0.7, "the page's own range: 7.6 by its rule, 8 to 9 in its example"),
    Check(NAME, "efficiency lost by ten degrees", "fennigphc.com, air conditioning", "read", 2.0 / 12.0,
          lambda: 1 - site_seer(12.0, 92.0) / 12.0, 0.03, "two points of SEER 12; ours is 15 %"),
    Check(NAME, "moisture load of 1 grain in 1 cfm", "engineeringtoolbox.com d_747, cooling equations", "read", 0.68,
          lambda: latent_load_infiltration(1.0, 1 / 7000.0, 0.0), 0.015,
          "the table's own 4840 per lb is 0.691 per grain"),
    Check(NAME, "moisture load of 100 cfm and 0.004 lb/lb", PSYCHROMETRICS, "read", moisture_enthalpy(),
          lambda: latent_load_infiltration(100.0, 0.014, 0.010), 0.025,
          "1076 Btu/lb against the library's 1094 at 75 F", relative=True),
    Check(NAME, "sensible heat ratio", "engineeringtoolbox.com d_747, definition", "read", 0.75,
          lambda: sensible_heat_ratio(18_000.0, 6_000.0), 1e-12, "exact"),
    Check(NAME, "furnace of AFUE 0.8", "definition of AFUE", "memory", 100e6,
          lambda: fuel_input(80e6, 0.8), 1e-3, "exact"),
    Check(NAME, "limit: AFUE 1", "limiting case", "common practice, no source", 80e6,
          lambda: fuel_input(80e6, 1.0), 0.0, "exact"),
    Check(NAME, "limit: no load", "limiting case", "common practice, no source", 0.0,
          lambda: fuel_input(0.0, 0.8), 0.0, "exact"),
    Check(NAME, "resistance heat", "encyclopedia article on HSPF: 3.41 Btu/Wh", "read", 1.0,
          lambda: resistance_input(3_410.0), 0.001, "printed to hundredths"),
    Check(NAME, "gas heater at 2.3 times the load", FIELD_EDUCATOR, "read", 0.95,
          lambda: oversize_factor(2.3, IDLE_LOSS_GAS), 0.002, "our idle loss was set by this; guards the formula"),
    Check(NAME, "oil boiler at 2.3 times the load", FIELD_EDUCATOR, "read", 0.90,
          lambda: oversize_factor(2.3, IDLE_LOSS_OIL_BOILER), 0.002, "our idle loss was set by this"),
    Check(NAME, "limit: heater of the test's size", "ASHRAE Standard 103", "memory", 1.0,
          lambda: oversize_factor(TEST_SIZE_RATIO, IDLE_LOSS_OIL_BOILER), 1e-12, "exact"),
    Check(NAME, "furnace pilot in a month", "we-energies.com, help on furnace pilots", "read", 8.0,
          lambda: pilot_input(1_100.0, MONTH) / 1e5, 0.05, "therms, printed whole"),
    Check(NAME, "water-heater pilot in a month", "peoplesgasdelivery.com, help on water-heater pilots", "read", 5.48,
          lambda: pilot_input(750.0, MONTH) / 1e5, 0.01, "therms, printed to hundredths"),
    Check(NAME, "pilot of 800 Btu/h in 30 days", "engineerfix.com, cost of a pilot light", "read", 5.76,
          lambda: pilot_input(800.0, 720.0) / 1e5, 1e-9, "exact"),
    Check(NAME, "20,000 cfm at 4 in. and 72 %", "dev.to article on fan power, worked example 1", "read", 17.48,
          lambda: fan_power(20_000.0, 4 * PASCALS_PER_INCH_WATER, 0.72) / 745.7, 0.003,
          "horsepower; its constant 6356 holds water at 60 to 68 F", relative=True),
    Check(NAME, "heat of the rating's default blower", "10 CFR 430 subpart B appendix M", "memory", 1250.0,
          lambda: fan_heat(365.0), 0.005, "both printed per 1,000 cfm, rounded", relative=True),
    Check(NAME, "a thicker filter changes cooling energy", FILTERS, "read", 0.0, cooling_change_by_filter, 0.03,
          "no consistent change was measured; drops: Proctor's means of 34 systems (energyvanguard.com, read)"),
    Check(NAME, "30 pints a day at the minimum of 1.6 L/kWh", "ul.com, notice of 19 July 2016", "read",
          30 * 0.473176 / 1.6, lambda: dehumidifier_input(30 * POUNDS_PER_PINT, 1.6), 0.001,
          "conversion of pint and litre", relative=True),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
