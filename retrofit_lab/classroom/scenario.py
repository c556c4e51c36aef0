"""Makes an invented house with hidden faults and a year of bills from a seed and a level; sheets are made elsewhere."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from retrofit_lab.base.values import InputError
from retrofit_lab.bills.fitting.period_weather import bill_weather
from retrofit_lab.bills.fitting.splitting import split_fuel
from retrofit_lab.bills.fitting.unusual import Finding
from retrofit_lab.bills.fitting.unusual_bills import find_peculiar
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.classroom.faults import (
    Fault,
    HiddenFault,
    faults,
    fits,
    hidden,
    scenario_tables,
    with_fault,
)
from retrofit_lab.classroom.invented import invented_answers, invented_place
from retrofit_lab.classroom.made_bills import made_bills, with_late_reading
from retrofit_lab.climate.locating import find_weather
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.study.study import Study

MOST_SEED = 10**9
MOST_TRIES = 50
LEAST_SHARE, LEAST_COST = 0.02, 30.0
"""A hidden fault costs at least this share of the bills, and so many dollars a year."""
LATE_SHARE = (0.25, 0.4)
"""Part of a bill that an estimate leaves out. [1]"""
LETTERS = "ABCDEFGHIJKL"
USUAL_SPREAD = (0.1, 0.2)
"""How far a sound house's air leakage lies from what is usual at its age, up or down. [1] (judgement)"""


class ScenarioError(InputError):
    """A scenario that cannot be made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """One invented house.

    ``believed`` is the house as the owner describes it, with the blower-door reading of the visit;
    ``true`` is the house that made the bills. ``options`` are the faults to choose from, by letter;
    ``seen`` is what the walk turned up. ``late`` is the month whose bill was estimated, or nothing;
    ``usual_flow`` is what houses of its age leak at 50 Pa [cfm]. ``study`` is of the true house,
    ``described`` of the one that is believed: offers for that one do not give away what is hidden.
    """

    seed: int
    level: int
    first: FirstAnswers
    believed: House
    true: House
    hidden: tuple[HiddenFault, ...]
    options: Mapping[str, Fault]
    seen: tuple[str, ...]
    bills: BillSet
    late: int | None
    usual_flow: float
    study: Study
    described: Study

    @property
    def name(self) -> str:
        """What the house is called."""
        return self.first.name

    @property
    def tells(self) -> str:
        """What the sheet tells of hidden faults at this level: a clue or only a hint."""
        return next(
            str(r["tells"]) for r in scenario_tables()["level"] if r["number"] == self.level
        )

    @property
    def right_letters(self) -> frozenset[str]:
        """Letters of the faults that the house hides."""
        keys = {item.fault.key for item in self.hidden}
        return frozenset(letter for letter, fault in self.options.items() if fault.key in keys)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the program finds peculiar about the bills of the house as it is believed to be."""
        weather = bill_weather(find_weather(self.first.climate))
        splits = [split_fuel(self.bills, fuel, weather) for fuel in self.bills.fuels]
        return find_peculiar(self.believed, self.study.climate, self.bills, splits, weather)


def scenario(seed: int, level: int) -> Scenario:
    """The house of a seed and a level; the same ones give the same house.

    Raises
    ------
    ScenarioError
        When seed or level cannot be used.
    """
    levels = {row["number"]: row for row in scenario_tables()["level"]}
    if level not in levels:
        raise ScenarioError(
            f"there is no level {level}. Choose one of {', '.join(map(str, levels))}."
        )
    if not 0 <= seed <= MOST_SEED:
        raise ScenarioError(
            f"the seed is {seed}; must be 0 to {MOST_SEED:,}. Choose another number."
        )
    for attempt in range(MOST_TRIES):
        made = _attempt(seed, levels[level], np.random.default_rng([seed, level, attempt]))
        if made is not None:
            return made
    raise ScenarioError(f"no house came out of seed {seed}. Choose another number.")


def _attempt(seed: int, level: Mapping[str, Any], chance: np.random.Generator) -> Scenario | None:
    """One house, or None when too few faults cost enough in it."""
    place = invented_place(chance)
    first = invented_answers(place, chance)
    usual = _sound(starting_house(first))
    house = replace(usual, leakage=replace(usual.leakage, flow=_measured_flow(usual, chance)))
    possible = [fault for fault in faults() if fits(fault, house, tuple(place["seasons"]))]
    drawn = _drawn_faults(house, possible, chance)
    count, wrong = level["faults"], level["wrong"]
    if len(drawn) < count or len(possible) < count + wrong:
        return None
    hiding = tuple(drawn[:count])
    taken = {item.fault.key for item in hiding}
    sound = [fault for fault in _shuffled(possible, chance) if fault.key not in taken][:wrong]
    true = house
    for item in hiding:
        true = with_fault(true, item)
    try:
        check_house(true)
    except HouseError:
        return None
    seen = [item.told(level["tells"]) for item in hiding]
    seen += [hidden(fault, house, chance).told("fine") for fault in sound[: level["looked"]]]
    study = Study(true)
    bills, late = _bills(true, study, level, chance)
    shown = _shuffled([item.fault for item in hiding] + sound, chance)
    believed = replace(house, leakage=replace(house.leakage, flow=true.leakage.flow))
    return Scenario(
        seed=seed,
        level=level["number"],
        first=first,
        believed=believed,
        true=true,
        hidden=hiding,
        options=dict(zip(LETTERS, shown, strict=False)),
        seen=tuple(_shuffled(seen, chance)),
        bills=bills,
        late=late,
        usual_flow=float(usual.leakage.flow),
        study=study,
        described=Study(believed),
    )


def _sound(house: House) -> House:
    """House whose walls and floors are filled: what stock tables leave open is settled in an invented house."""
    filled = tuple(replace(surface, missing_fraction=0.0) for surface in house.surfaces)
    return replace(house, surfaces=filled)


def _measured_flow(house: House, chance: np.random.Generator) -> float:
    """Reading at 50 Pa of a sound house, somewhat more or less than is usual. [cfm]"""
    off = float(chance.uniform(*USUAL_SPREAD)) * float(chance.choice((-1.0, 1.0)))
    return round(float(house.leakage.flow) * (1.0 + off), -1)


def _drawn_faults(
    house: House, possible: Sequence[Fault], chance: np.random.Generator
) -> list[HiddenFault]:
    """Faults that cost enough in this house, in an order of chance."""
    before = _yearly_cost(house)
    found = []
    for fault in _shuffled(possible, chance):
        item = hidden(fault, house, chance)
        cost = _yearly_cost(with_fault(house, item)) - before
        if cost >= max(LEAST_COST, LEAST_SHARE * before):
            found.append(replace(item, cost=cost))
    return found


def _bills(
    true: House, study: Study, level: Mapping[str, Any], chance: np.random.Generator
) -> tuple[BillSet, int | None]:
    """Bills of the house; at the last level one of the most used fuel was estimated too low."""
    bills = made_bills(true, study.climate, level["noise"], chance)
    if level["number"] < len(scenario_tables()["level"]):
        return bills, None
    fuel = base_fuel(true)
    month = int(chance.integers(0, 11))
    return with_late_reading(bills, fuel, month, float(chance.uniform(*LATE_SHARE))), month


def base_fuel(house: House) -> str:
    """Fuel whose base load the questions ask for: what heats the water."""
    return house.water_heaters[0].fuel


def _yearly_cost(house: House) -> float:
    return Study(house, measures=()).plan(()).before.cost


def _shuffled(items: Sequence[Any], chance: np.random.Generator) -> list[Any]:
    return [items[place] for place in chance.permutation(len(items))]
