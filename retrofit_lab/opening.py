"""Opens a study from files: a house, its bills, and a user's own prices, rebates and terms of money."""

import tomllib
from collections.abc import Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any

from retrofit_lab.bills.record import BillFiles
from retrofit_lab.climate.finding import ClimateError, find_climate
from retrofit_lab.house.file import load_house
from retrofit_lab.measures.catalogue import Measure, catalogue
from retrofit_lab.measures.own_prices import (
    MOST_BYTES,
    PriceError,
    own_prices_from_table,
    with_own_prices,
)
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study import Study

TERMS = ("discount_rate", "period_years", "escalation")


def open_study(house: str | Path, *, bills: str | BillFiles = "", prices: str = "") -> Study:
    """Study of a house file.

    Parameters
    ----------
    house : str or Path
        House file; weather and bills that it names are looked for beside it.
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
    try:
        climate = find_climate(described.site.climate, str(path.parent))
    except ClimateError as error:
        raise ClimateError(f"{path.name}: site.climate: {error}") from error
    return Study(
        described, climate, measures=measures, terms=terms, folder=str(path.parent), bills=bills
    )


def prices_and_terms(prices: str = "") -> tuple[tuple[Measure, ...], MoneyTerms]:
    """The catalogue's measures and terms, or a user's own where a file is named; see `own_terms`."""
    return own_terms(prices) if prices else (catalogue(), MoneyTerms())


def own_terms(path: str | Path) -> tuple[tuple[Measure, ...], MoneyTerms]:
    """Measures at a user's own prices, and the user's terms of money.

    Raises
    ------
    InputError
        Naming the file, the key, the value, the rule and the way out.
    """
    path = Path(path)
    try:
        table = _table(path)
        terms = _terms(table.pop("money", {}), table.pop("rebates", []))
        return with_own_prices(catalogue(), own_prices_from_table(table)), terms
    except (PriceError, MoneyError) as error:
        lines = "\n".join(f"{path.name}: {line}" for line in str(error).splitlines())
        raise type(error)(lines) from error


def _table(path: Path) -> dict[str, Any]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise PriceError(f"larger than {MOST_BYTES:,} bytes. Give a price file.")
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise PriceError("there is no such file. Check the name and the folder.") from None
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise PriceError(f"it is not a readable price file: {error}. Mend that line.") from error


def _terms(money: Any, rebates: Any) -> MoneyTerms:
    if not isinstance(money, Mapping) or not isinstance(rebates, list):
        raise MoneyError("[money] and [[rebates]] must be tables. Compare with the example.")
    unknown = sorted(money.keys() - set(TERMS))
    if unknown:
        raise MoneyError(f"money.{unknown[0]}: unknown key. Known here are {', '.join(TERMS)}.")
    try:
        return MoneyTerms(**money, rebates=tuple(_rebate(entry) for entry in rebates))
    except TypeError as error:
        raise MoneyError(f"[money]: {error}. Enter numbers: 0.03 is 3 %.") from error


def _rebate(entry: Any) -> Rebate:
    known = {f.name for f in fields(Rebate)}
    if not isinstance(entry, Mapping) or not entry.keys() <= known:
        raise MoneyError(
            f"[[rebates]]: {entry!r} is no entry. Known keys are {', '.join(sorted(known))}."
        )
    given: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in entry.items()}
    return Rebate(**given)
