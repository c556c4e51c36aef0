"""Heat pumps, coolers and heaters over the hours of a month, against fitted ratings of many units and sums by hand.

The hours here are an even ramp of temperatures, so that what lies below a limit is an integral that a pencil can do.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check
from steady import HOURS, KWH, by_clock, changed, heat, losing, weather, year
from test_steady_house import cooler, million, pump, use_kwh

from retrofit_lab.physics.heat_pump import capacity_share, cop_share

TOPIC = "machines"
OWN = "common practice, no source"
BY_HAND = "load line integrated by hand over an even ramp of hours"
FITTED = "Cutler, Winkler, Kruis, Christensen and Brandemuehl 2013, NREL/TP-5500-56354, Tables 12 and 13, as quoted in public code"


def row(name, mechanism, source, mark, expected, ours, tolerance, why) -> Check:
    return Check(TOPIC, name, source, mark, expected, ours, tolerance, why, relative=True, mechanism=mechanism)  # fmt: skip


# --- ratings over the outdoor temperature ----------------------------------------------------------

OUTPUT = {62.0: 1.218, 17.0: 0.633, 5.0: 0.512, -15.0: 0.342}
"""Output of single-speed heat pumps against that at 47 F: fits of the report at 70 F indoors. [1]"""
EFFICIENCY = {62.0: 1.090, 35.0: 0.812, 17.0: 0.704, 5.0: 0.613, -15.0: 0.467}
"""Efficiency against that at 47 F, below 40 F with its penalty of frost at 75 % of humidity. [1]"""
HOT_DAYS = {75.0: 1.110, 95.0: 0.804, 105.0: 0.674}
"""Efficiency of single-speed coolers against that at 82 F, at 67 F wet bulb indoors. [1]"""


def cold_made(outdoor: float) -> float:
    """Cold that a cooler of 8,000 Btu/h at 95 F makes in a house that asks for 15,000, by the rooms' warmth. [Btu/h]"""
    parts = {
        "windows": (losing(15_000 / (outdoor - 75)),),
        "air_conditioners": cooler(capacity=8_000.0),
    }
    rooms = year(weather(outdoor, humidity=0.003), **parts).cooling.rooms.temperature
    return 15_000 / (outdoor - 75) * (outdoor - float(np.mean(rooms)))  # fmt: skip


def taken(outdoor: float) -> float:
    """Electricity of a cooler for 6,000 Btu/h at an outdoor temperature. [kWh]"""
    zones = (changed("zones", heating_setpoint=55.0, cooling_setpoint=65.0),)
    return use_kwh(
        "cooling", weather(outdoor, humidity=0.003), windows=(losing(6_000 / (outdoor - 65)),), zones=zones,
        air_conditioners=cooler(capacity=36_000.0),
    )  # fmt: skip


RATINGS = [
    *(
        row(f"output of a heat pump at {at:g} F against 47 F", "output of a heat pump", FITTED, "read", share, lambda at=at: capacity_share(at), 0.045,
            "frost apart; one usual unit for all makes")
        for at, share in OUTPUT.items()
    ),
    *(
        row(f"efficiency of a heat pump at {at:g} F against 47 F", "efficiency of a heat pump", FITTED, "read", share, lambda at=at: cop_share(at), 0.055,
            "with frost; one usual unit for all makes")
        for at, share in EFFICIENCY.items()
    ),
    *(
        row(f"electricity of a cooler at {at:g} F against 82 F", "efficiency of a cooler by the outdoor temperature", FITTED, "read", 1 / share,
            lambda at=at: taken(at) / taken(82.0), 0.04, "a straight line here, a curve there")
        for at, share in HOT_DAYS.items()
    ),
    *(
        row(f"cold of a cooler of 8,000 Btu/h at {at:g} F", "output of a cooler in the heat", FITTED, "read", 8_000 * share, lambda at=at: cold_made(at),
            0.025, "a straight line here, a curve there")
        for at, share in {82.0: 1.0686, 115.0: 0.886}.items()
    ),
]  # fmt: skip

# --- an even ramp of hours -------------------------------------------------------------------------

RAMP = by_clock(np.linspace(10.0, 56.0, 24))
"""All temperatures from 9 to 57 F are equally frequent."""


def below(limit: float, loss: float, made: float = 0.0) -> float:
    """Heat that a house asks for beyond what is made, in the hours colder than a limit. [million Btu]"""
    temperature = np.linspace(9.0, limit, 10_001)
    return million(float(np.trapezoid(loss * (70.0 - temperature) - made, temperature)) / 48.0)


def strips(cutout: float, capacity: float = 200_000.0) -> float:
    unit = replace(pump()["heat_pumps"][0], capacity=capacity, cutout=cutout)
    return (
        float(
            np.sum(year(RAMP, windows=(losing(400.0),), heat_pumps=(unit,), fuel_heaters=()).backup)
        )
        * KWH
        / 1e6
    )


def small(capacity: float, share: float = 1.0):
    return changed("fuel_heaters", capacity=capacity, share=share)


def colder(*heaters) -> float:
    """By how much small heaters leave the rooms colder than 70 F. [F]"""
    found = year(RAMP, windows=(losing(400.0),), fuel_heaters=heaters)
    return 70.0 - float(np.mean(found.heating.rooms.temperature))


STOVE = changed("fuel_heaters", key="s", kind="stove", fuel="wood", share=0.5, capacity=40_000.0)
ALL = below(57.0, 400.0)
HOURLY = [
    *(
        row(f"heat pump that rests below {cutout:g} F: backup", "cutout by hours", BY_HAND, OWN, below(cutout, 400.0), lambda cutout=cutout: strips(cutout),
            0.012, "of a group of hours the part below counts at the group's mean")
        for cutout in (12.3, 14.0, 20.5, 27.0, 34.5, 42.0, 52.0)
    ),
    *(
        row(f"heater of {capacity:,.0f} Btu/h", "undersized heater by hours", BY_HAND, OWN, ALL - below(70.0 - capacity / 400.0, 400.0, capacity),
            lambda capacity=capacity: heat(RAMP, windows=(losing(400.0),), fuel_heaters=(small(capacity),)), 0.004, "what is missing in cold hours is not made")
        for capacity in (22_000.0, 19_000.0, 14_000.0)
    ),
    row("rooms of a heater of 16,000 Btu/h: below 70 F [F]", "undersized heater by hours", BY_HAND, OWN,
        below(30.0, 400.0, 16_000.0) * 1e6 / HOURS / 400.0, lambda: colder(small(16_000.0)), 0.004, "colder by what is missing"),
    row("rooms of a heater of 8,000 Btu/h for half of the house beside a stove: below 70 F [F]", "undersized heater by hours", BY_HAND, OWN,
        below(30.0, 200.0, 8_000.0) * 1e6 / HOURS / 400.0, lambda: colder(small(8_000.0, 0.5), STOVE), 0.004, "half of the load each"),
]  # fmt: skip

CHECKS = [*RATINGS, *HOURLY]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
