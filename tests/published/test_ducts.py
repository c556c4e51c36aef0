"""Duct delivery against the standard's equation and an independent node balance; field figures as bands."""

import numpy as np
import pytest
from checks import Check, assert_check
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.ducts import (
    conduction_effectiveness,
    delivery_effectiveness,
    net_effectiveness,
)

STANDARD = "ASHRAE Standard 152, steady heating"
CASE = {"flow": 1000.0, "heat": 54_000.0, "room": 70.0, "ambient": 30.0}


def delivered(
    supply_leak: float, return_leak: float, supply: float, back: float, r: float
) -> float:
    rise = CASE["heat"] / (1.08 * CASE["flow"])
    difference = CASE["room"] - CASE["ambient"]
    return delivery_effectiveness(
        supply_leakage=supply_leak,
        return_leakage=return_leak,
        supply_conduction=conduction_effectiveness(supply, r, CASE["flow"]),
        return_conduction=conduction_effectiveness(back, r, CASE["flow"]),
        supply_temperature_difference=difference,
        return_temperature_difference=difference,
        equipment_temperature_rise=rise,
    )


CHECKS = [
    Check("ducts", "supply conduction, 300 ft2 of R-4", STANDARD, "memory", 0.93291,
          lambda: conduction_effectiveness(300.0, 4.0, 1000.0), 1e-5, "five digits"),
    Check("ducts", "return conduction, 100 ft2 of R-4", STANDARD, "memory", 0.97712,
          lambda: conduction_effectiveness(100.0, 4.0, 1000.0), 1e-5, "five digits"),
    Check("ducts", "leaks of 10 and 8 %", STANDARD, "memory", 0.72344,
          lambda: delivered(0.10, 0.08, 300.0, 100.0, 4.0), 1e-4, "five digits"),
    Check("ducts", "limit: no leaks and no surface", "limiting case", "common practice, no source", 1.0,
          lambda: delivered(0.0, 0.0, 0.0, 0.0, 4.0), 1e-12, "exact"),
    Check("ducts", "limit: all regained", "limiting case", "common practice, no source", 1.0,
          lambda: net_effectiveness(0.7, 1.0), 1e-12, "exact"),
    Check("ducts", "delivery 64 to 76 % saves heating energy", "Jump, Walker and Modera 1996, abstract",
          "read", 0.18, lambda: 1 - 0.64 / 0.76, 0.03, "measured 18 % of HVAC energy in 24 houses"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def by_nodes(supply_leak: float, return_leak: float, b_supply: float, b_return: float) -> float:
    """Follow the air round: room, return, equipment, supply, room."""
    room, ambient, flow = CASE["room"], CASE["ambient"], 1.08 * CASE["flow"]
    returned = ambient + (room - ambient) * b_return
    mixed = (1 - return_leak) * returned + return_leak * ambient
    hot = mixed + CASE["heat"] / flow
    end = ambient + (hot - ambient) * b_supply
    return (1 - supply_leak) * flow * (end - room) / CASE["heat"]


@given(st.floats(0, 0.4), st.floats(0, 0.4), st.floats(0.7, 1.0), st.floats(0.7, 1.0))
@settings(deadline=None)
def test_equation_is_the_node_balance(a: float, b: float, c: float, d: float) -> None:
    rise = CASE["heat"] / (1.08 * CASE["flow"])
    ours = delivery_effectiveness(
        supply_leakage=a, return_leakage=b, supply_conduction=c, return_conduction=d,
        supply_temperature_difference=40.0, return_temperature_difference=40.0,
        equipment_temperature_rise=rise,
    )  # fmt: skip
    assert ours == pytest.approx(by_nodes(a, b, c, d), abs=1e-12)


def test_more_leakage_never_delivers_more() -> None:
    leaks = np.linspace(0, 0.5, 20)
    row = [delivered(leak, 0.1, 200.0, 80.0, 3.0) for leak in leaks]
    assert (np.diff(row) < 0).all()
