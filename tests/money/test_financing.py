"""Loans in the worth of a plan: at the discount rate they cost nothing, above it interest, and payments are flagged."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money.financing import added_cost, financed
from retrofit_lab.money.loan import Loan
from retrofit_lab.money.terms import MoneyTerms

TERMS = MoneyTerms(discount_rate=0.03, inflation=0.02)
RATES = st.integers(0, 200).map(lambda thousandths: thousandths / 1000)
LOAN = Loan(principal=8000.0, yearly_rate=0.07, months=120)


def plan(loan: Loan, saved: float = 100.0, terms: MoneyTerms = TERMS):
    return financed(
        loan,
        first_cost=8000.0,
        saved_by_month=np.full((2, 12), saved / 2),
        rises=[0.0, 0.0],
        net_savings=5000.0,
        terms=terms,
    )


@given(st.floats(0.0, 0.1), st.floats(0.0, 0.05), st.integers(1, 360))
@settings(deadline=None, max_examples=40)
def test_loan_at_the_discount_rate_costs_nothing(
    real: float, inflation: float, months: int
) -> None:
    terms = MoneyTerms(discount_rate=real, inflation=inflation)
    monthly = (1.0 + terms.nominal_discount_rate) ** (1 / 12) - 1.0
    loan = Loan(principal=8000.0, yearly_rate=12 * monthly, months=months)
    assert added_cost(loan, terms) == pytest.approx(0.0, abs=1e-6)


@given(RATES, RATES)
@settings(deadline=None, max_examples=40)
def test_dearer_loan_is_worth_less(rate: float, other: float) -> None:
    low, high = sorted([rate, other])
    cheap, dear = (plan(replace(LOAN, yearly_rate=r)) for r in (low, high))
    assert dear.net_savings <= cheap.net_savings + 1e-9
    assert dear.interest >= cheap.interest - 1e-9


def test_interest_and_fee_by_hand() -> None:
    found = plan(replace(LOAN, principal=8200.0, fee=200.0))
    assert found.interest == pytest.approx(found.loan.payment * 120 - 8200.0 + 200.0)
    assert found.paid_at_once == pytest.approx(0.0)
    assert found.net_savings == pytest.approx(5000.0 - found.added_cost)


def test_payment_above_the_fall_in_bills_is_flagged() -> None:
    payment = LOAN.payment
    assert plan(LOAN, payment - 1.0).payment_above_saving
    assert not plan(LOAN, payment + 1.0).payment_above_saving


def test_years_are_sums_of_months_and_rise_with_inflation() -> None:
    found = plan(LOAN)
    assert found.by_year.shape == (20, 3)
    assert found.by_year[0] == pytest.approx(
        [1200.0, 12 * LOAN.payment, 1200.0 - 12 * LOAN.payment]
    )
    assert found.by_year[:, 0] == pytest.approx(1200.0 * 1.02 ** np.arange(20))
    assert found.by_year[10:, 1] == pytest.approx(np.zeros(10))
    assert found.by_year.sum(axis=0)[2] == pytest.approx(found.by_month.total[-1])
