"""How likely use changed for good from some day on, or one bill is odd, judged by the bills of all fuels together.

What is done about it, and how it is said, is in changed_use.py. Nothing here knows a house.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise, product

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.bills.fitting.degree_day_fit import DailyUse, DegreeDayFit
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.fitting.splitting import FuelSplit, daily_use
from retrofit_lab.bills.reading.checking import Period

LEAST_SIDE = 4
"""Fewest bills on each side of a change."""
PEOPLE_SPREAD = 0.05
"""Spread of a month's use for which neither weather nor house is the reason, as a share of it. [1] judgment"""
STEADINESS = (0.6, 0.85, 1.2, 1.7, 2.4)
"""How many times as much or little people may scatter; the bills of each fuel themselves tell which."""
ALL_WAYS = 2
"""Fuels up to which each of these is tried with each; every other of more fuels, which have too many ways together."""
MONTH_SPREAD, YEAR_SPREAD = 2.8, 1.5
"""Spread of a month's and of a year's mean temperature around the usual, where it is not known. [F] judgment"""
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
class _Bills:
    """Bills of one fuel made ready, as shares of their mean.

    ``columns`` are the parts of the line, each of its size; ``unknown`` is what one degree of unknown weather does,
    ``people`` the usual scatter. shape (bills,) or (bills, parts)
    """

    middles: tuple[date, ...]
    columns: FloatArray
    usual: FloatArray
    use: FloatArray
    people: FloatArray
    unknown: FloatArray


@dataclass(frozen=True, slots=True)
class _Together:
    """Bills of all fuels, one fuel below the other, and how likely each of some ways is in which they scatter.

    ``fuel`` tells the fuel of each bill, ``parts`` the columns of each fuel. ``weighing`` has shape
    (ways, bills, bills), ``weights`` (ways,). [1]
    """

    middles: tuple[date, ...]
    fuel: IntArray
    columns: FloatArray
    parts: tuple[tuple[int, ...], ...]
    usual: FloatArray
    use: FloatArray
    weighing: FloatArray
    weights: FloatArray


@dataclass(frozen=True, slots=True)
class _Tried:
    """What could have happened on each of some days: columns (days, bills, columns), and in which fuels it can have."""

    columns: FloatArray
    can: BoolArray
    parts: tuple[tuple[tuple[int, ...], ...], ...]
    sizes: tuple[float, ...]
    one_way: bool


def likeliest_event(splits: Sequence[FuelSplit], weather: BillWeather) -> Event | None:
    """The likeliest event in the bills of a house, whatever its chance; nothing where there are no lines.

    Notes
    -----
    Bills follow a line of base load and degree days (flat prior); they scatter by what people do and by
    the weather that is not known, which a whole year shares, and all fuels: a mild year lowers the heat and
    raises the cold. Against that stand lines whose numbers are others from a day on, and one bill that is off;
    odds by marginal likelihood in closed form. Memory: Bayes factors of normal linear models.
    """
    lined = [number for number, split in enumerate(splits) if split.fit]
    if not lined:
        return None
    bills = _together([_bills(splits[number], weather) for number in lined])
    years = max(sum(p.days for p in s.periods) for s in splits) / YEAR_DAYS
    days = sorted(set(bills.middles))
    odd, odd_by = _odds(bills, _odd_bills(bills, days), ODD_A_YEAR * years)
    change, change_by = _odds(bills, _changes(bills, days), CHANGES_A_YEAR * years)
    # days beside one another tell of the same change, but each bill would be odd by itself
    kind, odds, own, shares = max(
        ("odd", odd, odd.max(), odd_by),
        ("change", change, change.sum(), change_by),
        key=lambda k: k[2],
    )
    place = int(np.argmax(odds))
    by_fuel = np.zeros(len(splits))
    by_fuel[lined] = shares[:, place]
    return Event(
        kind=kind,
        day=days[place],
        chance=float(own / (1.0 + own)),
        by_fuel=tuple(by_fuel.tolist()),
    )


def _changes(bills: _Together, days: Sequence[date]) -> _Tried:
    """A lasting change on each day: of one part of a fuel's line, or of all of them."""
    after = np.array([[middle >= day for middle in bills.middles] for day in days])
    sides = [
        np.minimum(after[:, bills.fuel == f].sum(axis=1), (~after[:, bills.fuel == f]).sum(axis=1))
        for f in range(len(bills.parts))
    ]
    return _Tried(
        columns=bills.columns * after[:, :, None],
        can=np.array(sides) >= LEAST_SIDE,
        parts=tuple((*((part,) for part in own), own) for own in bills.parts),
        sizes=CHANGE_SIZES,
        one_way=False,
    )


def _odd_bills(bills: _Together, days: Sequence[date]) -> _Tried:
    """The bill of each fuel nearest to each day, off by some of its use: less of everything, or more."""
    fuels = range(len(bills.parts))
    columns = np.zeros((len(days), len(bills.use), len(fuels)))
    ordinals = np.array([middle.toordinal() for middle in bills.middles])
    for fuel in fuels:
        own = np.flatnonzero(bills.fuel == fuel)
        for n, day in enumerate(days):
            place = own[np.argmin(np.abs(ordinals[own] - day.toordinal()))]
            columns[n, place, fuel] = ODD_SIZE * bills.usual[place]
    return _Tried(
        columns=columns,
        can=np.ones((len(fuels), len(days)), dtype=np.bool_),
        parts=tuple(((fuel,),) for fuel in fuels),
        sizes=(1.0,),
        one_way=True,
    )


