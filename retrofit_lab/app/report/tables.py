"""The tables of a report as CSV and spreadsheet files; text that a spreadsheet would run as a formula is defused."""

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

from retrofit_lab.app.report import view_measures, view_trades
from retrofit_lab.app.shared.spreadsheet import safe_text
from retrofit_lab.app.shared.words import Words
from retrofit_lab.proposals.bids import BIDDER, FIXED, LINE, PRICE
from retrofit_lab.proposals.content import NumberRow, PriceRow, ReportContent, UseRow
from retrofit_lab.proposals.contractors import Scope, Task
from retrofit_lab.proposals.recommend import Considered, Step

Cell = str | float | int
"""What a cell must not start with: spreadsheets would run it."""
BIDDERS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table: name of its file, title, headings with units, rows; ``first`` is a row above the headings."""

    name: str
    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    first: tuple[Cell, ...] = ()


def plain_cell(value: Cell) -> Cell:
    """A cell that no spreadsheet takes for a formula; a number that is not finite becomes empty."""
    if isinstance(value, int | float):
        return value if isfinite(value) else ""
    return safe_text(value)


def csv_text(table: Table) -> str:
    """A table as CSV."""
    out = io.StringIO()
    writer = csv.writer(out)
    for row in filter(None, (table.first, table.heads)):
        writer.writerow([plain_cell(cell) for cell in row])
    writer.writerows([plain_cell(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def workbook(tables: Sequence[Table]) -> bytes:
    """All tables as one spreadsheet file."""
    from openpyxl import Workbook  # noqa: PLC0415 - needed for a spreadsheet only
    from openpyxl.styles import Font  # noqa: PLC0415

    book = Workbook()
    book.remove(book.active)
    for table in tables:
        sheet = book.create_sheet(re.sub(r"[\\/*?:\[\]]", " ", table.title)[:31])
        for row in filter(None, (table.first, table.heads, *table.rows)):
            sheet.append([plain_cell(cell) for cell in row])
        head = 2 if table.first else 1
        for cell in sheet[head]:
            cell.font = Font(bold=True)
        sheet.freeze_panes = f"A{head + 1}"
        _set_widths(sheet)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _set_widths(sheet: Any) -> None:
    for column in sheet.columns:
        longest = max(len(str(cell.value or "")) for cell in column)
        sheet.column_dimensions[column[0].column_letter].width = min(max(longest + 2, 8), 60)


def report_tables(content: ReportContent, words: Words) -> tuple[Table, ...]:
    """Every table of a report, the one to type bids into last."""
    titles = view_measures.titles_of(content, words)
    return (
        _recommended(content, words, titles),
        _considered(content, words, titles),
        _end_uses(content, words),
        _numbers(content, words),
        _prices(content, words),
        _cautions(content, words),
        bid_sheet(content, words),
    )


def bid_sheet(content: ReportContent, words: Words) -> Table:
    """The table to type bids into; its first columns are named alike in every language."""
    bidders = [words.say("bids.bidder", number=number) for number in range(1, BIDDERS + 1)]
    titles = view_measures.titles_of(content, words)
    blanks = [""] * BIDDERS
    rows: list[tuple[Cell, ...]] = [
        (step.key, titles[step.key], round(step.offer.cost_likely, 2), *blanks)
        for step in content.order.steps
    ]
    rows += [
        (step.key, titles[step.key], round(step.cost.likely, 2) if step.cost else "", *blanks)
        for step in content.proposal.beside
    ]
    return Table(
        name="bids", title=words.say("bids.title"), heads=(*FIXED, *bidders), rows=tuple(rows)
    )


def _table(
    words: Words, name: str, heads: Sequence[str], rows: Sequence[tuple[Cell, ...]]
) -> Table:
    said = tuple(words.say(f"tables.{head}") for head in heads)
    return Table(name=name, title=words.say(f"tables.{name}"), heads=said, rows=tuple(rows))


def _recommended(content: ReportContent, words: Words, titles: dict[str, str]) -> Table:
    heads = (
        "step", "key", "measure", "who", "quantity", "unit", "cost_low", "cost", "cost_high",
        "saving_low", "saving_real", "saving_high", "saving", "payback", "sir", "net", "life",
    )  # fmt: skip
    rows = [_step(at, step, words, titles) for at, step in enumerate(content.order.steps, 1)]
    return _table(words, "recommended", heads, rows)


def _step(number: int, step: Step, words: Words, titles: dict[str, str]) -> tuple[Cell, ...]:
    measure = step.offer.measure
    quantity, unit = words.measure_quantity(step.offer.quantity, measure.cost.unit)
    return (
        number, step.key, titles[step.key], words.say(f"doer.{measure.doer}"), round(quantity, 1), unit,
        round(step.cost.low, 2), round(step.cost.likely, 2),
        round(step.cost.high, 2), round(step.span.low, 2), round(step.span.middle, 2),
        round(step.span.high, 2), round(step.saving, 2), _places(step.payback, 1), _places(step.sir, 2),
        round(step.net_savings, 2), measure.life.years,
    )  # fmt: skip


def _places(value: float | None, places: int) -> Cell:
    if value is None:
        return ""
    return round(value, places) if isfinite(value) else value


def _considered(content: ReportContent, words: Words, titles: dict[str, str]) -> Table:
    heads = ("key", "measure", "cost_low", "cost", "cost_high", "adds", "sir", "net", "reason")
    rows = [_other(item, content, words, titles) for item in content.left_out]
    return _table(words, "considered", heads, rows)


def _other(
    item: Considered, content: ReportContent, words: Words, titles: dict[str, str]
) -> tuple[Cell, ...]:
    row, why = item.result, view_measures.why_not(item, content, words, titles)
    costs = (round(cost, 2) for cost in (row.cost.low, row.cost.likely, row.cost.high))
    numbers = (round(row.now, 2), _places(row.sir, 2), round(row.net_savings, 2))
    return (row.key, titles[row.key], *costs, *numbers, why)


def _end_uses(content: ReportContent, words: Words) -> Table:
    heads = ("use", "fuel", "unit", "amount_before", "amount_after", "cost_before", "cost_after")
    return _table(words, "end_uses", heads, [_use(row, words) for row in content.uses])


def _use(row: UseRow, words: Words) -> tuple[Cell, ...]:
    amounts = (round(words.amount(amount, row.fuel), 1) for amount in (row.before, row.after))
    costs = (round(row.cost_before, 2), round(row.cost_after, 2))
    use, fuel = words.say(f"use.{row.use}"), words.say(f"fuel.{row.fuel}")
    return (use, fuel, words.fuel_unit(row.fuel), *amounts, *costs)


def _numbers(content: ReportContent, words: Words) -> Table:
    rows = [_number(row, words) for row in (*content.numbers, *content.assumed)]
    return _table(words, "numbers", ("number", "place", "value", "unit", "origin"), rows)


def _number(row: NumberRow, words: Words) -> tuple[Cell, ...]:
    origin = words.say("form.default" if row.assumed else "form.given")
    value, unit = words.number(row.value, row.rule.unit)
    return (words.names.parameter(row.rule), words.names.parts(row.owners), value, unit, origin)


def _prices(content: ReportContent, words: Words) -> Table:
    rows = [_price(row, words) for row in content.prices]
    return _table(words, "prices", ("fuel", "unit", "price", "fixed", "as_of", "source"), rows)


def _price(row: PriceRow, words: Words) -> tuple[Cell, ...]:
    price = row.price / words.amount(1.0, row.fuel)
    return (
        words.say(f"fuel.{row.fuel}"),
        words.fuel_unit(row.fuel),
        price,
        row.fixed,
        row.as_of,
        row.source,
    )


def trade_sheets(
    content: ReportContent, scopes: Sequence[Scope], words: Words
) -> tuple[Table, ...]:
    """A table for each trade with a line to price for each measure; read back by `retrofit_lab.proposals.bids`."""
    titles = view_measures.titles_of(content, words)
    return tuple(_trade_sheet(content, scope, words, titles) for scope in scopes)


def _trade_sheet(
    content: ReportContent, scope: Scope, words: Words, titles: dict[str, str]
) -> Table:
    heads = ("measure_title", "place", "quantity", "unit", "targets", "materials", "done", "waits")
    said = (words.say(f"tables.{head}") for head in heads)
    return Table(
        name=scope.trade,
        title=words.say(f"trade.{scope.trade}"),
        heads=(LINE, *said, PRICE),
        rows=tuple(_line(content, task, words, titles) for task in scope.tasks),
        first=(BIDDER, ""),
    )


def _line(
    content: ReportContent, task: Task, words: Words, titles: dict[str, str]
) -> tuple[Cell, ...]:
    cells = view_trades.task_cells(content, task, words, titles)
    return (
        cells["key"], cells["title"], cells["places"], *_quantity(task, words), "; ".join(cells["targets"]),
        cells["materials"], cells["done"], cells["held"], "",
    )  # fmt: skip


def _quantity(task: Task, words: Words) -> tuple[Cell, str]:
    """How much of a measure, and its unit; nothing of what the rater recommends in own words."""
    if task.offer is None:
        return "", ""
    number, unit = words.measure_quantity(task.offer.quantity, task.offer.measure.cost.unit)
    return round(number, 1), unit


def _cautions(content: ReportContent, words: Words) -> Table:
    rows = [words.names.caution(raised.caution) for raised in content.result.cautions]
    return _table(words, "cautions", ("caution", "text", "source"), rows)
