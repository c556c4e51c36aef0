"""How likely use changed for good from some day on, or one bill is odd, judged by the bills of all fuels together.

What is done about it, and how it is said, is in changed_use.py. Nothing here knows a house.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import DailyUse, DegreeDayFit
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.fitting.splitting import FuelSplit, daily_use
from retrofit_lab.bills.reading.checking import Period

LEAST_SIDE = 4
"""Fewest bills on each side of a change."""
PEOPLE_SPREAD = 0.05
"""Spread of a month's use for which neither weather nor house is the reason, as a share of it. [1] judgment"""
STEADINESS = (0.6, 0.85, 1.2, 1.7, 2.4)
"""How many times as much or little people may scatter; the bills themselves tell which."""
MONTH_SPREAD, YEAR_SPREAD = 2.8, 1.5
"""Spread of a month's and of a year's mean temperature round the usual, where it is not known. [F] judgment"""
YEAR_DAYS = 365.0
CHANGE_SIZES = (0.2, 0.6)
"""Spread by which base load and slopes change, small works and large. [1] judgment"""
ODD_SIZE = 0.6
"""Spread of an odd bill round what it should be, as a share of it. [1] judgment"""
CHANGES_A_YEAR, ODD_A_YEAR = 0.15, 0.3
"""Chance of a lasting change, and of a bill of an empty or full house, in a year of bills. [1] judgment"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """The likeliest event of a time: a lasting change from ``day`` on, or the one bill round it that is odd.

    ``chance`` is its chance against none, ``by_fuel`` the chance that each fuel has its part in it. [1]
    """

    kind: str
    day: date
    chance: float
    by_fuel: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Series:
    """One fuel made ready: middles of its periods, and of each steadiness its weight and what weighs bills."""

    middles: tuple[date, ...]
    columns: FloatArray
    usual: FloatArray
    use: FloatArray
    weighing: tuple[tuple[float, FloatArray], ...]


def likeliest_event(splits: Sequence[FuelSplit], weather: BillWeather) -> Event | None:
    """The likeliest event in the bills of a house, whatever its chance; nothing where there are no lines.

    Notes
    -----
    Bills follow a line of base load and degree days (flat prior); they scatter by what people do and by
    the weather that is not known, which a whole year shares. Against that stand a line whose numbers
    are others from a day on, and one bill that is off; odds by marginal likelihood in closed form.
    Memory: Bayes factors of normal linear models.
    """
    series = [_series(s.periods, s.fit, weather) if s.fit else None for s in splits]
    lined = [one for one in series if one is not None]
    if not lined:
        return None
    years = max(sum(p.days for p in s.periods) for s in splits) / YEAR_DAYS
    days = sorted({day for one in lined for day in one.middles})
    odd = _odds(series, days, "odd", ODD_A_YEAR * years)
    change = _odds(series, days, "change", CHANGES_A_YEAR * years)
    # days beside one another tell of the same change, but each bill would be odd by itself
    kind, odds, own = max(
        ("odd", odd, odd.max()), ("change", change, change.sum()), key=lambda k: k[2]
    )
    day = days[int(np.argmax(odds))]
    factors = [_factor(one, day, kind) if one else 0.0 for one in series]
    return Event(
        kind=kind,
        day=day,
        chance=float(own / (1.0 + own)),
        by_fuel=tuple(float(f / (1.0 + f)) for f in factors),
    )


def _odds(
    series: Sequence[_Series | None], days: Sequence[date], kind: str, chance: float
) -> FloatArray:
    """Odds of an event on each day against none; each fuel has its part in it or not, as likely."""
    lined = [one for one in series if one is not None]
    factors = np.array([[_factor(one, day, kind) for day in days] for one in lined])
    parts = [factors]
    if kind == "odd":  # an empty house takes less of everything, a full one more
        more = np.array([[_is_more(one, day) for day in days] for one in lined])
        parts = [np.where(more, factors, 0.0), np.where(more, 0.0, factors)]
    either = np.max([np.prod(0.5 + 0.5 * part, axis=0) for part in parts], axis=0)
    return np.asarray(np.where(factors.max(axis=0) > 0.0, either, 0.0) * chance / len(days))


def _factor(one: _Series, day: date, kind: str) -> float:
    """How many times as likely the bills of a fuel are with an event on a day as without; 0 where it cannot be."""
    if kind == "odd":
        columns = [_odd_column(one, day)]
    else:
        after = np.array([middle >= day for middle in one.middles])
        if min(after.sum(), (~after).sum()) < LEAST_SIDE:
            return 0.0
        parts = [*one.columns.T[:, :, None], one.columns]
        columns = [size * part * after[:, None] for size in CHANGE_SIZES for part in parts]
    found = [weight * _gain(one.use, z, m) for weight, m in one.weighing for z in columns]
    return float(np.sum(found)) / len(columns)


def _odd_column(one: _Series, day: date) -> FloatArray:
    place = int(np.argmin([abs((middle - day).days) for middle in one.middles]))
    column = np.zeros((len(one.use), 1))
    column[place] = ODD_SIZE * one.usual[place]
    return column


def _is_more(one: _Series, day: date) -> bool:
    """Whether the bill round a day is above the line of the others."""
    weighs = max(one.weighing, key=lambda pair: pair[0])[1]
    return bool(_odd_column(one, day)[:, 0] @ weighs @ one.use > 0.0)


def _gain(use: FloatArray, added: FloatArray, weighs: FloatArray) -> float:
    """Ratio of marginal likelihoods with columns of unit normal coefficients added, and without."""
    pulled = weighs @ added
    inner = np.eye(added.shape[1]) + added.T @ pulled
    seen = pulled.T @ use
    explained = 0.5 * float(seen @ np.linalg.solve(inner, seen))
    return float(np.exp(min(explained, 300.0)) / np.sqrt(np.linalg.det(inner)))


def _series(periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather) -> _Series:
    data = daily_use(periods, weather)
    columns = line_columns(fit, data)
    sizes = [size for size in (fit.base_load, fit.heating_slope, fit.cooling_slope) if size]
    usual = data.means(fit.use(data.temperature))
    people, unknown = people_and_weather(periods, fit, weather)
    middles = tuple(map(middle_of, periods))
    apart = np.abs(np.subtract.outer(*[np.array([m.toordinal() for m in middles])] * 2))
    shared = np.outer(unknown, unknown) * YEAR_SPREAD**2 * np.exp(-apart / YEAR_DAYS)
    common = shared + np.diag((MONTH_SPREAD * unknown) ** 2)
    found = [_weighing(common + np.diag((s * people) ** 2), columns, data.use) for s in STEADINESS]
    logs = np.array([log for log, _ in found])
    weights = np.exp(logs - logs.max())
    weighing = tuple(zip((weights / weights.sum()).tolist(), (m for _, m in found), strict=True))
    return _Series(middles, columns * _sized(sizes, columns), usual, data.use, weighing)


def _sized(sizes: Sequence[float], columns: FloatArray) -> FloatArray:
    """Numbers of the line, so that a column stands for all of its part; the first is a base load of any size."""
    return np.array(sizes) if len(sizes) == columns.shape[1] else np.array([1e-9, *sizes])


def _weighing(
    covariance: FloatArray, columns: FloatArray, use: FloatArray
) -> tuple[float, FloatArray]:
    """Log likelihood of the bills up to a constant, and what weighs them once any line is taken out."""
    inverse = np.linalg.inv(covariance)
    inner = columns.T @ inverse @ columns
    weighs = inverse - inverse @ columns @ np.linalg.solve(inner, columns.T @ inverse)
    logs = np.linalg.slogdet(covariance)[1] + np.linalg.slogdet(inner)[1]
    return float(-0.5 * (logs + use @ weighs @ use)), np.asarray(weighs)


def middle_of(period: Period) -> date:
    """The day in the middle of a period."""
    return period.start + timedelta(days=period.days // 2)


def line_columns(fit: DegreeDayFit, data: DailyUse) -> FloatArray:
    """Ones and the degree days of a line's parts. shape (periods, parts)"""
    columns = [np.ones(len(data.use))]
    if fit.heating_slope:
        columns.append(data.heating(np.array([fit.heating_base]))[0])
    if fit.cooling_slope:
        columns.append(data.cooling(np.array([fit.cooling_base]))[0])
    return np.stack(columns, axis=1)


def people_and_weather(
    periods: Sequence[Period], fit: DegreeDayFit, weather: BillWeather
) -> tuple[FloatArray, FloatArray]:
    """What people make of the mean use of each period [unit/day], and what one degree does that is not known.

    The second is signed: below zero where more heat is needed when it is colder. [unit/(day F)]
    """
    data = daily_use(periods, weather)
    usual = data.means(fit.use(data.temperature))
    by_degree = np.zeros(len(periods))
    if fit.heating_slope:
        by_degree -= fit.heating_slope * data.share_below(fit.heating_base)
    if fit.cooling_slope:
        by_degree += fit.cooling_slope * (1.0 - data.share_below(fit.cooling_base))
    unknown = np.array([1.0 - weather.share_measured(p.start, p.end) for p in periods])
    return PEOPLE_SPREAD * (0.5 * usual.mean() + usual), unknown * by_degree
