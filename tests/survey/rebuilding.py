"""Survey homes built again from their facts by the starting house; what is measured stays out of it.

What the survey leaves open is dealt out: every home gets one kind of foundation, number of stories, electric
heat and water heater, in the shares below, by a sequence that is even over any run of homes.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from homes import Home

from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers
from retrofit_lab.house.place import Place
from retrofit_lab.house.starting import starting_house

SURVEY_YEAR = 2015.0
MIDDLE_YEAR = {
    "Before 1950": 1930.0,
    "1950-1959": 1955.0,
    "1960-1969": 1965.0,
    "1970-1979": 1975.0,
    "1980-1989": 1985.0,
    "1990-1999": 1995.0,
    "2000-2009": 2005.0,
    "2010-2015": 2013.0,
}
KINDS = {
    "Single-family detached": "house by itself",
    "Single-family attached": "row house or duplex",
    "Mobile home": "mobile home",
}
TOLD = {
    "Well insulated": "well insulated",
    "Adequately insulated": "adequate",
    "Poorly insulated": "poor",
    "Not insulated": "none",
}
COOLING = {
    "Central air conditioning system": "central",
    "Both a central system and individual units": "central",
    "Individual window/wall or portable units": "window units",
    "No air conditioning": "none",
}
FOUNDATIONS = {
    "New England": (0.82, 0.08),
    "Middle Atlantic": (0.75, 0.10),
    "East North Central": (0.66, 0.19),
    "West North Central": (0.74, 0.14),
    "South Atlantic": (0.22, 0.36),
    "East South Central": (0.22, 0.46),
    "West South Central": (0.03, 0.32),
    "Mountain North": (0.50, 0.28),
    "Mountain South": (0.06, 0.14),
    "Pacific": (0.12, 0.43),
}
"""Shares of basements and of crawl spaces; the rest stand on slabs. New houses: Survey of Construction 2013 and
2015 as told by a builders' association (read), such as 81 % basements in the West North Central division and 96 %
slabs in the West South Central; older stock has more basements and crawl spaces (American Housing Survey, memory)."""
HEAT_PUMPS = {
    "New England": 0.15,
    "Middle Atlantic": 0.25,
    "East North Central": 0.25,
    "West North Central": 0.30,
    "South Atlantic": 0.52,
    "East South Central": 0.46,
    "West South Central": 0.19,
    "Mountain North": 0.20,
    "Mountain South": 0.50,
    "Pacific": 0.26,
}
"""Heat pumps among electrically heated single-family homes. RECS 2015 table HC6.8 (read) has .43, .38, .15, .44
and .21 of all electrically heated homes in the South Atlantic, East and West South Central, Mountain South and
Pacific divisions; apartments have fewer, so a fifth is added (judgment). The North is the rest of the table."""
ELECTRIC_FURNACES = 0.65
"""Central furnaces among other electric heat: 10.9 of 16.2 million homes in the South, 2.8 of 5.8 in the West
(HC6.8, read)."""
BOILERS = {"New England": 0.5, "Middle Atlantic": 0.4, "East North Central": 0.08}
"""Boilers among gas-heated homes; elsewhere 0.03. 6.6 of 57.7 million homes, few in South and West (HC6.8, read)."""
OIL_BOILERS = 0.45
GAS_TANKS, PROPANE_TANKS, OIL_TANKS = 0.86, 0.6, 0.45
"""Homes that heat their water with the fuel that heats the rooms, the others with electricity: RECS 2015 tables
HC1.6 and HC8.6 (read), 24.1 against 27.3 million gas-heated ones in cold places, 2.9 against 6.6 with oil."""
GOLDEN = (0.7548776662466927, 0.5698402909980532, 0.8191725133961645, 0.6710436067037893)
"""Steps of even sequences; numbers of the plastic kind in two and three dimensions."""
TURN = 1193
"""Steps from one turn of a home to the next: more than there are homes of one half."""
WHEN_NEEDED = 75.0
"""Mean of the day below which those who cool only when they need it open windows. [F] (judgment)"""
LENGTH_TO_WIDTH = 1.7
"""A plain rectangle with the outside edge of houses, whose wings and bays add to it. [1] (judgment)"""
CEILINGS = {"1990-1999": 8.5, "2000-2009": 9.0, "2010-2015": 9.0}
"""Height of the rooms by age; before, 8 ft. [ft] (judgment; nine feet became usual with the large houses)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dealt:
    """Four numbers from 0 to 1 that decide what the survey leaves open."""

    stories: float
    foundation: float
    equipment: float
    water: float


