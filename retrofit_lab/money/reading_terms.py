"""Terms of money and rebates from the tables of a price file; the file itself is opened elsewhere."""

from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.values import is_number_within, shown, shown_key
from retrofit_lab.money.factors import real_rate
from retrofit_lab.money.problem import MoneyError, unknown_keys
from retrofit_lab.money.reading_tariffs import tariff_from_table, tariffs_problems
from retrofit_lab.money.rebates import LEAST_PERCENT, Rebate
from retrofit_lab.money.terms import (
    CARBON_RANGE,
    ESCALATION_RANGE,
    INFLATION_RANGE,
    PERIOD_RANGE,
    RATE_RANGE,
    MoneyTerms,
)

TERMS = (
    "discount_rate",
    "nominal_discount_rate",
    "inflation",
    "period_years",
    "escalation",
    "carbon_price",
    "replaced_anyway",
)
REBATE_KEYS = tuple(f.name for f in fields(Rebate))
RATES = {
    "discount_rate": RATE_RANGE,
    "nominal_discount_rate": (0.0, 0.4),
    "inflation": INFLATION_RANGE,
}
MOST_REBATES = 100
MOST_LETTERS = 300
MOST_DOLLARS = 1e6


def terms_from_tables(money: Any, rebates: Any, prices: Any) -> MoneyTerms:
    """Terms from the tables ``[money]``, ``[[rebates]]`` and ``[fuels]``.

    Raises
    ------
    MoneyError
        With every problem found, one a line: key, value, rule and way out.
    """
    problems = [*_money_problems(money), *_rebates_problems(rebates), *tariffs_problems(prices)]
    if problems:
        raise MoneyError("\n".join(problems))
    return MoneyTerms(
        **_with_real_rate(money),
        rebates=tuple(_rebate(entry) for entry in rebates),
        fuel_prices={fuel: tariff_from_table(entry) for fuel, entry in prices.items()},
    )


def _money_problems(money: Any) -> Iterator[str]:
    if not isinstance(money, Mapping):
        yield f"money is {shown(money)}; must be a table. Write [money] on a line of its own."
        return
    yield from unknown_keys("money", money, TERMS)
    for key, (low, high) in RATES.items():
        if key in money:
            yield from rate_problems(f"money.{key}", money[key], low, high)
    yield from _two_rates(money)
    if "carbon_price" in money and not is_number_within(money["carbon_price"], *CARBON_RANGE):
        yield (
            f"money.carbon_price is {shown(money['carbon_price'])}; must be {CARBON_RANGE[0]:g} to "
            f"{CARBON_RANGE[1]:,.0f} dollars a metric ton of CO2. Write 50 for 50 dollars."
        )
    if "period_years" in money and not _is_whole(money["period_years"], *PERIOD_RANGE):
        low, high = PERIOD_RANGE
        yield (
            f"money.period_years is {shown(money['period_years'])}; must be a whole number of years "
            f"from {low} to {high}. Write 20 for twenty years."
        )
    paths = money.get("replaced_anyway", [])
    if not isinstance(paths, list) or not all(isinstance(path, str) for path in paths):
        yield (
            f"money.replaced_anyway is {shown(paths)}; must be a list of equipment of the house. "
            f'Write ["fuel_heaters.furnace"], or leave it out.'
        )
    yield from _escalation_problems(money.get("escalation", {}))


def _two_rates(money: Mapping[str, Any]) -> Iterator[str]:
    """A nominal rate needs the inflation that it holds, and takes the place of the real one."""
    if "nominal_discount_rate" not in money:
        return
    if "discount_rate" in money:
        yield (
            "money: discount_rate is the rate above inflation, nominal_discount_rate the one with it; "
            "both are given. Leave one out."
        )
    elif "inflation" not in money:
        yield "money.nominal_discount_rate: the inflation in it is missing. Add inflation, such as 0.02."
    elif all(
        is_number_within(money[key], *RATES[key]) for key in ("nominal_discount_rate", "inflation")
    ):
        real = real_rate(float(money["nominal_discount_rate"]), float(money["inflation"]))
        if not RATE_RANGE[0] <= real <= RATE_RANGE[1]:
            yield (
                f"money.nominal_discount_rate is {money['nominal_discount_rate']:g} with inflation "
                f"{money['inflation']:g}, so {real:.4f} above it; must be {RATE_RANGE[0]:g} to "
                f"{RATE_RANGE[1]:g} above it. Check both."
            )


