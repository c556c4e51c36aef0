"""A house with its bills: read, split, fitted, and looked over; what a study needs of them and nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from retrofit_lab.bills.end_use import EndUseShare, end_use_table
from retrofit_lab.bills.finding import Finding
from retrofit_lab.bills.house_fit import HouseFit, fit_house
from retrofit_lab.bills.peculiar import find_peculiar
from retrofit_lab.bills.period_weather import bill_weather, read_actual_days
from retrofit_lab.bills.reading import read_bills
from retrofit_lab.bills.record import BillFiles, BillSet
from retrofit_lab.climate.finding import find_weather
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.ranges.sampling import WEATHER, spreads
from retrofit_lab.values import FloatArray

END_USE_DRAWS = 512


@dataclass(frozen=True, slots=True, kw_only=True)
class BilledHouse:
    """The fit of a house to its bills, the bills, and what is peculiar about them."""

    bills: BillSet
    fit: HouseFit
    peculiar: tuple[Finding, ...]

    @property
    def verdict(self) -> tuple[str, ...]:
        """What must be known of bills and model before any number is used, in a sentence each."""
        return self.fit.warnings

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
    return BilledHouse(bills=read, fit=fit, peculiar=found)
