"""Two priced ways to do a thing: by hand, and what must hold of any two."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money.alternatives import Alternative, compared, life_cycle_cost
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.terms import MoneyTerms

TERMS = MoneyTerms(discount_rate=0.03, period_years=20)
WAYS = st.builds(
    Alternative,
    first_cost=st.floats(0, 20_000),
    energy=st.floats(0, 4000),
    upkeep=st.floats(0, 300),
    life=st.floats(5, 40),
    escalation=st.floats(-0.02, 0.04),
)


def test_two_furnaces_by_hand() -> None:
    plain = Alternative(first_cost=3200.0, energy=1500.0, life=20.0)
    better = Alternative(first_cost=4100.0, energy=1260.0, life=20.0)
    found = compared(plain, better, TERMS)
    factor = (1.0 - 1.03**-20) / 0.03
    assert found.life_cycle_costs == pytest.approx((3200 + 1500 * factor, 4100 + 1260 * factor))
    assert found.net_savings == pytest.approx(240 * factor - 900)
    assert found.sir == pytest.approx(240 * factor / 900)
    assert found.payback == pytest.approx(900 / 240)


def test_what_costs_less_than_a_cent_has_no_ratio() -> None:
    better = Alternative(first_cost=1e-300, energy=0.0, upkeep=0.0, life=20.0)
    found = compared(
        Alternative(first_cost=0.0, energy=100.0, upkeep=0.0, life=20.0), better, TERMS
    )
    assert found.sir is None
    assert found.adjusted_internal_rate is None
    assert found.net_savings > 1_000.0


@given(WAYS, WAYS)
@settings(deadline=None, max_examples=60)
def test_net_savings_are_the_difference_of_life_cycle_costs(first, second) -> None:
    found = compared(first, second, TERMS)
    assert found.net_savings == pytest.approx(
        found.life_cycle_costs[0] - found.life_cycle_costs[1], abs=1e-6
    )
    assert compared(second, first, TERMS).net_savings == pytest.approx(-found.net_savings, abs=1e-6)
    assert life_cycle_cost(first, TERMS) >= 0.0


@given(WAYS)
@settings(deadline=None, max_examples=30)
def test_same_way_twice_is_worth_nothing_and_has_no_ratio(way) -> None:
    found = compared(way, way, TERMS)
    assert found.net_savings == 0.0
    assert found.sir is None
    assert found.adjusted_internal_rate is None


def test_impossible_ways_are_refused() -> None:
    with pytest.raises(MoneyError, match="first_cost is -1; must be 0 or above"):
        Alternative(first_cost=-1.0, energy=1.0, life=20.0)
    with pytest.raises(MoneyError, match="life is 0; must be 1 to 100 years"):
        Alternative(first_cost=1.0, energy=1.0, life=0.0)
