"""Duct delivery against the standard's equation and an independent node balance; field figures as bands.

The sources contradict each other, and the choices are these. Energy lost is said to be 25 to 40 %, 20 % (for
35 % of the air), 5 to 30 % and, measured in 24 houses, 36 %: it depends on where the ducts are, so the
checks below name a place. In basements a test of the draft standard against measurements found it 11 points
of efficiency too low on average (ASHRAE Transactions 106(2), MN-00-12-3, abstract, read): what is lost there
comes back, by the regain of the basement's own balance, not by a lower loss.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check, outside
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.model.year import year_energy
from retrofit_lab.physics.air_conditioner import latent_share
from retrofit_lab.physics.ducts import (
    conduction_effectiveness,
    duct_losses,
    equipment_temperature_rise,
    unbalanced_flow,
)

STANDARD = "ASHRAE Standard 152, steady heating"
CASE = {"flow": 1000.0, "heat": 54_000.0, "room": 70.0, "ambient": 30.0}


def delivered(
    supply_leak: float, return_leak: float, supply: float, back: float, r: float
) -> float:
    rise = CASE["heat"] / (1.08 * CASE["flow"])
    difference = CASE["room"] - CASE["ambient"]
    return duct_losses(
        supply_leakage=supply_leak,
        return_leakage=return_leak,
        supply_conduction=conduction_effectiveness(supply, r, CASE["flow"]),
        return_conduction=conduction_effectiveness(back, r, CASE["flow"]),
        supply_temperature_difference=difference,
        return_temperature_difference=difference,
        equipment_temperature_rise=rise,
    ).delivered


FLORIDA = "Cummings and Tooley 1990, ESL-HH-90-10-20, abstract"
FLORIDA_REPAIRS = "Cummings, Tooley, Moyer and Dunsmore, stars.library.ucf.edu/fsec/858, abstract"
MODERA = "Modera at the 2004 ASHRAE winter meeting, achrnews.com 91957"


def attic_delivery(leakage: float, attic: float, rise: float, resistance: float) -> float:
    """Delivery with all ducts in an attic: 250 ft2 of supply, 60 ft2 of return, 1,000 cfm, rooms at 72 F."""
    return duct_losses(
        supply_leakage=leakage / 2,
        return_leakage=leakage / 2,
        supply_conduction=conduction_effectiveness(250.0, resistance, 1000.0),
        return_conduction=conduction_effectiveness(60.0, resistance, 1000.0),
        supply_temperature_difference=72.0 - attic,
        return_temperature_difference=72.0 - attic,
        equipment_temperature_rise=rise,
    ).delivered


def house_with_ducts(place: str, climate: str, **ducts: float) -> House:
    """A ranch house of 1,500 ft2 as it is taken to be from a few answers, with ducts in a named place."""
    foundation = {
        "attic": "slab on the ground",
        "crawlspace": "crawl space",
        "basement": "basement, not heated",
    }
    plan = FirstAnswers(
        name="ranch", climate=climate, year_built=1980.0, length=50.0, width=30.0, stories=1.0, ceiling=8.0,
        foundation=foundation[place], roof="attic", heating="gas furnace", cooling="central",
        hot_water="gas tank", bedrooms=3.0, occupants=3.0,
    )  # fmt: skip
    house = starting_house(plan)
    numbers = {
        "supply_area": 250.0,
        "return_area": 50.0,
        "supply_r": 5.0,
        "return_r": 5.0,
        "flow": 1000.0,
    }
    where = {"supply_place": place, "return_place": place}
    return replace(house, ducts=replace(house.ducts, **where, **(numbers | ducts)))


def used(house: House, end_use: str) -> float:
    year = year_energy(house, find_climate(house.site.climate))
    return sum(float(year.annual(*use)) for use in year.monthly if use[1] == end_use)


def saved(place: str, climate: str, end_use: str, before: dict, after: dict) -> float:
    """Share of an end use that other ducts save in the whole house."""
    left = used(house_with_ducts(place, climate, **after), end_use)
    return 1.0 - left / used(house_with_ducts(place, climate, **before), end_use)


def leaks(supply: float, back: float) -> dict[str, float]:
    return {"supply_leakage": supply, "return_leakage": back}


def demand_rise_by_attic_return() -> float:
    """Rise of cooling demand from 15 % return leakage out of a 130 F attic at 0.018 lb/lb."""
    rooms, mixed = 0.010, 0.85 * 0.010 + 0.15 * 0.018
    sensible = 1.0 - latent_share(mixed)
    delivered = duct_losses(
        supply_leakage=0.0,
        return_leakage=0.15,
        supply_conduction=1.0,
        return_conduction=1.0,
        supply_temperature_difference=78.0 - 130.0,
        return_temperature_difference=78.0 - 130.0,
        equipment_temperature_rise=equipment_temperature_rise(-sensible * 30_000.0, 1000.0),
    ).delivered
    return (1.0 - latent_share(rooms)) / (sensible * delivered) - 1.0


CHECKS = [
    Check("ducts", "supply conduction, 300 ft2 of R-4", STANDARD, "memory", 0.93291,
          lambda: conduction_effectiveness(300.0, 4.0, 1000.0), 1e-5, "five digits"),
    Check("ducts", "return conduction, 100 ft2 of R-4", STANDARD, "memory", 0.97712,
          lambda: conduction_effectiveness(100.0, 4.0, 1000.0), 1e-5, "five digits"),
    Check("ducts", "leaks of 10 and 8 %", STANDARD, "memory", 0.72344,
          lambda: delivered(0.10, 0.08, 300.0, 100.0, 4.0), 1e-4, "five digits"),
    Check("ducts", "limit: no leaks and no surface", "limiting case", "common practice, no source", 1.0,
          lambda: delivered(0.0, 0.0, 0.0, 0.0, 4.0), 1e-12, "exact"),
    Check("ducts", "attic ducts as found in Sacramento", "Jump, Walker and Modera 1996, abstract", "read",
          0.64, lambda: attic_delivery(0.30, 45.0, 45.0, 4.0), 0.06,
          "the mean of 24 houses; leakage, surface and attic temperature are ours and typical"),
    Check("ducts", "15 % return leak from a hot attic raises cooling demand", FLORIDA, "read", 1.00,
          demand_rise_by_attic_return, 0.25,
          "their calculation says 100 %; attic air of 130 F and 0.018 lb/lb is ours"),
    Check("ducts", "return leaks explain the air exchange while running", FLORIDA, "read",
          -(0.85 - 0.29) * 12_000 / 60, lambda: unbalanced_flow(0.0, 0.103, 1200.0), 0.30,
          "tracer gas in 155 homes; 12,000 ft3 and 1,200 cfm are typical values of ours", relative=True),
    Check("ducts", "return repairs in attics save cooling", FLORIDA_REPAIRS, "read", 0.18,
          lambda: saved("attic", "miami_fl", "cooling", leaks(0.05, 0.167), leaks(0.05, 0.045)), 0.06,
          "measured in 24 homes; a whole house in Miami, its supply leaks of 5 % are ours"),
    Check("ducts", "saving potential of leaky attic ducts", MODERA, "read", 0.25,
          lambda: saved("attic", "greensboro_nc", "heating", leaks(0.165, 0.165), leaks(0.03, 0.03)), 0.10,
          "he gives 15 to 35 % for ducts that leak 30 to 35 %; a whole house"),
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


@outside("air followed round by hand")
@given(st.floats(0, 0.4), st.floats(0, 0.4), st.floats(0.7, 1.0), st.floats(0.7, 1.0))
@settings(deadline=None)
def test_equation_is_the_node_balance(a: float, b: float, c: float, d: float) -> None:
    rise = CASE["heat"] / (1.08 * CASE["flow"])
    ours = duct_losses(
        supply_leakage=a, return_leakage=b, supply_conduction=c, return_conduction=d,
        supply_temperature_difference=40.0, return_temperature_difference=40.0,
        equipment_temperature_rise=rise,
    ).delivered  # fmt: skip
    assert ours == pytest.approx(by_nodes(a, b, c, d), abs=1e-12)


def test_more_leakage_never_delivers_more() -> None:
    leaks = np.linspace(0, 0.5, 20)
    row = [delivered(leak, 0.1, 200.0, 80.0, 3.0) for leak in leaks]
    assert (np.diff(row) < 0).all()
