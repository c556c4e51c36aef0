"""Purchases: with rebates and shared visits every set costs no less than its parts, and single costs are differences of sets."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money.purchase import Purchases, Visit
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.savings.combinations import all_plans

KEYS = ("attic", "ducts", "lamps")
LIVES = np.array([25.0, 15.0, 8.0])
PRICES = st.lists(st.just(0.0) | st.floats(200, 5000), min_size=3, max_size=3).map(np.array)
REBATES = st.lists(
    st.builds(
        Rebate,
        name=st.just("utility"),
        amount=st.floats(1, 3000),
        percent=st.just(0.0) | st.floats(1, 100),
        cap=st.floats(1, 3000),
        measures=st.lists(st.sampled_from(KEYS), unique=True).map(tuple),
    ),
    max_size=4,
)


CREW = Visit(measures=("attic", "ducts"), setups=(200.0, 150.0))


def purchases(rebates: list[Rebate], *visits: Visit) -> Purchases:
    terms = MoneyTerms(rebates=tuple(rebates))
    return Purchases(keys=KEYS, lives=LIVES, terms=terms, visits=visits)


@given(REBATES, PRICES)
@settings(deadline=None, max_examples=80)
def test_no_set_costs_less_than_a_part_of_it(rebates: list[Rebate], prices) -> None:
    """By rebates or by shared visits alone; together a rebate may be more than the little that a job adds."""
    for made in (purchases(rebates), purchases([], CREW)):
        first = made.first_cost(all_plans(3) * prices)
        for number in range(8):
            for i in range(3):
                assert first[number | 1 << i] >= first[number] - 1e-9


def test_rebate_may_be_more_than_a_job_adds_to_a_visit() -> None:
    utility = Rebate(name="utility", amount=51.0, percent=0.0, cap=51.0, measures=("attic",))
    one, both = purchases([utility], CREW).first_cost(
        np.array([[0.0, 200.0, 0.0], [200.0, 200.0, 0.0]])
    )
    assert (one, both) == pytest.approx((200.0, 199.0))


@given(REBATES, PRICES, st.floats(1, 2))
@settings(deadline=None, max_examples=80)
def test_dearer_work_never_costs_less(rebates: list[Rebate], prices, factor: float) -> None:
    bought = all_plans(3) * prices
    usual, dearer = (purchases(rebates, CREW).first_cost(p) for p in (bought, factor * bought))
    assert (dearer >= usual - 1e-9).all()


@given(REBATES, PRICES, st.integers(0, 7))
@settings(deadline=None, max_examples=80)
def test_what_a_measure_adds_is_a_difference_of_sets(rebates, prices, number: int) -> None:
    made, sets = purchases(rebates, CREW), all_plans(3)
    first, present = made.first_cost(sets * prices), made.present_cost(sets * prices)
    added = made.first_cost_added(prices, sets[number])
    worth = made.present_cost_added(prices, sets[number])
    for i in range(3):
        more, less = number | 1 << i, number & ~(1 << i)
        assert added[i] == pytest.approx(first[more] - first[less], abs=2e-6)
        assert worth[i] == pytest.approx(present[more] - present[less], abs=2e-6)
    assert (present >= -1e-9).all()


def test_present_cost_by_hand() -> None:
    made = purchases([Rebate(name="utility", percent=50.0, measures=("lamps",))])
    later = 1.03**-8 + 1.03**-16 - 0.5 * 1.03**-20
    attic = 1.0 - 0.2 * 1.03**-20
    assert made.present_cost(np.array([1000.0, 0.0, 80.0])) == pytest.approx(
        1000 * attic + 40.0 + 80 * later
    )


def test_a_crew_that_comes_once_is_paid_once() -> None:
    """Alone $1,000 and $500; together the cheaper visit of $150 is saved, shared as 200 to 150."""
    made, prices = purchases([], CREW), np.array([1000.0, 500.0, 80.0])
    assert made.first_cost(np.array([[1000.0, 0, 80], [0, 500, 80]])).tolist() == [1080, 580]
    assert made.first_cost(prices) == pytest.approx(1000 + 500 - 150 + 80)
    assert made.left_to_pay(prices) == pytest.approx([1000 - 150 * 4 / 7, 500 - 150 * 3 / 7, 80])
    both, none = np.array([True, True, False]), np.zeros(3, dtype=bool)
    assert made.first_cost_added(prices, both) == pytest.approx([850, 300 + 50, 80])
    assert made.first_cost_added(prices, none) == pytest.approx([1000, 500, 80])


def test_work_that_wears_out_pays_its_own_visit_again() -> None:
    """Both pay less at first; what is left of the attic's share after 20 of 25 years is less too."""
    shared, alone = purchases([], CREW), purchases([])
    prices = np.array([1000.0, 500.0, 0.0])
    less = 150 * 4 / 7 * (1.0 - 0.2 * 1.03**-20) + 150 * 3 / 7
    assert alone.present_cost(prices) - shared.present_cost(prices) == pytest.approx(less)


def test_a_visit_for_one_measure_is_nobodys_to_share() -> None:
    made = purchases([], CREW).only(("attic", "lamps"))
    assert made.first_cost(np.array([1000.0, 80.0])) == pytest.approx(1080)


def test_rebates_are_taken_of_what_is_paid() -> None:
    made = purchases([Rebate(name="utility", percent=50.0)], CREW)
    assert made.first_cost(np.array([1000.0, 500.0, 0.0])) == pytest.approx(0.5 * 1350)
