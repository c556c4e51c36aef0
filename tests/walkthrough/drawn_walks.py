"""Walks through drawn houses: what the form asks next, what is answered, and how good the plan is that follows.

A house is one of the examples as its plan questions tell it, and then one of the houses that this could be: every
number that the walk asks for is drawn from what is known of such houses. It is walked in rounds: the answers that
are worth most are given in the order of the walk, then it is asked anew. The plan of each round is judged in the
drawn house, beside the plan of the full record.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache

from retrofit_lab.app.walk.route import asked, stops
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.proposals.ask_next import ask_next
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.one_by_one import open_numbers

ROUND = 20
"""Answers of one round."""
MOST_ANSWERS = 60
WITHIN = 0.03
"""Share of the net savings that may be lost. [1]"""
SPARE = 20
"""Seeds apart from one house to the next, to draw again where a drawn house cannot be."""


@dataclass(frozen=True, kw_only=True)
class Walked:
    """One walk: the example, the answers of each round added up, and the net savings of the plans then."""

    name: str
    answers: tuple[int, ...]
    net_savings: tuple[float, ...]
    full: float
    asked_in_all: int

    def lost(self, most: int) -> float:
        """Share of the net savings of the full record that is lost with at most so many answers. [1]"""
        rounds = [n for n, count in enumerate(self.answers) if count <= most]
        return max(0.0, self.full - self.net_savings[rounds[-1]]) / max(self.full, 1.0)


HEATERS = {
    ("furnace", "natural_gas"): "gas furnace", ("boiler", "natural_gas"): "gas boiler",
    ("furnace", "electricity"): "electric furnace", ("resistance", "electricity"): "electric heaters",
    ("furnace", "heating_oil"): "oil furnace", ("boiler", "heating_oil"): "oil boiler",
    ("furnace", "propane"): "propane furnace", ("stove", "wood"): "wood stove",
}  # fmt: skip
TANKS = {
    "electricity": "electric tank",
    "natural_gas": "gas tank",
    "propane": "propane tank",
    "heating_oil": "oil tank",
}


def plan_answers(house: House) -> Mapping[str, str]:
    """What an owner could tell of an example before anyone walks through it."""
    size, footprint = house.size, float(house.size.floor_area / house.size.stories)
    kinds = {buffer.kind for buffer in house.buffers}
    width = (footprint / 1.4) ** 0.5
    return {
        **default_answers(),
        "name": house.name,
        "climate": house.site.climate,
        "year_built": f"{house.site.year_built:.0f}",
        "length": f"{1.4 * width:.1f} ft",
        "width": f"{width:.1f} ft",
        "stories": str(min(3, max(1, round(float(size.stories))))),
        "ceiling": f"{min(12.0, max(7.0, float(size.volume / size.floor_area))):.1f} ft",
        "foundation": _foundation(kinds, house),
        "roof": _roof(kinds),
        "heating": _heating(house),
        "cooling": "none" if not house.air_conditioners else "central",
        "hot_water": _hot_water(house),
        "bedrooms": f"{size.bedrooms:.0f}",
        "occupants": f"{size.occupants:.0f}",
    }


def _foundation(kinds: set[str], house: House) -> str:
    if "crawlspace" in kinds:
        return "crawl space"
    if "basement" in kinds:
        return "basement, not heated"
    return (
        "slab on the ground"
        if any(u.kind == "slab" for u in house.underground)
        else "basement, heated"
    )


def _roof(kinds: set[str]) -> str:
    if "kneewall" in kinds:
        return "rooms with knee walls"
    return "attic" if "attic" in kinds else "sloped or flat ceiling, no attic"


def _heating(house: House) -> str:
    if house.heat_pumps:
        return "heat pump"
    largest = max(house.fuel_heaters, key=lambda heater: float(heater.share))
    return HEATERS.get((largest.kind, largest.fuel), "gas furnace")


def _hot_water(house: House) -> str:
    tank = house.water_heaters[0]
    if tank.kind == "heat_pump":
        return "heat-pump tank"
    return "gas tankless" if tank.kind == "tankless" else TANKS.get(tank.fuel, "electric tank")


@cache
def started(name: str) -> House:
    """The house that the form sets up from the plan questions of an example."""
    return starting_house(
        first_answers(plan_answers(load_house(data_path("houses", f"{name}.toml"))))
    )


def asked_first(house: House) -> frozenset[str]:
    """Every number that the walk asks for first and nobody gave."""
    return frozenset(p for stop in stops() for p in asked(house, stop)) & house.assumed


def in_walking_order(house: House, paths: frozenset[str]) -> tuple[str, ...]:
    """Paths in the order of the stops."""
    return tuple(p for stop in stops() for p in asked(house, stop) if p in paths)


def drawn_record(house: House, seed: int) -> Mapping[str, float]:
    """The full record of one of the houses that this could be: what each asked number turns out to be."""
    record = asked_first(house)
    for spare in range(SPARE):
        numbers = open_numbers(house, 1, asked=record.__contains__, seed=seed * SPARE + spare)
        found = {path: float(value[0, 0]) for path, value in numbers.values.items()}
        try:
            check_house(with_numbers(house, found))
        except InputError:
            continue
        return found
    raise AssertionError(f"no house could be drawn from {house.name}")


def told(house: House, record: Mapping[str, float], paths: frozenset[str]) -> House:
    """The house after some numbers of the record were answered."""
    given = {path: record[path] for path in paths if path in record}
    return replace(with_numbers(house, given), assumed=house.assumed - paths)


def chosen_plan(house: House) -> tuple[str, ...]:
    """The plan that the program would propose."""
    return rater_plan(Advice(Study(house)), sure=False).ticked


def rounds_of(house: House, record: Mapping[str, float]) -> Iterator[frozenset[str]]:
    """What is answered after each round, the first before anything was asked."""
    answered: frozenset[str] = frozenset()
    first = asked_first(house)
    yield answered
    while len(answered) < MOST_ANSWERS:
        known = told(house, record, answered)
        asking = ask_next(Study(known), asked=(first - answered).__contains__)
        if asking.enough:
            return
        room = min(ROUND, MOST_ANSWERS - len(answered))
        answered |= {question.path for question in asking.questions[:room]}
        yield answered


def walk(name: str, seed: int, *, every_round: bool = True) -> Walked:
    """Walk through one drawn house; the plan of each round is looked for, or of the last one only."""
    house = started(name)
    record = drawn_record(house, seed)
    whole = Study(told(house, record, asked_first(house)))
    answers, worth = [], []
    rounds = list(rounds_of(house, record))
    for answered in rounds if every_round else rounds[-1:]:
        plan = chosen_plan(told(house, record, answered))
        answers.append(len(answered))
        worth.append(whole.plan([key for key in plan if key in whole.keys]).net_savings)
    full = whole.plan(rater_plan(Advice(whole), sure=False).ticked).net_savings
    return Walked(
        name=name,
        answers=tuple(answers),
        net_savings=tuple(worth),
        full=full,
        asked_in_all=len(asked_first(house)),
    )
