"""Makes an invented house with hidden faults and a year of bills from a seed and a level; sheets are made elsewhere."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.bills.fitting.period_weather import bill_weather
from retrofit_lab.bills.fitting.splitting import split_fuel
from retrofit_lab.bills.fitting.unusual import Finding
from retrofit_lab.bills.fitting.unusual_bills import find_peculiar
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.classroom.bill_parts import Part, more_than_described, parts_of
from retrofit_lab.classroom.faults import (
    Fault,
    HiddenFault,
    faults,
    fits,
    hidden,
    scenario_tables,
    with_fault,
)
from retrofit_lab.classroom.invented import asked_place, invented_answers, invented_place
from retrofit_lab.classroom.made_bills import made_bills, with_late_reading
from retrofit_lab.climate.locating import find_climate, find_weather
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.study import Study
from retrofit_lab.texts.english_only import sentence

MOST_SEED = 10**9
MOST_TRIES = 200
LEAST_COST = 30.0
"""A hidden fault costs at least so many dollars a year."""
LEAST_BILL = 0.08
"""One that only bills tell adds at least this share to some bill. [1]"""
LIT, DARK = 0.08, 0.03
"""A part of the use that exceeds the described by more than the one tells a fault; by less than the other, none."""
BY_BILLS, BY_CLUE, BY_TEST = "bills", "clue", "test"
CLUE, FINE, HINT = "clue", "fine", "hint"
LATE_SHARE = (0.25, 0.4)
"""Part of a bill that an estimate leaves out. [1]"""
LETTERS = "ABCDEFGHIJKL"
USUAL_SPREAD = (0.1, 0.2)
"""How far a sound house's air leakage lies from what is usual at its age, up or down. [1] (judgment)"""


class ScenarioError(InputError):
    """A scenario that cannot be made."""


