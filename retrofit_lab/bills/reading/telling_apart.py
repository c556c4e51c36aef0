"""Chooses how to read a table whose cells do not tell, by what bills of a house can be; else it asks."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product

import numpy as np

from retrofit_lab.base.fuels import several
from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.bills.reading.cells import COMMA, POINT, read_number, text_of, ways_to_write
from retrofit_lab.bills.reading.columns import MADE, SENT, Columns, find_columns
from retrofit_lab.bills.reading.dates import DAY_FIRST, MONTH_FIRST, date_orders
from retrofit_lab.bills.reading.entries import Asked, Entries, Way, read_entries, settled_columns
from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units, to_fuel_unit
from retrofit_lab.bills.reading.interval_months import DAY_SECONDS, Readings
from retrofit_lab.bills.reading.record import BillError, BillQuestion
from retrofit_lab.bills.reading.series import Series, series_of
from retrofit_lab.bills.reading.tables import Table
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import Sentence, chain, lines, told, word

LIKELY_A_DAY: Mapping[str, tuple[float, float]] = {
    "electricity": (0.3, 400.0),
    "natural_gas": (0.02, 40.0),
    "heating_oil": (0.02, 30.0),
    "propane": (0.01, 45.0),
    "wood": (0.0005, 0.3),
}
"""Mean use a day between which a house lies. [unit/day] judgment: from an empty cabin to a very large house."""
MOST_ODD = 0.2
"""Share of bills that may overlap or run backwards before a reading is unlikely. judgment"""
RISING = 6
"""Quantities in a row that only rise, from which they may be readings of a counter. judgment"""
LEAST_COUNTED = 10.0
"""How much more than the least a house must use before rising quantities are asked about as a counter's. judgment"""
MOST_REFUSED = 0.5
MOST_NAMED = 20
_WORDS = {
    "dates": {MONTH_FIRST: "way.month_first", DAY_FIRST: "way.day_first"},
    "decimals": {POINT: "way.points", COMMA: "way.commas"},
    "quantities": {"use": "way.use", "readings": "way.readings"},
    "panels": {SENT: "way.sent", MADE: "way.made"},
}
"""What a question about bills can be answered with, and the key of each answer's words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRead:
    """A table as it was read: the way, series by meter, rows left out with the reason, what was settled how."""

    way: Way
    series: tuple[Series, ...]
    refused: tuple[tuple[int, str], ...]
    notes: tuple[str, ...]


def read_table(table: Table, asked: Asked, answers: Mapping[str, str]) -> TableRead:
    """Series of a table.

    Parameters
    ----------
    table : Table
        Headings and rows.
    asked : Asked
        What was said beside the file.
    answers : mapping
        Answers to questions that the file left open: ``dates``, ``decimals``, ``quantities``, ``panels``.

    Raises
    ------
    BillError
        When more than half of the rows cannot be read.
    BillQuestion
        When it can be read in two ways, with both readings.
    """
    columns = _panels(table, find_columns(table.headings), answers)
    tried = [_tried(table, columns, way, asked) for way in _ways(table, columns, answers)]
    good = [one for one in tried if one.is_likely]
    if len(good) > 1 and _differ(good):
        _ask(table.name, good)
    chosen = good[0] if good else tried[0]
    _refuse_mostly_bad(chosen.read, table)
    return TableRead(
        way=chosen.way,
        series=tuple(chosen.series),
        refused=chosen.read.refused,
        notes=(*chosen.notes, *chosen.read.notes, *_told(chosen, tried), *_unused(columns)),
    )


def _unused(columns: Columns) -> list[str]:
    unused = ", ".join(columns.ignored)
    return [told("read.not_needed", columns=unused)] if unused else []


def _panels(table: Table, columns: Columns, answers: Mapping[str, str]) -> Columns:
    """What stands under 'generation' may be sent or made: told by a column for the other, else asked."""
    made = [c for c in columns.quantities if c.direction == MADE]
    if not made or any(c.direction == SENT for c in columns.quantities):
        return columns
    place = table.headings.index(made[0].heading)
    if not any(
        text_of(row[place]) not in ("", "0", "0.0") for _, row in table.rows if place < len(row)
    ):
        return columns
    if "panels" not in answers:
        blanks = {"heading": made[0].heading}
        raise _question(table.name, "panels", (SENT, MADE), "way.ask_panels", blanks)
    way = _answer(answers, "panels")
    kept = tuple(replace(c, direction=way) if c in made else c for c in columns.quantities)
    return replace(columns, quantities=kept)


@dataclass(frozen=True, slots=True)
class _Tried:
    way: Way
    read: Entries
    series: list[Series]
    notes: list[str]

    @property
    def is_likely(self) -> bool:
        if not self.series or _mostly_refused(self.read):
            return False
        least = LEAST_COUNTED if self.way.counts_on else 1.0
        return all(_likely(one, least) for one in self.series)


def _ways(table: Table, columns: Columns, answers: Mapping[str, str]) -> list[Way]:
    """Every way that cells and answers leave open, the usual one first."""
    places = columns.places
    dates = [places[role] for role in ("start", "end", "period", "month") if role in places]
    numbers = [c.heading for c in columns.quantities] + [c.heading for c in columns.costs]
    orders = date_orders(_date_texts(table, dates))
    decimals = ways_to_write(_texts(table, numbers), semicolons=table.semicolons)
    counts = (False, True) if _only_rises(table, columns, decimals[0]) else (False,)
    said = {key: _answer(answers, key) for key in answers}
    return [
        Way(order=order, decimals=mark, counts_on=counting)
        for order, mark, counting in product(
            [said["dates"]] if "dates" in said else orders,
            [said["decimals"]] if "decimals" in said else decimals,
            [said["quantities"] == "readings"] if "quantities" in said else counts,
        )
    ]


def _answer(answers: Mapping[str, str], key: str) -> str:
    known = _WORDS.get(key)
    if known is None or answers[key] not in known:
        allowed = "; ".join(f"{k}={c}" for k, words in _WORDS.items() for c in words)
        raise BillError(told("bill_answer.unknown", key=key, answers=answers[key], allowed=allowed))
    return answers[key]


def _texts(table: Table, headings: Iterable[str]) -> list[str]:
    places = [table.headings.index(heading) for heading in headings]
    return [
        text_of(cells[place])
        for _, cells in table.rows
        for place in places
        if place < len(cells) and isinstance(cells[place], str)
    ]


def _date_texts(table: Table, headings: Iterable[str]) -> list[str]:
    """Dates as they stand; of a period in one cell both ends."""
    return [
        part.strip()
        for text in _texts(table, headings)
        for part in text.replace(" to ", " - ").split(" - ")
    ]


def _only_rises(table: Table, columns: Columns, decimals: str) -> bool:
    """Whether the quantities of every meter only rise, as a counter's do; deliveries and intervals aside."""
    if len(columns.quantities) != 1 or columns.quantities[0].reading:
        return False
    way = Way(decimals=decimals)
    try:
        found = read_entries(
            table, columns, way, Asked(fuel=columns.quantities[0].fuel or "electricity", unit="kwh")
        )
    except InputError:
        return False
    for one in series_of(found.entries):
        values = [d.quantity for d in one.drafts if d.quantity is not None]
        steps = np.diff(values)
        if one.readings is None and (len(steps) < RISING - 1 or not (steps > 0).all()):
            return False
        if one.readings is not None and not _counts(one.readings.quantity):
            return False
    return bool(found.entries)


