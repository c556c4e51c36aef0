"""Opens a study from files: a house, its bills, and a user's own prices, rebates and terms of money."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from retrofit_lab.base.toml_file import toml_table
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.climate.locating import ClimateError, find_climate
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house
from retrofit_lab.house.finished_jobs import finished_jobs, record_beside
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.catalog import Measure, catalog
from retrofit_lab.measures.own_prices import (
    MOST_BYTES,
    PriceError,
    own_prices_from_table,
    with_own_prices,
)
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.money.purchase import check_rebates
from retrofit_lab.money.reading_terms import terms_from_tables
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import lines, lines_of, told
from retrofit_lab.uncertainty.learning import Learned, learned

T = TypeVar("T")


def open_study(
    house: str | Path,
    *,
    climate: str | MonthlyClimate = "",
    bills: str | BillFiles = "",
    prices: str = "",
) -> Study:
    """Study of a house file.

    Parameters
    ----------
    house : str or Path
        House file; weather and bills that it names are looked for beside it, the record of finished jobs
        beside its folder.
    climate : str or MonthlyClimate
        A ZIP code, a station or a weather file, in place of what the house names.
    bills : str or BillFiles
        Files with bills, in place of what the house names, and the weather of their days.
    prices : str
        File with own prices, and under ``[money]`` and ``[[rebates]]`` own terms.

    Raises
    ------
    InputError
        When one of the files cannot be used; names file, field, value, rule and way out.
    """
    path = Path(house)
    measures, terms = prices_and_terms(prices)
    described = load_house(path)
    if isinstance(climate, str) and climate:
        described = with_numbers(described, {"site.climate": climate})
    if isinstance(climate, str):
        climate = _climate_of(described, path)
    _check_weather_of_bills(path.name, described, bills)
    return Study(
        described,
        climate,
        measures=measures,
        terms=terms,
        folder=str(path.parent),
        bills=bills,
        learned=learned_beside(path),
    )


def learned_beside(house: Path) -> Learned:
    """What the finished jobs say whose record stands beside the folder of a job; nothing of this job itself."""
    own = house.resolve().parent.name
    return learned([job for job in finished_jobs(record_beside(house)) if job.job != own])


def _climate_of(house: House, path: Path) -> MonthlyClimate:
    try:
        return find_climate(house.site.climate, str(path.parent))
    except ClimateError as error:
        raise ClimateError(f"{path.name}: site.climate: {error}") from error


def _check_weather_of_bills(name: str, house: House, bills: str | BillFiles) -> None:
    """Daily temperatures are of use with bills only; given without, they must not seem to count."""
    if isinstance(bills, BillFiles) and bills.weather and not (bills.paths or house.bills):
        raise InputError(told("opening.weather", name=name, weather=Path(bills.weather).name))


def prices_and_terms(prices: str = "") -> tuple[tuple[Measure, ...], MoneyTerms]:
    """The catalog's measures and terms, or a user's own where a file is named; see `own_terms`."""
    return own_terms(prices) if prices else (catalog(), MoneyTerms())


def own_terms(path: str | Path) -> tuple[tuple[Measure, ...], MoneyTerms]:
    """Measures at a user's own prices, and the user's terms of money.

    Raises
    ------
    InputError
        Naming the file, the key, the value, the rule and the way out.
    """
    path = Path(path)
    try:
        table = toml_table(path, "price file", MOST_BYTES)
        return _own_terms(table)
    except InputError as error:
        problems = (told("money.at", path=path.name, problem=line) for line in lines_of(error))
        raise PriceError(lines(problems)) from error


def _own_terms(table: dict[str, Any]) -> tuple[tuple[Measure, ...], MoneyTerms]:
    tables = table.pop("money", {}), table.pop("rebates", []), table.pop("fuels", {})
    own, problems = _tried(own_prices_from_table, table)
    terms, more = _tried(_known_terms, *tables)
    if own is None or terms is None:
        raise PriceError(lines([*problems, *more]))
    return with_own_prices(catalog(), own), terms


def _known_terms(money: Any, rebates: Any, prices: Any) -> MoneyTerms:
    """Terms whose rebates are about measures that there are."""
    terms = terms_from_tables(money, rebates, prices)
    today = (replace(rebate, measures=todays_keys(rebate.measures)) for rebate in terms.rebates)
    terms = replace(terms, rebates=tuple(today))
    check_rebates(terms.rebates, [measure.key for measure in catalog()])
    return terms


def _tried(read: Callable[..., T], *content: Any) -> tuple[T | None, list[str]]:
    """What was read, or the sentences on why it was not."""
    try:
        return read(*content), []
    except InputError as error:
        return None, list(lines_of(error))
