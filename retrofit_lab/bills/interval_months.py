"""Adds meter intervals up to bills by calendar month; where they come from belongs to interval_xml.py."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from retrofit_lab.bills.drafts import Draft, bill_set
from retrofit_lab.bills.fuels import fuel_units
from retrofit_lab.bills.record import BillSet, Intervals, Problem
from retrofit_lab.values import BoolArray, FloatArray, IntArray

DAY_SECONDS = 86_400.0
LONG_SECONDS = 2.0 * DAY_SECONDS
"""Readings longer than this are bills already and keep their own dates."""
COMPLETE = 0.98
"""Share of a month's hours that must be on record for the month to stand as a bill."""
MOSTLY = 0.5
"""Share of estimated readings from which a month counts as estimated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Readings of one fuel, arrays of shape (readings,).

    ``start`` is local clock time since 1970 [s], ``seconds`` their length [s], ``quantity`` in the unit
    of the fuel, ``cost`` [dollars], not a number where unknown.
    """

    start: FloatArray
    seconds: FloatArray
    quantity: FloatArray
    estimated: FloatArray
    cost: FloatArray


def bills_of_readings(name: str, fuel: str, readings: Readings, notes: Sequence[str]) -> BillSet:
    """Bills of one feed: by calendar month, or one for each reading that is longer than two days.

    Months with too few readings are named and not used. A reading that two blocks of a feed share
    counts once.
    """
    _, first = np.unique(readings.start, return_index=True)
    once = _chosen(readings, first)
    if np.median(once.seconds) >= LONG_SECONDS:
        return bill_set(name, _own_dates(fuel, once), notes)
    return _by_month(
        name,
        fuel,
        once,
        [*notes, f"{name}: {len(first):,} readings were added up by calendar month."],
    )


def _chosen(readings: Readings, places: IntArray | BoolArray) -> Readings:
    return Readings(
        start=readings.start[places],
        seconds=readings.seconds[places],
        quantity=readings.quantity[places],
        estimated=readings.estimated[places],
        cost=readings.cost[places],
    )


def _own_dates(fuel: str, readings: Readings) -> list[Draft]:
    half_day = DAY_SECONDS / 2.0
    starts = ((readings.start + half_day) // DAY_SECONDS).astype("datetime64[D]")
    ends = ((readings.start + readings.seconds + half_day) // DAY_SECONDS).astype("datetime64[D]")
    return [
        Draft(
            fuel=fuel,
            start=start.astype(object),
            end=end.astype(object),
            quantity=float(readings.quantity[place]),
            cost=_known_sum(readings.cost[place : place + 1]),
            estimated=bool(readings.estimated[place]),
            row=place + 1,
        )
        for place, (start, end) in enumerate(zip(starts, ends, strict=True))
    ]


def _known_sum(cost: FloatArray) -> float | None:
    return None if np.isnan(cost).all() else float(np.nansum(cost))


def _by_month(name: str, fuel: str, readings: Readings, notes: Sequence[str]) -> BillSet:
    when = readings.start.astype("datetime64[s]").astype("datetime64[M]")
    drafts, problems = [], []
    for row, month in enumerate(np.unique(when), start=1):
        inside = when == month
        draft = _month_draft(fuel, month.astype(object), readings, inside, row)
        drafts.append(draft)
        share = float(readings.seconds[inside].sum() / (DAY_SECONDS * _days(draft)))
        if share < COMPLETE:
            problems.append(_missing(draft, share))
    made = bill_set(name, drafts, notes)
    intervals = Intervals(
        fuel=fuel, start=readings.start, hours=readings.seconds / 3600.0, quantity=readings.quantity
    )
    return BillSet(
        name=name,
        bills=made.bills,
        problems=(*made.problems, *problems),
        notes=made.notes,
        intervals=(intervals,),
    )


def _month_draft(fuel: str, first: date, readings: Readings, inside: BoolArray, row: int) -> Draft:
    return Draft(
        fuel=fuel,
        start=first,
        end=(first + timedelta(days=32)).replace(day=1),
        quantity=float(readings.quantity[inside].sum()),
        cost=_known_sum(readings.cost[inside]),
        estimated=bool(readings.estimated[inside].mean() > MOSTLY),
        row=row,
    )


def _days(draft: Draft) -> int:
    return (draft.end - draft.start).days if draft.start else 0


def _missing(draft: Draft, share: float) -> Problem:
    return Problem(
        kind="missing_readings", fuel=draft.fuel, row=draft.row, used=False,
        sentence=f"month {draft.start:%Y-%m}: only {share:.0%} of its hours have readings, so its "
        f"{draft.quantity:.4g} {fuel_units()[draft.fuel]} are not used. Export the whole month.",
    )  # fmt: skip
