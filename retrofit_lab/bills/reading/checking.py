"""Finds what is odd in the dates and quantities of bills, row by row, and joins bills into whole periods."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units
from retrofit_lab.bills.reading.record import Bill, Problem

LONG_DAYS = 100
"""A metered bill of more days than this says little about the seasons."""
SMALL_OVERLAP = 3
"""Days by which two bills may overlap and both still count: the reading day counted twice, or a slip."""
SAME_READINGS = 3
"""Equal quantities in a row from which a meter looks stuck, or the bills levelled."""
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
            bill, "reversed", f"it ends on {bill.end} but starts on {bill.start}; the end must be later. "
            f"It is not used. Correct the dates.", used=False,
        )  # fmt: skip
        return
    if bill.quantity < 0:
        yield _named(
            bill, "credit", f"a quantity of {_amount(bill)} is a credit or a correction, not use. It is not used. "
            f"Find the bill that it corrects and enter both as one.", used=False,
        )  # fmt: skip
    elif bill.cost is not None and bill.cost < 0:
        yield _named(
            bill, "credit", f"a cost of {bill.cost:g} dollars is a credit; its quantity is used all the same. "
            f"Do not reckon a price from it.", used=True,
        )  # fmt: skip
    if bill.quantity == 0 and bill.fuel == "electricity":
        yield _named(
            bill, "dead_meter", "no electricity at all in the period: an empty house or a dead meter. It is not "
            "used. Ask whether somebody lived there, and have the meter looked at.", used=False,
        )  # fmt: skip
    if bill.days > LONG_DAYS and bill.fuel in ("electricity", "natural_gas"):
        yield _named(
            bill, "long", f"it covers {bill.days} days, so it says little about the seasons. It is used. "
            f"Ask for the readings between.", used=True,
        )  # fmt: skip


def _repeats(bills: Sequence[Bill]) -> Iterator[Problem]:
    seen: dict[tuple[date, date, float], int] = {}
    for bill in bills:
        first = seen.setdefault((bill.start, bill.end, bill.quantity), bill.row)
        if first != bill.row:
            yield _named(
                bill, "duplicate", f"it has the dates and the quantity of row {first}. It is not used. Take one out.",
                used=False,
            )  # fmt: skip


def _between(bills: Sequence[Bill]) -> Iterator[Problem]:
    before: Bill | None = None
    for bill in bills:
        if before is not None:
            days = (bill.start - before.end).days
            if days > 0:
                yield _named(
                    bill, "gap", f"{days} days before it are on no bill ({before.end} to {bill.start}). It is used. "
                    f"Look for the missing bill.", used=True,
                )  # fmt: skip
            elif days < -SMALL_OVERLAP:
                yield _overlap(bill, before, -days, used=False)
                continue
            elif days < 0:
                yield _overlap(bill, before, -days, used=True)
        before = bill


def _overlap(bill: Bill, before: Bill, days: int, *, used: bool) -> Problem:
    return _named(
        bill, "overlap", f"{days} days of it are on row {before.row} too (which ends on {before.end}). "
        f"It is {'used' if used else 'not used'}. Correct the dates.", used=used,
    )  # fmt: skip


def _estimates(bills: Sequence[Bill]) -> Iterator[Problem]:
    for place, bill in enumerate(bills):
        if not bill.estimated:
            continue
        actual = _next_actual(bills[place:])
        if actual is not None:
            yield _named(
                bill, "estimated", f"the reading is estimated, so it is joined with row {actual.row}, the next "
                f"that was read.", used=True,
            )  # fmt: skip
        else:
            yield _named(
                bill, "estimated", "the reading is estimated and none was read right after it. It is not used. "
                "Read the meter and add a row.", used=False,
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
                bill, "dead_meter", f"{_amount(bill)} for the {len(run)}th time in a row: a stuck meter, or bills that "
                f"were levelled out. It is used. Ask for the meter readings.", used=True,
            )  # fmt: skip


def _named(bill: Bill, kind: str, sentence: str, *, used: bool) -> Problem:
    name = fuel_names()[bill.fuel]
    return Problem(
        kind=kind,
        fuel=bill.fuel,
        row=bill.row,
        used=used,
        sentence=f"row {bill.row} ({name}): {sentence}",
    )


def _amount(bill: Bill) -> str:
    return f"{bill.quantity:g} {fuel_units()[bill.fuel]}"
