"""Yearly rates of loans against the table of a federal regulation and a financial library's examples."""

import numpy_financial as npf
import pytest
from checks import Check, assert_check

from retrofit_lab.money.loan import Loan, annual_percentage_rate, monthly_payment, schedule

RULE = "12 CFR 1026 appendix J, as quoted in a public repository"
PRINTED = "printed to a hundredth of a percent"
MONTHLY = {
    "24 equal payments": ([230.0] * 24, 9.69),
    "first payment larger": ([250.0] + [230.0] * 23, 10.08),
    "last payment larger": ([230.0] * 23 + [280.0], 10.50),
    "first and last payment larger": ([250.0] + [230.0] * 22 + [280.0], 10.90),
}


def rate_of(payments: list[float]):
    return lambda: 100 * annual_percentage_rate(5000.0, payments)


LIBRARY = [-250000.0, 100000.0, 150000.0, 200000.0, 250000.0, 300000.0]
CHECKS = [
    *(Check("loans", name, RULE, "read", printed, rate_of(payments), 0.005, PRINTED)
      for name, (payments, printed) in MONTHLY.items()),
    Check("loans", "one payment after two years", RULE, "read", 11.36,
          lambda: 100 * annual_percentage_rate(1000.0, [0.0, 1240.0], per_year=1), 0.005, PRINTED),
    Check("loans", "internal rate of six yearly flows", "numpy-financial documentation of irr", "read",
          0.5672303344358536, lambda: annual_percentage_rate(-LIBRARY[0], LIBRARY[1:], per_year=1), 1e-9,
          "same definition"),
    Check("loans", "200,000 at 7.5 % over 15 years", "numpy-financial documentation of pmt", "read",
          1854.0247200054619, lambda: monthly_payment(200_000.0, 0.075, 180), 1e-9, "same definition"),
    Check("loans", "interest of month 7 of 2,500 at 8.24 %", "numpy-financial ipmt, run here", "read",
          -float(npf.ipmt(0.0824 / 12, 7, 12, 2500.0)),
          lambda: schedule(Loan(principal=2500.0, yearly_rate=0.0824, months=12)).interest[6], 1e-9,
          "same definition"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
