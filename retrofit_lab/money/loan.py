"""Loans for the work: payment, schedule, cash flow against savings and yearly rate; no rebates, no physics."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy_financial as npf

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.texts.refusals import told

MONTHS_PER_YEAR = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Loan:
    """A loan paid back in equal monthly parts.

    ``principal`` and ``fee`` are in dollars; the fee is kept back when the money is paid out.
    ``yearly_rate`` is the nominal rate, a twelfth of which is charged each month. [1/year]
    """

    principal: float
    yearly_rate: float
    months: int
    fee: float = 0.0

    def __post_init__(self) -> None:
        _within("principal", self.principal, 1.0, 1e6, told("loan.principal"))
        _within("yearly rate", self.yearly_rate, 0.0, 0.4, "Enter 6 % as 0.06.")
        _within("number of months", self.months, 1, 480, told("loan.months"))
        if not 0.0 <= self.fee < self.principal:
            raise MoneyError(told("loan.fee", fee=f"{self.fee:g}", principal=f"{self.principal:g}"))

    @property
    def payment(self) -> float:
        """What is paid each month. [dollars/month]"""
        return float(monthly_payment(self.principal, self.yearly_rate, self.months))

    @property
    def percentage_rate(self) -> float:
        """Yearly rate with the fee counted in. [1/year]"""
        return annual_percentage_rate(self.principal - self.fee, [self.payment] * self.months)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Schedule:
    """Interest, repayment and what is still owed after each month. shape (months,) [dollars]"""

    interest: FloatArray
    repaid: FloatArray
    balance: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CashFlow:
    """What is saved, paid and left over month by month, and the sum so far. shape (months,) [dollars]"""

    saved: FloatArray
    paid: FloatArray
    net: FloatArray
    total: FloatArray


def monthly_payment(principal: Value, yearly_rate: float, months: int) -> Value:
    """Equal payment at the end of every month that pays a loan back. [dollars/month]

    Parameters
    ----------
    principal : Value
        What is borrowed. [dollars]
    yearly_rate : float
        Nominal rate; a twelfth is charged each month. [1/year]
    months : int
        Number of payments.
    """
    per_dollar = -float(npf.pmt(yearly_rate / MONTHS_PER_YEAR, months, 1.0))
    return principal * per_dollar


def schedule(loan: Loan) -> Schedule:
    """How each payment is shared between interest and repayment."""
    rate = loan.yearly_rate / MONTHS_PER_YEAR
    paid_so_far = np.arange(loan.months + 1)
    with np.errstate(invalid="ignore"):  # the library divides by the rate before it looks at 0
        owed = -np.asarray(npf.fv(rate, paid_so_far, -loan.payment, loan.principal))
    return Schedule(interest=rate * owed[:-1], repaid=-np.diff(owed), balance=owed[1:])


def cash_flow(
    loan: Loan, saved_by_month: FloatArray, months: int, yearly_rise: float = 0.0
) -> CashFlow:
    """Savings against payments, from the month after the work is done.

    Parameters
    ----------
    loan : Loan
        How the work is paid for.
    saved_by_month : ndarray, shape (12,)
        Savings of the first year, in the order in which the months come. [dollars/month]
    months : int
        How far to look, also beyond the last payment.
    yearly_rise : float
        Rise of prices from one year to the next. [1/year]

    Raises
    ------
    MoneyError
        When the savings are not those of twelve months.
    """
    if np.shape(saved_by_month) != (MONTHS_PER_YEAR,):
        raise MoneyError(told("loan.shape", shape=np.shape(saved_by_month), count=MONTHS_PER_YEAR))
    when = np.arange(months)
    rise = (1.0 + yearly_rise) ** (when // MONTHS_PER_YEAR)
    saved = np.asarray(saved_by_month, dtype=np.float64)[when % MONTHS_PER_YEAR] * rise
    paid = np.where(when < loan.months, loan.payment, 0.0)
    net = saved - paid
    return CashFlow(saved=saved, paid=paid, net=net, total=np.cumsum(net))


def annual_percentage_rate(
    advance: float, payments: Sequence[float], per_year: int = MONTHS_PER_YEAR
) -> float:
    """Yearly rate at which later payments are worth what was paid out. [1/year]

    Parameters
    ----------
    advance : float
        What the borrower gets. [dollars]
    payments : sequence of float
        What is paid at the end of each period, zero where nothing is due. [dollars]
    per_year : int
        Periods in a year.

    Raises
    ------
    MoneyError
        When no rate fits.

    References
    ----------
    12 CFR 1026 appendix J: unit-period rate times the number of unit periods in a year (read).
    """
    rate = float(npf.irr([-advance, *payments]))
    # newer releases of the library give -1 where nothing comes back, older ones no number
    if not -1.0 < rate < np.inf:
        raise MoneyError(told("loan.no_rate", count=f"{sum(payments):g}", advance=f"{advance:g}"))
    return rate * per_year


def _within(name: str, value: float, low: float, high: float, way_out: str) -> None:
    if not low <= value <= high:
        raise MoneyError(
            told(
                "loan.within",
                name=name,
                value=f"{value:g}",
                low=f"{low:g}",
                high=f"{high:g}",
                way_out=way_out,
            )
        )