def dealt(home: Home, turn: int = 0) -> Dealt:
    """Numbers of a home, the same at every run; another turn deals the home others."""
    pair = home.place // 2 + turn * TURN
    stories, foundation, equipment, water = ((0.5 + pair * step) % 1.0 for step in GOLDEN)
    return Dealt(stories=stories, foundation=foundation, equipment=equipment, water=water)


def rebuilt(home: Home, place: Place, turn: int = 0) -> House:
    """House of a home's facts: those the starting house asks for, the thermostat and cooling as told."""
    house = starting_house(first_answers_of(home, place, turn))
    house = replace(house, zones=(_thermostat(home, house.zones[0]),))
    if home.cools_when_needed:
        house = replace(house, site=replace(house.site, open_window_below=WHEN_NEEDED))
    coolers = tuple(replace(unit, share=_cooled(home, unit)) for unit in house.air_conditioners)
    return replace(house, air_conditioners=coolers)


def first_answers_of(home: Home, place: Place, turn: int = 0) -> FirstAnswers:
    """Answers of a home; sizes follow from its heated area."""
    chance = dealt(home, turn)
    stories = _stories(home, chance.stories)
    foundation = _foundation(home, chance.foundation)
    floors = stories + (1.0 if foundation == "basement, heated" else 0.0)
    width = float(np.sqrt(home.heated_area / floors / LENGTH_TO_WIDTH))
    heating = _heating(home, chance.equipment)
    return FirstAnswers(
        name=f"home {home.place}",
        climate="the station of the home",
        known_place=place,
        as_of=SURVEY_YEAR,
        year_built=MIDDLE_YEAR[home.built],
        kind=KINDS[home.kind],
        length=width * LENGTH_TO_WIDTH,
        width=width,
        stories=stories,
        ceiling=CEILINGS.get(home.built, 8.0) if home.kind != "Mobile home" else 7.5,
        foundation=foundation,
        roof="attic",
        heating=heating,
        cooling="none" if heating == "heat pump" else COOLING[home.cooling],
        hot_water=_water(home, chance.water),
        bedrooms=3.0,
        occupants=home.people,
        insulation=TOLD[home.insulation],
    )


def _stories(home: Home, chance: float) -> float:
    """More houses have two stories, the larger they are (judgment); mobile homes have one."""
    if home.kind == "Mobile home":
        return 1.0
    bounds = {1000.0: 0.1, 1500.0: 0.25, 2000.0: 0.4, 2500.0: 0.55, 3500.0: 0.65, 1e9: 0.75}
    two = next(share for area, share in bounds.items() if home.heated_area <= area)
    return 2.0 if chance < two + (0.2 if home.kind == "Single-family attached" else 0.0) else 1.0


def _foundation(home: Home, chance: float) -> str:
    """Floor area beyond the heated one speaks for a basement that is not heated, its lack for a finished one."""
    if home.kind == "Mobile home":
        return "crawl space"
    basement, crawl = FOUNDATIONS[home.division]
    part_heated = home.heated_area < 0.85 * home.area
    basement = min(1.3 * basement, 0.95) if part_heated else basement
    if chance < basement:
        cold = part_heated or chance < 0.35 * basement
        return "basement, not heated" if cold else "basement, heated"
    return (
        "crawl space"
        if (chance - basement) / (1.0 - basement) < crawl / (1.0 - FOUNDATIONS[home.division][0])
        else "slab on the ground"
    )


