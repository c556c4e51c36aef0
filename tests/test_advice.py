"""Advice on the example houses: best sets, next steps, plans and ranges agree with the study they advise on."""

from dataclasses import replace

import numpy as np
import pytest
from examples import example

from retrofit_lab.measures.catalog import measure_named
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.savings.choosing import AIMS, ChoiceError, Limits
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.plan_tables import table_of
from retrofit_lab.study.study import Study

ALDER = Advice(example("alder_street"))
WREN = Advice(example("wren_cottage"))
both = pytest.mark.parametrize("advice", [ALDER, WREN], ids=["alder", "wren"])


@both
def test_proposal_is_what_the_study_says_of_the_same_ticks(advice: Advice) -> None:
    proposal = advice.best(Limits(budget=5000.0))
    result = advice.study.plan(proposal.keys)
    assert proposal.saving == pytest.approx(result.saved, rel=1e-9)
    assert proposal.cost == pytest.approx(result.cost.likely, rel=1e-9)
    assert proposal.net_savings == pytest.approx(result.net_savings, rel=1e-9)
    assert proposal.co2 == pytest.approx(result.before.co2 - result.after.co2, rel=1e-9)


@both
@pytest.mark.parametrize("budget", [300.0, 1500.0, 6000.0])
def test_no_single_change_within_the_budget_is_better_and_greedy_never_is(
    advice: Advice, budget: float
) -> None:
    study = advice.study
    best = advice.best(Limits(budget=budget))
    assert best.cost <= budget
    beside = table_of(study, study.mask(best.keys) ^ np.eye(len(study.keys), dtype=bool))
    fine = beside.allowed & (beside.cost <= budget)
    assert best.net_savings >= beside.net_savings[fine].max() - 1e-6
    chosen = np.zeros(len(study.keys), dtype=bool)
    while True:
        now, more = (
            table_of(study, chosen[None]),
            table_of(study, chosen | np.eye(len(chosen), dtype=bool)),
        )
        gain = (more.net_savings - now.net_savings[0]) / np.maximum(more.cost - now.cost[0], 1.0)
        fits = more.allowed & (more.cost <= budget) & (gain > 1e-9)
        if not fits.any():
            break
        chosen = more.masks[int(np.argmax(np.where(fits, gain, -np.inf)))]
    assert best.net_savings >= now.net_savings[0] - 1e-9


@both
def test_every_aim_wins_at_what_it_aims_at(advice: Advice) -> None:
    limits = Limits(budget=4000.0)
    found = {aim: advice.best(limits, aim) for aim in AIMS if aim != "cost"}
    for aim, wanted in (("net_savings", "net_savings"), ("co2", "co2"), ("saving", "saving")):
        most = max(getattr(proposal, wanted) for proposal in found.values())
        assert getattr(found[aim], wanted) == pytest.approx(most, rel=1e-9)
    assert found["life_cycle_cost"].keys == found["net_savings"].keys


@both
def test_cheapest_set_reaches_the_saving_that_is_asked_for(advice: Advice) -> None:
    wanted = 0.6 * advice.best(Limits(budget=6000.0), "saving").saving
    cheap = advice.best(Limits(saving=wanted), "cost")
    assert cheap.saving >= wanted
    assert cheap.cost < 6000.0
    short = advice.best(Limits(payback=2.0), "saving")
    assert short.cost <= 2.0 * short.saving


@both
def test_proposals_keep_the_rules_between_measures_and_come_in_working_order(
    advice: Advice,
) -> None:
    for proposal in (*advice.frontier(), advice.best(Limits())):
        assert advice.study.case.conflict(proposal.keys) == ""
        for place, key in enumerate(proposal.keys):
            assert not set(advice.study.offer(key).measure.after) & set(proposal.keys[place:])
    saving, cost = ([getattr(p, name) for p in advice.frontier()] for name in ("saving", "cost"))
    assert saving == sorted(saving)
    assert cost == sorted(cost)
    assert len(advice.frontier()) > 8
    assert cost[0] == 0.0


def test_few_measures_are_chosen_among_exactly_and_it_is_said() -> None:
    study = WREN.study
    few = [measure_named(key) for key in study.keys[::4]]
    assert not WREN.best(Limits(budget=1000.0)).exact
    assert Advice(Study(study.as_found, measures=few)).best(Limits(budget=1000.0)).exact


