"""Heat pumps, air conditioners and heaters over the hours of a month, against fitted ratings of many units and sums by hand.

The hours here are an even ramp of temperatures, so that what lies below a limit is an integral that a pencil can do.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check
from steady import HOURS, KWH, by_clock, changed, heat, losing, weather, year
from test_steady_house import cooler, drawn, million, pump, tank_of, use_kwh

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
"""Efficiency of single-speed air conditioners against that at 82 F, at 67 F wet bulb indoors. [1]"""


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

# --- heat-pump tanks -------------------------------------------------------------------------------

LABORATORY = "fit of laboratory tests of heat-pump tanks, NREL/TP-5500-52635, air of 50 % humidity"
CUTOUTS = "manuals of heat-pump tanks: the element takes over below 37 to 45 F"


def tank_cop(rooms: float, setpoint: float) -> float:
    """Heat for each unit of electricity of a tank of COP 3 that is not lost by standing, mains at 50 F. [1]"""
    tank = tank_of(kind="heat_pump", volume=0.0, efficiency=3.0, setpoint=setpoint)
    used = use_kwh(
        "hot_water", weather(44.0), hot_water=drawn(machine_gallons=20.0), windows=(losing(5000.0),),
        zones=(changed("zones", heating_setpoint=rooms, cooling_setpoint=rooms),), water_heaters=(tank,),
    )  # fmt: skip
    return 8.25 * 20.0 * (setpoint - 50.0) * 365.0 / KWH / used


TANKS = [
    row("heat-pump tank in air of 50 F against 67.5 F", "heat-pump tank in the cold", LABORATORY, "memory", 0.757 / 0.938,
        lambda: tank_cop(50.0, 125.0) / tank_cop(67.5, 125.0), 0.07, "one usual unit; makes differ"),
    row("heat-pump tank set to 110 F against 125 F", "heat-pump tank by its setting", LABORATORY, "memory", 1.0626 / 0.938,
        lambda: tank_cop(67.5, 110.0) / tank_cop(67.5, 125.0), 0.04, "one usual unit; makes differ"),
    row("heat-pump tank in air of 35 F", "heat-pump tank in the cold", CUTOUTS, "memory", 1.0, lambda: tank_cop(35.0, 125.0), 0.004,
        "the element does all of it"),
    row("heat-pump tank in air of 47 F", "heat-pump tank in the cold", LABORATORY, "memory", 3.0 * 0.727 / 0.938, lambda: tank_cop(47.0, 125.0), 0.08,
        "the heat pump still runs"),
]  # fmt: skip

# --- an even ramp of hours -------------------------------------------------------------------------

RAMP = by_clock(np.linspace(10.0, 56.0, 24))
"""All temperatures from 9 to 57 F are equally frequent."""
DEEP = by_clock(np.linspace(-36.0, 10.0, 24))
"""From -37 to 11 F."""


def below(limit: float, loss: float, made: float = 0.0, *, first: float = 9.0) -> float:
    """Heat that a house asks for beyond what is made, in the hours colder than a limit. [million Btu]"""
    temperature = np.linspace(first, limit, 10_001)
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
NREL_OUTPUT = (0.566333415, -0.000744164, -0.0000103, 0.009414634, 0.0000506, -0.00000675)
NREL_INPUT = (0.718398423, 0.003498178, 0.000142202, -0.005724331, 0.00014085, -0.000215321)
"""Output, and electricity for each unit of it, over indoor and outdoor temperature. [1, by F]"""


def fitted(numbers: tuple[float, ...], outdoor: np.ndarray) -> np.ndarray:
    constant, first, square, out, out_square, both = numbers
    return (
        constant
        + first * 70.0
        + square * 4900.0
        + out * outdoor
        + out_square * outdoor**2
        + both * 70.0 * outdoor
    )


def electricity(outdoor: np.ndarray, capacity: float, loss: float) -> float:
    """Mean input of a heat pump by the fits, with frost and cycling as printed, in units of that at 47 F. [1]"""
    output = capacity * fitted(NREL_OUTPUT, outdoor) / fitted(NREL_OUTPUT, np.array(47.0))
    frost = np.interp(outdoor, [17.0, 35.0, 40.0], [0.704 / 0.738, 0.812 / 0.900, 1.0])
    needed = fitted(NREL_INPUT, outdoor) / fitted(NREL_INPUT, np.array(47.0)) / frost
    load = loss * (70.0 - outdoor)
    part = np.minimum(load / output, 1.0)
    return float(np.mean(load * needed / (1.0 - 0.25 * (1.0 - part))))


def pumped(climate, loss: float) -> float:
    return use_kwh("heating", climate, windows=(losing(loss),), **pump())


ALL = below(57.0, 400.0)
HOURLY = [
    *(
        row(f"heat pump that rests below {cutout:g} F: backup", "cutout by hours", BY_HAND, OWN, below(cutout, 400.0), lambda cutout=cutout: strips(cutout),
            0.016, "of a group of hours the part below counts at the group's mean")
        for cutout in (9.5, 12.3, 14.0, 20.5, 27.0, 34.5, 42.0, 52.0)
    ),
    *(
        row(f"heater of {capacity:,.0f} Btu/h", "undersized heater by hours", BY_HAND, OWN, ALL - below(70.0 - capacity / 400.0, 400.0, capacity),
            lambda capacity=capacity: heat(RAMP, windows=(losing(400.0),), fuel_heaters=(small(capacity),)), 0.004, "what is missing in cold hours is not made")
        for capacity in (22_000.0, 19_000.0, 14_000.0)
    ),
    row("heat pump over the ramp against the same at 47 F: electricity", "heat pump by hours", FITTED, "read",
        electricity(np.linspace(9.0, 57.0, 481), 36_000.0, 400.0) / electricity(np.full(1, 47.0), 36_000.0, 400.0),
        lambda: pumped(RAMP, 400.0) / pumped(weather(47.0), 400.0), 0.045, "one usual unit for all makes; frost by fits at three temperatures"),
    row("heater of 38,000 Btu/h in deep cold", "undersized heater by hours", BY_HAND, OWN,
        below(11.0, 400.0, first=-37.0) - below(-25.0, 400.0, 38_000.0, first=-37.0),
        lambda: heat(DEEP, windows=(losing(400.0),), fuel_heaters=(small(38_000.0),)), 0.002, "what is missing in cold hours is not made"),
    row("rooms of a heater of 16,000 Btu/h: below 70 F [F]", "undersized heater by hours", BY_HAND, OWN,
        below(30.0, 400.0, 16_000.0) * 1e6 / HOURS / 400.0, lambda: colder(small(16_000.0)), 0.004, "colder by what is missing"),
    row("rooms of a heater of 8,000 Btu/h for half of the house beside a stove: below 70 F [F]", "undersized heater by hours", BY_HAND, OWN,
        below(30.0, 200.0, 8_000.0) * 1e6 / HOURS / 400.0, lambda: colder(small(8_000.0, 0.5), STOVE), 0.004, "half of the load each"),
]  # fmt: skip

CHECKS = [*RATINGS, *TANKS, *HOURLY]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
