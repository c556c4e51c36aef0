"""Takes out of a series of bills what belongs to another house: the time before a change, and odd single bills."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import DegreeDayFit
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

LEAST_SIDE = 4
"""Fewest bills on each side of a change."""
LEAST_AFTER_DAYS = 300
"""Fewest days after a change for the bills after it to be fitted alone: all seasons. judgement"""
LEAST_CHANGE = 0.12
"""Smallest change of the use of a normal year that parts a series. [1] judgement"""
YEARS_CHANGE = 0.07
"""What it must be more where the weather is not known and all use follows it. [1] judgement"""
MAYBE, LEAST_MAYBE = 0.05, 0.06
"""Chance, and smallest change, from which the later bills are used alone if they are enough. judgement"""
SIGNIFICANCE = 0.001
ODD_CHANCE = 0.002
"""Chance of leaving a bill of a good series out. [1] judgement"""
AWAY_SPREADS, ODD_SPREADS, LEAST_SPREAD = 4.0, 5.0, 0.6
"""Robust standard deviations below (an empty house is common) and above the fitted house from which a bill is left
out, and their least size in usual spreads. judgement"""
PEOPLE_SPREAD = 0.05
"""Spread of a month's use for which neither weather nor house is the reason, as a share of it. [1] judgement"""
MONTH_SPREAD = 3.0
"""Spread of a month's mean temperature round the usual, where it is not known. [F] judgement"""
LEAST_ODD = 0.25
"""And the least share of its expected use that it must be off. judgement"""
MOST_ODD_SHARE = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """The day from which a fuel is used otherwise, and by how much more a normal year takes. [1]

    Where it is not ``sure``, other years' weather may be the reason; the later bills are the better ones
    all the same.
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


def as_it_stands(split: FuelSplit, weather: BillWeather) -> Kept:
    """The split without single odd bills, and after the last change of use where there was one.

    Where too few bills come after the change, no period is left: neither time can stand for the house.
    """
    if split.fit is None or len(split.periods) < ENOUGH_TO_SPLIT:
        return Kept(split=split)
    change = change_of_use(split.periods, split.fit, weather)
    if change is not None and (change.sure or change.enough_after):
        after = [p for p in split.periods if p.start >= change.day]
        later = _again(split, after if change.enough_after else [], weather)
        return replace(_without_odd(later, weather), change=change)
    return _without_odd(split, weather)


def _again(split: FuelSplit, periods: Sequence[Period], weather: BillWeather) -> FuelSplit:
    return split_periods(periods, split.fuel, weather, kinds_of(split.fuel), split.confidence)


def change_of_use(
    periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather
) -> Change | None:
    """The day on which base load or slopes change, if there is one beyond chance.

    Two lines, before and after, are held against one over the whole time, at the bases of the one, for
    every possible day; the F test is made stricter by the number of days that were tried (Bonferroni).
    """
    data = daily_use(periods, weather)
    columns = _columns(fit, weather, periods)
    tries = range(LEAST_SIDE, len(periods) - LEAST_SIDE + 1)
    whole = linear_fit(columns, data.use, data.days)
    sums = {place: _two_lines(columns, data.use, data.days, place) for place in tries}
    if not sums:
        return None
    place = min(sums, key=lambda n: sums[n])
    chance = _chance(whole.residual_sum, sums[place], columns.shape, len(sums))
    share = _share(columns, data.use, data.days, place)
    if chance > MAYBE or abs(share) < LEAST_MAYBE:
        return None
    sure = chance < SIGNIFICANCE and abs(share) >= _least_change(periods, fit, weather)
    days = sum(period.days for period in periods[place:])
    return Change(day=periods[place].start, share=share, days_after=days, sure=sure)


def _least_change(periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather) -> float:
    """Smallest change that counts: larger where other years' weather could make it. [1]"""
    days = sum(period.days for period in periods)
    known = sum(weather.share_measured(p.start, p.end) * p.days for p in periods) / days
    mean = sum(period.quantity for period in periods) / days
    with_weather = np.clip(1.0 - fit.base_load / max(mean, 1e-9), 0.0, 1.0)
    return float(LEAST_CHANGE + YEARS_CHANGE * (1.0 - known) * with_weather)


def _columns(fit: DegreeDayFit, weather: BillWeather, periods: Sequence[Period]) -> FloatArray:
    data = daily_use(periods, weather)
    columns = [np.ones(len(periods))]
    if fit.heating_slope:
        columns.append(data.heating(np.array([fit.heating_base]))[0])
    if fit.cooling_slope:
        columns.append(data.cooling(np.array([fit.cooling_base]))[0])
    return np.stack(columns, axis=1)


def _two_lines(columns: FloatArray, use: FloatArray, days: FloatArray, place: int) -> float:
    before = linear_fit(columns[:place], use[:place], days[:place])
    after = linear_fit(columns[place:], use[place:], days[place:])
    return before.residual_sum + after.residual_sum