def _heating(home: Home, chance: float) -> str:
    if home.heat == "Electricity":
        return _electric_heat(home, chance)
    if home.heat.startswith("Natural gas"):
        return "gas boiler" if chance < BOILERS.get(home.division, 0.03) else "gas furnace"
    if home.heat.startswith("Fuel oil"):
        return "oil boiler" if chance < OIL_BOILERS else "oil furnace"
    if home.heat.startswith("Propane"):
        return "propane furnace"
    return "wood stove" if home.heat.startswith("Wood") else "electric heaters"


def _electric_heat(home: Home, chance: float) -> str:
    """Heat pumps are rare in houses without central cooling, old houses and mobile homes (judgment)."""
    pumps = HEAT_PUMPS[home.division]
    central = COOLING[home.cooling] == "central"
    pumps *= 1.3 if central else 0.3
    pumps *= 0.6 if home.kind == "Mobile home" else 1.0
    if chance < min(pumps, 0.9):
        return "heat pump"
    rest = (chance - pumps) / (1.0 - pumps)
    furnaces = ELECTRIC_FURNACES * (1.25 if central else 0.4)
    return "electric furnace" if rest < furnaces else "electric heaters"


def _water(home: Home, chance: float) -> str:
    gas, propane = home.used["natural_gas"] > 0, home.used["propane"] > 0
    if gas and chance < GAS_TANKS:
        return "gas tank"
    if propane and not gas and chance < PROPANE_TANKS:
        return "propane tank"
    return (
        "oil tank" if home.heat.startswith("Fuel oil") and chance < OIL_TANKS else "electric tank"
    )


def _thermostat(home: Home, zone):
    """Settings by day, by night and while people are away, as told; who never heats has it at the lowest."""
    lowest = 45.0
    day, away, night = home.winter or (lowest, lowest, lowest)
    summer, summer_night = home.summer or (zone.cooling_setpoint,) * 2
    asleep = replace(zone.periods[0], heating_setpoint=night, cooling_setpoint=summer_night)
    out = replace(
        asleep, key="away", label="Away", days_per_week=5.0, hours=8.0,
        heating_setpoint=away, cooling_setpoint=summer,
    )  # fmt: skip
    return replace(zone, heating_setpoint=day, cooling_setpoint=summer, periods=(asleep, out))


def _cooled(home: Home, unit) -> float:
    return min(unit.share, home.cooled_area / home.heated_area)


def used_by(energy) -> Mapping[str, float]:
    """Use by fuel in the year. [kBtu]"""
    found: dict[str, float] = {}
    for fuel, use in energy.monthly:
        found[fuel] = found.get(fuel, 0.0) + float(energy.annual(fuel, use)) / 1000.0
    return found


def by_end_use(energy) -> Mapping[str, float]:
    """Heating, cooling and the rest in the year, the fan with the season that it blows for. [kBtu]"""
    heating = sum(float(energy.annual(f, u)) for f, u in energy.monthly if u == "heating")
    cooling = sum(float(energy.annual(f, u)) for f, u in energy.monthly if u == "cooling")
    blower = np.broadcast_to(np.asarray(energy.monthly["electricity", "blower"], float), 12)
    warm, cold = (
        np.broadcast_to(np.asarray(s.demand), 12) for s in (energy.heating, energy.cooling)
    )
    share = warm / np.maximum(warm + cold, 1e-9)
    heating += float((blower * share).sum())
    cooling += float((blower * (1.0 - share)).sum())
    total = 1000.0 * sum(used_by(energy).values())
    return {
        "heating": heating / 1000.0,
        "cooling": cooling / 1000.0,
        "other": (total - heating - cooling) / 1000.0,
    }
