"""Rooms that cool down and warm up again, against air and walls followed in small steps.

The house here is two stores with a link between them, as EN ISO 13790 has it: a fifth of the heat is in the air
and what follows it at once, the rest in walls and furniture behind 4 Btu/(h F) for each square foot of floor.
Nothing of it is taken from the product. The outdoor air changes from hour to hour, so that each hour of a
period counts.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check
from steady import KWH, by_clock, changed, losing, surface, window, year
from test_joined_parts import plugged
from test_steady_house import buffer, pump
from test_whole_years import half_a_year

from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.climate.weather import PLANES
from retrofit_lab.house.description import Period

TOPIC = "setbacks"
TWO_NODES = "EN ISO 13790: mass behind 4 Btu/(h ft2 F) of floor, two nodes followed in small steps"
OWN = "common practice, no source"
BY_HAND = "heat balance worked by hand"
FLOOR, STORE, STEPS = 2000.0, 10_000.0, 120
LINK = 4.0 * FLOOR
AIR, WALLS = 0.2 * STORE, 0.8 * STORE
HOURS = np.arange(24)
NIGHT, DAY = np.isin(HOURS, (22, 23, 0, 1, 2, 3, 4, 5)), (HOURS >= 8) & (HOURS < 16)
STRIPES = np.where(HOURS % 2 == 0, 0.0, 60.0)
"""Outdoor air that is cold in every other hour. [F]"""
STEADY, HOT = np.full(24, 30.0), np.full(24, 95.0)


def row(name, mechanism, source, mark, expected, ours, tolerance, why) -> Check:
    return Check(TOPIC, name, source, mark, expected, ours, tolerance, why, relative=True, mechanism=mechanism)  # fmt: skip


def followed(
    outdoor: np.ndarray,
    setting: np.ndarray,
    loss: float,
    heat: np.ndarray | float = 0.0,
    *,
    cooling: bool = False,
) -> tuple[float, float]:
    """Mean of the air over a day [F], and heat that is missing to the highest setting just before it comes. [Btu]"""
    gain, outdoor, step = (np.zeros(24) + heat).tolist(), outdoor.tolist(), 1.0 / STEPS
    setting = setting.tolist()
    highest = max(setting)
    held = min if cooling else max
    air = walls = setting[12]
    for _ in range(7):
        path, missing = [], 0.0
        for hour in range(24):
            for _ in range(STEPS):
                free = (air + step * (loss * outdoor[hour] + LINK * walls + gain[hour]) / AIR) / (
                    1 + step * (loss + LINK) / AIR
                )
                air = held(free, setting[hour])
                walls = (walls + step * LINK * air / WALLS) / (1 + step * LINK / WALLS)
                path.append(air)
            if setting[hour] < highest == setting[(hour + 1) % 24]:
                missing = AIR * (highest - air) + WALLS * (highest - walls)
    return float(np.mean(path)), missing  # fmt: skip


def schedule(when: np.ndarray, to: float, else_: float = 70.0) -> np.ndarray:
    return np.where(when, to, else_)


def period(
    key: str, setting: float, *, cooling: float = 80.0, days: float = 7.0
) -> tuple[Period, ...]:
    return (Period(key=key, label=key, days_per_week=days, hours=8.0, heating_setpoint=setting, cooling_setpoint=cooling),)  # fmt: skip


def zone(*periods: Period, **numbers):
    return changed("zones", periods=periods, **numbers)


def colder(climate: MonthlyClimate, *zones, **parts) -> float:
    """By how much the rooms are colder in the mean than 70 F. [F]"""
    found = year(climate, zones=zones, **parts)
    return 70.0 - float(np.mean(found.heating.rooms.temperature))


def warmer(*periods: Period, loss: float = 400.0) -> float:
    """By how much cooled rooms are warmer in the mean than 75 F. [F]"""
    found = year(by_clock(HOT), zones=(zone(*periods),), windows=(losing(loss),))
    return float(np.mean(found.cooling.rooms.temperature)) - 75.0


def brought_back(climate: MonthlyClimate, *zones, **parts) -> float:
    """Heat that warms the house up again, mean of all days. [Btu/day]"""
    return float(np.mean(year(climate, zones=zones, **parts).heating.rooms.recovery))


def leaves(loss: float) -> dict:
    return {"windows": (losing(loss),)}


SUN = np.where(DAY & (HOURS % 2 == 0), 100.0, 0.0)
"""Sun of a working day. [Btu/(ft2 h)]"""
THROUGH = 300.0 * 0.9 * 0.40 * 0.836
"""Of it, 300 ft2 of glass of SHGC .40 lets in, behind usual shades. [ft2]"""


def sunny() -> dict:
    return {
        "windows": (losing(250.0), window(300.0, 0.5, shgc=0.40)), "appliances": plugged(2_000.0),
    }  # fmt: skip


PANE = 2_500 / 25 / 0.9 / 0.40 / 0.836
"""Glass of SHGC .40 that lets in 2,500 Btu/h of 600 Btu/(ft2 day). [ft2]"""


def away() -> float:
    south = {plane: np.full(12, 600.0 if plane == "south" else 0.0) for plane in PLANES}
    found = year(
        replace(half_a_year(40.0, 75.0), sun=south), zones=(zone(weeks_away=4.0, away_setpoint=45.0),),
        windows=(losing(200.0), window(PANE, 50.0 / PANE, shgc=0.40)),
        appliances=plugged(2_500.0),
    )  # fmt: skip
    return 70.0 - float(np.mean(found.heating.rooms.temperature[[0, 1, 2, 9, 10, 11]]))


DOWN, STONE = 300.0, 200.0
"""Floor to a basement, and basement to outdoors. [Btu/(h F)]"""
SLAB = 40_000.0
"""Its walls and floor: 4,000 ft2 of which 10 cm take part in a day. [Btu/F] EN ISO 13790 12.3.1 (memory)"""


def over_a_basement() -> dict:
    """Rooms that lose 250 Btu/(h F) by themselves, above a basement that loses 200."""
    return {
        "surfaces": (surface("floor", "basement", area=DOWN * 20.0, r_continuous=20.0 - 2 * 0.92),),
        "windows": (losing(250.0), replace(losing(STONE), key="b", inside="basement")),
        "buffers": (buffer(7000.0, 0.0, "basement"),),
    }


def held_up(setting: float) -> float:
    """The same in small steps, air, walls and basement: by how much the air is colder in the mean than 70 F. [F]"""
    outdoor, asked = STEADY.tolist(), schedule(NIGHT, setting).tolist()
    step, air, walls = 1.0 / STEPS, 70.0, 70.0
    stone = (DOWN * 70.0 + STONE * 30.0) / (DOWN + STONE)
    path: list[float] = []
    for _ in range(30):
        path = []
        for hour in range(24):
            for _ in range(STEPS):
                gets = 250.0 * outdoor[hour] + DOWN * stone + LINK * walls
                air = max(
                    (air + step * gets / AIR) / (1 + step * (250.0 + DOWN + LINK) / AIR),
                    asked[hour],
                )
                walls = (walls + step * LINK * air / WALLS) / (1 + step * LINK / WALLS)
                stone += step * (DOWN * (air - stone) + STONE * (outdoor[hour] - stone)) / SLAB
                path.append(air)
    return 70.0 - float(np.mean(path))


COOLED_DOWN = [
    *(
        row(f"{name} at {setting:g} F in a house that loses {loss:g} Btu/(h F): mean below 70 F [F]", "night setback of a house", TWO_NODES,
            "memory", 70.0 - followed(STRIPES, schedule(when, setting), loss)[0],
            lambda key=key, setting=setting, loss=loss: colder(by_clock(STRIPES), zone(*period(key, setting)), **leaves(loss)), 0.045,
            "each second hour is cold; the first is one of them")
        for name, key, when in (("a night", "night", NIGHT), ("a working day", "away", DAY))
        for setting, loss in ((60.0, 400.0), (50.0, 400.0), (50.0, 800.0))
    ),
    row("a sunny working day that nobody heats", "setback by day with sun", TWO_NODES, "memory",
        70.0 - followed(STRIPES, schedule(DAY, 40.0), 400.0, 2_000.0 + THROUGH * SUN)[0],
        lambda: colder(by_clock(STRIPES, sun=SUN), zone(*period("away", 40.0)), **sunny()), 0.045, "all the sun comes in these eight hours, as the cold does in each second"),
    row("a night that nobody heats, after a sunny day", "night setback of a house", TWO_NODES, "memory",
        70.0 - followed(STRIPES, schedule(NIGHT, 40.0), 400.0, 2_000.0 + THROUGH * SUN)[0],
        lambda: colder(by_clock(STRIPES, sun=SUN), zone(*period("night", 40.0)), **sunny()), 0.05, "no sun comes in these hours; each second hour is cold and the first is one of them"),
    *(
        row(f"a night at {setting:g} F over a basement of masonry", "night setback over a basement", "EN ISO 13790: rooms as two nodes above a basement of 10 cm of masonry, followed in small steps",
            "memory", held_up(setting),
            lambda setting=setting: colder(by_clock(STEADY), zone(*period("night", setting)), **over_a_basement()), 0.02, "the basement follows a little; a house whose basement follows at once falls further")
        for setting in (40.0, 60.0)
    ),
    row("night and working day, five days of seven", "setbacks by days of the week", TWO_NODES, "memory",
        (70.0 - followed(STEADY, schedule(NIGHT, 60.0), 400.0)[0]) + 5 / 7 * (70.0 - followed(STEADY, schedule(DAY, 64.0), 400.0)[0]),
        lambda: colder(by_clock(STEADY), zone(*period("night", 60.0), *period("away", 64.0, days=5.0)), **leaves(400.0)), 0.05,
        "both come back to 70 F between"),
    row("setback in two of five parts of the house", "setbacks by zones", TWO_NODES, "memory",
        0.4 * (70.0 - followed(STEADY, schedule(NIGHT, 60.0), 400.0)[0]),
        lambda: colder(by_clock(STEADY), zone(*period("night", 60.0), share=0.4), zone(key="b", share=0.6), **leaves(400.0)), 0.05,
        "the parts are taken for houses of their own"),
    *(
        row(f"cooled rooms let go to {setting:g} F: mean above 75 F [F]", "setting higher while cooling", TWO_NODES, "memory",
            followed(HOT, schedule(NIGHT, setting, 75.0), 400.0, cooling=True)[0] - 75.0,
            lambda setting=setting: warmer(*period("night", 70.0, cooling=setting)), 0.05, "the mirror of a setback")
        for setting in (80.0, 95.0)
    ),
    row("a night 6 F warmer than the day", "night setback of a house", BY_HAND, OWN, -2.0,
        lambda: colder(by_clock(STEADY), zone(*period("night", 76.0)), **leaves(400.0)), 0.001, "reached at once"),
    row("four weeks away in a house that stays at 60 F by itself: below 70 F [F]", "weeks away", BY_HAND, OWN, 10.0 * 4 * 7 / (365 / 2),
        away, 0.01, "machines of 2,500 Btu/h and as much sun hold 20 F in it; six months are heated"),
]  # fmt: skip


def unit(capacity: float, hours: float, ducted: str = "no") -> dict:
    return {
        "heat_pumps": (replace(pump(ducted)["heat_pumps"][0], capacity=capacity, recovery_hours=hours, cutout=-40.0),),
        "fuel_heaters": (),
    }  # fmt: skip


def brought_slowly(
    capacity: float, loss: float, store: float, setting: float, given: float
) -> tuple[float, float, float]:
    """Backup heat of a day at 47 F outdoors [Btu], mean of the air [F], and input of the compressor. [Btu by COP 1]

    Strips of 10 kW help after a time while the air is 1 F behind; cycling costs by a coefficient of .25.
    """
    light, heavy, step, day, outdoor = 0.2 * store, 0.8 * store, 1.0 / 40, 70.0, 47.0
    air = walls = day
    needed, taken, path = 0.0, 0.0, []
    for _ in range(20):
        needed, taken, since, path = 0.0, 0.0, 0.0, []
        for hour in range(24 * 40):
            at_night = NIGHT[hour // 40]
            since = 0.0 if at_night else since + step
            stiff = 1 + step * (loss + LINK) / light
            free = (air + step * (loss * outdoor + LINK * walls) / light) / stiff
            wanted = setting if at_night else day
            pumped = min(max((wanted - free) * stiff * light / step, 0.0), capacity)
            missing = (wanted - 1.0 - free) * stiff * light / step - pumped
            strips = min(max(missing, 0.0), 34_000.0) if since >= given and not at_night else 0.0
            needed += strips * step
            taken += pumped * step / (1.0 - 0.25 * (1.0 - pumped / capacity))
            air = free + (pumped + strips) * step / light / stiff
            walls = (walls + step * LINK * air / heavy) / (1 + step * LINK / heavy)
            path.append(air)
    return needed, float(np.mean(path)), taken


def held_all_day(capacity: float, loss: float) -> float:
    """Input of the compressor of a day without a setback. [Btu by COP 1]"""
    return 24.0 * loss * 23.0 / (1.0 - 0.25 * (1.0 - loss * 23.0 / capacity))


def compressor(capacity: float, loss: float, store: float, setting: float, given: float) -> float:
    """Electricity of the compressor of a year with a setback against none, in the product. [1]"""

    def used(*periods: Period) -> float:
        found = year(
            by_clock(np.full(24, 47.0)),
            zones=(zone(*periods),),
            size=changed("size", heat_capacity=store / FLOOR),
            **leaves(loss),
            **unit(capacity, given),
        )
        return float(found.annual("electricity", "heating")) - float(np.sum(found.backup)) * KWH

    return used(*period("night", setting)) / used()


def colder_ours(capacity: float, loss: float, store: float, setting: float, given: float) -> float:
    """By how much the rooms are colder than 70 F in the mean, in the product. [F]"""
    return colder(
        by_clock(np.full(24, 47.0)), zone(*period("night", setting)), size=changed("size", heat_capacity=store / FLOOR),
        **leaves(loss), **unit(capacity, given),
    )  # fmt: skip


def backup_ours(capacity: float, loss: float, store: float, setting: float, given: float) -> float:
    """The same of the product, mean of a day. [Btu]"""
    found = year(
        by_clock(np.full(24, 47.0)), zones=(zone(*period("night", setting)),), size=changed("size", heat_capacity=store / FLOOR),
        **leaves(loss), **unit(capacity, given),
    )  # fmt: skip
    return float(np.sum(found.backup)) * KWH / 365.0


STRIPS = "air and walls of EN ISO 13790 followed in small steps, strips of 10 kW behind a thermostat of 1 F"
COMING_BACK = {
    "light house": (18_000.0, 600.0, 10_000.0, 60.0, 1.0), "light house whose strips wait half an hour": (18_000.0, 600.0, 10_000.0, 60.0, 0.5),
    "light house whose strips wait three hours": (15_200.0, 600.0, 10_000.0, 60.0, 3.0), "heavy house": (18_000.0, 600.0, 20_000.0, 60.0, 0.5),
    "light house, larger heat pump": (24_800.0, 600.0, 10_000.0, 60.0, 0.5),
}  # fmt: skip
ALONE = {
    "alone, a third to spare": (18_000.0, 600.0, 10_000.0, 60.0, 14.0), "alone, nearly nothing to spare": (14_100.0, 600.0, 10_000.0, 60.0, 14.0),
    "with strips after an hour": (18_000.0, 600.0, 10_000.0, 60.0, 1.0),
}  # fmt: skip
RESTED = {
    "alone, a third to spare": (18_000.0, 600.0, 10_000.0, 60.0, 14.0), "alone, as much to spare": (27_600.0, 600.0, 10_000.0, 60.0, 14.0),
    "alone, twice to spare": (41_400.0, 600.0, 10_000.0, 60.0, 14.0),
}  # fmt: skip
WARMED_UP = [
    *(
        row(f"heat pump brings a light house back {name}: mean below 70 F [F]", "late rooms after a setback", STRIPS, "memory",
            70.0 - brought_slowly(*numbers)[1], lambda numbers=numbers: colder_ours(*numbers), 0.12, "two stores there, a straight line here")
        for name, numbers in ALONE.items()
    ),
    *(
        row(f"heat pump brings a light house back {name}: compressor against none", "compressor after a setback", STRIPS, "memory",
            brought_slowly(*numbers)[2] / held_all_day(*numbers[:2]), lambda numbers=numbers: compressor(*numbers), 0.025, "full output costs nothing by cycling")
        for name, numbers in RESTED.items()
    ),
    *(
        row(f"heat pump brings a {name} back: backup of a day [Btu]", "backup heat after a setback", STRIPS, "memory", brought_slowly(*numbers)[0],
            lambda numbers=numbers: backup_ours(*numbers), 0.17, "the rooms are behind along a straight line here, two stores there")
        for name, numbers in COMING_BACK.items()
    ),
    *(
        row(f"{name} at {setting:g} F in a house that loses {loss:g} Btu/(h F): heat to come back [Btu]", "recovery from a setback", TWO_NODES,
            "memory", followed(STEADY, schedule(when, setting), loss)[1],
            lambda key=key, setting=setting, loss=loss: brought_back(by_clock(STEADY), zone(*period(key, setting)), **leaves(loss)), 0.04,
            "air and walls to 70 F")
        for name, key, when in (("a night", "night", NIGHT), ("a working day", "away", DAY))
        for setting, loss in ((60.0, 400.0), (50.0, 800.0))
    ),
    row("night and working day, five days of seven: heat to come back [Btu]", "setbacks by days of the week", TWO_NODES, "memory",
        followed(STEADY, schedule(NIGHT, 60.0), 400.0)[1] + 5 / 7 * followed(STEADY, schedule(DAY, 64.0), 400.0)[1],
        lambda: brought_back(by_clock(STEADY), zone(*period("night", 60.0), *period("away", 64.0, days=5.0)), **leaves(400.0)), 0.04,
        "mean of the week"),
    row("setback in two of five parts of the house: heat to come back [Btu]", "setbacks by zones", TWO_NODES, "memory",
        0.4 * followed(STEADY, schedule(NIGHT, 60.0), 400.0)[1] + 0.6 * followed(STEADY, schedule(NIGHT, 66.0), 400.0)[1],
        lambda: brought_back(by_clock(STEADY), zone(*period("night", 60.0), share=0.4), zone(
            *period("night", 66.0), key="b", share=0.6), **leaves(400.0)), 0.04, "the parts are taken for houses of their own"),
    row("heat pump of twice the load that has all day: backup", "backup heat after a setback", BY_HAND, OWN, 1.0,
        lambda: 1.0 + float(np.sum(year(by_clock(np.full(24, 47.0)), zones=(zone(*period("night", 60.0)),), **leaves(800.0),
                                        **unit(36_000.0, 12.0)).backup)), 1e-9, "17,600 Btu/h to spare, 80,000 Btu to come back"),
]  # fmt: skip

CHECKS = [*COOLED_DOWN, *WARMED_UP]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
