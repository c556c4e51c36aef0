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
        yield f"fuels is {shown(prices)}; must be tables such as [fuels.electricity]. Write it so."
        return
    for fuel, entry in prices.items():
        path = f"fuels.{shown_key(fuel)}"
        if fuel not in fuels():
            yield f"{path}: there is no such fuel. Known are {', '.join(fuels())}. Choose among them."
        elif not isinstance(entry, Mapping):
            yield f"{path} is {shown(entry)}; must be a table with a price. Write [fuels.{fuel}]."
        else:
            yield from _tariff_problems(path, entry)


def _tariff_problems(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    wrong = [
        *unknown_keys(path, entry, KEYS),
        *_number(f"{path}.price", entry.get("price"), 0.0, MOST_PRICE, "Give dollars a unit."),
        *_number(
            f"{path}.fixed", entry.get("fixed", 0.0), 0.0, MOST_FIXED, "Give dollars a month."
        ),
        *_number(f"{path}.co2", entry.get("co2", 0.0), 0.0, MOST_CARBON, "Give kilograms a unit."),
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
            yield f"{path}: {error}"


def _words(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    day, source = entry.get("as_of"), entry.get("source")
    if isinstance(day, bool) or not (
        isinstance(day, str | int | date) and DATE.fullmatch(str(day))
    ):
        yield (
            f"{path}.as_of is {shown(day)}; must be the date of the price, such as '2026', '2026-03' or "
            f"'2026-03-15'. Read it off the bill or the rate sheet."
        )
    if not (isinstance(source, str) and 0 < len(source.strip()) <= MOST_LETTERS):
        yield (
            f"{path}.source is {shown(source)}; must be text of 1 to {MOST_LETTERS} letters. "
            f"Say who gives the price."
        )


def _rows(path: str, rows: Any, problems: Any) -> Iterator[str]:
    if not isinstance(rows, list) or len(rows) > MOST_ROWS:
        yield f"{path} is {shown(rows)}; must be a list of at most {MOST_ROWS} tables. Write [[{path}]]."
        return
    for place, row in enumerate(rows, 1):
        if isinstance(row, Mapping):
            yield from problems(f"{path}[{place}]", row)
        else:
            yield f"{path}[{place}] is {shown(row)}; must be a table. Write [[{path}]] above it."


def _tier_problems(path: str, row: Mapping[str, Any]) -> Iterator[str]:
    yield from unknown_keys(path, row, ("price", "up_to"))
    yield from _number(f"{path}.price", row.get("price"), 0.0, MOST_PRICE, "Give dollars a unit.")
    if "up_to" in row:
        rule = "Give units a month, or leave it out in the last tier."
        yield from _number(f"{path}.up_to", row["up_to"], 0.0, MOST_AMOUNT, rule)


def _period_problems(path: str, row: Mapping[str, Any]) -> Iterator[str]:
    yield from unknown_keys(path, row, PERIOD_KEYS)
    yield from _number(f"{path}.price", row.get("price"), 0.0, MOST_PRICE, "Give dollars a unit.")
    name, days, months = row.get("name"), row.get("days", "every day"), row.get("months", [1])
    if not (isinstance(name, str) and 0 < len(name) <= MOST_LETTERS):
        yield f"{path}.name is {shown(name)}; must be text. Call it as the rate sheet does."
    if (
        not _are_numbers(row.get("hours"), 2, 0.0, float(HOURS))
        or row["hours"][0] == row["hours"][1]
    ):
        yield (
            f"{path}.hours is {shown(row.get('hours'))}; must be two different hours from 0 to 24. "
            f"Write [16, 21] for 4 to 9 in the evening."
        )
    if not isinstance(days, str) or days not in DAYS:
        yield f"{path}.days is {shown(days)}; must be one of {', '.join(DAYS)}. Choose one."
    if not isinstance(months, list) or not months or not all(_is_month(month) for month in months):
        yield f"{path}.months is {shown(months)}; must be a list of months from 1 to 12. Write [6, 7, 8]."


def _sun_problems(path: str, sun: Any) -> Iterator[str]:
    if not isinstance(sun, Mapping):
        yield f"{path} is {shown(sun)}; must be a table with what is made each month. Write [{path}]."
        return
    yield from unknown_keys(path, sun, ("made", "credit", "carry"))
    if not _are_numbers(sun.get("made"), MONTHS, 0.0, MOST_AMOUNT):
        yield (
            f"{path}.made is {shown(sun.get('made'))}; must be twelve numbers, January to December. "
            f"Give what the panels make each month."
        )
    yield from _number(
        f"{path}.credit", sun.get("credit", 0.0), 0.0, MOST_PRICE, "Give dollars a unit."
    )
    if not isinstance(sun.get("carry", False), bool):
        yield f"{path}.carry is {shown(sun['carry'])}; must be true or false. Write it without quotes."


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
