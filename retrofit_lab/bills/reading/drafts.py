"""Makes bills of rows as read: missing starts are chained, end dates settled, problems named."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

from retrofit_lab.bills.reading.checking import find_problems
from retrofit_lab.bills.reading.record import Bill, BillSet, Problem
from retrofit_lab.texts.refusals import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A row as read; start and quantity may still be missing."""

    fuel: str
    start: date | None
    end: date
    quantity: float | None
    cost: float | None
    estimated: bool
    row: int


def bill_set(name: str, drafts: Sequence[Draft], notes: Sequence[str] = ()) -> BillSet:
    """Bills of the rows of one file or grid, with the problems found in them."""
    notes = list(notes)
    if _ends_are_included(drafts):
        notes.append(told("read.last_days"))
        drafts = [replace(d, end=d.end + timedelta(days=1)) if d.start else d for d in drafts]
    bills: list[Bill] = []
    problems: list[Problem] = []
    for fuel in sorted({draft.fuel for draft in drafts}):
        mine = sorted(
            (d for d in drafts if d.fuel == fuel), key=lambda d: (d.end, d.start or d.end)
        )
        chained, missing = _chained(mine)
        bills += chained
        problems += missing
    problems += find_problems(bills)
    return BillSet(
        name=name,
        bills=tuple(sorted(bills, key=lambda bill: (bill.fuel, bill.row))),
        problems=tuple(sorted(problems, key=lambda p: (p.fuel, p.row, p.kind))),
        notes=tuple(notes),
    )


def _chained(drafts: Sequence[Draft]) -> tuple[list[Bill], list[Problem]]:
    """Bills of one fuel in order of their end; a row without start runs from the end before it."""
    bills: list[Bill] = []
    problems: list[Problem] = []
    before: date | None = None
    for draft in drafts:
        start = draft.start or before
        before = draft.end
        if draft.quantity is None:
            problems.append(
                _problem(
                    draft,
                    "no_quantity",
                    told("bill.no_quantity"),
                )
            )
        elif start is None:
            problems.append(
                _problem(
                    draft,
                    "no_start",
                    told("bill.no_start"),
                )
            )
        else:
            bills.append(
                Bill(
                    fuel=draft.fuel, start=start, end=draft.end, quantity=draft.quantity,
                    cost=draft.cost, estimated=draft.estimated, row=draft.row,
                )
            )  # fmt: skip
    return bills, problems


def _problem(draft: Draft, kind: str, sentence: str) -> Problem:
    return Problem(
        kind=kind, fuel=draft.fuel, row=draft.row, used=False,
        sentence=told("bill.row", row=draft.row, name=draft.end.isoformat(), why=sentence),
    )  # fmt: skip


def _ends_are_included(drafts: Sequence[Draft]) -> bool:
    """Whether bills state their last day: then most start on the day after the one before ends."""
    waits = [
        (later.start - earlier.end).days
        for fuel in {draft.fuel for draft in drafts}
        for earlier, later in _pairs([d for d in drafts if d.fuel == fuel])
        if later.start and earlier.start
    ]
    return waits.count(1) > waits.count(0)


def _pairs(drafts: Sequence[Draft]) -> Iterable[tuple[Draft, Draft]]:
    ordered = sorted(drafts, key=lambda d: (d.start or d.end, d.end))
    return pairwise(ordered)