@both
def test_next_steps_are_what_the_page_shows_as_worth_adding(advice: Advice) -> None:
    for ticked in ((), ("attic_insulation", "duct_mastic")):
        rows = advice.study.plan(ticked).measures
        worth = {
            key: row.net_savings
            for key, row in rows.items()
            if not row.ticked and not row.blocked_by and row.net_savings > 0
            if key not in advice.study.case.waiting([*ticked, key])
        }
        steps = advice.next_steps(ticked)
        assert {step.key: step.net_savings for step in steps} == pytest.approx(worth)
        keys = [step.key for step in steps]
        for place, key in enumerate(keys):
            assert not set(advice.study.offer(key).measure.after) & set(keys[place:])


@both
def test_regretted_is_what_the_best_part_leaves_out(advice: Advice) -> None:
    study = advice.study
    ticked = ("attic_insulation", "new_windows", "duct_mastic", "new_doors", "led_lamps")
    found = advice.regretted(ticked)
    parts = [
        study.plan([k for k, on in zip(ticked, row, strict=True) if on]) for row in all_plans(5)
    ]
    best = max(parts, key=lambda part: part.net_savings)
    assert found
    assert set(ticked) - {change.key for change in found} == set(best.ticked)
    rows = study.plan(best.ticked).measures
    for change in found:
        assert change.net_savings == pytest.approx(rows[change.key].net_savings)
        assert change.net_savings < 0
    assert [c.net_savings for c in found] == sorted(c.net_savings for c in found)
    assert advice.regretted(best.ticked) == ()


def test_what_needs_a_measure_is_regretted_and_taken_in_with_it() -> None:
    found = ALDER.study.as_found
    windows = replace(measure_named("new_windows"), needs=())
    lamps = replace(measure_named("led_lamps"), needs=("new_windows",))
    dear = Advice(Study(found, measures=[windows, lamps]))
    assert {c.key for c in dear.regretted(("new_windows", "led_lamps"))} == {
        "new_windows",
        "led_lamps",
    }
    price = replace(windows.cost, fixed=0.0, low=0.1, likely=0.1, high=0.1, minimum=0.0)
    cheap = Advice(Study(found, measures=[replace(windows, cost=price), lamps]))
    assert cheap.regretted(("new_windows", "led_lamps")) == ()
    steps = {change.key: change for change in cheap.next_steps(())}
    assert steps["led_lamps"].needs == ("new_windows",)
    both_done = cheap.study.plan(("new_windows", "led_lamps"))
    assert steps["led_lamps"].net_savings == pytest.approx(both_done.net_savings)
    assert steps["new_windows"].needs == ()


@both
def test_ticked_set_lies_on_the_frontier_or_below(advice: Advice) -> None:
    for ticked in (
        ("new_windows", "standby_strips"),
        advice.best(Limits(budget=3000.0), "saving").keys,
    ):
        result = advice.study.plan(ticked)
        most = max(p.saving for p in advice.frontier(ticked) if p.cost <= result.cost.likely + 1e-6)
        assert most >= result.saved - 1e-6


@both
def test_best_of_eighteen_measures_equals_brute_force(advice: Advice) -> None:
    study = advice.study
    wanted = [*study.keys[::4], *study.keys[1::8]][:18]
    few = Advice(
        Study(study.as_found, measures=[measure_named(key) for key in study.keys if key in wanted])
    )
    count = len(few.study.keys)
    assert count == 18
    masks = (np.arange(2**count)[:, None] >> np.arange(count) & 1).astype(bool)
    sets = table_of(few.study, masks)
    for budget in (300.0, 1200.0, 4000.0):
        fine = sets.allowed & (sets.cost <= budget)
        best = few.best(Limits(budget=budget))
        assert not best.exact
        assert best.net_savings == pytest.approx(sets.net_savings[fine].max(), rel=1e-9)


@both
def test_plan_spends_no_more_than_there_is_and_ends_with_the_set(advice: Advice) -> None:
    chosen = advice.best(Limits(budget=1500.0)).keys
    years = advice.over_years(chosen, [600.0] * 5).years
    spent = np.cumsum([year.spent for year in years])
    assert (spent <= 600.0 * np.arange(1, 6) + 1e-6).all()
    assert {key for year in years for key in year.keys} == set(chosen)
    assert years[-1].saving == pytest.approx(advice.study.plan(chosen).saved, rel=1e-9)


