"""Reads the rows of one table into entries, by one way of reading dates and numbers; ways are chosen elsewhere."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.bills.reading.cells import POINT, read_estimated, read_number, text_of
from retrofit_lab.bills.reading.columns import MADE, SENT, USED, Columns, CostColumn, QuantityColumn
from retrofit_lab.bills.reading.dates import MONTH_FIRST
from retrofit_lab.bills.reading.fuels import (
    fuel_names,
    fuel_units,
    plain_fuel,
    plain_unit,
    to_fuel_unit,
    usual_fuel,
)
from retrofit_lab.bills.reading.row_times import RowTime, row_time
from retrofit_lab.bills.reading.tables import Row, Table
from retrofit_lab.texts.refusals import told, word

MOST_QUANTITY = 1e7
DAYS_A_MONTH = 30.4375
_SUMMARY = re.compile(
    r"^(?:sub|grand )?\s*(?:total|average|mean|sum|avg)s?\b|^(?:suma|promedio)\b", re.IGNORECASE
)
_SENT_WORDS = re.compile(r"export|return|sent|surplus|received|reverse", re.IGNORECASE)
_MADE_WORDS = re.compile(r"generat|produc|solar|\bpv\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of reading a table: which comes first, day or month; how decimals are written; whether the
    quantities are readings of a meter that counts on."""  # noqa: D205, D209 - one sentence of two lines

    order: str = MONTH_FIRST
    decimals: str = POINT
    counts_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was said beside the file: fuel and unit where it does not say them, prices [dollars/unit] and
    fixed charges [dollars/month] by fuel for bills that state dollars alone."""  # noqa: D205, D209

    fuel: str = ""
    unit: str = ""
    prices: Mapping[str, tuple[float, float]] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One quantity of one row, in the unit of its fuel."""

    row: int
    fuel: str
    direction: str
    meter: str
    start: datetime | None
    end: datetime
    quantity: float | None
    cost: float | None
    estimated: bool
    counts_on: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """Entries of a table, rows that cannot be read with the reason, and what was left out or worked out."""

    entries: tuple[Entry, ...]
    refused: tuple[tuple[int, str], ...]
    notes: tuple[str, ...]


def read_entries(table: Table, columns: Columns, way: Way, asked: Asked) -> Entries:
    """Entries of all rows of a table by one way of reading it.

    Raises
    ------
    BillError
        When a column cannot be used at all.
    """
    return _Reader(table, columns, way, asked).entries()


