"""Takes out of a series of bills what belongs to another house: the time before a change, and odd single bills."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import DegreeDayFit
from retrofit_lab.bills.fitting.events import (
    LEAST_SIDE,
    MONTH_SPREAD,
    Event,
    likeliest_event,
    line_columns,
    middle_of,
    people_and_weather,
)
from retrofit_lab.bills.fitting.least_squares import linear_fit
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.fitting.splitting import (
    ENOUGH_TO_SPLIT,
    FuelSplit,
    daily_use,
    kinds_of,
    split_periods,
)
from retrofit_lab.bills.reading.checking import Period

LEAST_AFTER_DAYS = 300
"""Fewest days after a change for the bills after it to be fitted alone: all seasons. judgment"""
LEAST_CHANGE = 0.05
"""Smallest change of the use of a normal year that parts a series. [1] judgment"""
WORTH_TELLING, SURE = 0.3, 0.6
"""Chance from which an event is told and acted upon, and from which it is told as a fact. [1] judgment"""
MOST_EVENTS = 6
"""Events of a house that are looked for, one after the other."""
AWAY_SPREADS, LEAST_SPREAD = 4.0, 0.6
"""Robust standard deviations below the fitted house from which a bill is left out as of an empty house, and their
least size in usual spreads. judgment"""
LEAST_ODD = 0.25
"""Least share of its expected use that an odd bill is off. judgment"""
MOST_ODD_SHARE = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """The day from which a fuel is used otherwise, and by how much more a normal year takes. [1]

    Where it is not ``sure``, other years' weather or other habits may be the reason; the later bills are
    the better ones all the same.
    """

    day: date
    share: float
    days_after: int
    sure: bool = True

    @property
    def enough_after(self) -> bool:
        """Whether the bills after it can be fitted alone."""
        return self.days_after >= LEAST_AFTER_DAYS


@dataclass(frozen=True, slots=True, kw_only=True)
class Odd:
    """One bill far off what weather and the other bills call for, as a share of that. [1]"""

    period: Period
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A split of the bills that are of the house as it stands, and what was taken out."""

    split: FuelSplit
    change: Change | None = None
    odd: tuple[Odd, ...] = ()


def as_they_stand(splits: Iterable[FuelSplit], weather: BillWeather) -> list[Kept]:
    """The splits of a house without single odd bills, and after the last change of use where there was one.

    Where too few bills come after a sure change, no period is left: neither time can stand for the house.
    """
    kept = [Kept(split=split) for split in splits]
    for _ in range(MOST_EVENTS):
        event = likeliest_event([_lined(one.split) for one in kept], weather)
        if event is None or event.chance < WORTH_TELLING:
            break
        before, kept = kept, _without(kept, event, weather)
        if kept == before:
            break
    return kept


def _lined(split: FuelSplit) -> FuelSplit:
    """The split, without its line where the bills are too few to be judged by it."""
    return split if len(split.periods) >= ENOUGH_TO_SPLIT else replace(split, fit=None)


def _without(kept: Sequence[Kept], event: Event, weather: BillWeather) -> list[Kept]:
    """The same after an event, for each fuel that has its part in it."""
    act = _after_change if event.kind == "change" else _without_odd
    return [
        act(one, event, weather) if chance >= WORTH_TELLING and _lined(one.split).fit else one
        for one, chance in zip(kept, event.by_fuel, strict=True)
    ]


def _after_change(one: Kept, event: Event, weather: BillWeather) -> Kept:
    periods, fit = one.split.periods, one.split.fit
    place = sum(middle_of(period) < event.day for period in periods)
    if fit is None or not LEAST_SIDE <= place <= len(periods) - LEAST_SIDE:
        return one
    data = daily_use(periods, weather)
    share = _share(line_columns(fit, data), data.use, data.days, place)
    days = sum(period.days for period in periods[place:])
    change = Change(
        day=periods[place].start, share=share, days_after=days, sure=event.chance >= SURE
    )
    if abs(share) < LEAST_CHANGE or not (change.sure or change.enough_after):
        return one
    after = periods[place:] if change.enough_after else ()
    return replace(one, split=_again(one.split, after, weather), change=change)


def _without_odd(one: Kept, event: Event, weather: BillWeather) -> Kept:
    """The same without the bill around the day of an event, if it is far enough off the others to matter."""
    periods = one.split.periods
    place = int(np.argmin([abs((middle_of(p) - event.day).days) for p in periods]))
    left = [*periods[:place], *periods[place + 1 :]]
    split = _again(one.split, left, weather)
    if split.fit is None:
        return one
    share = periods[place].quantity / _expected(split.fit, periods[place], weather) - 1.0
    if abs(share) < LEAST_ODD:
        return one
    odd = (*one.odd, Odd(period=periods[place], share=share))
    return replace(one, split=split, odd=tuple(sorted(odd, key=lambda o: o.period.start)))


def _expected(fit: DegreeDayFit, period: Period, weather: BillWeather) -> float:
    """What a line says of a period. [unit]"""
    return max(float(fit.use(weather.between(period.start, period.end)).sum()), 1e-9)


def _again(split: FuelSplit, periods: Sequence[Period], weather: BillWeather) -> FuelSplit:
    return split_periods(periods, split.fuel, weather, kinds_of(split.fuel), split.confidence)


def _share(columns: FloatArray, use: FloatArray, days: FloatArray, place: int) -> float:
    """Use after over use before less one, both at the weather of all bills."""
    before, after = (
        linear_fit(columns[part], use[part], days[part]).coefficients
        for part in (slice(0, place), slice(place, None))
    )
    mean = (columns * days[:, None]).sum(axis=0) / days.sum()
    return float(mean @ after / max(float(mean @ before), 1e-9) - 1.0)


def usual_spread(periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather) -> FloatArray:
    """Spread of the mean use of each period that people and unknown weather make. [unit/day] shape (periods,)"""
    people, unknown = people_and_weather(periods, fit, weather)
    return np.hypot(people, MONTH_SPREAD * unknown)


def empty_against(kept: Kept, expected: FloatArray, weather: BillWeather) -> Kept:
    """The same without the bills far below what the fitted house uses in their days.

    The house bends less than a free line, so it shows a month away that the line followed.

    Parameters
    ----------
    kept : Kept
        Bills as they were fitted.
    expected : ndarray, shape (periods,)
        Use of the fitted house. [unit]
    weather : BillWeather
        Daily temperatures of the bills.
    """
    periods = kept.split.periods
    if kept.split.fit is None or len(periods) < ENOUGH_TO_SPLIT:
        return kept
    billed = np.array([period.quantity for period in periods])
    off = billed / np.maximum(expected, 1e-9) - 1.0
    away = off - np.median(off)
    days = np.array([float(period.days) for period in periods])
    share = days * usual_spread(periods, kept.split.fit, weather) / np.maximum(expected, 1e-9)
    spread = max(1.4826 * float(np.median(np.abs(away / share))), LEAST_SPREAD)
    weighs = expected - billed > LEAST_ODD * billed.mean()
    far = (away / share < -AWAY_SPREADS * spread) & (away < -LEAST_ODD) & weighs
    if not far.any() or far.mean() > MOST_ODD_SHARE:
        return kept
    odd = tuple(Odd(period=periods[n], share=float(off[n])) for n in np.flatnonzero(far))
    left = [period for period, out in zip(periods, far, strict=True) if not out]
    split = _again(kept.split, left, weather)
    return replace(kept, split=split, odd=(*kept.odd, *odd))