@both
def test_plan_of_many_measures_starts_with_the_cheap_ones(advice: Advice) -> None:
    chosen = advice.best(Limits(budget=20_000.0), "saving").keys
    assert len(chosen) > 20
    years = advice.over_years(chosen, [3000.0] * 8).years
    assert {key for year in years for key in year.keys} == set(chosen)
    assert years[-1].saving == pytest.approx(advice.study.plan(chosen).saved, rel=1e-9)
    done: list[str] = []
    for year in years:
        for key in year.keys:
            assert not set(advice.study.offer(key).measure.after) & (
                set(chosen) - {*done, *year.keys}
            )
        done += year.keys


def test_house_that_no_measure_fits_gets_an_empty_proposal() -> None:
    nothing = Advice(Study(example("wren_cottage").as_found, measures=()))
    assert nothing.best(Limits(budget=1000.0)).keys == ()


def test_impossible_wishes_are_told() -> None:
    with pytest.raises(ChoiceError, match=r"at most .* can be saved within the budget"):
        ALDER.best(Limits(budget=500.0, saving=100_000.0))


@both
def test_range_as_worked_out_holds_the_point_value_and_real_houses_save_less(
    advice: Advice,
) -> None:
    ticked = ("attic_insulation", "duct_mastic", "night_setback")
    sure = advice.how_sure(ticked, worked_out=True)
    point = advice.study.plan(ticked).saved
    assert sure.outcome.saving.low < point < sure.outcome.saving.high
    assert 0.0 <= sure.outcome.pays_back <= 1.0
    assert len(sure.to_measure) == 2
    real = advice.how_sure(ticked)
    assert real.outcome.saving.middle < 0.85 * sure.outcome.saving.middle
    assert real.outcome.saving.low < sure.outcome.saving.low


def test_rebates_reach_proposals_ranges_and_the_years() -> None:
    study = ALDER.study
    rebates = (Rebate(name="utility", percent=50.0, cap=400.0),)
    advice = Advice(Study(study.as_found, terms=MoneyTerms(rebates=rebates)))
    proposal = advice.best(Limits(budget=2000.0))
    result = advice.study.plan(proposal.keys)
    assert proposal.cost == pytest.approx(result.cost.likely, rel=1e-9)
    assert proposal.net_savings == pytest.approx(result.net_savings, rel=1e-9)
    assert proposal.net_savings > ALDER.best(Limits(budget=2000.0)).net_savings
    assert advice.balance_by_year(proposal.keys)[0] == pytest.approx(-result.cost.likely)
    ticked = ("attic_insulation", "duct_mastic")
    full, left = (a.how_sure(ticked).outcome for a in (ALDER, advice))
    assert full.cost.middle - left.cost.middle == pytest.approx(400.0)
    assert left.pays_back >= full.pays_back


def test_the_choice_between_models_of_natural_air_is_a_doubt_of_its_own() -> None:
    sealing = "window_weatherstrip"
    sure = ALDER.how_sure([sealing], worked_out=True)
    weights = ALDER.draws.numbers["site.air_model"]
    assert 0.0 <= weights.min() < 0.1
    assert 0.5 < weights.max() <= 1.0
    low, high = (
        ALDER.outcome([sealing], worked_out=True).savings[chosen[:, 0]].mean()
        for chosen in (weights < 0.15, weights > 0.4)
    )
    assert high > 1.05 * low
    assert 0.05 <= sure.air_share < 1.0
    assert all(found.cause != "site.air_model" for found in sure.to_measure)
    lamps = next(k for k in ALDER.study.keys if k.startswith("led"))
    assert ALDER.how_sure([lamps], worked_out=True).air_share == 0.0


@both
def test_plan_with_money_in_hand_does_all_that_was_chosen_at_once(advice: Advice) -> None:
    chosen = [key for key in advice.study.keys if not advice.study.case.rivals[key]][-12:]
    plan = advice.over_years(chosen, [80_000.0, *[0.0] * 9])
    assert set(plan.years[0].keys) == set(chosen)
    assert not plan.not_reached
    assert set(plan.costs_more) == {change.key for change in advice.regretted(chosen)}


@both
def test_plan_names_what_the_money_is_kept_for(advice: Advice) -> None:
    dear = max(advice.study.keys, key=lambda key: advice.study.offer(key).cost_likely)
    need = float(advice.over_years([dear], [1e6]).years[0].spent)
    years = advice.over_years([dear], [need / 2.5] * 3).years
    assert [year.saving_for for year in years] == [dear, dear, ""]
    assert years[0].to_go == pytest.approx(need - need / 2.5)
    assert years[1].to_go == pytest.approx(need - 2 * need / 2.5)
    assert advice.over_years([dear], [need / 2.5] * 2).not_reached == (dear,)
