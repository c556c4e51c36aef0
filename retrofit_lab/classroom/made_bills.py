"""Bills that the model makes of a house, with chance in them; what the bills say is read elsewhere."""

from collections.abc import Mapping
from datetime import date
from itertools import pairwise

import numpy as np

from retrofit_lab.bills.fitting.model_months import fuel_months
from retrofit_lab.bills.reading.record import Bill, BillSet
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.model.year import year_energy

YEAR = 2023
DAYS = [*(date(YEAR, month, 1) for month in range(1, 13)), date(YEAR + 1, 1, 1)]
NAME = "the year's bills"


def made_bills(
    house: House, climate: MonthlyClimate, noise: float, chance: np.random.Generator
) -> BillSet:
    """A bill a month of every fuel that a house uses, in a typical year.

    Parameters
    ----------
    house : House
        The house as it truly is.
    climate : MonthlyClimate
        Its weather.
    noise : float
        Standard deviation of what people do otherwise in a month, as a share of the bill. [1]
    chance : Generator
        Source of that noise.
    """
    year = year_energy(house, climate)
    bills: list[Bill] = []
    for fuel in sorted({fuel for fuel, _ in year.monthly}):
        use = fuel_months(year, fuel, 1)[0] * (1.0 + noise * chance.standard_normal(12))
        if use.sum() > 0:
            bills += [
                Bill(fuel=fuel, start=start, end=end, quantity=round(float(amount), 1), row=row)
                for row, ((start, end), amount) in enumerate(
                    zip(pairwise(DAYS), use, strict=True), start=1
                )
            ]
    return BillSet(name=NAME, bills=tuple(bills))


def with_late_reading(bills: BillSet, fuel: str, month: int, share: float) -> BillSet:
    """Bills where one was estimated too low by a share of it, and the next one made up for it.

    Parameters
    ----------
    bills : BillSet
        Bills by month.
    fuel : str
        Whose meter was not read.
    month : int
        0 for January; at most 10.
    share : float
        Missing part of the estimated bill. [1]
    """
    mine = [bill for bill in bills.bills if bill.fuel == fuel]
    missing = round(share * mine[month].quantity, 1)
    moved: Mapping[int, float] = {month: -missing, month + 1: missing}
    changed = [
        _more(bill, moved.get(place, 0.0)) if bill.fuel == fuel else bill
        for bill, place in ((b, b.row - 1) for b in bills.bills)
    ]
    return BillSet(name=bills.name, bills=tuple(changed))


def _more(bill: Bill, amount: float) -> Bill:
    return Bill(
        fuel=bill.fuel,
        start=bill.start,
        end=bill.end,
        quantity=round(bill.quantity + amount, 1),
        row=bill.row,
    )
