"""Advice on the example houses: best sets, next steps, plans and ranges agree with the study they advise on."""

import numpy as np
import pytest
from examples import example

from retrofit_lab.advice import Advice
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.stacks.choosing import ChoiceError, Limits
from retrofit_lab.study import Study

ALDER = Advice(example("alder_street"))
WREN = Advice(example("wren_cottage"))
both = pytest.mark.parametrize("advice", [ALDER, WREN], ids=["alder", "wren"])


@both
def test_proposal_is_what_the_study_says_of_the_same_ticks(advice: Advice) -> None:
    proposal = advice.best(Limits(budget=5000.0))
    result = advice.study.stack(proposal.keys)
    assert proposal.saving == pytest.approx(result.saved, rel=1e-9)
    assert proposal.cost == pytest.approx(result.cost.likely, rel=1e-9)
    assert proposal.net_savings == pytest.approx(result.net_savings, rel=1e-9)
    assert proposal.co2 == pytest.approx(result.before.co2 - result.after.co2, rel=1e-9)


@both
@pytest.mark.parametrize("budget", [300.0, 1500.0, 6000.0])
def test_nothing_within_the_budget_is_better_and_greedy_never_is(
    advice: Advice, budget: float
) -> None:
    sets = advice.sets
    best = advice.best(Limits(budget=budget))
    fine = sets.allowed & (sets.cost <= budget)
    assert best.net_savings == pytest.approx(sets.net_savings[fine].max())
    chosen, left = 0, budget
    while True:
        steps = [
            i for i in range(sets.count)
            if not chosen >> i & 1 and sets.allowed[chosen | 1 << i]
            and sets.cost[chosen | 1 << i] <= budget
            and sets.net_savings[chosen | 1 << i] > sets.net_savings[chosen]
        ]  # fmt: skip
        if not steps:
            break
        gain = {i: sets.net_savings[chosen | 1 << i] - sets.net_savings[chosen] for i in steps}
        chosen |= 1 << max(steps, key=lambda i: gain[i] / max(sets.cost[1 << i], 1.0))
    assert sets.cost[chosen] <= left
    assert best.net_savings >= sets.net_savings[chosen] - 1e-9


@both
def test_proposals_keep_the_rules_between_measures(advice: Advice) -> None:
    for proposal in advice.frontier():
        assert advice.study.conflict(proposal.keys) == ""
    saving = [p.saving for p in advice.frontier()]
    assert saving == sorted(saving)


def test_what_is_left_out_is_named() -> None:
    assert len(ALDER.looked_at) == 16
    assert set(ALDER.looked_at) | set(ALDER.left_out) == set(ALDER.study.keys)


@both
def test_next_step_is_the_one_that_the_page_shows_as_worth_most(advice: Advice) -> None:
    first = advice.next_steps(())[0]
    alone = advice.study.stack(()).measures
    assert alone[first].net_savings == pytest.approx(
        max(alone[key].net_savings for key in advice.looked_at)
    )


@both
def test_plan_spends_no_more_than_there_is_and_ends_with_the_set(advice: Advice) -> None:
    chosen = advice.best(Limits(budget=4000.0)).keys
    years = advice.plan(chosen, [1000.0] * 5)
    spent = np.cumsum([year.spent for year in years])
    assert (spent <= 1000.0 * np.arange(1, 6) + 1e-6).all()
    assert {key for year in years for key in year.keys} <= set(chosen)
    assert years[-1].saving == pytest.approx(advice.study.stack(chosen).saved, rel=1e-9)


def test_impossible_wishes_are_told() -> None:
    with pytest.raises(ChoiceError, match=r"at most .* can be saved within the budget"):
        ALDER.best(Limits(budget=500.0, saving=100_000.0))


@both
def test_range_holds_the_point_value_and_realistic_is_less(advice: Advice) -> None:
    ticked = ("attic_insulation", "duct_mastic", "night_setback")
    sure = advice.how_sure(ticked)
    point = advice.study.stack(ticked).saved
    assert sure.outcome.saving.low < point < sure.outcome.saving.high
    assert 0.0 <= sure.outcome.pays_back <= 1.0
    assert len(sure.to_measure) == 2
    real = advice.how_sure(ticked, realistic=True)
    assert real.outcome.saving.middle < 0.85 * sure.outcome.saving.middle


def test_rebates_reach_proposals_ranges_and_the_years() -> None:
    study = ALDER.study
    rebates = (Rebate(name="utility", percent=50.0, cap=400.0),)
    advice = Advice(Study(study.as_found, terms=MoneyTerms(rebates=rebates)))
    proposal = advice.best(Limits(budget=2000.0))
    result = advice.study.stack(proposal.keys)
    assert proposal.cost == pytest.approx(result.cost.likely, rel=1e-9)
    assert proposal.net_savings == pytest.approx(result.net_savings, rel=1e-9)
    assert proposal.net_savings > ALDER.best(Limits(budget=2000.0)).net_savings
    assert advice.balance_by_year(proposal.keys)[0] == pytest.approx(-result.cost.likely)
    ticked = ("attic_insulation", "duct_mastic")
    full, left = (a.how_sure(ticked).outcome for a in (ALDER, advice))
    assert full.cost.middle - left.cost.middle == pytest.approx(400.0)
    assert left.pays_back >= full.pays_back
