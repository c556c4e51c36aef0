"""A user's own prices and regional price level in place of the catalog's; everything that overrides a price is here.

The file is TOML::

    format = "retrofit-lab prices"
    version = 1
    cost_factor = 1.12                  # the catalog's prices times this; own prices are taken as they are
    source = "My price list, spring"    # for all entries that give none

    [prices.attic_insulation]           # a price each, in the unit of the catalog
    low = 1.5
    likely = 2.1
    high = 3.0
    year = 2026

    [prices.heat_pump_upgrade]          # one offer in writing for the whole job
    quote = 11250
    source = "Offer of 3 March"

With only ``likely`` given, low and high keep their distance from it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from retrofit_lab.base.units import for_people
from retrofit_lab.base.values import InputError, is_number_within, shown, shown_key
from retrofit_lab.measures.catalog import Cost, Measure, catalog
from retrofit_lab.measures.renamed import renamed
from retrofit_lab.texts.refusals import lines
from retrofit_lab.texts.refusals import told as refusal

FORMAT = "retrofit-lab prices"
VERSION = 1
ELSEWHERE = ("rebates", "money", "fuels")
"""Tables of a price file that are read elsewhere."""
MOST_BYTES = 200_000
FACTOR_RANGE = (0.2, 5.0)
MOST_DOLLARS = 500_000.0
YEARS = (1990, 2100)
MOST_LETTERS = 300
AMOUNTS = ("setup", "fixed", "low", "likely", "high", "minimum")
OWN_SOURCE = "own price"
OWN_MARK = "read"
"""An own price was read where its source says."""


class PriceError(InputError):
    """A file of own prices that cannot be used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPrices:
    """Price level against the catalog's [1] and the user's own prices by key of the measure."""

    cost_factor: float = 1.0
    costs: Mapping[str, Cost] = field(default_factory=dict)


def own_prices_from_table(table: Mapping[str, Any]) -> OwnPrices:
    """Own prices from the parsed content of a file.

    Raises
    ------
    PriceError
        With every problem found, one a line.
    """
    problems = [*_head_problems(table), *_price_problems(table)]
    if problems:
        raise PriceError(lines(problems))
    source = str(table.get("source", OWN_SOURCE))
    known = {measure.key: measure for measure in catalog()}
    return OwnPrices(
        cost_factor=float(table.get("cost_factor", 1.0)),
        costs={
            key: _own_cost(known[key].cost, {"source": source, **entry})
            for key, entry in table.get("prices", {}).items()
        },
    )


def with_own_prices(measures: Sequence[Measure], own: OwnPrices) -> tuple[Measure, ...]:
    """Measures at the user's prices: own ones as they stand, all others times the price level.

    Parameters
    ----------
    measures : sequence of Measure
        Measures at the catalog's prices.
    own : OwnPrices
        What overrides them. A study of these measures leaves its own cost factor at 1.
    """
    return tuple(replace(m, cost=_cost_of(m, own)) for m in measures)


def _cost_of(measure: Measure, own: OwnPrices) -> Cost:
    if measure.key in own.costs:
        return own.costs[measure.key]
    if own.cost_factor == 1.0:
        return measure.cost
    cost = measure.cost
    amounts: dict[str, Any] = {name: own.cost_factor * getattr(cost, name) for name in AMOUNTS}
    source = f"{cost.source}, times {own.cost_factor:g} for the region"
    return replace(cost, **amounts, source=source)


def _own_cost(cost: Cost, entry: Mapping[str, Any]) -> Cost:
    told: dict[str, Any] = {
        "source": entry["source"],
        "year": entry.get("year", cost.year),
        "mark": OWN_MARK,
    }
    if "quote" in entry:
        whole = float(entry["quote"])
        amounts: dict[str, Any] = {**dict.fromkeys(AMOUNTS, 0.0), "fixed": whole}
        return replace(cost, **amounts, visit="", **told)
    return replace(cost, **_amounts(cost, entry), **told)


