"""Price of a unit and fixed charge of each fuel as its bills charge them; which price counts is decided elsewhere."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.bills.fitting.least_squares import linear_fit
from retrofit_lab.bills.reading.record import Bill, BillSet

LEAST_BILLS = 6
"""Fewest bills with dollars from which a fixed charge is told from a price."""
DAYS_A_MONTH = 30.4375
LEAST_BY_USE = 0.3
"""Least share of the dollars that must follow the use; evened out bills follow nothing. [1] judgment"""
CLOSE = 0.05
"""Scatter of dollars around the line, as a share of the mean, within which the line is taken. [1] judgment"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BillPrice:
    """What the bills of one fuel charge: a unit [dollars/unit], and a month whatever is used [dollars/month].

    ``average`` is whether the dollars follow no line, so that all of them were shared out over the use.
    """

    fuel: str
    price: float
    fixed: float
    average: bool


def bill_prices(bills: BillSet) -> tuple[BillPrice, ...]:
    """Prices of all fuels whose bills carry dollars and an amount."""
    found = [_price(fuel, bills) for fuel in bills.fuels if fuel not in dict(bills.set_aside)]
    return tuple(price for price in found if price is not None)


def _price(fuel: str, bills: BillSet) -> BillPrice | None:
    mine = [b for b in bills.sound(fuel) if b.cost is not None and b.cost > 0 and b.quantity > 0]
    if not mine:
        return None
    line = _line(mine) if len(mine) >= LEAST_BILLS else None
    if line is not None:
        return BillPrice(fuel=fuel, price=line[0], fixed=line[1], average=False)
    dollars = sum(bill.cost or 0.0 for bill in mine)
    return BillPrice(
        fuel=fuel, price=dollars / sum(bill.quantity for bill in mine), fixed=0.0, average=True
    )


def _line(bills: list[Bill]) -> tuple[float, float] | None:
    """Price and fixed charge where the dollars follow a line of the use."""
    days = np.array([float(bill.days) for bill in bills])
    use = np.array([bill.quantity for bill in bills])
    cost = np.array([bill.cost or 0.0 for bill in bills])
    fit = linear_fit(np.stack([use, days], axis=1), cost)
    price, by_day = (float(number) for number in fit.coefficients)
    scattered = fit.residual_sd > CLOSE * float(cost.mean())
    if price * use.sum() < LEAST_BY_USE * cost.sum() or by_day < 0 or scattered:
        return None
    return price, by_day * DAYS_A_MONTH