def _with_real_rate(money: Mapping[str, Any]) -> dict[str, Any]:
    terms = {**money, "replaced_anyway": tuple(money.get("replaced_anyway", ()))}
    if "nominal_discount_rate" in terms:
        nominal = float(terms.pop("nominal_discount_rate"))
        terms["discount_rate"] = float(real_rate(nominal, float(terms["inflation"])))
    return terms


def _escalation_problems(rises: Any) -> Iterator[str]:
    path = "money.escalation"
    if not isinstance(rises, Mapping):
        yield (
            f"{path} is {shown(rises)}; must be a table of fuels. Write {{ electricity = 0.01 }} for a "
            f"rise of 1 % a year above inflation."
        )
        return
    for fuel, rise in rises.items():
        if fuel in fuels():
            yield from rate_problems(f"{path}.{fuel}", rise, *ESCALATION_RANGE)
        else:
            yield (
                f"{path}.{shown_key(fuel)}: there is no such fuel. Known are {', '.join(fuels())}. "
                f"Choose among them."
            )


def rate_problems(path: str, value: Any, low: float, high: float) -> Iterator[str]:
    """What is wrong with a yearly rate, which is a fraction; one that looks like percent is told both readings."""
    if is_number_within(value, low, high):
        return
    told = f"{path} is {shown(value)}; must be a fraction from {low:g} to {high:g}."
    if is_number_within(value, 100.0 * low, 100.0 * high):
        yield f"{told} Write {value / 100.0:g} for {value:g} %; {value:g} itself would be {100.0 * value:g} %."
    else:
        yield f"{told} Write 0.03 for 3 %."


def _rebates_problems(rebates: Any) -> Iterator[str]:
    if not isinstance(rebates, list):
        yield f"rebates is {shown(rebates)}; must be a list of tables. Write [[rebates]] above each entry."
        return
    if len(rebates) > MOST_REBATES:
        yield f"rebates: {len(rebates)} entries; must be at most {MOST_REBATES}. Take some out."
        return
    for place, entry in enumerate(rebates, 1):
        yield from _rebate_problems(f"rebates[{place}]", entry)


def _rebate_problems(path: str, entry: Any) -> Iterator[str]:
    if not isinstance(entry, Mapping):
        yield f"{path} is {shown(entry)}; must be a table with a name and an amount or a percent. Write one."
        return
    wrong = [*unknown_keys(path, entry, REBATE_KEYS), *_rebate_values(path, entry)]
    yield from wrong
    if not wrong:
        try:
            _rebate(entry)
        except MoneyError as error:
            yield f"{path}: {error}"


def _rebate_values(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    name = entry.get("name")
    if not isinstance(name, str) or not 0 < len(name.strip()) <= MOST_LETTERS:
        yield (
            f"{path}.name is {shown(name)}; must be text of 1 to {MOST_LETTERS} letters. "
            f"Enter who gives it."
        )
    for key in ("amount", "cap"):
        if key in entry and not is_number_within(entry[key], 0.0, MOST_DOLLARS):
            yield (
                f"{path}.{key} is {shown(entry[key])}; must be a number of dollars from 0 to "
                f"{MOST_DOLLARS:,.0f}. Give it without a sign or a unit."
            )
    if "percent" in entry and not is_number_within(entry["percent"], 0.0, 100.0):
        yield (
            f"{path}.percent is {shown(entry['percent'])}; must be {LEAST_PERCENT:g} to 100. "
            f"Write 30 for 30 %."
        )
    measures = entry.get("measures", [])
    if not isinstance(measures, list) or not all(isinstance(key, str) for key in measures):
        yield (
            f"{path}.measures is {shown(measures)}; must be a list of measures. "
            f'Write ["attic_insulation"], or leave it out for all.'
        )


def _rebate(entry: Mapping[str, Any]) -> Rebate:
    return Rebate(**{**entry, "measures": tuple(entry.get("measures", ()))})


def _is_whole(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and is_number_within(value, low, high)
