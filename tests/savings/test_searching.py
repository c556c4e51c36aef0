"""Searched sets: as good as looking at every one wherever that can be done, within every limit and rule."""

from functools import cache

import numpy as np
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st
from pairwise_estimate import Pairwise, best_set_estimated

from retrofit_lab.savings.choosing import AIMS, ChoiceError, Limits, Sets, best_set, scores, within
from retrofit_lab.savings.combinations import all_plans, plan_number
from retrofit_lab.savings.searching import Choice, best_found, choice_of, gathered
from retrofit_lab.study.plan_tables import Chooser, table_of

HOUSES = ("alder_street", "wren_cottage")
MAY_MISS = 0.02
"""How far below the best a searched set may lie: in 1,008 trials two were missed, by 1.1 % at most. [1]"""
seeds = st.integers(0, 2**31)


def made_up(count: int, seed: int, *, every: bool = True) -> tuple[Choice, Sets]:
    """Measures that overlap, with rivals and needs, and every set of them, or only the empty one."""
    rng = np.random.default_rng(seed)
    share, prices = rng.uniform(0.0, 0.4, count), rng.uniform(0, 900, count).round()
    own, carbon = rng.uniform(-20, 40, count), rng.uniform(0, 300, count)
    rivals, needed = np.zeros((2, count, count), dtype=bool)
    rivals[0, 1] = rivals[2, 3] = True
    needed[4, 1] = needed[5, 4] = True
    worth = rng.uniform(3, 12)

    def work_out(masks: np.ndarray) -> Sets:
        saving = 2000.0 * (1.0 - np.where(masks, 1.0 - share, 1.0).prod(axis=1)) - masks @ own
        broken = (masks[:, :, None] & masks[:, None, :] & rivals).any(axis=(1, 2))
        broken |= (masks[:, :, None] & needed & ~masks[:, None, :]).any(axis=(1, 2))
        return Sets(
            masks=masks, cost=masks @ prices, saving=saving, co2=saving * 3.0 + masks @ carbon,
            net_savings=saving * worth - masks @ prices, allowed=~broken,
        )  # fmt: skip

    choice = choice_of(prices, rivals, needed, work_out, lambda masks: masks @ prices)
    return choice, work_out(all_plans(count) if every else np.zeros((1, count), dtype=bool))


@given(seeds, st.sampled_from(sorted(AIMS)), st.integers(6, 11))
@settings(deadline=None, max_examples=60)
def test_search_is_as_good_as_every_set_within_limits_and_rules(
    seed: int, aim: str, count: int
) -> None:
    choice, every = made_up(count, seed)
    known = gathered(choice)
    assert known.allowed.all()
    rng = np.random.default_rng(seed + 1)
    limits = Limits(
        budget=float(rng.uniform(0, every.cost.max())), payback=float(rng.uniform(2, 30))
    )
    found = best_found(choice, known, limits, aim)
    assert within(found, limits).all()
    best = scores(every, aim)[best_set(every, limits, aim)]
    assert scores(found, aim)[0] >= best - MAY_MISS * abs(best) - 1e-6
    again = every.rows(plan_number(found.masks))
    assert scores(again, aim)[0] == pytest.approx(scores(found, aim)[0])


@given(seeds)
@settings(deadline=None, max_examples=30)
def test_what_a_measure_needs_comes_with_it_and_what_it_excludes_goes(seed: int) -> None:
    choice, every = made_up(8, seed)
    rng = np.random.default_rng(seed)
    masks = every.masks[every.allowed]
    measures = rng.integers(0, 8, len(masks))
    taken = choice.with_each(masks, measures)
    assert taken[np.arange(len(masks)), measures].all()
    assert choice.work_out(taken).allowed.all()


def test_limits_that_nothing_keeps_are_told() -> None:
    choice, _ = made_up(8, 1)
    with pytest.raises(ChoiceError, match="at most"):
        best_found(choice, gathered(choice), Limits(budget=100.0, saving=1e6))


@pytest.mark.parametrize(
    ("name", "aim", "budget"),
    [
        ("alder_street", "co2", 6000.0),
        ("alder_street", "net_savings", 800.0),
        ("wren_cottage", "net_savings", 6000.0),
        ("wren_cottage", "co2", 800.0),
    ],
)
def test_search_among_all_measures_is_no_worse_than_a_mixed_integer_solver(
    name: str, aim: str, budget: float
) -> None:
    study, limits, chooser = example(name), Limits(budget=budget), chooser_of(name)
    assert not chooser.exact
    found = chooser.best(limits, aim)
    solved = table_of(study, best_set_estimated(pairwise(name), limits, aim)[None])
    assert solved.allowed.all()
    assert scores(solved, aim)[0] > 0.9 * scores(found, aim)[0]
    assert scores(found, aim)[0] >= scores(solved, aim)[0] - 1e-6


@cache
def chooser_of(name: str) -> Chooser:
    study = example(name)
    return Chooser(study, study.keys)


@cache
def pairwise(name: str) -> Pairwise:
    """Every measure of a house by itself and what each pair brings beyond its two, to five dollars."""
    study = example(name)
    count, one = len(study.keys), np.eye(len(study.keys), dtype=bool)
    first, second = np.triu_indices(count, 1)
    singles, both = table_of(study, one), table_of(study, one[first] | one[second])
    alone, together = (np.column_stack([t.net_savings, t.saving, t.co2]) for t in (singles, both))
    beyond = np.zeros((count, count, 3))
    beyond[first, second] = together - alone[first] - alone[second]
    beyond[np.abs(beyond).max(axis=-1) < 5.0] = 0.0
    rivals = first[~both.allowed], second[~both.allowed]
    return Pairwise(
        cost=study.money.costs[1], alone=alone, beyond=beyond,
        excludes=tuple((int(i), int(j)) for i, j in zip(*rivals, strict=True)),
    )  # fmt: skip


@pytest.mark.parametrize("name", HOUSES)
def test_search_misses_little_of_what_every_set_of_twelve_measures_holds(name: str) -> None:
    study, rng = example(name), np.random.default_rng(11)
    keys = tuple(np.array(study.keys)[np.sort(rng.choice(len(study.keys), 12, replace=False))])
    chooser = Chooser(study, keys)
    assert chooser.exact
    known = gathered(chooser.choice)
    for aim in ("net_savings", "co2", "saving"):
        for budget in np.geomspace(100.0, 0.9 * chooser.choice.prices.sum(), 3).tolist():
            limits = Limits(budget=budget)
            found = best_found(chooser.choice, known, limits, aim)
            best = scores(chooser.best(limits, aim), aim)[0]
            assert scores(found, aim)[0] >= best - MAY_MISS * abs(best)
