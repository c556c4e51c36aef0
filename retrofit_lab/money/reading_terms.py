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
from retrofit_lab.texts.refusals import lines
from retrofit_lab.texts.refusals import told as refusal

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
        raise MoneyError(lines(problems))
    return MoneyTerms(
        **_with_real_rate(money),
        rebates=tuple(_rebate(entry) for entry in rebates),
        fuel_prices={fuel: tariff_from_table(entry) for fuel, entry in prices.items()},
    )


def _money_problems(money: Any) -> Iterator[str]:
    if not isinstance(money, Mapping):
        yield refusal("terms_file.table", value=shown(money))
        return
    yield from unknown_keys("money", money, TERMS)
    for key, (low, high) in RATES.items():
        if key in money:
            yield from rate_problems(f"money.{key}", money[key], low, high)
    yield from _two_rates(money)
    if "carbon_price" in money and not is_number_within(money["carbon_price"], *CARBON_RANGE):
        yield refusal(
            "terms_file.carbon",
            value=shown(money["carbon_price"]),
            low=f"{CARBON_RANGE[0]:g}",
            high=f"{CARBON_RANGE[1]:,.0f}",
        )
    if "period_years" in money and not _is_whole(money["period_years"], *PERIOD_RANGE):
        low, high = PERIOD_RANGE
        yield refusal("terms_file.period", value=shown(money["period_years"]), low=low, high=high)
    paths = money.get("replaced_anyway", [])
    if not isinstance(paths, list) or not all(isinstance(path, str) for path in paths):
        yield refusal("terms_file.anyway", value=shown(paths))
    yield from _escalation_problems(money.get("escalation", {}))


def _two_rates(money: Mapping[str, Any]) -> Iterator[str]:
    """A nominal rate needs the inflation that it holds, and takes the place of the real one."""
    if "nominal_discount_rate" not in money:
        return
    if "discount_rate" in money:
        yield refusal("terms_file.two_rates")
    elif "inflation" not in money:
        yield refusal("terms_file.inflation")
    elif all(
        is_number_within(money[key], *RATES[key]) for key in ("nominal_discount_rate", "inflation")
    ):
        real = real_rate(float(money["nominal_discount_rate"]), float(money["inflation"]))
        if not RATE_RANGE[0] <= real <= RATE_RANGE[1]:
            yield refusal(
                "terms_file.real",
                rate=f"{money['nominal_discount_rate']:g}",
                inflation=f"{money['inflation']:g}",
                real=f"{real:.4f}",
                low=f"{RATE_RANGE[0]:g}",
                high=f"{RATE_RANGE[1]:g}",
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
        yield refusal("terms_file.rises", path=path, value=shown(rises))
        return
    for fuel, rise in rises.items():
        if fuel in fuels():
            yield from rate_problems(f"{path}.{fuel}", rise, *ESCALATION_RANGE)
        else:
            yield refusal(
                "terms_file.no_fuel", path=path, fuel=shown_key(fuel), known=", ".join(fuels())
            )


def rate_problems(path: str, value: Any, low: float, high: float) -> Iterator[str]:
    """What is wrong with a yearly rate, which is a fraction; one that looks like percent is told both readings."""
    if is_number_within(value, low, high):
        return
    which = {"path": path, "value": shown(value), "low": f"{low:g}", "high": f"{high:g}"}
    if is_number_within(value, 100.0 * low, 100.0 * high):
        read = {
            "fraction": f"{value / 100.0:g}",
            "typed": f"{value:g}",
            "wrong": f"{100.0 * value:g}",
        }
        yield refusal("terms_file.percent_for_rate", **which, **read)
    else:
        yield refusal("terms_file.rate", **which)


def _rebates_problems(rebates: Any) -> Iterator[str]:
    if not isinstance(rebates, list):
        yield refusal("terms_file.rebates", value=shown(rebates))
        return
    if len(rebates) > MOST_REBATES:
        yield refusal("terms_file.many", count=len(rebates), most=MOST_REBATES)
        return
    for place, entry in enumerate(rebates, 1):
        yield from _rebate_problems(f"rebates[{place}]", entry)


def _rebate_problems(path: str, entry: Any) -> Iterator[str]:
    if not isinstance(entry, Mapping):
        yield refusal("terms_file.rebate", path=path, value=shown(entry))
        return
    wrong = [*unknown_keys(path, entry, REBATE_KEYS), *_rebate_values(path, entry)]
    yield from wrong
    if not wrong:
        try:
            _rebate(entry)
        except MoneyError as error:
            yield refusal("money.at", path=path, problem=error)


def _rebate_values(path: str, entry: Mapping[str, Any]) -> Iterator[str]:
    name = entry.get("name")
    if not isinstance(name, str) or not 0 < len(name.strip()) <= MOST_LETTERS:
        yield refusal("terms_file.name", path=path, value=shown(name), most=MOST_LETTERS)
    for key in ("amount", "cap"):
        if key in entry and not is_number_within(entry[key], 0.0, MOST_DOLLARS):
            yield refusal(
                "terms_file.dollars",
                path=path,
                key=key,
                value=shown(entry[key]),
                most=f"{MOST_DOLLARS:,.0f}",
            )
    if "percent" in entry and not is_number_within(entry["percent"], 0.0, 100.0):
        yield refusal(
            "terms_file.percent",
            path=path,
            value=shown(entry["percent"]),
            least=f"{LEAST_PERCENT:g}",
        )
    measures = entry.get("measures", [])
    if not isinstance(measures, list) or not all(isinstance(key, str) for key in measures):
        yield refusal("terms_file.measures", path=path, value=shown(measures))


def _rebate(entry: Mapping[str, Any]) -> Rebate:
    return Rebate(**{**entry, "measures": tuple(entry.get("measures", ()))})


def _is_whole(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and is_number_within(value, low, high)
