"""Adds meter intervals up to bills by calendar month; where they come from belongs to interval_xml.py."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from retrofit_lab.base.fuels import several
from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.bills.reading.drafts import Draft, bill_set
from retrofit_lab.bills.reading.fuels import fuel_units
from retrofit_lab.bills.reading.record import BillSet, Intervals, Problem
from retrofit_lab.texts.refusals import told

DAY_SECONDS = 86_400.0
HOUR_SECONDS = 3_600.0
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


def bills_of_readings(name: str, fuel: str, readings: Readings) -> BillSet:
    """Bills of one meter: by calendar month, or one for each reading that is longer than two days.

    Months with too few readings are named and not used. A reading that is told twice counts once; the
    hour that clocks repeat in autumn counts twice.
    """
    once = once_only(readings)
    if np.median(once.seconds) >= LONG_SECONDS:
        return bill_set(name, own_dates(fuel, once))
    return _by_month(name, fuel, once)


def once_only(readings: Readings) -> Readings:
    """Readings in order of time, without those told twice; an hour of a day told twice is the clock's."""
    order = np.argsort(readings.start, kind="stable")
    ordered = _chosen(readings, order)
    again = np.concatenate([[False], ordered.start[1:] == ordered.start[:-1]])
    day, place = np.unique(ordered.start // DAY_SECONDS, return_inverse=True)
    repeated = np.bincount(place, weights=again * ordered.seconds, minlength=len(day))
    clock = (repeated <= HOUR_SECONDS)[place] & (ordered.seconds <= HOUR_SECONDS)
    return _chosen(ordered, ~again | clock)


def _chosen(readings: Readings, places: IntArray | BoolArray) -> Readings:
    return Readings(
        start=readings.start[places],
        seconds=readings.seconds[places],
        quantity=readings.quantity[places],
        estimated=readings.estimated[places],
        cost=readings.cost[places],
    )


def own_dates(fuel: str, readings: Readings) -> list[Draft]:
    """A bill for each reading, from the day nearest to its start to the day nearest to its end."""
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


def _by_month(name: str, fuel: str, readings: Readings) -> BillSet:
    when = readings.start.astype("datetime64[s]").astype("datetime64[M]")
    drafts, problems = [], []
    for row, month in enumerate(np.unique(when), start=1):
        inside = when == month
        draft = _month_draft(fuel, month.astype(object), readings, inside, row)
        drafts.append(draft)
        share = float(readings.seconds[inside].sum() / (DAY_SECONDS * _days(draft)))
        if share < COMPLETE:
            problems.append(_missing(draft, share))
    made = bill_set(name, drafts)
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
        sentence=told(
            "bill.missing_readings", month=f"{draft.start:%Y-%m}", share=f"{share:.0%}",
            amount=f"{draft.quantity:.4g} {several(fuel_units()[draft.fuel])}",
        ),
    )  # fmt: skip
