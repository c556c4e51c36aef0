"""Setbacks, heat storage and gains against measured twin houses, codes and an independent integration."""

import math

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.annual_balance import need_after_gains
from retrofit_lab.physics.thermostat import (
    hours_above_setting,
    recovery_heat,
    setback_period,
    slow_recovery,
    time_constant,
    with_holidays,
)

TOPIC = "thermostat"
OWN = "common practice, no source"
TWINS = (
    "twin test houses, 22 C with 18 C for 7 h to 16 C twice 7 h; trade page on Manning et al. 2007"
)
ADVICE = "consumer advice of a state university"
DISAGREE = "other sources say 0.5 to 1 %, 2 % and 3 % for each degree; 1 % holds at a mean difference of 33 F"
BTU_PER_FT2_F_PER_KJ_PER_M2_K = 0.0489194


def integrated(setpoint: float, setback: float, hours: float, floating: float, tau: float):
    """Step the room's temperature in small steps, held at the setback."""
    count = 20_000
    step = hours / count
    temperature, total = setpoint, 0.0
    for _ in range(count):
        total += temperature * step
        drifted = temperature + (min(floating, setpoint) - temperature) * step / tau
        temperature = max(drifted, min(setback, setpoint))
    return total / hours, temperature


CASES = {
    "reaches the setting": (70.0, 62.0, 8.0, 40.0, 20.0),
    "is still drifting": (70.0, 62.0, 8.0, 40.0, 60.0),
    "deep cold": (70.0, 66.0, 10.0, 10.0, 15.0),
    "floats above the setting": (70.0, 60.0, 8.0, 65.0, 10.0),
    "needs no heating": (70.0, 62.0, 8.0, 75.0, 20.0),
}

CHECKS = [
    Check(TOPIC, "after one time constant 1/e is left", "exponential decay", OWN,
          40.0 + 30.0 / math.e, lambda: setback_period(70.0, 30.0, 20.0, 40.0, 20.0)[1], 1e-9, "exact"),
    *(
        Check(TOPIC, f"mean of a period that {name}", "our own integration in 20,000 steps", OWN,
              integrated(*case)[0], lambda case=case: setback_period(*case)[0], 0.005, "step size")
        for name, case in CASES.items()
    ),
    *(
        Check(TOPIC, f"end of a period that {name}", "our own integration in 20,000 steps", OWN,
              integrated(*case)[1], lambda case=case: setback_period(*case)[1], 0.005, "step size")
        for name, case in CASES.items()
    ),
    Check(TOPIC, "rooms 5 F above their setting that tend to 30 F below it, 20 h [h]", "exponential decay", OWN,
          20.0 * math.log(35.0 / 30.0), lambda: hours_above_setting(5.0, 30.0, 20.0), 1e-6, "35 F fall to 30 F"),
    Check(TOPIC, "gains as large as the loss, time constant 15 h", "EN ISO 13790 12.2.1.1: a/(a + 1) of the gains are of use, a = 2", "memory",
          100.0 / 3.0, lambda: need_after_gains(100.0, 100.0, 15.0), 1e-6, "two thirds of them"),
    Check(TOPIC, "limit: no mass", "limiting case", OWN, 62.0,
          lambda: setback_period(70.0, 62.0, 8.0, 30.0, 0.0)[0], 1e-6, "the setting holds at once"),
    Check(TOPIC, "limit: endless mass", "limiting case", OWN, 70.0,
          lambda: setback_period(70.0, 62.0, 8.0, 30.0, math.inf)[0], 1e-6, "nothing drifts"),
    Check(TOPIC, "setup in summer is the mirror image", "limiting case", OWN, 80.0,
          lambda: setback_period(75.0, 80.0, 8.0, 95.0, 0.0, cooling=True)[0], 1e-6, "no mass"),
    Check(TOPIC, "time constant of a 2,000 ft2 light house losing 400 Btu/(h F) [h]", "arithmetic", OWN,
          27.0, lambda: time_constant(5.4 * 2000.0, 400.0), 1e-9, "exact"),
    Check(TOPIC, "a year away is the away setting", "limiting case", OWN, 55.0,
          lambda: with_holidays(68.0, 55.0, 365.0 / 7.0), 1e-9, "exact"),
    Check(TOPIC, "backup makes what the heat pump cannot [Btu]", "arithmetic", OWN, 44_000.0,
          lambda: slow_recovery(
              recovery_heat(10_000.0, 63.0, 70.0), spare_first=13_000.0, spare_then=0.0, hours=2.0, lag=1.0,
              heat_capacity=10_000.0, droop=0.0).backup, 0.1, "a heat pump that makes nothing beyond the load"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