def _counts(values: FloatArray) -> bool:
    steps = np.diff(values)
    return bool((steps >= 0).all() and (steps > 0).mean() > 0.5)


def _tried(table: Table, columns: Columns, way: Way, asked: Asked) -> _Tried:
    values = {c.heading: _values(table, columns, c.heading, way) for c in columns.quantities}
    settled, notes = settled_columns(columns, values)
    read = read_entries(table, settled, way, asked)
    return _Tried(way, read, series_of(read.entries), notes)


def _values(table: Table, columns: Columns, heading: str, way: Way) -> FloatArray:
    column = next(c for c in columns.quantities if c.heading == heading)
    place = table.headings.index(heading)
    result = np.full(len(table.rows), np.nan)
    for n, (_, cells) in enumerate(table.rows):
        text = text_of(cells[place]) if place < len(cells) else ""
        try:
            value, written = read_number(text, way.decimals) if text else (np.nan, "")
            unit = written or column.unit
            result[n] = to_fuel_unit(value, unit, column.fuel) if unit and column.fuel else value
        except InputError:
            continue
    return result


def _likely(one: Series, least: float = 1.0) -> bool:
    """Whether a house can have such bills: use a day, few overlaps, spacing of a metered fuel."""
    low, high = LIKELY_A_DAY[one.fuel]
    if one.readings is not None:
        return _likely_readings(one.readings, high)
    spans = _spans(one)
    if not spans:
        return True
    days = sum(max(span, 0) for span, _ in spans)
    mean = abs(sum(quantity for _, quantity in spans)) / max(days, 1)
    backward = sum(span <= 0 for span, _ in spans) + _overlaps(one)
    return least * low <= mean <= high and backward <= MOST_ODD * len(spans) and _regular(one)


def _likely_readings(readings: Readings, high: float) -> bool:
    """Meters write at equal steps."""
    usual = float(np.median(readings.seconds))
    equal = float(np.mean(np.abs(readings.seconds - usual) < 0.1 * usual))
    mean = abs(float(readings.quantity.mean())) / usual * DAY_SECONDS
    return mean <= high and equal >= 1.0 - MOST_ODD


