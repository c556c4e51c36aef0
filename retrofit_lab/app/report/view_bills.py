"""Turns bills, and what came after the work, into sentences and cells."""

from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.shared.words import Words
from retrofit_lab.bills.fitting.house_fit import NumberMoved
from retrofit_lab.bills.fitting.splitting import Estimate
from retrofit_lab.proposals.bills_beside import BillRow, Bills, CameRow
from retrofit_lab.proposals.content import ReportContent
from retrofit_lab.texts import LANGUAGES


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What was found after the work: the second blower-door reading [cfm at 50 Pa] and the bills.

    ``measured_days`` says whether temperatures of the days on the bills were given.
    """

    leakage: float | None = None
    rows: tuple[CameRow, ...] = ()
    measured_days: bool = False


def bills(given: Bills | None, words: Words) -> dict[str, Any]:
    """Bills beside the model, what the fit moved, and what is odd."""
    if given is None:
        return {"rows": [], "texts": [words.say("uses.bills_none")], "peculiar": []}
    lead = "uses.bills_lead" if given.used else "uses.bills_lead_unused"
    told = given.read if words.language == LANGUAGES[0] else ()
    texts = [words.say(lead), *(told or [words.say("uses.bills_file", file=given.file)])]
    texts += [verdict.sentence(words.language) for verdict in given.verdicts]
    for fuel, days in given.short:
        texts.append(words.say("uses.bills_short", fuel=words.say(f"fuel.{fuel}"), days=days))
    far = [words.say(f"fuel.{row.fuel}") for row in given.rows if row.far]
    texts += [words.say("uses.bills_far", fuel=fuel) for fuel in far]
    if given.moved:
        names = "; ".join(_moved(number, words) for number in given.moved)
        texts.append(words.say("uses.bills_moved", numbers=names))
    return {
        "rows": [_bill(row, words) for row in given.rows],
        "texts": texts,
        "peculiar": [found.told(words.language) for found in given.peculiar],
    }


def _moved(number: NumberMoved, words: Words) -> str:
    before, after = (words.quantity(value, number.unit) for value in (number.before, number.after))
    what = words.names.parameter_named(number.label)
    return words.say("uses.bills_number", what=what, before=before, after=after)


def _bill(row: BillRow, words: Words) -> tuple[str, ...]:
    amounts = (words.fuel(n, row.fuel) for n in (row.billed, row.stated, row.fitted))
    name = words.say(f"fuel.{row.fuel}")
    return (name, f"{row.days:,}", *amounts, f"{row.difference:+.0%}")


def _estimate(estimate: Estimate | None, fuel: str, words: Words) -> str:
    """A number of a fuel with its range, or nothing."""
    if estimate is None:
        return ""
    numbers = (estimate.value, estimate.low, estimate.high)
    likely, low, high = (f"{words.amount(n, fuel):,.0f}" for n in numbers)
    return f"{words.within(likely, low, high)} {words.fuel_units(fuel)}"


def after(content: ReportContent, came: After, words: Words) -> dict[str, Any]:
    """What was promised and what came, or blanks to fill."""
    saving = words.saving(content.order.saving)
    rows = [_came(row, words) for row in came.rows] or _blanks(content, words)
    return {
        "blower": _blower(content, came, words),
        "rows": rows,
        "came": bool(came.rows),
        "verdicts": [_verdict(row, words) for row in came.rows],
        "typical": words.say("after.weather_typical") if not came.measured_days else "",
        "range": words.say("after.range", saving=saving),
    }


def _blower(content: ReportContent, came: After, words: Words) -> str:
    before, expected = (words.flow(flow) for flow in content.leakage)
    if came.leakage is None:
        unit = words.number(0.0, "cfm")[1]
        return words.say("after.blower_line", before=before, expected=expected, unit=unit)
    measured = words.flow(came.leakage)
    line = words.say("after.measured", before=before, expected=expected, measured=measured)
    tight = came.leakage <= content.leakage[1]
    return f"{line} {words.say('after.tighter' if tight else 'after.leakier')}"


def _blanks(content: ReportContent, words: Words) -> list[tuple[str, ...]]:
    result, rows = content.result, []
    for row in content.prices:
        totals = (result.before.fuel_total(row.fuel), result.after.fuel_total(row.fuel))
        amounts = (words.fuel(total, row.fuel) for total in totals)
        rows.append((words.say(f"fuel.{row.fuel}"), *amounts, ""))
    return rows


def _came(row: CameRow, words: Words) -> tuple[str, ...]:
    numbers = (_estimate(number, row.fuel, words) for number in (row.before, row.after, row.saved))
    promised = words.fuel(row.promised, row.fuel)
    return (words.say(f"fuel.{row.fuel}"), *numbers, promised)


def _verdict(row: CameRow, words: Words) -> str:
    fuel = words.say(f"fuel.{row.fuel}")
    fuel = fuel[:1].upper() + fuel[1:]
    if row.saved is None:
        return words.say("after.unclear", fuel=fuel)
    if row.saved.low <= row.promised <= row.saved.high:
        return words.say("after.within", fuel=fuel)
    return words.say("after.below" if row.promised > row.saved.high else "after.above", fuel=fuel)