class _Reader:
    """One pass over a table."""

    def __init__(self, table: Table, columns: Columns, way: Way, asked: Asked) -> None:
        self.table, self.columns, self.way, self.asked = table, columns, way, asked
        self.place = {heading: n for n, heading in enumerate(table.headings)}
        self.by_rows = self.fuel_in_rows()
        self.hours_end = self.counts_hours_to_24()
        self.parts = self.part_names()

    def entries(self) -> Entries:
        made: list[Entry] = []
        refused: list[tuple[int, str]] = []
        skipped = 0
        for number, cells in self.table.rows:
            if self.is_summary(cells):
                skipped += 1
                continue
            try:
                made += self.row(number, cells)
            except InputError as error:
                refused.append(
                    (number, told("bills.row", name=self.table.name, row=number, why=error))
                )
        notes = [told("read.skipped", count=skipped)] if skipped else []
        if not self.columns.quantities:
            notes.append(told("read.of_dollars"))
        return Entries(entries=tuple(made), refused=tuple(refused), notes=tuple(notes))

    def cell(self, cells: Sequence[object], heading: str) -> object:
        place = self.place[heading]
        return cells[place] if place < len(cells) else None

    def text(self, cells: Sequence[object], role: str) -> str:
        heading = self.columns.places.get(role)
        return text_of(self.cell(cells, heading)) if heading is not None else ""

    def number(self, cell: object) -> tuple[float, str]:
        if isinstance(cell, int | float) and not isinstance(cell, bool):
            return float(cell), ""
        return read_number(text_of(cell), self.way.decimals)

    def fuel_in_rows(self) -> bool:
        """Whether the column of fuels names some; one that says only 'residential' does not."""
        heading = self.columns.places.get("fuel")
        if heading is None:
            return False
        named = any(plain_fuel(text_of(self.cell(row, heading))) for _, row in self.table.rows)
        return named or heading.strip().lower() == "fuel"

    def counts_hours_to_24(self) -> bool:
        hours = {self.text(row, "hour") for _, row in self.table.rows[:48]}
        return "24" in hours or "ending" in self.columns.places.get("hour", "").lower()

    def part_names(self) -> dict[str, str]:
        """Name of the meter or part that each of several columns of one fuel and direction stands for."""
        groups: dict[tuple[str, str], list[QuantityColumn]] = {}
        for column in self.columns.quantities:
            groups.setdefault((column.fuel, column.direction), []).append(column)
        return {
            column.heading: column.heading if len(group) > 1 else ""
            for group in groups.values()
            for column in group
        }

    def is_summary(self, cells: Sequence[object]) -> bool:
        """Rows of totals, lone notes, and headings that are told again."""
        texts = [text_of(cell) for cell in cells]
        filled = [text for text in texts if text]
        return (
            (bool(_SUMMARY.match(filled[0])))
            or (len(filled) == 1 and len(self.table.headings) > 2)
            or filled == [heading for heading in self.table.headings if heading]
        )

    def row(self, number: int, cells: Sequence[object]) -> Iterator[Entry]:
        self.refuse_extra(cells)
        when = row_time(self.times(cells), self.way.order, hours_end=self.hours_end)
        columns = self.columns.quantities or (QuantityColumn(heading=""),)
        filled = [c for c in columns if c.heading and text_of(self.cell(cells, c.heading))]
        for column in filled if self.by_rows and filled else columns:
            yield self.entry(number, cells, column, when)

    def times(self, cells: Sequence[object]) -> dict[str, str]:
        roles = (
            "start",
            "end",
            "days",
            "month",
            "year",
            "day",
            "period",
            "hour",
            "start_time",
            "end_time",
        )
        return {role: self.text(cells, role) for role in roles if role in self.columns.places}

    def refuse_extra(self, cells: Sequence[object]) -> None:
        extra = [text for text in map(text_of, cells[len(self.table.headings) :]) if text]
        if extra:
            raise InputError(told("bills.extra", text=extra[-1]))

    def entry(
        self, number: int, cells: Sequence[object], column: QuantityColumn, when: RowTime
    ) -> Entry:
        shown = self.cell(cells, column.heading) if column.heading else None
        value, written = self.number(shown) if text_of(shown) else (None, "")
        fuel = self.fuel_of(cells, column, written)
        if value is not None and column.before:
            value -= self.number(self.cell(cells, column.before))[0]
        if value is not None:
            value *= self.multiplier(cells, column)
            value = self.in_fuel_unit(value, written or column.unit, cells, fuel)
        cost = self.cost(cells, fuel, column)
        if not column.heading:
            value = self.from_cost(cost, fuel, when)
        return Entry(
            row=number,
            fuel=fuel,
            direction=self.direction(cells, column),
            meter=" ".join(
                filter(None, [self.text(cells, "meter"), self.parts.get(column.heading, "")])
            ),
            start=when.start,
            end=when.end,
            quantity=value,
            cost=cost,
            estimated=read_estimated(self.text(cells, "estimated")),
            counts_on=(column.reading and not column.before) or self.way.counts_on,
        )

    def direction(self, cells: Sequence[object], column: QuantityColumn) -> str:
        said = self.text(cells, "fuel")
        if column.direction == USED and _SENT_WORDS.search(said):
            return SENT
        return MADE if column.direction == USED and _MADE_WORDS.search(said) else column.direction

    def multiplier(self, cells: Sequence[object], column: QuantityColumn) -> float:
        """Of readings only: what is stated as used has it in it already."""
        told = self.text(cells, "multiplier") if column.reading or self.way.counts_on else ""
        return self.number(told)[0] if told else 1.0

    def cost(self, cells: Sequence[object], fuel: str, column: QuantityColumn) -> float | None:
        """Dollars of this fuel; a total over several fuels is the cost of none of them."""
        first = next(
            (
                c
                for c in self.columns.quantities
                if (c.fuel, c.direction) == (column.fuel, column.direction)
            ),
            column,
        )
        if first != column or column.direction != USED:
            return None
        own = [c for c in self.columns.costs if c.fuel == fuel]
        fuels = {c.fuel for c in self.columns.quantities if c.direction == USED}
        shared = [c for c in self.columns.costs if not c.fuel] if len(fuels) <= 1 else []
        given = {c: self.cell(cells, c.heading) for c in own or shared}
        numbers = {c: self.number(cell)[0] for c, cell in given.items() if text_of(cell)}
        return _one_cost(numbers)

    def from_cost(self, cost: float | None, fuel: str, when: RowTime) -> float | None:
        prices = self.asked.prices or {}
        if fuel not in prices:
            name = fuel_names()[fuel]
            raise InputError(told("bills.no_price", fuel=word(name)))
        if cost is None:
            return None
        price, fixed = prices[fuel]
        months = (when.end - when.start).days / DAYS_A_MONTH if when.start else 1.0
        return max(cost - fixed * months, 0.0) / price

    def fuel_of(self, cells: Sequence[object], column: QuantityColumn, written: str) -> str:
        said = self.text(cells, "fuel") if self.by_rows else ""
        if said and (fuel := plain_fuel(said)):
            return fuel
        if said and not _SENT_WORDS.search(said) and not _MADE_WORDS.search(said):
            raise InputError(
                told("bills.fuel", said=said, allowed=[*map(word, fuel_names().values())])
            )
        if self.asked.fuel and len({c.fuel for c in self.columns.quantities}) <= 1:
            return self.asked.fuel
        unit = written or column.unit or plain_unit(self.text(cells, "unit"))
        costs = {c.fuel for c in self.columns.costs if c.fuel} if not column.heading else set()
        fuel = column.fuel or usual_fuel(unit) or (costs.pop() if len(costs) == 1 else "")
        if not fuel:
            if column.heading:
                raise InputError(told("bills.fuel_open_of", heading=column.heading))
            raise InputError(told("bills.fuel_open"))
        return fuel

    def in_fuel_unit(self, value: float, unit: str, cells: Sequence[object], fuel: str) -> float:
        said = self.text(cells, "unit")
        if said and not plain_unit(said):
            raise InputError(told("bills.unit", said=said, unit=fuel_units()[fuel]))
        plain = unit or plain_unit(said) or self.asked.unit
        if not plain:
            raise InputError(told("bills.unit_open", value=f"{value:g}", unit=fuel_units()[fuel]))
        amount = to_fuel_unit(value, plain, fuel)
        if abs(amount) > MOST_QUANTITY:
            raise InputError(told("bills.much", value=f"{value:g}", most=f"{MOST_QUANTITY:g}"))
        return amount


