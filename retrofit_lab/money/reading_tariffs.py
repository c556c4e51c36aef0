"""Prices and rates of fuels from the table ``[fuels]`` of a price file; what they cost is worked out elsewhere."""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.sums import MONTHS
from retrofit_lab.base.values import is_number_within, shown, shown_key
from retrofit_lab.money.problem import MoneyError, unknown_keys
from retrofit_lab.money.tariffs import DAYS, HOURS, NetMetering, Period, Tariff, Tier
from retrofit_lab.texts.refusals import told

KEYS = ("price", "fixed", "as_of", "source", "tiers", "time_of_use", "net_metering", "co2")
PERIOD_KEYS = ("name", "price", "hours", "days", "months")
MOST_PRICE = 2000.0
MOST_FIXED = 500.0
MOST_AMOUNT = 1e6
MOST_CARBON = 3000.0
"""Carbon dioxide of a unit, the largest of which is a cord of wood. [kg/unit]"""
MOST_ROWS = 24
MOST_LETTERS = 300
DATE = re.compile(r"\d{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?)?")
"""A year, a month or a day, as 2026, 2026-03 or 2026-03-15."""


def tariff_from_table(table: Mapping[str, Any]) -> Tariff:
    """Rate of one fuel from a table in which `tariffs_problems` finds nothing."""
    sun, co2 = table.get("net_metering"), table.get("co2")
    periods = [{**row, "hours": tuple(row["hours"])} for row in table.get("time_of_use", ())]
    return Tariff(
        price=float(table["price"]),
        fixed=float(table.get("fixed", 0.0)),
        as_of=str(table["as_of"]),
        source=table["source"],
        tiers=tuple(Tier(**row) for row in table.get("tiers", ())),
        time_of_use=tuple(
            Period(**{**row, "months": tuple(row["months"])} if "months" in row else row)
            for row in periods
        ),
        net_metering=NetMetering(**{**sun, "made": tuple(sun["made"])}) if sun else None,
        co2=None if co2 is None else float(co2),
    )


def tariffs_problems(prices: Any) -> Iterator[str]:
    """What is wrong with the table ``[fuels]``, a sentence each."""
    if not isinstance(prices, Mapping):
        yield told("tariff_file.tables", value=shown(prices))
        return
    for fuel, entry in prices.items():
        path = f"fuels.{shown_key(fuel)}"
        if fuel not in fuels():
            yield told("tariff_file.no_fuel", path=path, known=", ".join(fuels()))
        elif not isinstance(entry, Mapping):
            yield told("tariff_file.table", path=path, value=shown(entry), fuel=fuel)
        else:
            yield from _tariff_problems(path, entry)


def _tariff_problems(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    wrong = [
        *unknown_keys(path, entry, KEYS),
        *_number(f"{path}.price", entry.get("price"), 0.0, MOST_PRICE, told("tariff_file.dollars")),
        *_number(
            f"{path}.fixed", entry.get("fixed", 0.0), 0.0, MOST_FIXED, told("tariff_file.monthly")
        ),
        *_number(
            f"{path}.co2", entry.get("co2", 0.0), 0.0, MOST_CARBON, told("tariff_file.kilograms")
        ),
        *_words(path, entry),
        *_rows(f"{path}.tiers", entry.get("tiers", []), _tier_problems),
        *_rows(f"{path}.time_of_use", entry.get("time_of_use", []), _period_problems),
        *_sun_problems(f"{path}.net_metering", entry.get("net_metering", {"made": [0.0] * MONTHS})),
    ]
    yield from wrong
    if not wrong:
        try:
            tariff_from_table(entry)
        except MoneyError as error:
            yield told("money.at", path=path, problem=error)


def _words(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    day, source = entry.get("as_of"), entry.get("source")
    if isinstance(day, bool) or not (
        isinstance(day, str | int | date) and DATE.fullmatch(str(day))
    ):
        yield told("tariff_file.as_of", path=path, value=shown(day))
    if not (isinstance(source, str) and 0 < len(source.strip()) <= MOST_LETTERS):
        yield told("tariff_file.source", path=path, value=shown(source), most=MOST_LETTERS)


def _rows(path: str, rows: Any, problems: Any) -> Iterator[str]:
    if not isinstance(rows, list) or len(rows) > MOST_ROWS:
        yield told("tariff_file.list", path=path, value=shown(rows), most=MOST_ROWS)
        return
    for place, row in enumerate(rows, 1):
        if isinstance(row, Mapping):
            yield from problems(f"{path}[{place}]", row)
        else:
            yield told("tariff_file.row", path=path, place=place, value=shown(row))


def _tier_problems(path: str, row: Mapping[str, Any]) -> Iterator[str]:
    yield from unknown_keys(path, row, ("price", "up_to"))
    yield from _number(
        f"{path}.price", row.get("price"), 0.0, MOST_PRICE, told("tariff_file.dollars")
    )
    if "up_to" in row:
        rule = told("tariff_file.units")
        yield from _number(f"{path}.up_to", row["up_to"], 0.0, MOST_AMOUNT, rule)


def _period_problems(path: str, row: Mapping[str, Any]) -> Iterator[str]:
    yield from unknown_keys(path, row, PERIOD_KEYS)
    yield from _number(
        f"{path}.price", row.get("price"), 0.0, MOST_PRICE, told("tariff_file.dollars")
    )
    name, days, months = row.get("name"), row.get("days", "every day"), row.get("months", [1])
    if not (isinstance(name, str) and 0 < len(name) <= MOST_LETTERS):
        yield told("tariff_file.name", path=path, value=shown(name))
    if (
        not _are_numbers(row.get("hours"), 2, 0.0, float(HOURS))
        or row["hours"][0] == row["hours"][1]
    ):
        yield told("tariff_file.hours", path=path, value=shown(row.get("hours")))
    if not isinstance(days, str) or days not in DAYS:
        yield told("tariff_file.days", path=path, value=shown(days), known=", ".join(DAYS))
    if not isinstance(months, list) or not months or not all(_is_month(month) for month in months):
        yield told("tariff_file.months", path=path, value=shown(months))


def _sun_problems(path: str, sun: Any) -> Iterator[str]:
    if not isinstance(sun, Mapping):
        yield told("tariff_file.sun", path=path, value=shown(sun))
        return
    yield from unknown_keys(path, sun, ("made", "credit", "carry"))
    if not _are_numbers(sun.get("made"), MONTHS, 0.0, MOST_AMOUNT):
        yield told("tariff_file.made", path=path, value=shown(sun.get("made")))
    yield from _number(
        f"{path}.credit", sun.get("credit", 0.0), 0.0, MOST_PRICE, told("tariff_file.dollars")
    )
    if not isinstance(sun.get("carry", False), bool):
        yield told("tariff_file.carry", path=path, value=shown(sun["carry"]))


def _number(path: str, value: Any, low: float, high: float, way_out: str) -> Iterator[str]:
    if not is_number_within(value, low, high):
        yield f"{path} is {shown(value)}; must be a number from {low:g} to {high:,.0f}. {way_out}"


def _are_numbers(values: Any, count: int, low: float, high: float) -> bool:
    return (
        isinstance(values, list)
        and len(values) == count
        and all(is_number_within(value, low, high) for value in values)
    )


def _is_month(value: Any) -> bool:
    return isinstance(value, int) and is_number_within(value, 1, MONTHS)
