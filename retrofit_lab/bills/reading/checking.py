"""Finds what is odd in the dates and quantities of bills, row by row, and joins bills into whole periods."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from retrofit_lab.base.fuels import several
from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units
from retrofit_lab.bills.reading.record import Bill, Problem
from retrofit_lab.texts.refusals import told, word

LONG_DAYS = 100
"""A metered bill of more days than this says little about the seasons."""
SMALL_OVERLAP = 3
"""Days by which two bills may overlap and both still count: the reading day on both, or a slip."""
SAME_READINGS = 3
"""Equal quantities in a row from which a meter looks stuck, or the bills evened out."""
LEAST_DAYS = 20
"""Shorter bills are joined with a neighbor: they are parts of a billing period."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """A time between two readings with what was used in it. [unit of the fuel]"""

    fuel: str
    start: date
    end: date
    quantity: float
    rows: tuple[int, ...]

    @property
    def days(self) -> int:
        """Days of the period."""
        return (self.end - self.start).days


def find_problems(bills: Sequence[Bill]) -> tuple[Problem, ...]:
    """Every problem of a set of bills: dates, credits, repeats, gaps, overlaps, estimates, dead meters.

    The order of the bills does not matter.
    """
    found: list[Problem] = []
    for fuel in sorted({bill.fuel for bill in bills}):
        mine = sorted(
            (bill for bill in bills if bill.fuel == fuel),
            key=lambda b: (b.start, b.end, b.quantity, b.row),
        )
        found += _fuel_problems(mine)
    return tuple(found)


def periods(bills: Sequence[Bill], least_days: int = LEAST_DAYS) -> tuple[Period, ...]:
    """Whole periods of the usable bills of one fuel.

    An estimated reading is joined with the next actual one, whose bill makes up for it; what is
    estimated last is left out. Bills of fewer days than ``least_days`` are joined with the shorter of
    the neighbors that they touch, so that a billing period in two parts counts as one.

    Parameters
    ----------
    bills : sequence of Bill
        Usable bills of one fuel, such as from `BillSet.usable`.
    least_days : int
        Days of the shortest period.
    """
    ordered = sorted(bills, key=lambda b: (b.start, b.end))
    whole = _estimates_joined(ordered)
    while (place := _shortest(whole, least_days)) is not None:
        whole = _joined_at(whole, place)
    return tuple(whole)


def _estimates_joined(bills: Sequence[Bill]) -> list[Period]:
    whole: list[Period] = []
    pending: Period | None = None
    for bill in bills:
        period = _period(bill)
        if pending is not None and pending.end == period.start:
            period = _together(pending, period)
        pending = period if bill.estimated else None
        if pending is None:
            whole.append(period)
    return whole


def _shortest(whole: Sequence[Period], least_days: int) -> int | None:
    """Place of the shortest period that is too short and touches a neighbor."""
    short = [
        (period.days, place)
        for place, period in enumerate(whole)
        if period.days < least_days and _touching(whole, place)
    ]
    return min(short)[1] if short else None


def _touching(whole: Sequence[Period], place: int) -> list[int]:
    """Places of the periods that end where this one starts or start where it ends."""
    near = []
    if place > 0 and whole[place - 1].end == whole[place].start:
        near.append(place - 1)
    if place + 1 < len(whole) and whole[place].end == whole[place + 1].start:
        near.append(place + 1)
    return near


def _joined_at(whole: list[Period], place: int) -> list[Period]:
    neighbor = min(_touching(whole, place), key=lambda p: (whole[p].days, p))
    first = min(place, neighbor)
    return [*whole[:first], _together(whole[first], whole[first + 1]), *whole[first + 2 :]]


def _period(bill: Bill) -> Period:
    return Period(
        fuel=bill.fuel, start=bill.start, end=bill.end, quantity=bill.quantity, rows=(bill.row,)
    )


def _together(first: Period, second: Period) -> Period:
    return Period(
        fuel=first.fuel,
        start=first.start,
        end=second.end,
        quantity=first.quantity + second.quantity,
        rows=first.rows + second.rows,
    )


def _fuel_problems(bills: Sequence[Bill]) -> list[Problem]:
    found = [problem for bill in bills for problem in _alone(bill)]
    out = {problem.row for problem in found if not problem.used}
    left = [bill for bill in bills if bill.row not in out]
    repeats = list(_repeats(left))
    out = {problem.row for problem in repeats}
    left = [bill for bill in left if bill.row not in out]
    return [*found, *repeats, *_between(left), *_estimates(left), *_stuck(left)]


def _alone(bill: Bill) -> Iterator[Problem]:
    if bill.days <= 0:
        yield _named(
            bill, "reversed", told("bill.reversed", end=bill.end, start=bill.start), used=False,
        )  # fmt: skip
        return
    if bill.quantity < 0:
        yield _named(
            bill, "credit", told("bill.credit", amount=_amount(bill)), used=False,
        )  # fmt: skip
    elif bill.cost is not None and bill.cost < 0:
        yield _named(
            bill, "credit", told("bill.credit_cost", cost=f"{bill.cost:g}"), used=True,
        )  # fmt: skip
    if bill.quantity == 0 and bill.fuel == "electricity":
        yield _named(
            bill, "dead_meter", told("bill.no_use"), used=False,
        )  # fmt: skip
    if bill.days > LONG_DAYS and bill.fuel in ("electricity", "natural_gas"):
        yield _named(
            bill, "long", told("bill.long", days=bill.days), used=True,
        )  # fmt: skip


def _repeats(bills: Sequence[Bill]) -> Iterator[Problem]:
    seen: dict[tuple[date, date, float], int] = {}
    for bill in bills:
        first = seen.setdefault((bill.start, bill.end, bill.quantity), bill.row)
        if first != bill.row:
            yield _named(
                bill, "duplicate", told("bill.duplicate", first=first), used=False,
            )  # fmt: skip


def _between(bills: Sequence[Bill]) -> Iterator[Problem]:
    before: Bill | None = None
    for bill in bills:
        if before is not None:
            days = (bill.start - before.end).days
            if days > 0:
                yield _named(
                    bill, "gap", told("bill.gap", days=days, end=before.end, start=bill.start), used=True,
                )  # fmt: skip
            elif days < -SMALL_OVERLAP:
                yield _overlap(bill, before, -days, used=False)
                continue
            elif days < 0:
                yield _overlap(bill, before, -days, used=True)
        before = bill


def _overlap(bill: Bill, before: Bill, days: int, *, used: bool) -> Problem:
    return _named(
        bill, "overlap", used=used,
        sentence=told("bill.overlap_used" if used else "bill.overlap", days=days, row=before.row, end=before.end),
    )  # fmt: skip


def _estimates(bills: Sequence[Bill]) -> Iterator[Problem]:
    for place, bill in enumerate(bills):
        if not bill.estimated:
            continue
        actual = _next_actual(bills[place:])
        if actual is not None:
            yield _named(
                bill, "estimated", told("bill.estimated", row=actual.row), used=True,
            )  # fmt: skip
        else:
            yield _named(
                bill, "estimated", told("bill.estimated_last"), used=False,
            )  # fmt: skip


def _next_actual(bills: Sequence[Bill]) -> Bill | None:
    """The next bill that was read, if all between follow one another without a gap."""
    for before, bill in pairwise(bills):
        if bill.start != before.end:
            return None
        if not bill.estimated:
            return bill
    return None


def _stuck(bills: Sequence[Bill]) -> Iterator[Problem]:
    run: list[Bill] = []
    for bill in bills:
        run = [*run, bill] if run and bill.quantity == run[-1].quantity else [bill]
        if len(run) >= SAME_READINGS and bill.quantity > 0:
            yield _named(
                bill, "dead_meter", told("bill.stuck", amount=_amount(bill), count=len(run)), used=True,
            )  # fmt: skip


def _named(bill: Bill, kind: str, sentence: str, *, used: bool) -> Problem:
    name = fuel_names()[bill.fuel]
    return Problem(
        kind=kind,
        fuel=bill.fuel,
        row=bill.row,
        used=used,
        sentence=told("bill.row", row=bill.row, name=word(name), why=sentence),
    )


def _amount(bill: Bill) -> str:
    return f"{bill.quantity:g} {several(fuel_units()[bill.fuel])}"