@dataclass(frozen=True, slots=True)
class Remark:
    """Something seen on the visit, of what is wrong or of what is sound, or mentioned by the owner, true or not."""

    kind: str
    item: HiddenFault


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """One invented house.

    ``believed`` is the house as the owner describes it, with the blower-door reading of the visit;
    ``true`` is the house that made the bills; ``place`` is the address that was asked for, or nothing.
    ``options`` are the faults to choose from, by letter; ``told`` is what tells each hidden one, by its key.
    ``seen`` is what the visit turned up and what the owner mentioned, true or not; ``described_bills`` is what the
    house would use as described. ``late`` is the month whose bill was estimated, or nothing; ``usual_flow`` is what
    houses of its age leak at 50 Pa [cfm]. ``study`` is of the true house, ``described`` of the one that is
    believed: offers for that one do not give away what is hidden.
    """

    seed: int
    level: int
    place: str
    first: FirstAnswers
    believed: House
    true: House
    hidden: tuple[HiddenFault, ...]
    options: Mapping[str, Fault]
    told: Mapping[str, str]
    seen: tuple[Remark, ...]
    bills: BillSet
    described_bills: BillSet
    late: int | None
    usual_flow: float
    study: Study
    described: Study

    @property
    def name(self) -> str:
        """What the house is called."""
        return self.first.name

    @property
    def right_letters(self) -> frozenset[str]:
        """Letters of the faults that the house hides."""
        keys = {item.fault.key for item in self.hidden}
        return frozenset(letter for letter, fault in self.options.items() if fault.key in keys)

    @property
    def more(self) -> Mapping[Part, float]:
        """By how much the parts of the bills exceed the described. [1]"""
        late = _as_one(self.true, self.late)
        return more_than_described(self.bills, self.described_bills, self.first.climate, late)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the program finds peculiar about the bills of the house as it is believed to be."""
        weather = bill_weather(find_weather(self.first.climate))
        splits = [split_fuel(self.bills, fuel, weather) for fuel in self.bills.fuels]
        return find_peculiar(self.believed, self.study.climate, self.bills, splits, weather)


def scenario(seed: int, level: int, place: str = "") -> Scenario:
    """The house of a seed, a level and a place; the same ones give the same house.

    ``place`` is a ZIP code, ``"Town, ST"`` or a station; without it one of the data's own places is drawn.

    Raises
    ------
    InputError
        When seed, level or place cannot be used.
    """
    levels = {row["number"]: row for row in scenario_tables()["level"]}
    if level not in levels:
        raise ScenarioError(
            sentence(
                "classroom_scenario.level_choose", level=level, known=", ".join(map(str, levels))
            )
        )
    if not 0 <= seed <= MOST_SEED:
        raise ScenarioError(
            sentence("classroom_scenario.seed_choose", seed=seed, most=f"{MOST_SEED:,}")
        )
    for attempt in range(MOST_TRIES):
        made = _attempt(seed, levels[level], np.random.default_rng([seed, level, attempt]), place)
        if made is not None:
            return made
    raise ScenarioError(sentence("classroom_scenario.house_could", seed=seed))


def _attempt(
    seed: int, level: Mapping[str, Any], chance: np.random.Generator, asked: str
) -> Scenario | None:
    """One house, or None where what is hidden could not be found."""
    place = asked_place(asked) if asked else invented_place(chance)
    first = invented_answers(place, chance)
    usual = _sound(starting_house(first))
    house = replace(usual, leakage=replace(usual.leakage, flow=_measured_flow(usual, chance)))
    possible = [fault for fault in faults() if fits(fault, house, tuple(place["seasons"]))]
    drawn = [hidden(fault, house, chance) for fault in _shuffled(possible, chance)]
    hiding = _hiding(house, drawn, level)
    if not hiding:
        return None
    true = house
    for item, _ in hiding:
        true = with_fault(true, item)
    climate = find_climate(true.site.climate)
    bills, late = _bills(true, climate, level, chance)
    believed = replace(house, leakage=replace(house.leakage, flow=true.leakage.flow))
    described = made_bills(believed, climate, 0.0, chance)
    more = more_than_described(bills, described, first.climate, _as_one(house, late))
    told = {item.fault.key: how for item, how in hiding}
    wrong = _wrong_ones(house, drawn, told, more, level)
    if wrong is None or not _can_be(true):
        return None
    shown = [item.fault for item in (*(item for item, _ in hiding), *wrong[0], *wrong[1])]
    return Scenario(
        seed=seed,
        level=level["number"],
        place=asked,
        first=first,
        believed=believed,
        true=true,
        hidden=tuple(_priced(house, item) for item, _ in hiding),
        options=dict(zip(LETTERS, _shuffled(shown, chance), strict=False)),
        told=told,
        seen=tuple(_seen(hiding, wrong, level, chance)),
        bills=bills,
        described_bills=described,
        late=late,
        usual_flow=float(usual.leakage.flow),
        study=Study(true),
        described=Study(believed),
    )


Hiding = Sequence[tuple[HiddenFault, str]]


def _hiding(house: House, drawn: Sequence[HiddenFault], level: Mapping[str, Any]) -> Hiding:
    """Faults to hide, those first that only bills tell: each moves parts of the bills that no other moves."""
    found: list[tuple[HiddenFault, str]] = []
    before = bills_by_fuel(house)
    for item in drawn:
        parts = parts_of(house, item.fault.parts)
        free = all(not parts & parts_of(house, other.fault.parts) for other, how in found)
        few = len(found) < level["by_bills"]
        if few and parts and free and _shows(house, item, before, LEAST_BILL):
            found.append((item, BY_BILLS))
    taken = {item.fault.key for item, _ in found}
    lit = [parts_of(house, item.fault.parts) for item, _ in found]
    for item in drawn:
        parts = parts_of(house, item.fault.parts)
        apart = item.fault.key not in taken and all(not parts & other for other in lit)
        if len(found) < level["faults"] and apart and _shows(house, item, before):
            found.append((item, BY_CLUE if parts else BY_TEST))
    return found if len(found) == level["faults"] and found[0][1] == BY_BILLS else ()


def _shows(
    house: House, item: HiddenFault, before: Mapping[str, FloatArray], least: float = 0.0
) -> bool:
    """Whether a fault costs enough, and adds at least some share to some bill."""
    after = bills_by_fuel(with_fault(house, item))
    shares = [(after[fuel] / np.maximum(used, 1e-9) - 1.0).max() for fuel, used in before.items()]
    costs = _cost(house, after) - _cost(house, before)
    return costs >= LEAST_COST and max(shares) >= least


def bills_by_fuel(house: House) -> Mapping[str, FloatArray]:
    """Use of each fuel by month, without chance. shapes (12,) [unit of the fuel]"""
    climate = find_climate(house.site.climate)
    year = year_energy(house, climate)
    used = {fuel: fuel_months(year, fuel, 1)[0] for fuel, _ in year.monthly}
    return {fuel: months for fuel, months in used.items() if months.sum() > 0}


def _priced(house: House, item: HiddenFault) -> HiddenFault:
    more = bills_by_fuel(with_fault(house, item))
    return replace(item, cost=_cost(house, more) - _cost(house, bills_by_fuel(house)))


def _can_be(house: House) -> bool:
    """Whether a house passes its checks."""
    try:
        check_house(house)
    except HouseError:
        return False
    return True


def _as_one(house: House, late: int | None) -> Mapping[str, tuple[int, int]]:
    """The month of an estimated bill and the one that makes up for it, by the fuel whose bill it is."""
    return {} if late is None else {base_fuel(house): (late, late + 1)}


Wrong = tuple[list[HiddenFault], list[HiddenFault]]


def _wrong_ones(
    house: House,
    drawn: Sequence[HiddenFault],
    told: Mapping[str, str],
    more: Mapping[Part, float],
    level: Mapping[str, Any],
) -> Wrong | None:
    """Wrong ones that bills or the blower door clear, and wrong ones that were looked at; None where it is open."""
    dark: list[HiddenFault] = []
    unclear: list[HiddenFault] = []
    for item in drawn:
        shares = [more.get(part) for part in parts_of(house, item.fault.parts)]
        if told.get(item.fault.key) == BY_BILLS:
            judged = [share for share in shares if share is not None]
            # what other faults give off in heat may hide it from a part: then the bills do not tell it
            if max(judged, default=0.0) < LIT or min(judged) <= DARK:
                return None
        elif item.fault.key not in told:
            clear = all(share is not None and share <= DARK for share in shares)
            (dark if clear else unclear).append(item)
    looked = [item for item in unclear + dark[level["open"] :] if item.fault.parts]
    if len(dark) < level["open"] or len(looked) < level["looked"]:
        return None
    return dark[: level["open"]], looked[: level["looked"]]


def _seen(
    hiding: Hiding, wrong: Wrong, level: Mapping[str, Any], chance: np.random.Generator
) -> list[Remark]:
    """What was seen, and what the owner mentioned: of what is wrong, and of what is not."""
    seen = [Remark(CLUE, item) for item, how in hiding if how == BY_CLUE]
    seen += [Remark(FINE, item) for item in wrong[1]]
    true = int(chance.integers(0, level["true_most"] + 1))
    of_true = _shuffled([item for item, _ in hiding], chance)[:true]
    of_false = [*_shuffled(wrong[0], chance), *_shuffled(wrong[1], chance)]
    said = [*of_true, *of_false[: level["remarks"] - true]]
    return _shuffled([*seen, *(Remark(HINT, item) for item in said)], chance)


def _sound(house: House) -> House:
    """House whose walls and floors are filled: what stock tables leave open is settled in an invented house."""
    filled = tuple(replace(surface, missing_fraction=0.0) for surface in house.surfaces)
    return replace(house, surfaces=filled)


def _measured_flow(house: House, chance: np.random.Generator) -> float:
    """Reading at 50 Pa of a sound house, somewhat more or less than is usual. [cfm]"""
    off = float(chance.uniform(*USUAL_SPREAD)) * float(chance.choice((-1.0, 1.0)))
    return round(float(house.leakage.flow) * (1.0 + off), -1)


def _bills(
    true: House, climate: MonthlyClimate, level: Mapping[str, Any], chance: np.random.Generator
) -> tuple[BillSet, int | None]:
    """Bills of the house; at the last level one of the most used fuel was estimated too low."""
    bills = made_bills(true, climate, level["noise"], chance)
    if level["number"] < len(scenario_tables()["level"]):
        return bills, None
    fuel = base_fuel(true)
    month = int(chance.integers(0, 11))
    return with_late_reading(bills, fuel, month, float(chance.uniform(*LATE_SHARE))), month


def base_fuel(house: House) -> str:
    """Fuel whose base load the questions ask for: what heats the water."""
    return house.water_heaters[0].fuel


def _cost(house: House, used: Mapping[str, FloatArray]) -> float:
    """What a year of energy costs, without fixed charges. [dollars/year]"""
    prices = {price.key: float(price.price) for price in house.prices}
    return sum(prices[fuel] * float(months.sum()) for fuel, months in used.items())


def _shuffled(items: Sequence[Any], chance: np.random.Generator) -> list[Any]:
    return [items[place] for place in chance.permutation(len(items))]