def _amounts(cost: Cost, entry: Mapping[str, Any]) -> dict[str, Any]:
    amounts = {name: float(entry[name]) for name in AMOUNTS if name in entry}
    if "likely" in entry and not {"low", "high"} & entry.keys():
        ratio = float(entry["likely"]) / cost.likely if cost.likely > 0 else 0.0
        amounts["low"] = cost.low * ratio if cost.likely > 0 else float(entry["likely"])
        amounts["high"] = cost.high * ratio if cost.likely > 0 else float(entry["likely"])
    return amounts


def _head_problems(table: Mapping[str, Any]) -> Iterator[str]:
    known = ("format", "version", "cost_factor", "source", "prices")
    for name in sorted(table.keys() - set(known)):
        yield refusal("own_prices.key", name=shown_key(name), known=", ".join((*known, *ELSEWHERE)))
    if table.get("format") != FORMAT:
        yield refusal("own_prices.format", value=shown(table.get("format")), format=FORMAT)
    if table.get("version") != VERSION:
        yield refusal("own_prices.version", value=shown(table.get("version")), version=VERSION)
    low, high = FACTOR_RANGE
    if "cost_factor" in table and not is_number_within(table["cost_factor"], low, high):
        yield refusal(
            "own_prices.factor",
            value=shown(table["cost_factor"]),
            low=f"{low:g}",
            high=f"{high:g}",
        )
    if "source" in table:
        yield from _text_problems("source", table["source"])


def _price_problems(table: Mapping[str, Any]) -> Iterator[str]:
    prices = table.get("prices", {})
    if not isinstance(prices, Mapping):
        yield refusal("own_prices.tables", value=shown(prices))
        return
    known = {measure.key: measure.cost for measure in catalog()}
    for key, entry in prices.items():
        if key in renamed():
            yield _gone(key, known[renamed()[key]])
        elif key not in known:
            yield refusal("own_prices.no_measure", key=shown_key(key), known=", ".join(known))
        elif not isinstance(entry, Mapping):
            yield refusal("own_prices.table", key=key, value=shown(entry))
        else:
            yield from _entry_problems(f"prices.{key}", entry, known[key])


def _gone(key: str, cost: Cost) -> str:
    """A price of a measure that went; it was for another unit, so it is not carried over."""
    return refusal("own_prices.renamed", key=key, today=renamed()[key], unit=for_people(cost.unit))


def _entry_problems(path: str, entry: Mapping[str, Any], cost: Cost) -> Iterator[str]:
    wrong = [*_key_problems(path, entry), *_value_problems(path, entry)]
    yield from wrong
    if not wrong and "quote" not in entry:
        full = replace(cost, **_amounts(cost, entry))
        if not full.low <= full.likely <= full.high:
            yield refusal(
                "own_prices.rising",
                path=path,
                low=f"{full.low:g}",
                likely=f"{full.likely:g}",
                high=f"{full.high:g}",
            )


def _key_problems(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    known = ("quote", *AMOUNTS, "year", "source")
    for name in sorted(entry.keys() - set(known)):
        yield refusal(
            "own_prices.entry_key", path=path, name=shown_key(name), known=", ".join(known)
        )
    both = sorted(entry.keys() & set(AMOUNTS))
    if "quote" in entry and both:
        yield refusal("own_prices.quote", path=path, known=", ".join(both))
    if not entry.keys() & {"quote", *AMOUNTS}:
        yield refusal("own_prices.no_price", path=path)


def _value_problems(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    for name in ("quote", *AMOUNTS):
        if name in entry and not is_number_within(entry[name], 0.0, MOST_DOLLARS):
            yield refusal(
                "own_prices.dollars",
                path=path,
                name=name,
                value=shown(entry[name]),
                most=f"{MOST_DOLLARS:,.0f}",
            )
    first, last = YEARS
    year = entry.get("year", first)
    if not (isinstance(year, int) and is_number_within(year, first, last)):
        yield refusal("own_prices.year", path=path, value=shown(year), first=first, last=last)
    if "source" in entry:
        yield from _text_problems(f"{path}.source", entry["source"])


def _text_problems(path: str, text: Any) -> Iterator[str]:
    if not isinstance(text, str) or not 0 < len(text) <= MOST_LETTERS:
        yield refusal("own_prices.text", path=path, value=shown(text), most=MOST_LETTERS)
