"""A house with its bills: read, split, fitted, and looked over; what a study needs of them and nothing else."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.bill_prices import BillPrice, bill_prices
from retrofit_lab.bills.fitting.end_use import EndUseShare, end_use_table
from retrofit_lab.bills.fitting.house_fit import HouseFit, fit_house
from retrofit_lab.bills.fitting.period_weather import BillWeather, bill_weather, read_actual_days
from retrofit_lab.bills.fitting.unusual import Finding
from retrofit_lab.bills.fitting.unusual_bills import find_peculiar
from retrofit_lab.bills.fitting.verdict import Verdict
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.fuels import fuel_units
from retrofit_lab.bills.reading.record import BillFiles, BillSet
from retrofit_lab.climate.locating import find_weather
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import FuelPrice, House
from retrofit_lab.uncertainty.sampling import WEATHER, spreads

END_USE_DRAWS = 512
MOST_DAYS, FEW_DAYS = 0.995, 0.5
"""Shares of the days on the bills above which a weather file covers all of them, and below which of hardly any. [1]"""
PRICE_FAR = 0.15
"""Share by which a stated price must differ from the billed one to be told. [1] judgment"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BilledHouse:
    """The fit of a house to its bills, the bills, and what is peculiar about them."""

    bills: BillSet
    fit: HouseFit
    peculiar: tuple[Finding, ...]

    @property
    def verdict(self) -> tuple[str, ...]:
        """What must be known of bills and model before any number is used, in a sentence each."""
        ordered = sorted(self.fit.verdicts, key=lambda verdict: not verdict.serious)
        return tuple(verdict.sentence() for verdict in ordered)

    def end_uses(self, climate: MonthlyClimate) -> tuple[EndUseShare, ...]:
        """Share of each end use in the fitted house, with its range and what is usual."""
        return end_use_table(self.fit.house, climate, self.drawn(END_USE_DRAWS))

    def drawn(self, count: int) -> Mapping[str, FloatArray]:
        """Numbers of the house as sure as the bills make them, by path. shape (count, 1)"""
        return self.fit.drawn_numbers(count)


def billed_house(
    house: House, climate: MonthlyClimate, folder: str = ".", bills: str | BillFiles = ""
) -> BilledHouse:
    """House fitted to its bills.

    Parameters
    ----------
    house : House
        House as described.
    climate : MonthlyClimate
        Typical year of its place.
    folder : str
        Where the file that the house names is looked for.
    bills : str or BillFiles
        Other files to use in its place, the weather of their days, and answers to what they leave open.

    Raises
    ------
    BillError
        When the bills cannot be read; names file, row, value, rule and way out.
    """
    files = BillFiles(paths=(bills,) if bills else ()) if isinstance(bills, str) else bills
    prices = {p.key: (float(p.price), float(p.fixed)) for p in house.prices}
    read = read_bills(
        files.paths or (Path(folder) / house.bills,), answers=dict(files.answers), prices=prices
    )
    actual = read_actual_days(files.weather) if files.weather else None
    weather = bill_weather(find_weather(house.site.climate, folder), actual)
    ranges = [spread for spread in spreads(house) if spread.path != WEATHER]
    fit = fit_house(house, climate, read, weather, ranges)
    found = find_peculiar(fit.house, climate, read, fit.splits, weather)
    fit = _priced(fit, read)
    told = (*fit.verdicts, *weather_verdict(weather, read))
    return BilledHouse(bills=read, fit=replace(fit, verdicts=told), peculiar=found)


def _priced(fit: HouseFit, bills: BillSet) -> HouseFit:
    """The same with prices of the bills where the house has none of its own, and with what is to be said of them."""
    own = {price.key: price for price in fit.house.prices}
    found = bill_prices(bills)
    new = [p for p in found if p.fuel not in own]
    more = tuple(FuelPrice(key=p.fuel, price=p.price, fixed=p.fixed) for p in new)
    told = [_price_verdict("price_from_bills", p) for p in new]
    for price in found:
        stated = own.get(price.fuel)
        if stated and not price.average and _far(price.price, float(stated.price)):
            told.append(_price_verdict("price_differs", price, stated=f"{float(stated.price):.3g}"))
    return replace(
        fit,
        house=replace(fit.house, prices=(*fit.house.prices, *more)),
        verdicts=(*fit.verdicts, *told),
    )


def weather_verdict(weather: BillWeather, bills: BillSet) -> Iterator[Verdict]:
    """What a file of daily temperatures covers, once; serious where most days of the bills are not in it."""
    actual = weather.actual
    dated = [bill for bill in bills.bills if bill.days > 0]
    days = [(bill.days, weather.share_measured(bill.start, bill.end)) for bill in dated]
    whole = sum(count for count, _ in days)
    if actual is None or not whole:
        return
    share = sum(count * covered for count, covered in days) / whole
    last = actual.first + timedelta(days=len(actual.temperature) - 1)
    yield Verdict(
        key="weather_whole" if share > MOST_DAYS else "weather_part",
        fuel=bills.bills[0].fuel,
        values={
            "name": actual.name,
            "count": f"{int(np.isfinite(actual.temperature).sum()):,}",
            "first": f"{actual.first}",
            "last": f"{last}",
            "share": f"{share:.0%}",
        },
        serious=share < FEW_DAYS,
    )


def _far(billed: float, stated: float) -> bool:
    return abs(billed - stated) > PRICE_FAR * max(billed, stated)


def _price_verdict(key: str, price: BillPrice, **more: str) -> Verdict:
    values = {
        "price": f"{price.price:.3g}",
        "fixed": f"{price.fixed:.2f}",
        "unit": fuel_units()[price.fuel],
    }
    return Verdict(key=key, fuel=price.fuel, values={**values, **more})
