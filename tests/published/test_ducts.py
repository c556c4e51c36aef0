"""Duct delivery against the standard's equation and an independent node balance; field figures as bands.

The sources contradict each other, and the choices are these. Energy lost is said to be 25 to 40 %, 20 % (for
35 % of the air), 5 to 30 % and, measured in 24 houses, 36 %: it depends on where the ducts are, so the
checks below name a place. In basements a test of the draft standard against measurements found it 11 points
of efficiency too low on average (ASHRAE Transactions 106(2), MN-00-12-3, abstract, read): what is lost there
comes back, which is `net_effectiveness` with the regain of the basement's own balance, not a lower loss.
"""

import numpy as np
import pytest
from checks import Check, assert_check
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.duct_leakage import leakage_fraction, unbalanced_flow
from retrofit_lab.physics.ducts import (
    conduction_effectiveness,
    delivery_effectiveness,
    equipment_temperature_rise,
    net_effectiveness,
    round_duct_resistance,
    total_cooling_effectiveness,
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


ROUND_DUCTS = "Palmiter and Kruse, True R-Values of Round Residential Ductwork, abstract"
FLORIDA = "Cummings and Tooley 1990, ESL-HH-90-10-20, abstract"
FLORIDA_REPAIRS = "Cummings, Tooley, Moyer and Dunsmore, stars.library.ucf.edu/fsec/858, abstract"
MODERA = "Modera at the 2004 ASHRAE winter meeting, achrnews.com 91957"


def attic_delivery(leakage: float, attic: float, rise: float, resistance: float) -> float:
    """Delivery with all ducts in an attic: 250 ft2 of supply, 60 ft2 of return, 1,000 cfm, rooms at 72 F."""
    return delivery_effectiveness(
        supply_leakage=leakage / 2,
        return_leakage=leakage / 2,
        supply_conduction=conduction_effectiveness(250.0, resistance, 1000.0),
        return_conduction=conduction_effectiveness(60.0, resistance, 1000.0),
        supply_temperature_difference=72.0 - attic,
        return_temperature_difference=72.0 - attic,
        equipment_temperature_rise=rise,
    )


def return_repair(attic: float) -> float:
    """Share of cooling energy saved when return leaks in an attic go from 16.7 to 4.5 % of the flow."""

    def cooling(return_leakage: float) -> float:
        return delivery_effectiveness(
            supply_leakage=0.05,
            return_leakage=return_leakage,
            supply_conduction=conduction_effectiveness(250.0, 5.0, 1000.0),
            return_conduction=conduction_effectiveness(40.0, 5.0, 1000.0),
            supply_temperature_difference=78.0 - attic,
            return_temperature_difference=78.0 - attic,
            equipment_temperature_rise=-20.0,
        )

    return 1.0 - cooling(0.167) / cooling(0.045)


def demand_rise_by_attic_return() -> float:
    """Rise of cooling demand from 15 % return leakage out of a 130 F attic at 0.018 lb/lb."""
    capacity, flow, ratio = 30_000.0, 1000.0, 0.75
    sensible = delivery_effectiveness(
        supply_leakage=0.0,
        return_leakage=0.15,
        supply_conduction=1.0,
        return_conduction=1.0,
        supply_temperature_difference=78.0 - 130.0,
        return_temperature_difference=78.0 - 130.0,
        equipment_temperature_rise=equipment_temperature_rise(-ratio * capacity, flow),
    )
    total = total_cooling_effectiveness(
        sensible,
        sensible_heat_ratio=ratio,
        supply_leakage=0.0,
        return_leakage=0.15,
        moisture_difference=0.018 - 0.010,
        capacity=capacity,
        flow=flow,
    )
    return 1.0 / total - 1.0


def basement_saving() -> float:
    """Share saved by sealing basement ducts from 25 to 5 % of the flow, half of the loss coming back."""

    def useful(leakage: float) -> float:
        delivery = delivery_effectiveness(
            supply_leakage=leakage / 2,
            return_leakage=leakage / 2,
            supply_conduction=conduction_effectiveness(200.0, 1.2, 1000.0),
            return_conduction=conduction_effectiveness(80.0, 1.2, 1000.0),
            supply_temperature_difference=10.0,
            return_temperature_difference=10.0,
            equipment_temperature_rise=50.0,
        )
        return net_effectiveness(delivery, 0.5)

    return 1.0 - useful(0.25) / useful(0.05)


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
    Check("ducts", "round 6 in. duct labelled R-4.2, with films", ROUND_DUCTS, "read", 4.34,
          lambda: round_duct_resistance(4.2, 6.0), 0.01, "our R per inch and films were fitted to this and R-8"),
    Check("ducts", "round 6 in. duct labelled R-8, with films", ROUND_DUCTS, "read", 6.45,
          lambda: round_duct_resistance(8.0, 6.0), 0.01, "our R per inch and films were fitted to this and R-4.2"),
    Check("ducts", "round 6 in. duct labelled R-11, with films", ROUND_DUCTS, "read", 7.81,
          lambda: round_duct_resistance(11.0, 6.0), 0.01, "printed to hundredths; not used in the fit"),
    Check("ducts", "round duct R-8 falls short of its label", ROUND_DUCTS, "read", 0.19,
          lambda: 1 - round_duct_resistance(8.0, 6.0) / 8.0, 0.005, "printed in whole percent"),
    Check("ducts", "round duct R-11 falls short of its label", ROUND_DUCTS, "read", 0.29,
          lambda: 1 - round_duct_resistance(11.0, 6.0) / 11.0, 0.005, "printed in whole percent; not in the fit"),
    Check("ducts", "attic ducts as found in Sacramento", "Jump, Walker and Modera 1996, abstract", "read",
          0.64, lambda: attic_delivery(0.30, 45.0, 45.0, 4.0), 0.06,
          "the mean of 24 houses; leakage, surface and attic temperature are ours and typical"),
    Check("ducts", "return repairs in attics save cooling", FLORIDA_REPAIRS, "read", 0.18,
          lambda: return_repair(102.0), 0.06,
          "measured in 24 homes; the attic's mean of 102 F in running hours is ours"),
    Check("ducts", "15 % return leak from a hot attic raises cooling demand", FLORIDA, "read", 1.00,
          demand_rise_by_attic_return, 0.25,
          "their calculation says 100 %; attic air of 130 F and 0.018 lb/lb is ours"),
    Check("ducts", "return leaks explain the air exchange while running", FLORIDA, "read",
          -(0.85 - 0.29) * 12_000 / 60, lambda: unbalanced_flow(0.0, 0.103, 1200.0), 0.30,
          "tracer gas in 155 homes; 12,000 ft3 and 1,200 cfm are typical values of ours", relative=True),
    Check("ducts", "saving potential of leaky attic ducts", MODERA, "read", 0.25,
          lambda: 1 - attic_delivery(0.33, 45.0, 45.0, 4.0) / attic_delivery(0.06, 45.0, 45.0, 6.0),
          0.10, "he gives 15 to 35 % for ducts that leak 30 to 35 %"),
    Check("ducts", "35 % of the air is 20 % of the energy", "archived energystar.gov page", "read", 0.20,
          lambda: 1 - net_effectiveness(attic_delivery(0.35, 55.0, 45.0, 6.0), 0.4), 0.06,
          "a rule without place; a crawl space of 55 F that gives back 40 % is ours"),
    Check("ducts", "200 cfm at 25 Pa in a 1,000 cfm system", "half of the reading on each side",
          "common practice, no source", 0.10, lambda: leakage_fraction(200.0, 1000.0), 1e-12, "exact"),
    Check("ducts", "leaks at four times the pressure", "power law, exponent 0.6", "memory", 2.2974,
          lambda: leakage_fraction(200.0, 1000.0, operating_pressure=100.0) / 0.10, 1e-4, "4 to the power 0.6"),
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
