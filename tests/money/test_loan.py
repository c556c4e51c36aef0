"""Loans: what is paid back is what was borrowed, and cash flow follows savings and payments."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.money.loan import (
    Loan,
    annual_percentage_rate,
    cash_flow,
    monthly_payment,
    schedule,
)
from retrofit_lab.money.problem import MoneyError

loans = st.builds(
    Loan,
    principal=st.floats(100, 1e5),
    yearly_rate=st.one_of(st.just(0.0), st.floats(0.001, 0.3)),
    months=st.integers(1, 120),
)


@given(loans)
@settings(deadline=None, max_examples=50)
def test_schedule_pays_back_the_principal(loan: Loan) -> None:
    plan = schedule(loan)
    assert plan.repaid.sum() == pytest.approx(loan.principal)
    assert plan.balance[-1] == pytest.approx(0.0, abs=1e-6 * loan.principal)
    assert plan.interest + plan.repaid == pytest.approx(np.full(loan.months, loan.payment))


@given(loans)
@settings(deadline=None, max_examples=25)
def test_rate_comes_back_without_a_fee_and_rises_with_one(loan: Loan) -> None:
    assert loan.percentage_rate == pytest.approx(loan.yearly_rate, abs=1e-6)
    dearer = Loan(
        principal=loan.principal,
        yearly_rate=loan.yearly_rate,
        months=loan.months,
        fee=0.05 * loan.principal,
    )
    assert dearer.percentage_rate > loan.yearly_rate + 0.004


def test_loan_without_interest_is_shared_evenly() -> None:
    assert monthly_payment(1200.0, 0.0, 12) == pytest.approx(100.0)
    assert monthly_payment(np.array([1200.0, 0.0]), 0.0, 12) == pytest.approx([100.0, 0.0])


def test_cash_flow_by_hand() -> None:
    loan = Loan(principal=240.0, yearly_rate=0.0, months=12)
    saved = np.array([30.0] * 6 + [10.0] * 6)
    flow = cash_flow(loan, saved, 24, yearly_rise=0.1)
    assert flow.paid == pytest.approx([20.0] * 12 + [0.0] * 12)
    assert flow.net[[0, 6, 12, 23]] == pytest.approx([10.0, -10.0, 33.0, 11.0])
    assert flow.total[11] == pytest.approx(0.0)
    assert flow.total[-1] == pytest.approx(264.0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"principal": 0.0}, r"principal of the loan is 0; must be 1 to 1e\+06"),
        ({"principal": float("nan")}, "principal of the loan is nan"),
        ({"yearly_rate": 6.0}, r"yearly rate of the loan is 6; .* Enter 6 % as 0\.06"),
        ({"months": 0}, "number of months of the loan is 0"),
        ({"fee": 1000.0}, "fee of the loan is 1000; .* below the principal"),
    ],
)
def test_impossible_loans_are_refused(change: dict[str, float], words: str) -> None:
    usual = {"principal": 1000.0, "yearly_rate": 0.06, "months": 60}
    with pytest.raises(MoneyError, match=words):
        Loan(**{**usual, **change})  # type: ignore[arg-type]


def test_flows_that_fit_no_rate_and_part_years_are_refused() -> None:
    with pytest.raises(MoneyError, match=r"fit no rate for an advance of 100"):
        annual_percentage_rate(100.0, [0.0, 0.0])
    loan = Loan(principal=240.0, yearly_rate=0.0, months=12)
    with pytest.raises(MoneyError, match="each of 12 months"):
        cash_flow(loan, np.ones(11), 24)
