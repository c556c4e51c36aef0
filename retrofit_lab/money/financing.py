"""Work paid with a loan: what the loan adds to its cost, and what is left over month by month and year by year."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.money.factors import nominal_rate
from retrofit_lab.money.loan import MONTHS_PER_YEAR, CashFlow, Loan, cash_flow, schedule
from retrofit_lab.money.terms import MoneyTerms


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Financed:
    """A plan that is paid with a loan. Money in [dollars], by the month in [dollars/month].

    ``paid_at_once`` is what the loan does not cover, after rebates. ``interest`` is what is paid beside the
    principal, with the fee, in dollars of the day; ``added_cost`` what the loan adds to the plan's cost in
    present worth, below zero where it is cheaper than the discount rate. ``net_savings`` are those of the plan
    less that. ``by_month`` and ``by_year`` (saved, paid and net, shape (years, 3)) are in dollars of the day.
    """

    loan: Loan
    paid_at_once: float
    interest: float
    added_cost: float
    net_savings: float
    by_month: CashFlow
    by_year: FloatArray

    @property
    def payment_above_saving(self) -> bool:
        """Whether a year of payments takes more than the bills fall by in the first year."""
        months = min(MONTHS_PER_YEAR, self.loan.months)
        return float(self.by_month.paid[:months].sum()) > float(self.by_month.saved[:months].sum())


def added_cost(loan: Loan, terms: MoneyTerms) -> float:
    """Present worth of all payments less what the loan pays out. [dollars]

    Payments are in dollars of the day, so they are brought to today at the nominal discount rate, month by month.
    """
    monthly = (1.0 + terms.nominal_discount_rate) ** (1.0 / MONTHS_PER_YEAR)
    worth = loan.payment * float(np.sum(monthly ** -np.arange(1.0, loan.months + 1.0)))
    return worth - (loan.principal - loan.fee)


def financed(
    loan: Loan,
    *,
    first_cost: float,
    saved_by_month: FloatArray,
    rises: Sequence[float],
    net_savings: float,
    terms: MoneyTerms,
) -> Financed:
    """A plan with its loan.

    Parameters
    ----------
    loan : Loan
        How it is paid.
    first_cost : float
        What the plan costs at first, after rebates. [dollars]
    saved_by_month : ndarray, shape (fuels, 12)
        What the bill of each fuel falls by in each month, at today's prices. [dollars/month]
    rises : sequence of float
        Rise of each fuel's price above inflation. [1/year]
    net_savings : float
        Net savings of the plan, paid at once. [dollars]
    terms : MoneyTerms
        Discount rate, inflation and study period.
    """
    added = added_cost(loan, terms)
    months = max(terms.period_years * MONTHS_PER_YEAR, loan.months)
    flows = [
        cash_flow(loan, row, months, float(nominal_rate(rise, terms.inflation)))
        for row, rise in zip(saved_by_month, rises, strict=True)
    ]
    saved, paid = np.sum([flow.saved for flow in flows], axis=0), flows[0].paid
    flow = CashFlow(saved=saved, paid=paid, net=saved - paid, total=np.cumsum(saved - paid))
    return Financed(
        loan=loan,
        paid_at_once=first_cost - (loan.principal - loan.fee),
        interest=float(schedule(loan).interest.sum()) + loan.fee,
        added_cost=added,
        net_savings=net_savings - added,
        by_month=flow,
        by_year=_by_year(flow),
    )


def _by_year(flow: CashFlow) -> FloatArray:
    """Saved, paid and net of each year. shape (years, 3) [dollars/year]"""
    columns = np.column_stack([flow.saved, flow.paid, flow.net])
    missing = -len(columns) % MONTHS_PER_YEAR
    whole = np.vstack([columns, np.zeros((missing, 3))])
    return np.asarray(whole.reshape(-1, MONTHS_PER_YEAR, 3).sum(axis=1))