def _odds(bills: _Together, tried: _Tried, chance: float) -> tuple[FloatArray, FloatArray]:
    """Odds of an event on each day against none, and the chance of each fuel to have its part in it.

    Each fuel has its part or not, as likely. shape (days,), (fuels, days)
    """
    pulled = bills.weighing @ tried.columns[:, None]
    inner = np.swapaxes(tried.columns, 1, 2)[:, None] @ pulled
    seen = np.einsum("dwbk,b->dwk", pulled, bills.use)
    more = np.einsum("w,dwk->kd", bills.weights, seen) > 0.0
    fuels, days = tried.can.shape
    odds, by_fuel = np.zeros(days), np.zeros((fuels, days))
    for size, chosen in product(tried.sizes, product(*(((), *own) for own in tried.parts))):
        likely = 0.5**fuels / len(tried.sizes)
        places = [place for part in chosen for place in part]
        gain = _gain(inner, seen, places, size) @ bills.weights
        for part, own, can in zip(chosen, tried.parts, tried.can, strict=True):
            gain = gain * (can / len(own) if part else 1.0)
        if tried.one_way and places:
            gain = gain * (more[places] == more[places[0]]).all(axis=0)
        odds += likely * gain
        by_fuel[[bool(part) for part in chosen]] += likely * gain
    return odds * tried.can.any(axis=0) * chance / days, by_fuel / odds


def _gain(inner: FloatArray, seen: FloatArray, places: list[int], size: float) -> FloatArray:
    """Ratio of marginal likelihoods with some columns of normal coefficients added, and without. shape (days, ways)"""
    pulled = size * seen[..., places]
    added = np.eye(len(places)) + size * size * inner[..., places, :][..., places]
    explained = 0.5 * (pulled * np.linalg.solve(added, pulled[..., None])[..., 0]).sum(axis=-1)
    return np.asarray(np.exp(np.minimum(explained, 300.0)) / np.sqrt(np.linalg.det(added)))


def _bills(split: FuelSplit, weather: BillWeather) -> _Bills:
    fit = split.fit
    if fit is None:
        raise ValueError(f"{split.fuel} has no line to judge its bills by")
    data = daily_use(split.periods, weather)
    columns = line_columns(fit, data)
    sizes = [size for size in (fit.base_load, fit.heating_slope, fit.cooling_slope) if size]
    usual = data.means(fit.use(data.temperature))
    people, unknown = people_and_weather(split.periods, fit, weather)
    mean = float(usual.mean())
    return _Bills(
        middles=tuple(map(middle_of, split.periods)),
        columns=columns * _sized(sizes, columns) / mean,
        usual=usual / mean,
        use=data.use / mean,
        people=people / mean,
        unknown=unknown / mean,
    )


def _together(every: Sequence[_Bills]) -> _Together:
    fuel = np.repeat(np.arange(len(every)), [len(one.use) for one in every])
    ends = np.cumsum([0, *(one.columns.shape[1] for one in every)]).tolist()
    columns = np.zeros((len(fuel), ends[-1]))
    for n, one in enumerate(every):
        columns[fuel == n, ends[n] : ends[n + 1]] = one.columns
    use = np.concatenate([one.use for one in every])
    people = np.concatenate([one.people for one in every])
    common = _unknown_weather(every)
    steady = STEADINESS if len(every) <= ALL_WAYS else STEADINESS[::2]
    found = [
        _weighing(common + np.diag((np.array(way)[fuel] * people) ** 2), columns, use)
        for way in product(steady, repeat=len(every))
    ]
    return _Together(
        middles=tuple(middle for one in every for middle in one.middles),
        fuel=fuel,
        columns=columns,
        parts=tuple(tuple(range(*pair)) for pair in pairwise(ends)),
        usual=np.concatenate([one.usual for one in every]),
        use=use,
        weighing=np.array([weighs for _, weighs in found]),
        weights=_shares([log for log, _ in found]),
    )


def _unknown_weather(every: Sequence[_Bills]) -> FloatArray:
    """What unknown weather makes of bills: by the month, and all of a year the same way; every fuel has the same."""
    unknown = np.concatenate([one.unknown for one in every])
    ordinals = np.array([middle.toordinal() for one in every for middle in one.middles])
    apart = np.abs(np.subtract.outer(ordinals, ordinals))
    spread = YEAR_SPREAD**2 * np.exp(-apart / YEAR_DAYS) + MONTH_SPREAD**2 * (apart == 0)
    return np.asarray(np.outer(unknown, unknown) * spread)


def _shares(logs: Sequence[float]) -> FloatArray:
    """Chances of some ways from their log likelihoods; they add to 1."""
    weights = np.exp(np.array(logs) - max(logs))
    return np.asarray(weights / weights.sum())


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
