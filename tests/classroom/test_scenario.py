"""Invented houses: the same seed gives the same house, every house is valid, faults cost and can be found, marks are fair."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np
import pytest
from solvers import SOLVERS, by_the_bills, made_of, sheet_of, tried

from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.classroom.faults import HiddenFault, faults, scenario_tables
from retrofit_lab.classroom.lesson_units import SYSTEMS
from retrofit_lab.classroom.made_bills import made_bills
from retrofit_lab.classroom.marking import ChoiceQuestion, mark, mark_all
from retrofit_lab.classroom.scenario import (
    Remark,
    Scenario,
    ScenarioError,
    base_fuel,
    scenario,
)
from retrofit_lab.classroom.scenario_questions import (
    offers_to_compare,
    overlapping_pair,
    questions_of,
)
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES

LEVELS = (1, 2, 3)
CASES = [(seed, level) for seed in range(4) for level in LEVELS]
made = made_of
asked = cache(lambda seed, level: questions_of(made(seed, level)))


@pytest.fixture(params=CASES, ids=lambda case: f"seed {case[0]} level {case[1]}")
def case(request):
    return request.param


@pytest.mark.parametrize("level", LEVELS)
def test_same_seed_same_house(level: int) -> None:
    first, again = made(1, level), scenario(1, level)
    for name in ("first", "believed", "true", "hidden", "options", "told", "seen", "bills", "late"):
        assert getattr(first, name) == getattr(again, name), name
    assert questions_of(again) == asked(1, level)


def test_other_seed_and_level_give_other_houses() -> None:
    assert len({made(*case).true for case in CASES if case[1] == 2}) == 4
    assert made(3, 1).bills != made(3, 2).bills


def test_house_is_valid_and_hides_what_its_level_says(case) -> None:
    found = made(*case)
    row = scenario_tables()["level"][case[1] - 1]
    check_house(found.believed)
    check_house(found.true)
    assert len(found.hidden) == row["faults"] == len(found.right_letters)
    assert len(found.options) == row["faults"] + row["open"] + row["looked"]
    told = list(found.told.values())
    assert told.count("bills") >= row["by_bills"]
    assert len(found.seen) == told.count("clue") + row["looked"] + row["remarks"]
    assert (found.late is None) == (case[1] < 3)


def test_every_fault_is_in_the_house_costs_and_can_be_found(case) -> None:
    """By a tenth part or so of some bill, or by what was seen or measured on the visit."""
    found = made(*case)
    sound = replace(found.believed, leakage=replace(found.believed.leakage, flow=found.usual_flow))
    for item in found.hidden:
        for path, value in item.changes.items():
            assert float(number_at(found.true, path)) == value
        assert item.cost >= 30.0
        how = found.told[item.fault.key]
        assert (Remark("clue", unpriced(item)) in found.seen) == (how == "clue")
        if how == "bills":
            with_it = year_energy(with_numbers(sound, item.changes), found.study.climate)
            without = year_energy(sound, found.study.climate)
            assert most_on_a_bill(with_it, without) >= 0.075
        if how == "test":
            assert float(found.true.leakage.flow) > 1.3 * found.usual_flow


def unpriced(item: HiddenFault) -> HiddenFault:
    return replace(item, cost=0.0)


def most_on_a_bill(more: YearEnergy, less: YearEnergy) -> float:
    """Largest share by which one year's bills exceed another's."""
    fuels = {fuel for fuel, _ in less.monthly}
    pairs = [(fuel_months(more, fuel, 1)[0], fuel_months(less, fuel, 1)[0]) for fuel in fuels]
    return max(float((a[b > 0] / b[b > 0]).max()) - 1.0 for a, b in pairs if (b > 0).any())


def test_owner_is_right_and_wrong() -> None:
    """What is true and what is not are mixed, so that neither all remarks nor none can be believed."""
    true, false = Counter(), Counter()
    for case in CASES:
        found = made(*case)
        said = set(said_hints(found))
        hidden = set(found.told)
        true[case[1]] += len(said & hidden)
        false[case[1]] += len(said - hidden)
    for level in LEVELS:
        assert 0 < true[level] < false[level]


def said_hints(found: Scenario) -> Iterator[str]:
    yield from (remark.item.fault.key for remark in found.seen if remark.kind == "hint")


def test_sheets_need_the_bills() -> None:
    """A short run of ``solvers.py``: the careful one solves all; naive ones together at most a fifth."""
    count, solved, missed = tried(iter(CASES))
    assert missed == []
    assert solved["the bills"] == count == len(CASES)
    naive = [name for name in SOLVERS if name != "the bills"]
    assert sum(solved[name] for name in naive) <= 0.2 * count * len(naive) + 2


def test_careful_solver_fails_where_the_bills_hide_nothing() -> None:
    """It reads the bills: with those of the house as described it finds nothing that only bills tell."""
    found = made(1, 1)
    blank = replace(found, bills=found.described_bills)
    assert not by_the_bills(sheet_of(blank), np.random.default_rng(0)) & found.right_letters


def test_bills_are_the_true_houses_but_for_chance(case) -> None:
    found = made(*case)
    year = year_energy(found.true, found.study.climate)
    noise = scenario_tables()["level"][case[1] - 1]["noise"]
    for fuel in found.bills.fuels:
        bills = found.bills.usable(fuel)
        assert len(bills) == 12
        assert [bill.days for bill in bills] == [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
        ratio = sum(bill.quantity for bill in bills) / fuel_months(year, fuel, 1).sum()
        assert abs(ratio - 1.0) <= 4.0 * noise
        assert min(bill.quantity for bill in bills) >= 0.0


def test_answers_are_the_programs(case) -> None:
    found, questions = made(*case), {item.question.key: item.question for item in asked(*case)}
    true = found.true
    air = found.study.explain("air leakage").steps[-1 - len(true.leakage.sites) - 1]
    assert air.text == "flow at 50 Pa"
    assert questions["1"].answer == pytest.approx(air.value * 60.0 / float(true.size.volume))
    emptied = Study(with_numbers(true, {"surfaces.attic_floor.missing_fraction": 0.05}))
    floor = next(s for s in emptied.explain("conduction").steps if s.text == "Attic floor: U")
    assert questions["2"].answer == pytest.approx(1.0 / floor.value)
    pair, _, _ = overlapping_pair(found)
    two = [m for m in catalog() if m.key in (pair.first, pair.second)]
    share = (
        Study(found.believed, measures=two)
        .plan((pair.first, pair.second))
        .measures[pair.first]
        .share
    )
    assert questions["5"].answer == pytest.approx(share, abs=0.01)
    assert abs(pair.lost) > 0.02 * share
    idea = "the extra savings" if pair.lost < 0 else "whole overlap"
    assert sum(idea in slip.idea for slip in questions["5"].slips) == 2


def test_what_is_usual_does_not_give_the_air_changes_away(case) -> None:
    question = next(item.question for item in asked(*case) if item.question.key == "1")
    usual = made(*case).usual_flow * 60.0 / float(made(*case).true.size.volume)
    assert mark(question, f"{usual:.1f}").points == 0.0


def test_offers_do_not_tell_what_is_hidden(case) -> None:
    """They are for the house as it is believed to be, whatever it hides."""
    found = made(*case)
    other = replace(found, true=found.believed, study=found.described)
    for key in {"5", "6"} & {item.question.key for item in asked(*case)}:
        ours, theirs = (
            next(item for item in items if item.question.key == key)
            for items in (asked(*case), questions_of(other))
        )
        assert ours == theirs


def test_best_offer_can_be_worked_out_from_what_is_given(case) -> None:
    """With the rounded factors of the sheet, bought again and again, and worth in a straight line at the end."""
    asked_6 = [item for item in asked(*case) if item.question.key == "6"]
    if not asked_6:
        return
    (item,) = asked_6
    worth, factors = {}, {}
    for name, told in item.given[3:]:
        years = int(re.search(r"\d+ years", name)[0].split()[0])
        factors[name.startswith("One dollar every"), years] = float(told.lstrip("$"))
    (yearly,) = (value for (every, _), value in factors.items() if every)
    period = next(years for every, years in factors if every)
    for name, told in item.given[:3]:
        cost, saved, life = (float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*", told))
        bought = -(-period // int(life))
        once = factors[False, int(life)] if life < period else 1.0
        paid = cost * sum(once**time for time in range(bought))
        left = (bought * life - period) / life
        worth[name[0]] = saved * yearly - paid + cost * left * factors[False, period]
    assert {max(worth, key=worth.get)} == item.question.right
    for letter, line in item.question.why.items():
        said = float(line.rpartition(" it nets ")[2].split()[0].replace(",", ""))
        assert worth[letter] == pytest.approx(said, abs=0.01 * abs(said) + 60.0)


def test_pencil_ends_at_the_answer(case) -> None:
    for item in asked(*case):
        if isinstance(item.question, ChoiceQuestion):
            continue
        result = item.way[-1].rpartition(" = ")[2].split()[0]
        assert mark(item.question, result).right, item.way


def test_right_answers_earn_everything_and_empty_ones_nothing(case) -> None:
    questions = [item.question for item in asked(*case)]
    right = {
        q.key: " ".join(sorted(q.right)) if isinstance(q, ChoiceQuestion) else f"{q.answer:.5g}"
        for q in questions
    }
    assert all(found.right for found in mark_all(questions, right))
    assert sum(found.points for found in mark_all(questions, {})) == 0.0


def test_known_wrong_ideas_are_named_or_lie_beside_the_answer(case) -> None:
    for item in asked(*case):
        question = item.question
        if isinstance(question, ChoiceQuestion):
            continue
        named = {mark(question, f"{slip.value:.7g}").sentence for slip in question.slips}
        ideas = {slip.idea for slip in question.slips}
        apart = {
            slip.idea
            for slip in question.slips
            if abs(slip.value - question.answer) > 2 * question.within * abs(question.answer)
        }
        assert named <= ideas | {"That is right."}
        assert len(named & apart) >= len(apart) - 1  # two ideas may end at the same number


def test_mean_of_r_is_never_taken_for_the_answer(case) -> None:
    question = next(item.question for item in asked(*case) if item.question.key == "2")
    idea = next(slip for slip in question.slips if "averaged the R-values" in slip.idea)
    assert mark(question, f"{idea.value:.2f}").sentence == idea.idea


def test_naming_every_fault_earns_nothing_and_one_right_some(case) -> None:
    question = next(item.question for item in asked(*case) if item.question.key == "4")
    assert mark(question, "".join(question.options)).points == 0.0
    one = min(question.right)
    assert mark(question, one).points == pytest.approx(question.points / len(question.right))
    wrong = min(question.options.keys() - question.right)
    found = mark(question, wrong)
    assert found.points == 0.0
    assert f"{wrong} is not it. It would show like this" in found.sentence


def test_best_offer_leads_clearly_and_is_not_always_the_quickest() -> None:
    quickest = []
    for seed, level in CASES:
        if level > 1:
            rows = offers_to_compare(made(seed, level))
            ranked = sorted(rows, key=lambda row: -row.net_savings)
            assert ranked[0].net_savings > ranked[1].net_savings + 100.0
            quickest.append(min(rows, key=lambda row: row.payback).key == ranked[0].key)
    assert not all(quickest)


def test_estimated_bill_is_made_good_by_the_next() -> None:
    for seed in range(4):
        found = made(seed, 3)
        fuel, month = base_fuel(found.true), found.late
        used = [bill.quantity for bill in found.bills.usable(fuel)]
        year = fuel_months(year_energy(found.true, found.study.climate), fuel, 1)[0]
        assert used[month] < 0.9 * year[month]
        assert used[month + 1] > year[month + 1]
        assert sum(used[month : month + 2]) == pytest.approx(sum(year[month : month + 2]), rel=0.15)


@pytest.mark.parametrize("fault", faults(), ids=lambda fault: fault.key)
def test_every_fault_has_its_words(fault) -> None:
    item = HiddenFault(fault=fault, was=1.0, now=2.0, changes={})
    for language, system in product(LANGUAGES, SYSTEMS):
        said = ScenarioTexts(language, system)
        assert all(len(said.fault(fault, name)) > 10 for name in ("title", "sign", "fix"))
        for name in ("clue", "hint", "fine"):
            assert said.told(item, name).endswith(".")
    assert fault.low < fault.high


def test_bills_without_chance_are_the_models() -> None:
    found = made(1, 1)
    bills = made_bills(found.true, found.study.climate, 0.0, np.random.default_rng(0))
    year = year_energy(found.true, found.study.climate)
    for fuel in bills.fuels:
        expected = fuel_months(year, fuel, 1)[0]
        assert [b.quantity for b in bills.usable(fuel)] == pytest.approx(
            expected.tolist(), abs=0.051
        )


@pytest.mark.parametrize(("seed", "level", "words"), [(1, 0, "Choose one of 1, 2, 3"), (1, 9, "no level 9"), (-1, 1, "must be 0 to"), (10**10, 1, "another number")])  # fmt: skip
def test_what_cannot_be_made_is_said(seed: int, level: int, words: str) -> None:
    with pytest.raises(ScenarioError, match=words):
        scenario(seed, level)


def test_scenario_is_frozen() -> None:
    assert replace(made(1, 1), seed=2).first == made(1, 1).first
