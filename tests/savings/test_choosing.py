"""Choices: equal to looking at every set, never worse than taking the best ratio first, and in working order."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.savings.choosing import (
    ChoiceError,
    Limits,
    Sets,
    best_set,
    frontier,
    in_working_order,
    within,
)
from retrofit_lab.savings.combinations import all_plans

seeds = st.integers(0, 2**31)


def random_sets(n: int, seed: int) -> Sets:
    """A game in which measures overlap and some sets are forbidden."""
    rng = np.random.default_rng(seed)
    masks = all_plans(n)
    share, price = rng.uniform(0.0, 0.4, n), rng.uniform(50, 900, n)
    saving = 2000.0 * (1.0 - np.where(masks, 1.0 - share, 1.0).prod(axis=1))
    saving -= masks @ rng.uniform(0, 40, n)
    cost = masks @ price
    allowed = rng.random(2**n) < 0.8
    allowed[0] = True
    return Sets(
        masks=masks,
        cost=cost,
        saving=saving,
        net_savings=saving * rng.uniform(3, 12) - cost,
        co2=saving * rng.uniform(2, 5) + masks @ rng.uniform(0, 300, n),
        allowed=allowed,
    )


def independent(costs: list[float], worths: list[float]) -> Sets:
    masks = all_plans(len(costs))
    cost, worth = masks @ np.array(costs), masks @ np.array(worths)
    return Sets(
        masks=masks,
        cost=cost,
        net_savings=worth - cost,
        saving=worth / 10.0,
        co2=worth,
        allowed=np.ones(len(cost), dtype=bool),
    )


def greedy(sets: Sets, budget: float) -> int:
    """Best ratio first, as long as it helps and fits."""
    number = 0
    while True:
        more = [number | 1 << i for i in range(sets.count) if not number >> i & 1]
        gain = {one: sets.net_savings[one] - sets.net_savings[number] for one in more}
        fitting = [
            one for one in more if sets.allowed[one] and gain[one] > 0 and sets.cost[one] <= budget
        ]
        if not fitting:
            return number
        number = max(fitting, key=lambda one: gain[one] / (sets.cost[one] - sets.cost[number]))


THREE = independent([600.0, 500.0, 500.0], [900.0, 700.0, 690.0])


def test_ratio_first_is_not_the_most_net_savings() -> None:
    assert THREE.net_savings[greedy(THREE, 1000.0)] == pytest.approx(300.0)
    best = best_set(THREE, Limits(budget=1000.0))
    assert best == 0b110
    assert THREE.net_savings[best] == pytest.approx(390.0)


@given(seeds, st.integers(1, 6), st.sampled_from(["net_savings", "life_cycle_cost", "co2", "cost"]))
@settings(deadline=None, max_examples=80)
def test_best_set_equals_looking_at_each(seed: int, n: int, aim: str) -> None:
    sets = random_sets(n, seed)
    rng = np.random.default_rng(seed + 1)
    limits = Limits(
        budget=float(rng.uniform(0, sets.cost.max())),
        payback=float(rng.uniform(0.3, 4)),
        saving=float(rng.uniform(-100, 300)),
    )
    worth = {"net_savings": sets.net_savings, "life_cycle_cost": sets.net_savings}
    worth |= {"co2": sets.co2, "cost": -sets.cost}
    best = None
    for number in range(2**n):
        fine = sets.allowed[number] and sets.cost[number] <= limits.budget
        fine = fine and sets.saving[number] >= limits.saving
        fine = fine and sets.cost[number] <= limits.payback * sets.saving[number]
        if fine and (best is None or worth[aim][number] > worth[aim][best]):
            best = number
    if best is None:
        with pytest.raises(ChoiceError):
            best_set(sets, limits, aim)
    else:
        assert worth[aim][best_set(sets, limits, aim)] == pytest.approx(worth[aim][best])


@given(seeds, st.integers(1, 7), st.floats(0, 3000))
@settings(deadline=None, max_examples=50)
def test_best_set_is_never_worse_than_greedy(seed: int, n: int, budget: float) -> None:
    sets = random_sets(n, seed)
    best = best_set(sets, Limits(budget=budget))
    assert sets.cost[best] <= budget * (1 + 1e-9)
    assert sets.net_savings[best] >= sets.net_savings[greedy(sets, budget)] - 1e-6


def test_greedy_is_as_good_where_the_budget_does_not_bind() -> None:
    limits = Limits(budget=5000.0)
    assert best_set(THREE, limits) == greedy(THREE, 5000.0) == 0b111


def test_among_equals_the_cheapest_then_the_fewest() -> None:
    sets = independent([0.0, 100.0, 0.0], [0.0, 100.0, 50.0])
    assert best_set(sets, Limits()) == 0b100


def test_monthly_payment_is_a_budget_by_way_of_the_loan() -> None:
    limits = Limits(monthly_payment=11.0, payment_per_dollar=0.02)
    assert limits.most_cost == pytest.approx(550.0)
    assert best_set(THREE, limits) == 0b010
    assert not within(THREE, limits)[0b001]


def test_target_saving_at_least_cost() -> None:
    number = best_set(THREE, Limits(saving=130.0), aim="cost")
    assert THREE.cost[number] == pytest.approx(1000.0)
    assert THREE.saving[number] >= 130.0


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        (Limits(saving=500.0), r"asked for is 500 .* at most 229 can be saved"),
        (Limits(saving=100.0, payback=3.0), "payback of 3 years"),
    ],
)
def test_limits_that_no_set_keeps_say_what_to_do(limits: Limits, words: str) -> None:
    with pytest.raises(ChoiceError, match=words):
        best_set(THREE, limits)


def test_impossible_limits_and_unknown_aims_are_refused() -> None:
    with pytest.raises(ChoiceError, match=r"budget is -1; must be 0 or above"):
        Limits(budget=-1.0)
    with pytest.raises(ChoiceError, match="payback is nan"):
        Limits(payback=float("nan"))
    with pytest.raises(ChoiceError, match="needs the payment for each dollar"):
        Limits(monthly_payment=50.0)
    with pytest.raises(ChoiceError, match=r"aim 'fame' is unknown; use one of net_savings"):
        best_set(THREE, Limits(), aim="fame")


@given(seeds, st.integers(1, 6))
@settings(deadline=None, max_examples=50)
def test_frontier_is_what_nothing_cheaper_beats(seed: int, n: int) -> None:
    sets = random_sets(n, seed)
    on = set(frontier(sets).tolist())
    for number in np.flatnonzero(sets.allowed):
        beaten = sets.allowed & (sets.cost <= sets.cost[number])
        beaten &= sets.saving >= sets.saving[number]
        strictly = (sets.cost < sets.cost[number]) | (sets.saving > sets.saving[number])
        assert (number in on) == (not (beaten & strictly).any())
    assert (np.diff(sets.cost[frontier(sets)]) >= 0).all()


def test_rows_and_joined_tables_keep_their_columns_together() -> None:
    some = THREE.rows([6, 2])
    both = some.joined(THREE.rows([1]))
    assert both.cost.tolist() == THREE.cost[[6, 2, 1]].tolist()
    assert both.masks.tolist() == THREE.masks[[6, 2, 1]].tolist()
    assert both.count == 3


@given(st.permutations(range(5)))
@settings(deadline=None, max_examples=40)
def test_working_order_keeps_every_rule(measures: list[int]) -> None:
    after = [(1,), (2, 3), (), (), ()]
    order = in_working_order(measures, after)
    assert sorted(order) == list(range(5))
    for i, earlier in enumerate(after):
        assert all(order.index(e) < order.index(i) for e in earlier)


def test_rules_in_a_circle_are_refused() -> None:
    with pytest.raises(ChoiceError, match="come after another of them"):
        in_working_order([0, 1], [(1,), (0,)])
