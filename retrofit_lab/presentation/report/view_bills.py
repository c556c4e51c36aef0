"""Turns bills, and what came after the work, into sentences and cells."""

from dataclasses import dataclass
from typing import Any

from retrofit_lab.bills.splitting import Estimate
from retrofit_lab.money.terms import fuels
from retrofit_lab.presentation.report.bills_beside import BillRow, CameRow
from retrofit_lab.presentation.report.content import ReportContent
from retrofit_lab.presentation.report.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Bills:
    """Bills of the house from ``file``; ``measured_days`` when temperatures of their days were given."""

    file: str
    measured_days: bool
    rows: tuple[BillRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What was measured after the work: the second blower-door reading [cfm at 50 Pa] and the bills."""

    leakage: float | None = None
    rows: tuple[CameRow, ...] = ()


def bills(given: Bills | None, words: Words) -> dict[str, Any]:
    """Bills beside the model."""
    if given is None:
        return {"rows": [], "texts": [words.say("uses.bills_none")]}
    texts = [words.say("uses.bills_lead"), words.say("uses.bills_file", file=given.file)]
    if not given.measured_days:
        texts.append(words.say("uses.bills_weather"))
    for row in given.rows:
        fuel = words.say(f"fuel.{row.fuel}")
        if row.billed is None:
            texts.append(words.say("uses.bills_short", fuel=fuel, days=row.days))
        elif row.far:
            texts.append(words.say("uses.bills_far", fuel=fuel))
    return {"rows": [_bill(row, words) for row in given.rows], "texts": texts}


def _bill(row: BillRow, words: Words) -> tuple[str, ...]:
    modelled = f"{row.modelled:,.0f} {_unit(row.fuel, words)}"
    difference = f"{row.difference:+.0%}" if row.billed else ""
    billed = _estimate(row.billed, row.fuel, words)
    return (words.say(f"fuel.{row.fuel}"), f"{row.days:,}", billed, modelled, difference)


def _unit(fuel: str, words: Words) -> str:
    return words.word(fuels()[fuel].unit)


def _estimate(estimate: Estimate | None, fuel: str, words: Words) -> str:
    """A number of a fuel with its range, or nothing."""
    if estimate is None:
        return ""
    likely, low, high = (f"{n:,.0f}" for n in (estimate.value, estimate.low, estimate.high))
    return f"{words.within(likely, low, high)} {_unit(fuel, words)}"


def after(content: ReportContent, came: After, words: Words) -> dict[str, Any]:
    """What was promised and what came, or blanks to fill."""
    saving = words.saving(content.result.saved, content.order.saving)
    rows = [_came(row, words) for row in came.rows] or _blanks(content, words)
    return {
        "blower": _blower(content, came, words),
        "rows": rows,
        "came": bool(came.rows),
        "verdicts": [_verdict(row, words) for row in came.rows],
        "range": words.say("after.range", saving=saving),
    }


def _blower(content: ReportContent, came: After, words: Words) -> str:
    before, expected = (f"{flow:,.0f}" for flow in content.leakage)
    if came.leakage is None:
        return words.say("after.blower_line", before=before, expected=expected)
    measured = f"{came.leakage:,.0f}"
    line = words.say("after.measured", before=before, expected=expected, measured=measured)
    tight = came.leakage <= content.leakage[1]
    return f"{line} {words.say('after.tighter' if tight else 'after.leakier')}"


def _blanks(content: ReportContent, words: Words) -> list[tuple[str, ...]]:
    result, rows = content.result, []
    for row in content.prices:
        totals = (result.before.fuel_total(row.fuel), result.after.fuel_total(row.fuel))
        amounts = (f"{total:,.0f} {_unit(row.fuel, words)}" for total in totals)
        rows.append((words.say(f"fuel.{row.fuel}"), *amounts, ""))
    return rows


def _came(row: CameRow, words: Words) -> tuple[str, ...]:
    numbers = (_estimate(number, row.fuel, words) for number in (row.before, row.after, row.saved))
    promised = f"{row.promised:,.0f} {_unit(row.fuel, words)}"
    return (words.say(f"fuel.{row.fuel}"), *numbers, promised)


def _verdict(row: CameRow, words: Words) -> str:
    fuel = words.say(f"fuel.{row.fuel}")
    fuel = fuel[:1].upper() + fuel[1:]
    if row.saved is None:
        return words.say("after.unclear", fuel=fuel)
    if row.saved.low <= row.promised <= row.saved.high:
        return words.say("after.within", fuel=fuel)
    return words.say("after.below" if row.promised > row.saved.high else "after.above", fuel=fuel)