def _spans(one: Series) -> list[tuple[int, float]]:
    """Days and quantity of every bill that has both; without a start it runs from the one before."""
    ends = [None, *(draft.end for draft in one.drafts)]
    return [
        ((draft.end - start).days, draft.quantity)
        for draft, before in zip(one.drafts, ends, strict=False)
        if (start := draft.start or before) is not None and draft.quantity is not None
    ]


def _overlaps(one: Series) -> int:
    dated = sorted((d.start, d.end) for d in one.drafts if d.start)
    return sum((later[0] - earlier[1]).days < -3 for earlier, later in pairwise(dated))


def _regular(one: Series) -> bool:
    """Meters of a network are read at about equal times; with few bills nothing is known of that."""
    ends = sorted(draft.end for draft in one.drafts)
    steps = np.array(
        [(later - earlier).days for earlier, later in pairwise(ends)], dtype=np.float64
    )
    steps = steps[steps > 0]
    if one.fuel not in ("electricity", "natural_gas") or len(steps) < 3:
        return True
    return bool(np.median(np.abs(steps - np.median(steps))) <= 0.35 * np.median(steps))


def _differ(good: Sequence[_Tried]) -> bool:
    """Whether ways of reading give different bills at all."""
    first = good[0].series
    return any(_sums(one.series) != _sums(first) for one in good[1:])


def _sums(series: Sequence[Series]) -> list[object]:
    return [
        [(d.start, d.end, d.quantity) for d in one.drafts]
        if one.readings is None
        else (one.readings.start.tolist(), float(one.readings.quantity.sum()))
        for one in series
    ]


def _ask(name: str, good: Sequence[_Tried]) -> None:
    """Ask about the first thing in which the ways differ.

    Raises
    ------
    BillQuestion
        Always, with both readings.
    """
    one, other = good[0], next(g for g in good[1:] if _sums(g.series) != _sums(good[0].series))
    if one.way.order != other.way.order:
        key, choices = "dates", (one.way.order, other.way.order)
    elif one.way.decimals != other.way.decimals:
        key, choices = "decimals", (one.way.decimals, other.way.decimals)
    else:
        key, choices = "quantities", ("use", "readings")
    blanks = {"first": _reading(one), "second": _reading(other)}
    raise _question(name, key, choices, "way.ask", blanks)


def _question(
    name: str, key: str, choices: tuple[str, str], asks: str, blanks: Mapping[str, str]
) -> BillQuestion:
    one, other = words = [told(_WORDS[key][choice]) for choice in choices]
    asked = told(asks, one=one, other=other, **blanks)
    first, second = (f"{key}={choice}" for choice in choices)
    return BillQuestion(
        told("way.two", name=name, asked=asked, first=first, second=second),
        key=key,
        choices=tuple(zip(choices, words, strict=True)),
    )


def _reading(one: _Tried) -> str:
    return chain([_summary(series) for series in one.series])


def _summary(one: Series) -> Sentence:
    unit, name = (
        word(several(fuel_units()[one.fuel])),
        Word("fuels", one.fuel, fuel_names()[one.fuel]),
    )
    if one.readings is not None:
        total, count = float(one.readings.quantity.sum()), len(one.readings.start)
        return told(
            "way.of_readings", count=f"{count:,}", fuel=name, total=f"{total:,.4g}", unit=unit
        )
    used = sum(draft.quantity or 0.0 for draft in one.drafts)
    first = min(draft.start or draft.end for draft in one.drafts)
    last = max(draft.end for draft in one.drafts)
    return told(
        "way.of_bills",
        count=len(one.drafts),
        fuel=name,
        total=f"{used:,.5g}",
        unit=unit,
        first=first.isoformat(),
        last=last.isoformat(),
    )


def _told(chosen: _Tried, tried: Sequence[_Tried]) -> list[str]:
    """What was settled by looking at the whole file, in words."""
    way, others = chosen.way, [one.way for one in tried]
    notes: list[str] = []
    if any(other.order != way.order for other in others) or way.order == DAY_FIRST:
        notes.append(told("read.day_first" if way.order == DAY_FIRST else "read.month_first"))
    if way.decimals == COMMA:
        notes.append(told("read.commas"))
    if way.counts_on:
        notes.append(told("read.counter"))
    return notes


def _mostly_refused(read: Entries) -> bool:
    return len(read.refused) > MOST_REFUSED * (
        len(read.refused) + len({e.row for e in read.entries})
    )


def _refuse_mostly_bad(read: Entries, table: Table) -> None:
    if read.entries and not _mostly_refused(read):
        return
    kept = list({s.partition(": ")[2]: s for _, s in reversed(read.refused)}.values())[::-1]
    if not kept:
        raise BillError(told("bills.none", name=table.name))
    more = len(read.refused) - min(len(kept), MOST_NAMED)
    tail = [told("bills.more", name=table.name, count=more)] if more > 0 else []
    raise BillError(lines([*kept[:MOST_NAMED], *tail]))
