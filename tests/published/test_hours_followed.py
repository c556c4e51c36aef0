"""Days in which sun and air change from hour to hour, each hour worked out here on its own and summed.

Rooms at their setting, an attic in the sun and ducts in it are a few balances an hour without mass. Nothing is
taken from the product, which weighs the hours of a month by their load instead.
"""

from dataclasses import dataclass

import numpy as np
import pytest
from checks import Check, assert_check
from steady import by_clock, losing, surface, year
from test_joined_parts import furnace, in_attic
from test_steady_house import BREEZE, buffer, cooler

TOPIC = "hours followed"
FOLLOWED = "ASHRAE Standard 152 and heat balances of rooms and attic, hour by hour by hand"
HOURS = np.arange(24)
FILM, SKY = 1.0 / 3.0, 20.0
"""Outer film of a breeze [h ft2 F/Btu], and what a clear winter sky takes of a level surface. [Btu/(h ft2)]"""
DAYLIGHT = np.where(
    (HOURS >= 6) & (HOURS < 18), np.maximum(np.sin(np.pi * (HOURS - 5.5) / 12), 0.0), 0.0
)
WARM = 90.0 + 10.0 * np.cos(2 * np.pi * (HOURS - 15) / 24)
COOL = 30.0 + 15.0 * np.cos(2 * np.pi * (HOURS - 15) / 24)
MORNING = np.where((HOURS >= 4) & (HOURS < 10), 200.0, 0.0)
CEILING, ROOF, VENTS = (
    1200 / (9.0 + 0.61 + 0.46),
    1400 / (1.5 + 0.61 + FILM),
    1.08 * 2.0 * 4000 / 60,
)
GLASS = 300 / (1.0 - 0.17 + FILM)
SUPPLY, RETURN, LEAK = float(np.exp(-500 / (1080 * 4.0))), float(np.exp(-200 / (1080 * 4.0))), 0.1


def row(name, mechanism, expected, ours, tolerance, why) -> Check:
    return Check(TOPIC, name, FOLLOWED, "memory", expected, ours, tolerance, why, relative=True, mechanism=mechanism)  # fmt: skip


@dataclass(frozen=True)
class Day:
    """Means of a day weighted by load: outdoors and attic [F]; heat or cold asked for, were there no ducts, and made. [Btu/h]"""

    outdoors: float
    attic: float
    asked: float
    made: float


def followed(outdoor: np.ndarray, sun: np.ndarray, *, cooling: bool) -> Day:
    """A day hour by hour: a cooler of 36,000 or a furnace of 54,000 Btu/h, ducts of R-4 in the attic."""
    room, way, rate = (75.0, -1.0, 36_000.0) if cooling else (70.0, 1.0, 54_000.0)
    attics, loads, alone, made = (np.zeros(24) for _ in range(4))
    for hour in range(24):
        solar = ROOF * FILM * (0.9 * sun[hour] - SKY)
        brought = 0.0
        for turn in range(100):
            attic = (CEILING * room + (ROOF + VENTS) * outdoor[hour] + solar + brought) / (
                CEILING + ROOF + VENTS
            )
            lost = GLASS * (room - outdoor[hour] + 0.5 * SKY * FILM) + CEILING * (room - attic)
            load = max(way * lost, 0.0)
            alone[hour] = alone[hour] if turn else load
            warmer, rise = room - attic, way * rate / 1080
            plenum = rise - (1 - (1 - LEAK) * RETURN) * warmer
            end = SUPPLY * (plenum + warmer) - warmer
            blown = load / ((1 - LEAK) * end / rise)
            left = (
                (1 - SUPPLY) * (plenum + warmer)
                + LEAK * (end + warmer)
                + (1 - LEAK) * (1 - RETURN) * warmer
            )
            brought = way * blown * left / rise
        attics[hour], loads[hour], made[hour] = attic, load, blown
    weight = loads / loads.sum()
    return Day(float(weight @ outdoor), float(weight @ attics), float(alone.mean()), float(made.mean()))  # fmt: skip


def house() -> dict:
    return {
        "windows": (losing(300.0),), "buffers": (buffer(4000.0, 2.0, sun_absorptance=0.9),), "fuel_heaters": furnace(),
        "surfaces": (surface("ceiling", "attic", area=1200.0, r_continuous=9.0), surface("roof", inside="attic", area=1400.0, r_continuous=1.5)),
        "ducts": in_attic(supply_area=500.0, return_area=200.0, supply_leakage=LEAK, return_leakage=LEAK),
        "air_conditioners": cooler("yes", capacity=36_000.0),
    }  # fmt: skip


def january(outdoor: np.ndarray, sun: np.ndarray, *, cooling: bool) -> Day:
    """The same of the product, in a month with a clear sky."""
    climate = by_clock(outdoor, sun=sun, falls_on="horizontal", wind=BREEZE)
    found = year(climate, **house())
    season = found.cooling if cooling else found.heating
    asked = season.demand / (24 * climate.days)
    first = [season.outdoor, season.ducts.around["attic"], asked, asked / season.ducts.useful]
    return Day(*(float(np.ravel(value)[0]) for value in first))


CASES = {
    "a cooler under a noon sun": (WARM, 250.0 * DAYLIGHT, True, "hours in which a cooler runs"),
    "a cooler under a morning sun": (WARM, MORNING, True, "hours in which a cooler runs"),
    "a furnace under a winter sun": (COOL, 125.0 * DAYLIGHT, False, "hours in which a heater runs"),
    "a furnace under a morning sun": (COOL, MORNING, False, "hours in which a heater runs"),
}
DAYS = {
    name: followed(outdoor, sun, cooling=cooling)
    for name, (outdoor, sun, cooling, _) in CASES.items()
}
UNITS = {"outdoors": "[F]", "attic": "[F]", "asked": "[Btu/h]", "made": "[Btu/h]"}
BANDS = {"outdoors": 0.01, "attic": 0.025, "asked": 0.002, "made": 0.02}
CHECKS = [
    row(f"{name}: {what} {UNITS[what]}", case[3], getattr(DAYS[name], what),
        lambda case=case, what=what: getattr(january(case[0], case[1], cooling=case[2]), what), BANDS[what],
        "hours weighted by their load, two at a time")
    for name, case in CASES.items() for what in UNITS
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
