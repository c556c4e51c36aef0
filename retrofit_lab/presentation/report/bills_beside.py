"""Bills beside the model and before beside after, brought to a year with usual weather; splitting is in bills."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from pathlib import Path

from retrofit_lab.bills.period_weather import BillWeather, bill_weather, read_actual_days
from retrofit_lab.bills.reading import read_bills
from retrofit_lab.bills.splitting import Estimate, FuelSplit, split_fuel
from retrofit_lab.climate.finding import find_weather
from retrofit_lab.house.description import House
from retrofit_lab.ranges.sampling import EIGHTY_PERCENT
from retrofit_lab.results import StackResult

CONFIDENCE = 0.8
FAR = 0.2
"""Difference between model and bills from which the reader is warned. [1] (judgement)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BillRow:
    """One fuel: days on bills, its normal year by the bills, the model's year. [unit/year]

    ``billed`` is missing where the bills are too few.
    """

    fuel: str
    days: int
    billed: Estimate | None
    modelled: float

    @property
    def difference(self) -> float:
        """How far the model is above the bills. [1]"""
        return self.modelled / self.billed.value - 1.0 if self.billed and self.billed.value else 0.0

    @property
    def far(self) -> bool:
        """Whether the model lies outside the range of the bills, and by enough for a warning."""
        if self.billed is None:
            return False
        inside = self.billed.low <= self.modelled <= self.billed.high
        return not inside and abs(self.difference) > FAR


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


def weather_of_bills(house: House, folder: Path, days: Path | None) -> BillWeather:
    """Temperatures of the days on the bills: measured ones where a file is given, else the typical year's.

    Raises
    ------
    InputError
        When a file cannot be read.
    """
    actual = read_actual_days(days) if days else None
    return bill_weather(find_weather(house.site.climate, folder), actual)


def splits(path: Path, weather: BillWeather) -> dict[str, FuelSplit]:
    """What the bills of a file say, fuel by fuel.

    Raises
    ------
    BillError
        When the file cannot be read.
    """
    found = read_bills(path)
    return {fuel: split_fuel(found, fuel, weather, confidence=CONFIDENCE) for fuel in found.fuels}


def bills_beside(found: Mapping[str, FuelSplit], result: StackResult) -> tuple[BillRow, ...]:
    """Every fuel of the bills beside the model."""
    return tuple(
        BillRow(
            fuel=fuel,
            days=split.days,
            billed=split.normal_year,
            modelled=result.before.fuel_total(fuel),
        )
        for fuel, split in found.items()
    )


def what_came(
    before: Mapping[str, FuelSplit], after: Mapping[str, FuelSplit], result: StackResult
) -> tuple[CameRow, ...]:
    """What the bills after the work say against those before it, with usual weather in both."""
    return tuple(_came(fuel, before.get(fuel), split, result) for fuel, split in after.items())


def _came(fuel: str, before: FuelSplit | None, after: FuelSplit, result: StackResult) -> CameRow:
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
