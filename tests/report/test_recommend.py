"""The order of measures, what each saves in it, and why others are left out."""

import re

import numpy as np
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st
from reported import CHOSEN, content_of, html_of

from retrofit_lab.app.report.view_house import uses
from retrofit_lab.app.report.view_measures import recommended, titles_of
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.all_plans import (
    all_sets,
    worth_most,
)
from retrofit_lab.proposals.recommend import (
    EXCLUDED,
    HELD,
    WEEKEND_MOST,
    order_of,
)
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.working_order import working_order

HOUSES = sorted(CHOSEN)


@pytest.mark.parametrize("name", HOUSES)
def test_savings_in_order_add_to_the_saving_of_the_set(name: str) -> None:
    content = content_of(name)
    total = sum(step.saving for step in content.order.steps)
    assert total == pytest.approx(content.result.saved, abs=1e-6)
    net = sum(step.net_savings for step in content.order.steps)
    assert net == pytest.approx(content.result.net_savings, abs=1e-6)


@pytest.mark.parametrize("name", HOUSES)
def test_tables_of_the_report_add_up_as_they_are_shown(name: str) -> None:
    """Each first number of a cell, over all steps and over all uses, beside the total below them."""
    content, said = content_of(name), words("en")
    table = recommended(content, said, titles_of(content, said))
    for place, column in enumerate(("cost", "saving")):
        shown = sum(first_number(step[column]) for step in table["steps"])
        assert shown == first_number(table["total"][place]), column
    paid = uses(content, said)
    for place, column in enumerate(("cost_before", "cost_after")):
        parts = sum(first_number(row[column]) for row in paid["rows"])
        assert parts + first_number(paid["fixed"][place]) == first_number(paid["total"][place])
    now, then = map(first_number, paid["total"])
    assert now - then == first_number(dollars(content.result.saved))
    middles = sum(step.span.middle for step in content.order.steps)
    assert middles == pytest.approx(content.order.saving.middle)


def first_number(text: str) -> int:
    """Money that a cell begins with; nothing where it says that something is free."""
    found = re.match(r"-?\$[\d,]+", text)
    return int(re.sub(r"[$,]", "", found[0])) if found else 0


def test_each_saving_is_the_difference_of_two_sets() -> None:
    study = example("wren_cottage")
    steps = order_of(Advice(study), CHOSEN["wren_cottage"]).steps
    keys = [step.key for step in steps]
    for place, step in enumerate(steps):
        less, more = study.plan(keys[:place]), study.plan(keys[: place + 1])
        assert step.saving == pytest.approx(less.after.cost - more.after.cost, abs=1e-6)


@settings(deadline=None, max_examples=15)
@given(st.sets(st.integers(0, 11), max_size=8))
def test_no_measure_stands_before_one_that_it_waits_for(places: set[int]) -> None:
    study = example("wren_cottage")
    chosen = [study.keys[place] for place in places]
    order = working_order(study, chosen)
    assert sorted(order) == sorted(chosen)
    for place, key in enumerate(order):
        assert not set(study.offer(key).measure.after) & set(order[place + 1 :])


def test_equipment_comes_after_the_load_is_lowered() -> None:
    order = working_order(example("wren_cottage"), CHOSEN["wren_cottage"])
    furnace = order.index("furnace_upgrade")
    assert furnace > order.index("wall_fill")
    assert furnace > order.index("duct_mastic")
    step = order_of(Advice(example("wren_cottage")), CHOSEN["wren_cottage"]).steps[furnace]
    assert step.reason == "after"
    assert set(step.named) == {"attic_insulation", "wall_fill", "duct_mastic"}


@pytest.mark.parametrize("name", HOUSES)
def test_ranges_hold_the_middle_and_chances_are_shares(name: str) -> None:
    for step in content_of(name).order.steps:
        assert step.span.low <= step.span.middle <= step.span.high
        assert 0 <= step.chance <= 1


@pytest.mark.parametrize("name", HOUSES)
def test_every_measure_is_either_recommended_or_considered(name: str) -> None:
    content, study = content_of(name), example(name)
    chosen = {step.key for step in content.order.steps}
    others = [item.offer.key for item in content.considered]
    assert chosen | set(others) == set(study.keys)
    assert not chosen & set(others)
    assert len(others) == len(set(others))


def test_reason_of_what_excludes_another() -> None:
    study = example("alder_street")
    key = next(k for k in study.keys if study.offer(k).measure.excludes and study.case.conflict(
        (k, study.offer(k).measure.excludes[0])))  # fmt: skip
    other = study.offer(key).measure.excludes[0]
    from retrofit_lab.proposals.recommend import not_recommended

    found = {item.offer.key: item for item in not_recommended(study, study.plan((key,)))}
    assert found[other].reason == EXCLUDED
    assert found[other].named == (key,)


@pytest.mark.parametrize("name", HOUSES)
def test_weekend_holds_only_what_the_owner_can_do_for_little_money(name: str) -> None:
    for step in content_of(name).weekend:
        assert step.offer.measure.doer == "owner"
        assert step.offer.cost_likely <= WEEKEND_MOST


CENT = 0.01


@pytest.mark.parametrize("name", HOUSES)
def test_nothing_is_worth_adding_to_the_default_choice_or_leaving_out(name: str) -> None:
    study = example(name)
    found = rater_plan(Advice(study), sure=False)
    choice, guesses = found.result, {item.key for item in found.look_first}
    for key, row in choice.measures.items():
        waits = found.not_chosen.get(key) == HELD or key in guesses
        if not row.ticked and not row.blocked_by and not waits:
            assert row.net_savings <= CENT, f"{key} would be worth adding"
        buried = any(key in study.offer(k).measure.buries for k in choice.ticked)
        if row.ticked and not buried:
            assert row.net_savings >= -CENT, f"{key} would be better left out"


def test_sixteen_measures_at_most_and_the_chosen_first() -> None:
    study = example("alder_street")
    nothing = study.plan(())
    worst = min(nothing.measures.values(), key=lambda row: row.net_savings).key
    kept = worth_most(nothing, (worst,))
    assert len(kept) == 16
    assert worst in kept
    by_worth = sorted(nothing.measures.values(), key=lambda row: -row.net_savings)
    assert set(worth_most(nothing)) == {row.key for row in by_worth[:16]}


def test_all_sets_agree_with_single_sets() -> None:
    study = example("wren_cottage")
    sets = all_sets(study)
    assert len(sets.masks) == 2**16
    assert set(sets.keys) | set(sets.left_out) == set(study.keys)
    for number in (0, 1, 4097, 65535):
        keys = [key for bit, key in enumerate(sets.keys) if number >> bit & 1]
        assert (
            np.flatnonzero(sets.masks[number]).tolist() == np.flatnonzero(study.mask(keys)).tolist()
        )
        cost = study.energy(study.mask(keys)[None]).energy[0]
        assert sets.energy.energy[number] == pytest.approx(cost, rel=1e-12)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("name", HOUSES)
def test_what_costs_nothing_is_not_divided_by(name: str, language: str) -> None:
    free = [item for item in content_of(name).considered if item.result.cost.likely == 0]
    assert free
    assert "$inf" not in html_of(name, language)
    assert words(language).say("considered.free") in html_of(name, language)
