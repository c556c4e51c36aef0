"""Rebates: never above the cost, never for what is not bought, and by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.rebates import Rebate, rebated
from retrofit_lab.savings.combinations import all_plans

KEYS = ("attic", "ducts", "lamps")
PRICES = np.array([1500.0, 600.0, 60.0])


def entries():
    return st.builds(
        Rebate,
        name=st.just("utility"),
        amount=st.floats(1, 5000),
        percent=st.just(0.0) | st.floats(1, 100),
        cap=st.floats(1, 5000),
        measures=st.lists(st.sampled_from(KEYS), unique=True).map(tuple),
    )


@given(st.lists(entries(), max_size=4))
@settings(deadline=None, max_examples=60)
def test_never_above_the_cost_and_sums_agree_for_every_set(rebates: list[Rebate]) -> None:
    costs = all_plans(3) * PRICES
    result = rebated(KEYS, costs, rebates)
    assert (result.left >= 0).all()
    assert (result.left <= costs).all()
    assert result.given.sum(axis=0) + result.left.sum(axis=1) == pytest.approx(costs.sum(axis=1))
    for rebate, given_ in zip(rebates, result.given, strict=True):
        assert (given_ <= rebate.cap).all()


@given(st.lists(entries(), max_size=4), st.integers(0, 7))
@settings(deadline=None, max_examples=30)
def test_one_set_equals_its_row_among_all(rebates: list[Rebate], number: int) -> None:
    costs = all_plans(3) * PRICES
    one = rebated(KEYS, costs[number], rebates)
    assert one.left == pytest.approx(rebated(KEYS, costs, rebates).left[number])


def test_credit_comes_off_what_the_utility_left() -> None:
    utility = Rebate(name="utility", amount=500.0, measures=("attic", "ducts"))
    credit = Rebate(name="tax credit", percent=30.0, cap=1200.0, measures=("attic",))
    result = rebated(KEYS, PRICES, [utility, credit])
    assert result.given == pytest.approx([500.0, 0.3 * (1500 - 500 * 1500 / 2100)])
    assert result.left[2] == 60.0
    lamps_only = rebated(KEYS, np.array([0.0, 0.0, 60.0]), [utility, credit])
    assert lamps_only.given == pytest.approx([0.0, 0.0])


def test_amount_above_the_cost_leaves_nothing_to_pay() -> None:
    result = rebated(KEYS, PRICES, [Rebate(name="gift", amount=5000.0)])
    assert result.left == pytest.approx(np.zeros(3))
    assert result.given == pytest.approx([2160.0])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"name": " "}, "it has no name"),
        ({"amount": -5.0}, r"'utility': amount is -5; must be 0 or above"),
        ({"amount": float("nan")}, "amount is nan"),
        ({"percent": 130.0}, r"percent is 130; must be 0 to 100"),
        ({"amount": 0.0}, "both 0"),
        ({"cap": 0.0}, "cap is 0; must be above 0"),
    ],
)
def test_impossible_entries_are_refused(change: dict[str, object], words: str) -> None:
    usual: dict[str, object] = {"name": "utility", "amount": 100.0}
    with pytest.raises(MoneyError, match=words):
        Rebate(**{**usual, **change})  # type: ignore[arg-type]


def test_unknown_measure_is_refused_with_the_known_ones() -> None:
    with pytest.raises(MoneyError, match=r"no measure 'roof'.*attic, ducts, lamps"):
        rebated(KEYS, PRICES, [Rebate(name="utility", amount=1.0, measures=("roof",))])
