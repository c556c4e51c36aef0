"""A plan as a household can pay it: the year of each step at an even pace, and what a loan takes; no words."""

from collections.abc import Sequence
from math import ceil

from retrofit_lab.study.advice import LoanTerms

YEARLY = 1500.0
"""What a household is taken to spend a year on the work. [dollars/year] (judgment; the page says it)"""
LOAN = LoanTerms(percent=7.0, years=7.0)
"""Terms of a loan until a bank names its own. (judgment; the page says them)"""
BUDGET, PAYMENT = 3000.0, 50.0
"""Budget [dollars] and payment [dollars/month] until someone names their own. (judgment; the page shows them)"""
SLACK = 0.005
"""Dollars that rounding may leave over."""


def years_at_pace(costs: Sequence[float], yearly: float = YEARLY) -> tuple[int, ...]:
    """Year in which each step has been paid, one after the other, when so much is spent a year.

    Parameters
    ----------
    costs : sequence of float
        Cost of each step in its order. [dollars]
    yearly : float
        What is spent a year. [dollars/year]

    Examples
    --------
    >>> years_at_pace([500.0, 1000.0, 200.0, 4000.0], 1500.0)
    (1, 1, 2, 4)
    """
    found, spent = [], 0.0
    for cost in costs:
        spent += cost
        found.append(max(1, ceil((spent - SLACK) / yearly)))
    return tuple(found)
