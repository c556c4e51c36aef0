"""What is proposed for a house: the one order of work, evidence, needs, holds and shares."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.measures.catalog import PHASES as WORK_PHASES
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.evidence import not_known
from retrofit_lab.measures.sequence import covers, earlier
from retrofit_lab.proposals.look_first import expected_loss
from retrofit_lab.proposals.recommend import EXCLUDED, HELD, NEEDS
from retrofit_lab.proposals.steps import (
    LOOK_FIRST,
    MEASURE,
    NEEDED,
    PHASES,
    SETTLE,
    Proposal,
    proposal,
    rater_plan,
)
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import phases_of, working_order

HOUSES = (
    "alder_street",
    "wren_cottage",
    "sycamore_lane",
    "millpond_hill",
    "mesquite_way",
    "tamarack_farm",
)


@cache
def advice_of(name: str, *words: str) -> Advice:
    study = example(name)
    if not words:
        return Advice(study)
    seen = (*study.as_found.observations, *words)
    return Advice(Study(replace(study.as_found, observations=seen)))


@cache
def rated(name: str, *words: str) -> Proposal:
    return rater_plan(advice_of(name, *words))


def without_conflict(study: Study, places: list[int]) -> list[str]:
    chosen: list[str] = []
    for place in places:
        key = study.keys[place % len(study.keys)]
        if key not in chosen and not study.case.rivals[key] & set(chosen):
            chosen.append(key)
    return chosen


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(HOUSES), st.lists(st.integers(0, 80), max_size=24))
def test_no_step_stands_before_one_that_it_comes_after(name: str, places: list[int]) -> None:
    study = example(name)
    chosen = without_conflict(study, places)
    order = working_order(study, chosen)
    assert sorted(order) == sorted(chosen)
    for place, key in enumerate(order):
        assert not set(study.case.earlier(key)) & set(order[place + 1 :])


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(HOUSES), st.lists(st.integers(0, 80), max_size=24))
def test_a_phase_is_finished_before_the_next_begins(name: str, places: list[int]) -> None:
    study = example(name)
    order = working_order(study, without_conflict(study, places))
    phases = phases_of(study, order)
    ranks = [WORK_PHASES.index(phases[key]) for key in order]
    assert ranks == sorted(ranks)
    for key in order:
        own = study.offer(key).measure.phase
        assert WORK_PHASES.index(phases[key]) >= WORK_PHASES.index(own)


@settings(deadline=None, max_examples=30)
@given(st.lists(st.integers(0, 80), max_size=16), st.permutations(range(16)))
def test_the_order_does_not_hang_on_the_order_of_choosing(
    places: list[int], shuffled: list[int]
) -> None:
    study = example("alder_street")
    chosen = without_conflict(study, places)
    mixed = [chosen[place] for place in shuffled if place < len(chosen)]
    assert working_order(study, chosen) == working_order(study, mixed)


def test_no_measures_of_the_catalog_come_after_each_other() -> None:
    before = {m.key: set(earlier(m, catalog())) for m in catalog()}
    left = dict(before)
    while left:
        ready = [key for key, others in left.items() if not others & left.keys()]
        assert ready, f"in a circle: {sorted(left)}"
        for key in ready:
            del left[key]


def test_what_covers_a_floor_comes_after_the_sealing_below_it() -> None:
    by_key = {measure.key: measure for measure in catalog()}
    sealing = [m for m in catalog() if {"air_leakage", "attic_side"} <= set(m.tags)]
    cover = by_key["attic_insulation"]
    assert sealing
    assert all(covers(cover, other) for other in sealing)
    assert all(not covers(other, cover) for other in sealing)
    assert {other.key for other in sealing} <= set(earlier(cover, catalog()))


@pytest.mark.parametrize("name", HOUSES)
def test_shares_costs_and_worth_of_the_steps_add_to_those_of_the_plan(name: str) -> None:
    found = rated(name)
    mine = [step for step in found.steps if step.in_plan and step.kind != SETTLE]
    assert {step.key for step in mine} == set(found.result.ticked)
    assert sum(s.saving for s in mine) == pytest.approx(found.result.saved, abs=1e-9)
    assert found.saving == found.result.saved
    for end in ("low", "likely", "high"):
        total = sum(getattr(s.cost, end) for s in mine)
        assert total == pytest.approx(getattr(found.result.cost, end), abs=1e-6)
    net = sum(s.net_savings for s in mine)
    assert net == pytest.approx(found.result.net_savings, abs=1e-6)


@pytest.mark.parametrize("name", HOUSES)
def test_no_evidence_no_step(name: str) -> None:
    found, house = rated(name), example(name).as_found
    looked = {item.key for item in found.look_first}
    for offer in example(name).offers:
        assert (offer.key in looked) == bool(not_known(house, offer.measure.rests_on))
    steps = {step.key for step in found.steps}
    assert not steps & looked
    for step in found.steps:
        assert step.evidence, f"nothing speaks for {step.key}"
    for key in looked:
        assert found.not_chosen[key] == LOOK_FIRST


@pytest.mark.parametrize("name", HOUSES)
def test_what_a_hazard_holds_is_shown_waiting_and_is_not_startable(name: str) -> None:
    found = rated(name, "bad_wiring", "vermiculite", "no_co_alarm")
    holds = advice_of(name, "bad_wiring", "vermiculite", "no_co_alarm").study.case.holds
    mine = [step for step in found.steps if step.key in holds]
    held = [step for step in mine if holds[step.key]]
    assert any(step.in_plan for step in held)
    assert all(step.waits and step.held_by == holds[step.key] for step in held)
    assert {step.kind for step in held} <= {MEASURE, NEEDED}
    cost, saving = found.startable
    waiting = [step for step in mine if step.in_plan and step.waits]
    assert cost.likely == pytest.approx(
        found.result.cost.likely - sum(s.cost.likely for s in waiting)
    )
    assert saving == pytest.approx(found.saving - sum(s.saving for s in waiting))


@pytest.mark.parametrize("name", ["sycamore_lane", "tamarack_farm"])
@pytest.mark.parametrize("word", ["gas_smell", "co_above_limit"])
def test_nothing_is_chosen_while_a_hazard_stops_all_work(name: str, word: str) -> None:
    found = rater_plan(advice_of(name, word), sure=False)
    assert found.ticked == ()
    assert set(found.not_chosen.values()) <= {HELD, LOOK_FIRST, EXCLUDED, NEEDS}


def test_what_is_held_is_chosen_as_if_it_were_released() -> None:
    bare = replace(
        example("tamarack_farm").as_found,
        observations=(*example("tamarack_farm").as_found.observations, "vermiculite"),
    )
    released = replace(bare, observations=(*bare.observations, "vermiculite_tested"))
    one, other = (rater_plan(Advice(Study(h)), sure=False) for h in (bare, released))
    assert set(one.ticked) == set(other.ticked)
    assert "attic_insulation" in one.held
    assert "attic_insulation" not in other.held


def test_what_would_bury_leaks_waits_until_they_can_be_sealed() -> None:
    found = rated("tamarack_farm", "combustion_test_failed")
    assert not example("tamarack_farm").case.holds["attic_insulation"]
    step = next(step for step in found.steps if step.key == "attic_insulation")
    assert step.in_plan
    assert step.held_by == ()
    assert step.waits
    assert "attic_air_sealing" in step.after


@pytest.mark.parametrize("name", HOUSES)
def test_insulation_is_never_laid_over_leaks_that_could_be_sealed(name: str) -> None:
    for aim in ("net_savings", "saving"):
        found = rater_plan(advice_of(name), Limits(budget=4_000.0), aim, sure=False)
        if {"attic_insulation", "attic_air_sealing"} & set(found.ticked) == {"attic_insulation"}:
            assert found.not_chosen.get("attic_air_sealing", LOOK_FIRST) == LOOK_FIRST


@pytest.mark.parametrize("name", HOUSES)
def test_every_measure_is_a_step_or_left_for_a_reason(name: str) -> None:
    found = rated(name)
    steps = {step.key for step in found.steps if step.kind != SETTLE}
    assert steps | found.not_chosen.keys() == set(example(name).keys)
    assert not steps & found.not_chosen.keys()


@pytest.mark.parametrize("name", HOUSES)
def test_steps_come_by_phases_in_the_one_order(name: str) -> None:
    found = rated(name, "no_co_alarm")
    ranks = [PHASES.index(step.phase) for step in found.steps]
    assert ranks == sorted(ranks)
    keys = [step.key for step in found.steps]
    for place, step in enumerate(found.steps):
        assert not set(step.after) & set(keys[place:])


@pytest.mark.parametrize("name", HOUSES)
def test_ranges_hold_their_middle_and_go_with_that_of_the_plan(name: str) -> None:
    found = rated(name)
    spans = [step.span for step in found.steps if step.in_plan and step.span]
    assert len(spans) == len(found.result.ticked)
    assert all(one.low <= one.middle <= one.high for one in spans)
    assert found.span is not None
    assert sum(one.middle for one in spans) == pytest.approx(found.span.middle)


def test_a_finding_turns_what_to_look_at_into_a_step() -> None:
    before, after = rated("sycamore_lane"), rated("sycamore_lane", "sill_gaps")
    assert "seal_sill" in {item.key for item in before.look_first}
    assert "seal_sill" not in {item.key for item in after.look_first}
    found = proposal(advice_of("sycamore_lane", "sill_gaps"), ("seal_sill",), sure=False)
    step = next(step for step in found.steps if step.key == "seal_sill")
    assert [item.key for item in step.evidence] == ["sill_gaps"]


def test_what_to_look_at_is_ordered_by_how_much_it_matters() -> None:
    found = rated("sycamore_lane").look_first
    changes = [item.change for item in found]
    assert changes == sorted(changes, reverse=True)
    assert changes[0] > 0.0


def test_people_may_choose_what_nothing_speaks_for_and_are_told() -> None:
    found = proposal(advice_of("sycamore_lane"), ("led_lamps",), sure=False)
    assert found.ticked == ("led_lamps",)
    told = {item.key: item for item in found.look_first}
    assert told["led_lamps"].in_plan
    assert not told["tank_wrap"].in_plan


def test_what_is_needed_is_there_whatever_it_pays() -> None:
    word, key = "dryer_vents_indoors", "dryer_vent_flap"
    bare, told = rated("sycamore_lane"), rated("sycamore_lane", word)
    assert key not in {step.key for step in bare.steps}
    step = next(step for step in told.steps if step.key == key)
    assert step.kind == NEEDED
    assert step.in_plan
    assert step.net_savings < 0.0
    beside = proposal(advice_of("sycamore_lane", word), (), sure=False)
    apart = next(step for step in beside.steps if step.key == key)
    assert not apart.in_plan
    assert beside.saving == 0.0


def test_a_budget_pays_what_is_needed_first() -> None:
    word, key = "dryer_vents_indoors", "dryer_vent_flap"
    advice = advice_of("sycamore_lane", word)
    needed = {key, "ground_cover"}
    price = sum(advice.study.offer(other).cost_likely for other in needed)
    found = rater_plan(advice, Limits(budget=price + 50.0), sure=False)
    assert needed <= set(found.ticked)
    assert found.result.cost.likely <= price + 50.0 + 1e-6


def test_a_plan_that_lacks_fresh_air_names_the_fan() -> None:
    found = rated("sycamore_lane")
    fan = found.result.fresh_air
    assert fan is not None
    step = next(step for step in found.steps if step.key == fan.measure)
    assert step.kind == NEEDED
    assert not step.in_plan
    assert step.saving == -fan.yearly


def test_a_smell_of_gas_leaves_one_step() -> None:
    found = rated("sycamore_lane", "gas_smell")
    assert found.steps[0].key == "gas_smell"
    assert found.steps[0].cost is None
    assert found.ticked == ()
    startable = [step for step in found.steps if step.kind != SETTLE and not step.waits]
    assert startable == []


def test_what_a_decision_loses_without_a_number() -> None:
    places = ((np.arange(64) + 0.5) / 64)[:, None]
    split = np.where(places[:, 0] > 0.5, 100.0, -100.0)
    line = 200.0 * (places[:, 0] - 0.5)
    # a straight line from -100 to 100: half of all cases gain 50 on average
    assert expected_loss(places, line, done=False) == pytest.approx(25.0, rel=1e-3)
    assert expected_loss(places, line, done=True) == pytest.approx(25.0, rel=1e-3)
    assert expected_loss(places, line + 200.0, done=True) == pytest.approx(0.0, abs=1e-9)
    assert expected_loss(places, line + 200.0, done=False) == pytest.approx(200.0)
    assert expected_loss(places, line - 200.0, done=False) == 0.0
    assert expected_loss(np.zeros((64, 0)), split, done=False) == pytest.approx(50.0)
