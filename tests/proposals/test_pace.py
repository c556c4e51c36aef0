"""The year of each step at an even pace, and a loan for all of it."""

import pytest

from retrofit_lab.proposals.pace import LOAN, years_at_pace


def test_steps_are_paid_one_after_the_other() -> None:
    assert years_at_pace([0.0, 1000.0, 500.0, 1.0], 1500.0) == (1, 1, 1, 2)


def test_a_large_step_comes_when_it_is_paid() -> None:
    assert years_at_pace([100.0, 6000.0], 1500.0) == (1, 5)


def test_half_the_money_takes_twice_as_long() -> None:
    assert years_at_pace([3000.0, 3000.0], 1000.0) == (3, 6)
    assert years_at_pace([3000.0, 3000.0], 500.0) == (6, 12)


def test_payment_pays_the_loan_off() -> None:
    """Month by month: what is owed grows by a twelfth of the yearly rate, and the payment comes off."""
    owed, payment = 10_000.0, LOAN.payment(10_000.0)
    for _ in range(round(12 * LOAN.years)):
        owed = owed * (1.0 + LOAN.percent / 1200.0) - payment
    assert owed == pytest.approx(0.0, abs=0.01)