def _one_cost(numbers: Mapping[CostColumn, float]) -> float | None:
    """The total where one is stated or adds up, else the sum."""
    if not numbers:
        return None
    total = next((value for column, value in numbers.items() if column.total), None)
    if total is not None:
        return total
    whole = sum(numbers.values())
    twice = [
        value for value in numbers.values() if len(numbers) > 2 and abs(2 * value - whole) < 0.02
    ]
    return twice[0] if twice else whole


def settled_columns(
    columns: Columns, values: Mapping[str, FloatArray]
) -> tuple[Columns, list[str]]:
    """Columns without those that state a use twice: in another unit, or as the total of others.

    Parameters
    ----------
    columns : Columns
        As found from the headings.
    values : mapping
        Quantities by heading, in the unit of the fuel, not a number where missing. shape (rows,)
    """
    kept: list[QuantityColumn] = []
    notes: list[str] = []
    groups: dict[tuple[str, str, bool], list[QuantityColumn]] = {}
    for column in columns.quantities:
        groups.setdefault((column.fuel, column.direction, column.reading), []).append(column)
    for group in groups.values():
        chosen, note = _without_repeats(group, values)
        kept += chosen
        notes += note
    ordered = tuple(column for column in columns.quantities if column in kept)
    return Columns(
        places=columns.places, quantities=ordered, costs=columns.costs, ignored=columns.ignored
    ), notes


SAME = 0.005
SAME_OTHER_UNIT = 0.04
"""Share by which two columns may differ and still state the same use: rounding; heat content of gas."""


def _without_repeats(
    group: Sequence[QuantityColumn], values: Mapping[str, FloatArray]
) -> tuple[Sequence[QuantityColumn], list[str]]:
    if len(group) == 1:
        return group, []
    totals = [c for c in group if _is_sum(c, group, values)]
    if totals:
        parts = ", ".join(f"'{c.heading}'" for c in group if c != totals[0])
        return totals[:1], [told("read.total", total=totals[0].heading, parts=parts)]
    first = group[0]
    same = [
        c
        for c in group[1:]
        if _alike(
            values[first.heading],
            values[c.heading],
            SAME if c.unit == first.unit else SAME_OTHER_UNIT,
        )
    ]
    notes: list[str] = [told("read.same", one=c.heading, other=first.heading) for c in same]
    left = [c for c in group if c not in same]
    if len(left) > 1:
        notes.append(told("read.joined_columns", columns=[repr(c.heading) for c in left]))
    return left, notes


def _is_sum(
    column: QuantityColumn, group: Sequence[QuantityColumn], values: Mapping[str, FloatArray]
) -> bool:
    others = [values[c.heading] for c in group if c != column]
    if len(others) < 2:
        return False
    return _alike(np.nansum(others, axis=0), values[column.heading])


def _alike(one: FloatArray, other: FloatArray, share: float = SAME) -> bool:
    both = np.isfinite(one) & np.isfinite(other)
    if not both.any():
        return False
    size = np.maximum(np.abs(one), np.abs(other))[both]
    rounding = 1.0 if size.max() > 50.0 else 0.01
    return bool((np.abs(one - other)[both] <= share * size + rounding).all() and size.max() > 0)


__all__ = ["Asked", "Entries", "Entry", "Row", "Way", "read_entries", "settled_columns"]
