"""Bills beside the model, and before beside after with usual weather in both; fitting and splitting are in bills."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from pathlib import Path

from retrofit_lab.bills.fitting.house_fit import NumberMoved
from retrofit_lab.bills.fitting.period_weather import BillWeather, bill_weather, read_actual_days
from retrofit_lab.bills.fitting.splitting import Estimate, FuelSplit, split_fuel
from retrofit_lab.bills.fitting.unusual import Finding
from retrofit_lab.bills.fitting.verdict import Verdict
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.climate.locating import find_weather
from retrofit_lab.house.description import House
from retrofit_lab.study.billed import BilledHouse
from retrofit_lab.study.results import PlanResult
from retrofit_lab.uncertainty.doubt import EIGHTY_PERCENT

FAR = 0.1
"""Difference between fitted model and bills from which the reader is warned. [1] (judgment)"""
MOST_MOVED = 4
"""Numbers that are named when the fit moved them; all are in the house's page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BillRow:
    """One fuel on the days of its bills: billed, by the model as described, and as fitted. [unit]"""

    fuel: str
    days: int
    billed: float
    stated: float
    fitted: float

    @property
    def difference(self) -> float:
        """How far the fitted model is above the bills. [1]"""
        return self.fitted / self.billed - 1.0 if self.billed else 0.0

    @property
    def far(self) -> bool:
        """Whether the fitted model is so far from the bills that the reader is warned."""
        return abs(self.difference) > FAR


@dataclass(frozen=True, slots=True, kw_only=True)
class Bills:
    """Bills of a house: the file, fuels that were compared and too few to compare, what the fit moved.

    ``peculiar`` is what is odd about them; ``read`` tells each
    file back; ``verdicts`` are what must be known before any saving is used; ``used`` is whether the
    house is fitted to them.
    """

    file: str
    rows: tuple[BillRow, ...]
    short: tuple[tuple[str, int], ...]
    moved: tuple[NumberMoved, ...]
    peculiar: tuple[Finding, ...]
    read: tuple[str, ...] = ()
    verdicts: tuple[Verdict, ...] = ()
    used: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class CameRow:
    """One fuel after the work: normal years before and after by the bills, what was saved and promised.

    All in [unit/year]; ``saved`` with its 80 % range is missing where either side has too few bills.
    """

    fuel: str
    before: Estimate | None
    after: Estimate | None
    saved: Estimate | None
    promised: float


def bills_beside(billed: BilledHouse) -> Bills:
    """The bills of a house beside its model."""
    compared = {row.fuel for row in billed.fit.compared}
    rows = tuple(
        BillRow(
            fuel=row.fuel,
            days=sum(period.days for period in row.periods),
            billed=float(row.billed.sum()),
            stated=float(row.before.sum()),
            fitted=float(row.after.sum()),
        )
        for row in billed.fit.compared
    )
    short = tuple((s.fuel, s.days) for s in billed.fit.splits if s.fuel not in compared)
    return Bills(
        file=billed.bills.name,
        rows=rows,
        short=short,
        moved=_told(billed.fit.moved),
        peculiar=billed.peculiar,
        read=billed.bills.read,
        verdicts=billed.fit.verdicts,
        used=billed.fit.used,
    )


def _told(moved: tuple[NumberMoved, ...]) -> tuple[NumberMoved, ...]:
    """The numbers that moved farthest, one of each kind."""
    first: dict[str, NumberMoved] = {}
    for number in moved:
        first.setdefault(number.label, number)
    return tuple(first.values())[:MOST_MOVED]


def weather_of_bills(house: House, folder: Path, days: str) -> BillWeather:
    """Temperatures of the days on the bills: measured ones where a file is given, else the typical year's.

    Raises
    ------
    InputError
        When a file cannot be read.
    """
    actual = read_actual_days(days) if days else None
    return bill_weather(find_weather(house.site.climate, folder), actual)


def splits(bills: BillSet, weather: BillWeather) -> dict[str, FuelSplit]:
    """What bills say, fuel by fuel."""
    return {fuel: split_fuel(bills, fuel, weather) for fuel in bills.fuels}


def what_came(
    before: Mapping[str, FuelSplit], after: Mapping[str, FuelSplit], result: PlanResult
) -> tuple[CameRow, ...]:
    """What the bills after the work say against those before it, with usual weather in both."""
    return tuple(_came(fuel, before.get(fuel), split, result) for fuel, split in after.items())


def _came(fuel: str, before: FuelSplit | None, after: FuelSplit, result: PlanResult) -> CameRow:
    old, new = before.normal_year if before else None, after.normal_year
    return CameRow(
        fuel=fuel,
        before=old,
        after=new,
        saved=_difference(old, new) if old and new else None,
        promised=result.before.fuel_total(fuel) - result.after.fuel_total(fuel),
    )


def _difference(old: Estimate, new: Estimate) -> Estimate:
    """Difference of two independent estimates with its 80 % range."""
    error = hypot(old.standard_error, new.standard_error)
    value, half = old.value - new.value, EIGHTY_PERCENT * error
    return Estimate(value=value, standard_error=error, low=value - half, high=value + half)
