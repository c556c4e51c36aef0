"""Puts the entries of a table in order by fuel, direction and meter: bills with dates, or hours and days."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np

from retrofit_lab.bills.reading.drafts import Draft
from retrofit_lab.bills.reading.entries import Entry
from retrofit_lab.bills.reading.interval_months import DAY_SECONDS, LONG_SECONDS, Readings
from retrofit_lab.texts.refusals import told

ROLLED = 0.9
"""A counter that stood above this share of its digits and then low has started again at zero."""
_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001 - clock time of the place


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """What one meter says in one direction: bills, or readings of less than two days."""

    fuel: str
    direction: str
    meter: str
    drafts: tuple[Draft, ...] = ()
    readings: Readings | None = None
    notes: tuple[str, ...] = ()


def series_of(entries: Iterable[Entry]) -> list[Series]:
    """Entries by fuel, direction and meter, in order of time."""
    groups: dict[tuple[str, str, str], list[Entry]] = {}
    for entry in entries:
        groups.setdefault((entry.fuel, entry.direction, entry.meter), []).append(entry)
    return [_series(*key, mine) for key, mine in sorted(groups.items())]


def _series(fuel: str, direction: str, meter: str, entries: Sequence[Entry]) -> Series:
    mine = sorted(entries, key=lambda e: (e.end, e.start or e.end))
    notes: list[str] = []
    if any(entry.counts_on for entry in mine):
        mine, notes = _differences(mine)
    elif all(entry.start == entry.end for entry in mine):
        mine, notes = _until_next(mine)
    made = Series(fuel=fuel, direction=direction, meter=meter, notes=tuple(notes))
    seconds = _usual_seconds(mine)
    if seconds and seconds < LONG_SECONDS and len(mine) > 2:
        return replace(made, readings=_readings(mine, seconds))
    return replace(made, drafts=tuple(_draft(entry) for entry in mine))


def _differences(entries: Sequence[Entry]) -> tuple[list[Entry], list[str]]:
    """Use between readings of a meter that counts on; a counter that passed its last digit is told."""
    known = [entry for entry in entries if entry.quantity is not None]
    made = [replace(known[0], quantity=0.0, start=None, estimated=False)] if known else []
    notes: list[str] = [told("read.differences")]
    for before, entry in pairwise(known):
        old, new = before.quantity or 0.0, entry.quantity or 0.0
        used: float | None = new - old
        if new < old:
            full = 10.0 ** len(str(int(old)))
            rolled = old > ROLLED * full and new < (1.0 - ROLLED) * full
            used = full - old + new if rolled else None
            notes.append(told("read.rolled" if rolled else "read.lower", row=entry.row))
        made.append(replace(entry, quantity=used, start=before.end))
    return made, notes


def _until_next(entries: Sequence[Entry]) -> tuple[list[Entry], list[str]]:
    """Rows that state their begin alone run to the begin of the next; a last bill has no known end."""
    made = [
        replace(entry, end=after.end) for entry, after in pairwise(entries) if after.end > entry.end
    ]
    steps = [(entry.end - entry.start).total_seconds() for entry in made if entry.start]
    if steps and float(np.median(steps)) < LONG_SECONDS:
        usual = timedelta(seconds=float(np.median(steps)))
        return [*made, replace(entries[-1], end=entries[-1].end + usual)], []
    return made, [told("read.no_end", row=entries[-1].row)]


def _usual_seconds(entries: Sequence[Entry]) -> float:
    lengths = [(e.end - e.start).total_seconds() for e in entries if e.start is not None]
    if len(lengths) < len(entries) / 2:
        ends = np.array([(e.end - _EPOCH).total_seconds() for e in entries])
        lengths = [step for step in np.diff(ends).tolist() if step > 0]
    return float(np.median(lengths)) if lengths else 0.0


def _readings(entries: Sequence[Entry], seconds: float) -> Readings:
    """A moment without an end begins an interval of the usual length."""
    kept = [entry for entry in entries if entry.quantity is not None]
    starts = np.array([((e.start or e.end) - _EPOCH).total_seconds() for e in kept])
    spans = np.array([(e.end - e.start).total_seconds() if e.start else seconds for e in kept])
    spans = np.where(spans > 0, spans, seconds)
    if seconds == DAY_SECONDS:
        starts = np.floor(starts / DAY_SECONDS) * DAY_SECONDS
    return Readings(
        start=starts,
        seconds=spans,
        quantity=np.array([e.quantity for e in kept], dtype=np.float64),
        estimated=np.array([float(e.estimated) for e in kept]),
        cost=np.array([np.nan if e.cost is None else e.cost for e in kept]),
    )


def _draft(entry: Entry) -> Draft:
    return Draft(
        fuel=entry.fuel,
        start=entry.start.date() if entry.start else None,
        end=entry.end.date(),
        quantity=entry.quantity,
        cost=entry.cost,
        estimated=entry.estimated,
        row=entry.row,
    )
