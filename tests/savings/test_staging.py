"""Plans over years: the best of all plans, within each year's money and rules."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.savings.choosing import ChoiceError, Sets
from retrofit_lab.savings.combinations import all_plans, allowed
from retrofit_lab.savings.staging import Plan, staged_plan, usefulness

RATE = 0.04
AFTER = [(), (0,), (), (1, 2)]


def sets_of(seed: int, n: int, needs: dict[str, tuple[str, ...]] | None = None) -> Sets:
    rng = np.random.default_rng(seed)
    masks = all_plans(n)
    saving = 2000.0 * (1.0 - np.where(masks, 1.0 - rng.uniform(0, 0.4, n), 1.0).prod(axis=1))
    cost = masks @ rng.uniform(50, 900, n)
    keys = [str(i) for i in range(n)]
    return Sets(
        masks=masks,
        cost=cost,
        saving=saving,
        net_savings=saving * rng.uniform(3, 12) - cost,
        co2=saving,
        allowed=allowed(masks, keys, {}, needs or {}),
    )


def worth_of(sets: Sets, path: tuple[int, ...], chosen: int) -> float:
    """Yearly saving of each step from its own year on, at its worth today."""
    gains = np.diff(usefulness(sets, chosen)[list(path)])
    return float(sum(g * (1 + RATE) ** -y for y, g in enumerate(gains)))


def keeps_order(path: tuple[int, ...]) -> bool:
    """Nothing is added in a later year than what should come after it."""
    for old, new in itertools.pairwise(path):
        for later, earlier in enumerate(AFTER):
            if old >> later & 1 and any((new & ~old) >> i & 1 for i in earlier):
                return False
    return True


def every_staging(sets: Sets, chosen: int, budgets: list[float]):
    money = list(itertools.accumulate(budgets))
    for path in itertools.product(range(len(sets.cost)), repeat=len(budgets)):
        whole = (0, *path)
        if (
            all(old & ~new == 0 for old, new in itertools.pairwise(whole))
            and all(
                s & ~chosen == 0 and sets.allowed[s] and sets.cost[s] <= m * (1 + 1e-9)
                for s, m in zip(path, money, strict=True)
            )
            and keeps_order(whole)
        ):
            yield whole


def path_of(plan: Plan) -> tuple[int, ...]:
    path = [0]
    for stage in plan.stages:
        path.append(path[-1] | sum(1 << i for i in stage.added))
    return tuple(path)


budget_lists = st.lists(st.sampled_from([0.0, 200.0, 500.0, 1200.0]), min_size=1, max_size=3)


@given(st.integers(0, 2**31), budget_lists, st.integers(0, 15), st.booleans())
@settings(deadline=None, max_examples=60)
def test_plan_is_the_best_of_all_plans(
    seed: int, budgets: list[float], chosen: int, needed: bool
) -> None:
    sets = sets_of(seed, 4, {"3": ("0",)} if needed else None)
    if not sets.allowed[chosen]:
        with pytest.raises(ChoiceError, match="cannot all go together"):
            staged_plan(sets, chosen, budgets, AFTER, RATE)
        return
    plan = staged_plan(sets, chosen, budgets, AFTER, RATE)
    plans = list(every_staging(sets, chosen, budgets))
    assert path_of(plan) in plans
    if any(path[-1] == chosen for path in plans):
        plans = [path for path in plans if path[-1] == chosen]
        assert not plan.not_reached
    best = max(worth_of(sets, path, chosen) for path in plans)
    assert worth_of(sets, path_of(plan), chosen) == pytest.approx(best, abs=1e-6)
    gains = np.diff(sets.net_savings[list(path_of(plan))])
    assert plan.net_savings == pytest.approx(float(gains @ (1 + RATE) ** -np.arange(len(gains))))


@given(st.integers(0, 2**31), budget_lists)
@settings(deadline=None, max_examples=40)
def test_money_adds_up_and_is_carried_forward(seed: int, budgets: list[float]) -> None:
    sets = sets_of(seed, 4)
    plan = staged_plan(sets, 15, budgets, AFTER, RATE)
    left = 0.0
    for stage, budget in zip(plan.stages, budgets, strict=True):
        assert stage.spent <= left + budget + 1e-6
        left = left + budget - stage.spent
        assert stage.left == pytest.approx(left, abs=1e-6)
        assert stage.saving == pytest.approx(sets.saving[path_of(plan)[stage.year]])
    done = {i for stage in plan.stages for i in stage.added}
    assert done | set(plan.not_reached) == {0, 1, 2, 3}
    assert not done & set(plan.not_reached)


def two(costs: tuple[float, float], worths: tuple[float, float]) -> Sets:
    masks = all_plans(2)
    cost, worth = masks @ np.array(costs), masks @ np.array(worths)
    ones = np.ones(4, dtype=bool)
    return Sets(
        masks=masks, cost=cost, net_savings=worth - cost, saving=worth / 10, co2=worth, allowed=ones
    )


def test_money_is_saved_up_for_what_must_come_first() -> None:
    sets = two((900.0, 100.0), (2000.0, 150.0))
    free = staged_plan(sets, 3, [500.0, 500.0])
    assert [stage.added for stage in free.stages] == [(1,), (0,)]
    bound = staged_plan(sets, 3, [500.0, 500.0], after=[(), (0,)])
    assert [stage.added for stage in bound.stages] == [(), (0, 1)]
    assert bound.stages[0].left == 500.0


def test_nothing_waits_without_a_reason_even_at_rate_zero() -> None:
    plan = staged_plan(two((100.0, 100.0), (200.0, 150.0)), 3, [200.0, 200.0, 200.0], rate=0.0)
    assert [stage.added for stage in plan.stages] == [(0, 1), (), ()]


def test_what_costs_more_than_it_saves_is_done_as_soon_as_it_can_be_paid() -> None:
    plan = staged_plan(two((100.0, 100.0), (200.0, 20.0)), 3, [200.0, 0.0, 0.0])
    assert [stage.added for stage in plan.stages] == [(0, 1), (), ()]
    plan = staged_plan(two((100.0, 100.0), (200.0, 20.0)), 3, [100.0, 100.0])
    assert [stage.added for stage in plan.stages] == [(0,), (1,)]


def test_what_raises_the_bills_is_done_as_soon_as_it_can_be_paid() -> None:
    plan = staged_plan(two((100.0, 100.0), (200.0, -50.0)), 3, [200.0, 0.0, 0.0])
    assert [stage.added for stage in plan.stages] == [(0, 1), (), ()]


def test_too_little_money_names_what_is_not_reached() -> None:
    plan = staged_plan(two((100.0, 900.0), (200.0, 2000.0)), 3, [100.0, 100.0])
    assert plan.not_reached == (1,)
    assert plan.stages[-1].left == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("budgets", "words"),
    [([], "the plan has 0 years"), ([100.0, -5.0], r"budget of year 2 is -5; must be 0 or above")],
)
def test_impossible_budgets_are_refused(budgets: list[float], words: str) -> None:
    with pytest.raises(ChoiceError, match=words):
        staged_plan(two((1.0, 1.0), (2.0, 2.0)), 3, budgets)


def test_rules_in_a_circle_are_refused() -> None:
    with pytest.raises(ChoiceError, match="come after another"):
        staged_plan(two((1.0, 1.0), (2.0, 2.0)), 3, [10.0], after=[(1,), (0,)])
