"""Puts meters and files together: one after another or side by side, with energy sent to the grid kept apart."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from retrofit_lab.bills.reading.columns import MADE, NET, SENT, USED
from retrofit_lab.bills.reading.drafts import bill_set
from retrofit_lab.bills.reading.interval_months import bills_of_readings
from retrofit_lab.bills.reading.record import Bill, BillSet, Intervals, Problem
from retrofit_lab.bills.reading.series import Series
from retrofit_lab.texts.refusals import told

LITTLE_OVERLAP = 5
"""Days that two meters may share and still be one after the other."""
WHOLE = 0.97
"""Share of a bill's days that every other meter must have bills for."""
SEVERAL, SEVERAL_SHARE = 2, 0.1
"""Bills below zero, and their share, from which they are those of a net meter and not corrections. judgment"""
SENT_COUNTS = 0.005
"""Share of the energy used that must be sent before the house counts as one with panels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter:
    """One meter in one direction: its file, and its bills with their problems."""

    file: str
    series: Series
    made: BillSet

    @property
    def span(self) -> tuple[date, date]:
        """First and last day."""
        return min(b.start for b in self.made.bills), max(b.end for b in self.made.bills)


def meter_of(file: str, series: Series) -> Meter:
    """Bills of one meter."""
    made = (
        bill_set(file, series.drafts)
        if series.readings is None
        else bills_of_readings(file, series.fuel, series.readings)
    )
    below = [p for p in made.problems if p.kind == "credit" and not p.used]
    if series.direction == NET or len(below) >= max(SEVERAL, SEVERAL_SHARE * len(made.bills)):
        kept = tuple(problem for problem in made.problems if problem not in below)
        return Meter(
            file=file, series=replace(series, direction=NET), made=replace(made, problems=kept)
        )
    return Meter(file=file, series=series, made=made)


def together(name: str, meters: Sequence[Meter]) -> BillSet:
    """All meters of all files as one set of bills.

    Meters of a fuel that follow one another are one; meters of the same time are added up; what two
    files both hold counts once. Energy sent to the grid is kept apart, and electricity is set aside
    where what the house used does not follow from its bills.
    """
    parts = [_one_fuel(name, fuel, meters) for fuel in sorted({m.series.fuel for m in meters})]
    return BillSet(
        name=name,
        bills=tuple(bill for part in parts for bill in part.bills),
        problems=tuple(problem for part in parts for problem in part.problems),
        notes=tuple(note for part in parts for note in part.notes),
        intervals=tuple(interval for part in parts for interval in part.intervals),
        sent=tuple(bill for part in parts for bill in part.sent),
        set_aside=tuple(pair for part in parts for pair in part.set_aside),
    )


def _one_fuel(name: str, fuel: str, meters: Sequence[Meter]) -> BillSet:
    mine = [meter for meter in meters if meter.series.fuel == fuel]
    by_way = {
        way: _summed(name, [m for m in mine if m.series.direction == way])
        for way in (USED, SENT, MADE, NET)
    }
    used, sent, made, net = (by_way[way] for way in (USED, SENT, MADE, NET))
    if not used.bills and net.bills:
        return _net(net)
    sent = replace(sent, bills=tuple(replace(b, quantity=abs(b.quantity)) for b in sent.bills))
    if not _amount(sent) > SENT_COUNTS * _amount(used):
        return used
    if made.bills:
        return _with_panels(used, sent, made)
    return replace(used, sent=sent.bills, set_aside=((fuel, _why_sent(sent)),))


def _amount(bills: BillSet) -> float:
    return sum(bill.quantity for bill in bills.bills)


def _why_sent(sent: BillSet) -> str:
    return told("read.sent", amount=f"{_amount(sent):,.0f}")


def _net(net: BillSet) -> BillSet:
    """Bills of what was taken less what was sent say what was used only where nothing was sent."""
    below = [bill for bill in net.bills if bill.quantity < 0]
    if not below:
        return net
    why = told("read.net", below=len(below), count=len(net.bills))
    return replace(net, set_aside=(("electricity", why),))


def _with_panels(used: BillSet, sent: BillSet, made: BillSet) -> BillSet:
    """What the house used: taken from the grid, plus made, less sent."""
    bills = []
    for bill in used.bills:
        own, out = (_between(part.bills, bill.start, bill.end) for part in (made, sent))
        if own is not None and out is not None:
            bills.append(replace(bill, quantity=bill.quantity + own - out))
    note = told("read.with_panels")
    return replace(
        used, bills=tuple(bills), sent=sent.bills, intervals=(), notes=(*used.notes, note)
    )


def _between(bills: Sequence[Bill], start: date, end: date) -> float | None:
    """Quantity between two days, each bill spread evenly over its days; nothing where days are missing."""
    total, days = 0.0, 0
    for bill in bills:
        shared = (min(bill.end, end) - max(bill.start, start)).days
        if shared > 0:
            total += bill.quantity * shared / bill.days
            days += shared
    return total if days >= WHOLE * (end - start).days else None


def _summed(name: str, meters: Sequence[Meter]) -> BillSet:
    """One set of bills of all meters of one fuel and direction."""
    found = [meter for meter in meters if meter.made.bills or meter.made.problems]
    if not found:
        return BillSet(name=name, bills=())
    several = len(found) > 1
    named = [_named(meter, found) if several else meter for meter in found]
    rows = _without_repeats([meter for meter in named if meter.made.bills])
    problems = tuple(problem for meter in named for problem in meter.made.problems)
    chains = _chains(rows)
    notes = list(dict.fromkeys(note for meter in named for note in meter.made.notes))
    if len(chains) <= 1:
        bills = tuple(bill for chain in chains for meter in chain for bill in meter.made.bills)
        intervals = tuple(i for meter in rows for i in meter.made.intervals)
        notes += [told("read.in_turn", count=len(rows))] if len(rows) > 1 else []
        return BillSet(
            name=name, bills=bills, problems=problems, notes=tuple(notes), intervals=intervals
        )
    beside = _beside(name, chains, problems)
    return replace(beside, notes=(*notes, *beside.notes))


def _named(meter: Meter, meters: Sequence[Meter]) -> Meter:
    """Bills and problems with the name of their meter, so that equal row numbers are told apart."""
    files = len({other.file for other in meters}) > 1
    label = ", ".join(filter(None, [meter.file if files else "", meter.series.meter]))
    made = meter.made
    return replace(
        meter,
        made=replace(
            made,
            bills=tuple(replace(bill, meter=label) for bill in made.bills),
            problems=tuple(
                replace(
                    p, meter=label, sentence=told("bill.of_meter", meter=label, what=p.sentence)
                )
                for p in made.problems
            ),
        ),
    )


def _without_repeats(meters: Sequence[Meter]) -> list[Meter]:
    """Meters of several files without the bills that an earlier file holds too."""
    seen: set[tuple[date, date, float]] = set()
    files: dict[str, set[tuple[date, date, float]]] = {}
    for meter in meters:
        keys = {(b.start, b.end, round(b.quantity, 3)) for b in meter.made.bills}
        files.setdefault(meter.file, set()).update(keys)
    kept = []
    for file, keys in files.items():
        for meter in (m for m in meters if m.file == file):
            bills = tuple(
                b for b in meter.made.bills if (b.start, b.end, round(b.quantity, 3)) not in seen
            )
            if bills:
                kept.append(replace(meter, made=replace(meter.made, bills=bills)))
        seen |= keys
    return kept


def _chains(meters: Sequence[Meter]) -> list[list[Meter]]:
    """Meters that follow one another, as a row each; several rows are meters side by side."""
    chains: list[list[Meter]] = []
    for meter in sorted(meters, key=lambda m: m.span):
        start = meter.span[0]
        free = next((c for c in chains if (c[-1].span[1] - start).days <= LITTLE_OVERLAP), None)
        if free is None:
            chains.append([meter])
        else:
            free.append(meter)
    return chains


def _beside(name: str, chains: Sequence[Sequence[Meter]], problems: tuple[Problem, ...]) -> BillSet:
    """Bills of the meter with the most bills, each with what the other meters used in its days."""
    sound = [_sound(chain) for chain in chains]
    first = max(range(len(sound)), key=lambda n: len(sound[n]))
    others = [bills for n, bills in enumerate(sound) if n != first]
    bills, missing = [], []
    for row, bill in enumerate(sound[first], start=1):
        parts = [_between(other, bill.start, bill.end) for other in others]
        if any(part is None for part in parts):
            missing.append(_no_meter(bill, row))
        known = [part for part in parts if part is not None]
        bills.append(_more(bill, known, others, row))
    count = sum(len(chain) for chain in chains)
    return BillSet(
        name=name,
        bills=tuple(bills),
        problems=(*problems, *missing),
        notes=(told("read.added_up", count=count),),
        intervals=_intervals_together([meter for chain in chains for meter in chain]),
    )


def _sound(chain: Iterable[Meter]) -> list[Bill]:
    bills = [b for m in chain for fuel in m.made.fuels for b in m.made.usable(fuel)]
    return sorted(bills, key=lambda bill: (bill.start, bill.end))


def _more(bill: Bill, parts: Sequence[float], others: Sequence[Sequence[Bill]], row: int) -> Bill:
    def costs(bills: Sequence[Bill]) -> list[Bill]:
        return [replace(b, quantity=b.cost or 0.0) for b in bills]

    dollars = [_between(costs(other), bill.start, bill.end) or 0.0 for other in others]
    return Bill(
        fuel=bill.fuel,
        start=bill.start,
        end=bill.end,
        quantity=bill.quantity + sum(parts),
        cost=None if bill.cost is None else bill.cost + sum(dollars),
        estimated=bill.estimated,
        row=row,
    )


def _no_meter(bill: Bill, row: int) -> Problem:
    return Problem(
        kind="missing_meter", fuel=bill.fuel, row=row, used=False,
        sentence=told("bill.no_meter", start=bill.start.isoformat(), end=bill.end.isoformat()),
    )  # fmt: skip


def _intervals_together(meters: Sequence[Meter]) -> tuple[Intervals, ...]:
    """Readings of all meters at the same times; nothing where a meter has none."""
    found = [interval for meter in meters for interval in meter.made.intervals]
    if len(found) < len(meters) or not found:
        return ()
    first, *rest = found
    starts, quantity = first.start, first.quantity
    for other in rest:
        starts, one, two = np.intersect1d(starts, other.start, return_indices=True)
        quantity = quantity[one] + other.quantity[two]
    hours = np.full(len(starts), float(np.median(first.hours)))
    return (
        (Intervals(fuel=first.fuel, start=starts, hours=hours, quantity=quantity),)
        if len(starts)
        else ()
    )