def _chance(one: float, two: float, shape: tuple[int, ...], tries: int) -> float:
    """Chance that two lines beat one so far where nothing changed, with ``tries`` days looked at."""
    from scipy.stats import f as f_distribution  # noqa: PLC0415 - slow to import

    count, numbers = shape
    left = count - 2 * numbers
    if left < 2 or one <= 0:
        return 1.0
    ratio = (one - two) / numbers / max(two / left, 1e-300)
    return min(1.0, tries * float(f_distribution.sf(ratio, numbers, left)))


def _share(columns: FloatArray, use: FloatArray, days: FloatArray, place: int) -> float:
    """Use after over use before less one, both at the weather of all bills."""
    before, after = (
        linear_fit(columns[part], use[part], days[part]).coefficients
        for part in (slice(0, place), slice(place, None))
    )
    mean = (columns * days[:, None]).sum(axis=0) / days.sum()
    return float(mean @ after / max(float(mean @ before), 1e-9) - 1.0)


def _without_odd(split: FuelSplit, weather: BillWeather) -> Kept:
    """Single bills far off the line of all others are left out, as of weeks away, the farthest first."""
    odd: list[Odd] = []
    most = int(MOST_ODD_SHARE * len(split.periods))
    while split.fit is not None and len(odd) < most:
        found = _farthest(split.periods, split.fit, weather)
        if found is None:
            break
        odd.append(found)
        left = [period for period in split.periods if period != found.period]
        split = _again(split, left, weather)
    return Kept(split=split, odd=tuple(sorted(odd, key=lambda one: one.period.start)))


def usual_spread(periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather) -> FloatArray:
    """Spread of the mean use of each period that people and unknown weather make. [unit/day] shape (periods,)"""
    data = daily_use(periods, weather)
    usual = data.means(fit.use(data.temperature))
    by_degree = np.zeros(len(periods))
    if fit.heating_slope:
        by_degree += fit.heating_slope * data.share_below(fit.heating_base)
    if fit.cooling_slope:
        by_degree += fit.cooling_slope * (1.0 - data.share_below(fit.cooling_base))
    unknown = np.array([1.0 - weather.share_measured(p.start, p.end) for p in periods])
    people = PEOPLE_SPREAD * (0.5 * usual.mean() + usual)
    return np.asarray(np.hypot(people, MONTH_SPREAD * unknown * by_degree))


def odd_against(kept: Kept, expected: FloatArray, weather: BillWeather) -> Kept:
    """The same without the bills far off what the fitted house uses in their days.

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
    weighs = np.abs(billed - expected) > LEAST_ODD * billed.mean()
    limit = np.where(away < 0, AWAY_SPREADS, ODD_SPREADS) * spread
    far = (np.abs(away / share) > limit) & (np.abs(away) > LEAST_ODD) & weighs
    if not far.any() or far.mean() > MOST_ODD_SHARE:
        return kept
    odd = tuple(Odd(period=periods[n], share=float(off[n])) for n in np.flatnonzero(far))
    left = [period for period, out in zip(periods, far, strict=True) if not out]
    split = _again(kept.split, left, weather)
    return replace(kept, split=split, odd=(*kept.odd, *odd))


def _farthest(periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather) -> Odd | None:
    """The bill farthest off the line through all others, if beyond chance for so many bills.

    Notes
    -----
    The residual of each bill over its spread as the other bills alone show it (externally studentised),
    held against Student's distribution, with the chance shared out among the bills (Bonferroni).
    Memory: the usual test for a single outlier of a regression.
    """
    from scipy.stats import t as t_distribution  # noqa: PLC0415 - slow to import

    data = daily_use(periods, weather)
    columns = _columns(fit, weather, periods)
    left = len(periods) - columns.shape[1] - 1
    if left < 2:
        return None
    root = 1.0 / usual_spread(periods, fit, weather)
    scaled = columns * root[:, None]
    hat = np.einsum("ij,ji->i", scaled, np.linalg.pinv(scaled))
    line = linear_fit(columns, data.use, root**2)
    rest = (data.use - line.fitted) * root
    others = np.maximum((line.residual_sum - rest**2 / (1.0 - hat)) / left, 1e-300)
    student = rest / np.sqrt(others * (1.0 - hat))
    place = int(np.argmax(np.abs(student)))
    expected = data.use[place] - rest[place] / root[place] / (1.0 - hat[place])
    share = float(data.use[place] / max(float(expected), 1e-9) - 1.0)
    limit = t_distribution.ppf(1.0 - ODD_CHANCE / (2.0 * len(periods)), left)
    if abs(float(student[place])) < limit or abs(share) < LEAST_ODD:
        return None
    return Odd(period=periods[place], share=share)
