"""Moisture of cooled rooms: what comes in with air and people against what the coil takes out, solved here.

The coil is known by two points: at its rating, 80 F and 67 F wet bulb, a quarter of what it takes out is moisture;
air of a dew point of 50 F leaves it dry. The share of time that it runs follows from the heat.
"""

from dataclasses import dataclass

import psychrolib
import pytest
from checks import Check, assert_check
from scipy.optimize import brentq
from steady import HOURS, changed, losing, weather
from test_joined_parts import in_attic
from test_steady_house import OPEN, cooler, fan_kwh, item_fan, use_kwh

TOPIC = "moisture"
BALANCE = "moisture balance of rooms and ducts solved by scipy; coil by its rating and a dew point of 50 F, psychrolib"
psychrolib.SetUnitSystem(psychrolib.IP)
RATED = psychrolib.GetHumRatioFromTWetBulb(80.0, 67.0, 14.696)
DRY = psychrolib.GetHumRatioFromTDewPoint(50.0, 14.696)
MIAMI = 0.018
"""Moisture of outdoor air in July. [lb/lb]"""


def row(name, mechanism, expected, ours, tolerance, why) -> Check:
    return Check(TOPIC, name, BALANCE, "memory", expected, ours, tolerance, why, relative=True, mechanism=mechanism)  # fmt: skip


def wet(entering: float) -> float:
    """Moisture's share of what the coil takes out. [1]"""
    return min(max(0.25 * (entering - DRY) / (RATED - DRY), 0.0), 0.45)


@dataclass(frozen=True)
class Rooms:
    """A house at 75 F in air of 95 F whose air conditioner of some size takes in what leaks bring."""

    loss: float
    capacity: float
    outdoors: float
    air: float = 0.0
    people: float = 0.0
    supply: float = 0.0
    back: float = 0.0

    def run(self, rooms: float) -> tuple[float, float]:
        """Share of time that the air conditioner runs, and moisture's share of its work, at a moisture of the rooms. [1, 1]"""
        share = wet(rooms + self.back * (self.outdoors - rooms))
        sensible = self.capacity * (1.0 - share)
        arrives = (1.0 - self.supply) * sensible - 1.08 * 1000.0 * 20.0 * (self.back + self.supply)
        return (self.loss + 1.08 * self.air) * 20.0 / arrives, share

    def unsettled(self, rooms: float) -> float:
        """Moisture that comes in less what the coil takes out of the rooms; one leak at a time. [Btu/h]"""
        time, share = self.run(rooms)
        brought = (
            4840.0
            * (self.air + time * 1000.0 * (self.back + self.supply))
            * (self.outdoors - rooms)
        )
        return brought + self.people - (1.0 - self.supply) * time * self.capacity * share

    @property
    def time(self) -> float:
        """Share of time that the air conditioner runs. [1]"""
        return self.run(brentq(self.unsettled, 0.002, self.outdoors))[0]


def ours(humidity: float, **parts) -> float:
    """Share of time that a ducted cooler runs, by its fan of 365 W. [1]"""
    ducts = parts.pop("ducts")
    return (
        fan_kwh(weather(95.0, humidity=humidity), buffers=(OPEN,), ducts=ducts, **parts)
        / 0.365
        / HOURS
    )


def leaky(**numbers):
    return in_attic(fan_watts=365.0, **numbers)


HOUSE = {"windows": (losing(300.0),), "air_conditioners": cooler("yes", capacity=36_000.0)}
AIRED = {"windows": (losing(392.0),), "fans": (item_fan("balanced", 100.0, 24.0),)}
MOIST, WARM = 4 * 190 * 16 / 24, 4 * 230 * 16 / 24
"""Of four people who are at home for 16 hours, tables of heat from people. [Btu/h]"""
CHECKS = [
    row("return leaks of 10 % out of an attic as damp as outdoors: share of time", "moisture by duct leaks", Rooms(300, 36_000, MIAMI, back=0.1).time,
        lambda: ours(MIAMI, ducts=leaky(return_leakage=0.1), **HOUSE), 0.02, "the return draws 100 cfm of damp air while it runs"),
    row("supply leaks of 10 %: share of time", "moisture by duct leaks", Rooms(300, 36_000, MIAMI, supply=0.1).time,
        lambda: ours(MIAMI, ducts=leaky(supply_leakage=0.1), **HOUSE), 0.02, "as much comes in through the walls"),
    row("outdoor air of 100 cfm and four people: share of time", "moisture in a house", Rooms(392, 18_000, MIAMI, air=100, people=MOIST).time,
        lambda: ours(MIAMI, ducts=changed("ducts", fan_watts=365.0), air_conditioners=cooler("yes", capacity=18_000.0), size=changed(
            "size", occupants=4.0), fans=AIRED["fans"], windows=(losing(392.0 - WARM / 20.0),)), 0.035, "instead of 31 Btu/(h F) of glass"),
    row("outdoor air of 100 cfm in Miami against dry air: electricity", "moisture in a house",
        Rooms(392, 18_000, MIAMI, air=100).time / Rooms(392, 18_000, 0.006, air=100).time, lambda: use_kwh(
            "cooling", weather(95.0, humidity=MIAMI), air_conditioners=cooler(capacity=18_000.0), **AIRED) / use_kwh(
            "cooling", weather(95.0, humidity=0.006), air_conditioners=cooler(capacity=18_000.0), **AIRED), 0.035, "without ducts"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
