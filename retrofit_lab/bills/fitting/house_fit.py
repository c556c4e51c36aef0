"""Fits a described house to its bills: uncertain numbers move within their ranges until the model agrees.

Which numbers are uncertain is given from outside; how bills are split and read is done elsewhere.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from retrofit_lab.base.fuels import several
from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.units import R_UNIT
from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.changed_use import (
    Change,
    Kept,
    as_they_stand,
    empty_against,
    usual_spread,
)
from retrofit_lab.bills.fitting.fit_criteria import FitCriteria, fit_criteria
from retrofit_lab.bills.fitting.model_months import fuel_months, model_fuels, month_shares
from retrofit_lab.bills.fitting.moving_inputs import (
    RANGE_TO_SPREAD,
    Posterior,
    UncertainInput,
    fit_inputs,
)
from retrofit_lab.bills.fitting.other_load import (
    EIGHTY_PERCENT,
    KEY,
    SPREAD_KWH,
    WORTH_TELLING,
    WORTH_TRYING,
    LoadRange,
    chance_before,
    chances,
    load_ranges,
    with_other_loads,
)
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.fitting.splitting import (
    ENOUGH_TO_SPLIT,
    YEAR_DAYS,
    FuelSplit,
    daily_use,
    split_fuel,
)
from retrofit_lab.bills.fitting.verdict import Verdict
from retrofit_lab.bills.reading.checking import Period
from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units, heat_contents
from retrofit_lab.bills.reading.record import BillError, BillSet
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import R_LIKE_U
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import parameter_at, with_numbers
from retrofit_lab.model.year import year_energy
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import told

MODEL_ERROR = 0.06
"""Standard deviation of the model's month around the truth when every input is right. [1] judgment"""
UNKNOWN_SCATTER = 0.12
"""Scatter of a month where bills are too few to show their own. [1] judgment"""
USUAL_COUNTS = 3.0
"""Bills that the usual scatter counts for beside those that are there. judgment"""
YEAR_SPREAD = 1.7
"""Standard deviation of the mean temperature of one year's heating season around the usual. [F] judgment"""
KNOWN_WEATHER = 0.02
"""Spread that is left where the temperatures of the days are known, so that the fit stays solvable. [F]"""
YEARS = "weather of the bills"
"""Cause that stands for how much warmer the time of the bills was than the weather used instead."""
EARLIER = "earlier use"
"""Cause that stands for how much more of a fuel was used before the last year, for reasons that no one told."""
EARLIER_SPREAD = 0.15
"""Standard deviation of the change of a house's use over the years once weather is taken out, works that no one told
of among the reasons. [1] judgment"""
EARLIER_WORTH_TELLING = 0.1
"""Change of use since before the last year from which it is told. [1] judgment"""
FORCED = 0.005
"""Probability below which the sums of the bills are too far from the described house to be fitted. [1]"""
COMFORT = 62.0
"""Temperature from which colder and hotter days are counted away, for what follows the weather. [F] judgment"""
LEAST_LOAD = 4.0
"""Unlisted load from which it is told. [kWh/day, as heat for other fuels] judgment"""
WITH_WEATHER = ("heating", "cooling", "blower")
"""End uses that follow the weather."""
MOVED = 0.15
"""Share of a half range from which a number counts as moved. judgment"""


class StatedRange(Protocol):
    """One uncertain number of a house; numbers of one cause move together."""

    @property
    def path(self) -> str:
        """Where the number stands."""
        ...

    @property
    def value(self) -> float:
        """Stated value. [unit of the number]"""
        ...

    @property
    def cause(self) -> str:
        """What moves it, and others with it."""
        ...

    @property
    def half_range(self) -> float:
        """Half of its 80 % range. [unit of the number]"""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberMoved:
    """One number of the house before and after the fit, in its unit, and how far that is in half ranges."""

    path: str
    label: str
    unit: str
    before: float
    after: float
    half_ranges: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One fuel, period by period: billed use, use by the model before and after the fit [unit], criteria.

    ``temperature`` is the mean of the days of each period [F], for charts of use against weather.
    """

    fuel: str
    periods: tuple[Period, ...]
    temperature: FloatArray
    billed: FloatArray
    before: FloatArray
    after: FloatArray
    criteria_before: FitCriteria
    criteria_after: FitCriteria

    @property
    def scale(self) -> float:
        """Billed use over that of the fitted model: what the fit could not make agree. [1]"""
        return float(self.billed.sum() / self.after.sum())

    @property
    def sentence(self) -> str:
        """How well model and bills agree, before and after the fit, with the formula's choices named."""
        before, after = self.criteria_before, self.criteria_after
        return told(
            "fit.agrees",
            fuel=Word("fuels", self.fuel, fuel_names()[self.fuel].capitalize()),
            before=_percent(before.nmbe),
            after=_percent(after.nmbe),
            scatter=f"{after.cv_rmse:.0%}",
            scatter_before=f"{before.cv_rmse:.0%}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """One way in which the bills came about: causes that may move, the fit, and its chance against the other. [1]"""

    ranges: tuple[StatedRange, ...]
    posterior: Posterior
    chance: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseFit:
    """A house fitted to its bills.

    ``house`` is the adjusted house, or the stated one where the fit is not ``used``; ``stories`` the fits
    in half ranges by cause, the likelier first (none where there was nothing to fit), ``moved`` the
    numbers that moved, farthest first, ``entangled`` pairs of causes that the bills cannot tell apart,
    ``caps`` factors on the energy of a fuel and end use where no fit is used, ``verdicts`` what must be
    seen first, ``notes`` further sentences.
    """

    stated: House
    house: House
    splits: tuple[FuelSplit, ...]
    used: bool = False
    compared: tuple[Compared, ...] = ()
    stories: tuple[Story, ...] = ()
    moved: tuple[NumberMoved, ...] = ()
    entangled: tuple[tuple[str, str, float], ...] = ()
    caps: tuple[tuple[str, str, float], ...] = ()
    notes: tuple[str, ...] = ()
    verdicts: tuple[Verdict, ...] = ()

    @property
    def posterior(self) -> Posterior | None:
        """The likelier fit."""
        return self.stories[0].posterior if self.stories else None

    def drawn_numbers(self, count: int, seed: int = 0) -> Mapping[str, FloatArray]:
        """Numbers of the house drawn from the result, by path, each of shape (count, 1).

        Each story gets its share of the draws; they are mixed, so that any part of them holds both.
        """
        if not self.used or not self.stories:
            return {}
        rng = np.random.default_rng(seed)
        of_story = rng.random(count)[:, None] < self.stories[0].chance
        first, *rest = [_drawn(self.stated, story, count, seed) for story in self.stories]
        if not rest:
            return first
        paths = dict.fromkeys([*first, *rest[0]])
        still = np.zeros((count, 1))
        return {
            path: np.where(of_story, first.get(path, still), rest[0].get(path, still))
            for path in paths
        }

    def saving_scale(self, fuel: str, end_use: str = "") -> float:
        """Factor on energy of a fuel, at most 1, so that no saving exceeds what was billed. [1]

        Where the fit is used, the whole fuel is held to its bills; where it is not, the part that
        follows the weather and the rest are held each to their own part of the bills.
        """
        own = [scale for name, use, scale in self.caps if name == fuel and use in ("", end_use)]
        return min([1.0, *own])


def _drawn(house: House, story: Story, count: int, seed: int) -> dict[str, FloatArray]:
    causes = [item.name for item in story.posterior.inputs]
    loaded = with_other_loads(house, _load_fuels(story.ranges))
    return numbers_at(loaded, story.ranges, causes, story.posterior.draws(count, seed))


def _load_fuels(ranges: Iterable[StatedRange]) -> list[str]:
    return [r.cause.partition(".")[2] for r in ranges if isinstance(r, LoadRange)]


def fit_house(
    house: House,
    climate: MonthlyClimate,
    bills: BillSet,
    weather: BillWeather,
    ranges: Iterable[StatedRange],
) -> HouseFit:
    """Fit a house to its bills.

    Parameters
    ----------
    house : House
        House as described.
    climate : MonthlyClimate
        Typical year of its place.
    bills : BillSet
        Bills of any fuels; their order does not matter.
    weather : BillWeather
        Daily temperatures for the bills, of the same place.
    ranges : iterable of StatedRange
        Numbers that may move, such as from `retrofit_lab.uncertainty.sampling.spreads`.

    Returns
    -------
    HouseFit
        The house unchanged, with a note, where there is no usable bill; and with a verdict, where only
        force would make house and bills agree.

    Raises
    ------
    BillError
        When there are bills but nothing may move.
    """
    whole = tuple(split_fuel(bills, fuel, weather) for fuel in bills.fuels)
    kept = as_they_stand(whole, weather)
    splits = tuple(one.split for one in kept)
    known = model_fuels(house, climate)
    used = [one for one in kept if one.split.periods and one.split.fuel in known]
    notes = _fuel_remarks(splits, known)
    verdicts = [*_kept_verdicts(kept), *_unknown_fuels(splits, known), *_set_aside(bills)]
    ranges = tuple(ranges)
    bare = HouseFit(stated=house, house=house, splits=splits, verdicts=tuple(verdicts))
    if not used:
        return replace(bare, notes=(told("fit.no_bills"), *notes))
    if not ranges:
        raise BillError(told("fit.no_ranges"))
    task = _Task(house, climate, [one.split for one in used], weather, ranges)
    return _fitted(bare, task, used, notes)


def _fitted(bare: HouseFit, task: "_Task", kept: Sequence[Kept], notes: list[str]) -> HouseFit:
    """The fit without an unlisted load and, where the bills call for one, with it; or none, where forced."""
    plain = task.fitted()
    sound = _without_odd(task, plain, kept)
    if any(a is not b for a, b in zip(sound, kept, strict=True)):
        task = _Task(task.house, task.climate, [k.split for k in sound], task.weather, task.ranges)
        plain = task.fitted()
        others = [v for v in bare.verdicts if not v.key.startswith(("odd", "change"))]
        bare = replace(bare, verdicts=(*_kept_verdicts(sound), *others))
    loads = _loads(task, plain)
    wanted = [fuel for fuel, chance in loads.items() if chance >= WORTH_TRYING]
    stories = [Story(ranges=task.ranges, posterior=plain)]
    best = task
    if wanted:
        chance = max(loads[fuel] for fuel in wanted)
        loaded = with_other_loads(bare.stated, wanted)
        ranges = (*task.ranges, *load_ranges(wanted))
        more = _Task(loaded, task.climate, task.splits, task.weather, ranges)
        other = Story(ranges=more.ranges, posterior=more.fitted(), chance=chance)
        stories = [replace(stories[0], chance=1.0 - chance), other]
        stories.sort(key=lambda story: -story.chance)
        best = more if stories[0] is other else task
    return _result(best, stories, bare, notes, forced=_is_forced(best, stories[0].posterior))


def _without_odd(task: "_Task", fit: Posterior, kept: Sequence[Kept]) -> list[Kept]:
    """Bills of each fuel without those far below the fitted house."""
    ends = np.cumsum([len(split.periods) for split in task.splits])[:-1]
    expected = np.split(fit.predicted, ends)
    return [empty_against(k, e, task.weather) for k, e in zip(kept, expected, strict=True)]


def _loads(task: "_Task", plain: Posterior) -> dict[str, float]:
    """Chance of an unlisted load of each fuel, by fuel."""
    names = [split.fuel for split in task.splits if split.fuel != "wood"]
    if not names:
        return {}
    surprise, covariance = task.surprise(plain)
    columns = [task.load_column(fuel) for fuel in names]
    found = chances(surprise, covariance, columns, [chance_before(fuel) for fuel in names])
    return dict(zip(names, found, strict=True))


class _Task:
    """One fit: what is predicted for which bills, by which causes."""

    def __init__(
        self,
        house: House,
        climate: MonthlyClimate,
        splits: Sequence[FuelSplit],
        weather: BillWeather,
        ranges: tuple[StatedRange, ...],
    ) -> None:
        self.house, self.climate, self.splits, self.ranges = house, climate, splits, ranges
        self.weather = weather
        earlier = [f"{EARLIER}.{s.fuel}" for s in splits if _earlier(s).any()]
        self.causes = (*dict.fromkeys(item.cause for item in ranges), YEARS, *earlier)
        self.inputs = [_input(cause, splits, weather) for cause in self.causes]
        self.shares = [month_shares(s.periods, weather, s.fit) for s in splits]
        warmer = [month_shares(s.periods, weather, s.fit, warmer=1.0) for s in splits]
        self.by_degree = [w - s for w, s in zip(warmer, self.shares, strict=True)]
        days = [weather.between(p.start, p.end) for s in splits for p in s.periods]
        self.temperature = np.array([float(day.mean()) for day in days])
        self.days = np.array([float(p.days) for s in splits for p in s.periods])
        self.billed = np.array([p.quantity for s in splits for p in s.periods])
        self.error = np.concatenate([_error(split, weather) for split in splits])

    def fitted(self) -> Posterior:
        return fit_inputs(self.predict, self.inputs, self.billed, self.error)

    def predict(self, places: FloatArray) -> FloatArray:
        """Use in every period. (variants, causes) to (variants, periods), in half ranges and units."""
        numbers = numbers_at(self.house, self.ranges, self.causes, places)
        year = year_energy(with_numbers(self.house, numbers), self.climate)
        degrees = places[:, [self.causes.index(YEARS)]]
        parts = []
        for split, shares, by_degree in zip(self.splits, self.shares, self.by_degree, strict=True):
            months = fuel_months(year, split.fuel, len(places))
            use = months @ shares.T + degrees * (months @ by_degree.T)
            name = f"{EARLIER}.{split.fuel}"
            if name in self.causes:
                use = use * (1.0 + places[:, [self.causes.index(name)]] * _earlier(split))
            parts.append(use)
        return np.concatenate(parts, axis=1)

    def surprise(self, fit: Posterior) -> tuple[FloatArray, FloatArray]:
        """Billed less expected before the bills were seen, and its covariance, made linear where the fit stands."""
        stated = np.array([item.value for item in fit.inputs])
        spread = np.array([item.spread for item in fit.inputs])
        rest = fit.measured - fit.predicted + fit.jacobian @ (fit.mean - stated)
        pulled = fit.jacobian * spread
        return rest, pulled @ pulled.T + np.diag(fit.error**2)

    def load_column(self, fuel: str) -> FloatArray:
        """What an unlisted load of one spread adds to every bill. [unit]"""
        unit = SPREAD_KWH * heat_contents()["electricity"] / heat_contents()[fuel]
        mine = np.concatenate([np.full(len(s.periods), s.fuel == fuel) for s in self.splits])
        return np.asarray(unit * self.days * mine)


def _input(cause: str, splits: Sequence[FuelSplit], weather: BillWeather) -> UncertainInput:
    """Causes in half ranges; an unlisted load is never below zero; the years of the bills in degrees. [1 or F]"""
    if cause == YEARS:
        return UncertainInput(name=cause, value=0.0, half_range=_years_off(splits, weather))
    if cause.startswith(EARLIER):
        half = EARLIER_SPREAD * RANGE_TO_SPREAD
        return UncertainInput(name=cause, value=0.0, half_range=half, farthest=4.0)
    if cause.startswith(KEY):
        return UncertainInput(name=cause, value=0.0, half_range=1.0, low=0.0, farthest=4.0)
    return UncertainInput(name=cause, value=0.0, half_range=1.0)


def _earlier(split: FuelSplit) -> FloatArray:
    """1 for bills from before the last year of a fuel, else 0. shape (periods,)"""
    last = max(period.end for period in split.periods)
    return np.array([float((last - p.end).days >= YEAR_DAYS - 15.0) for p in split.periods])


def _years_off(splits: Sequence[FuelSplit], weather: BillWeather) -> float:
    """Half of the 80 % range of how much warmer the time of the bills was than the weather used instead. [F]"""
    periods = [period for split in splits for period in split.periods]
    days = sum(period.days for period in periods)
    known = sum(weather.share_measured(p.start, p.end) * p.days for p in periods) / days
    span = (max(p.end for p in periods) - min(p.start for p in periods)).days
    years = max(span / YEAR_DAYS, 0.25)
    spread = YEAR_SPREAD * (1.0 - known) / np.sqrt(max(years, 1.0))
    return float(max(spread, KNOWN_WEATHER) * RANGE_TO_SPREAD)


def numbers_at(
    house: House, ranges: Sequence[StatedRange], causes: Sequence[str], places: FloatArray
) -> dict[str, FloatArray]:
    """Numbers of a house for many places of its causes.

    Parameters
    ----------
    causes : sequence of str
        Causes in the order of the columns.
    places : ndarray, shape (variants, causes)
        Where each cause stands, in half ranges from what was stated. [1]

    Returns
    -------
    dict
        Numbers by path, shape (variants, 1), each kept within its legal range.
    """
    column = {cause: places[:, [n]] for n, cause in enumerate(causes)}
    result = {}
    for item in ranges:
        low, high = _legal(parameter_at(house, item.path), item.value)
        result[item.path] = np.clip(item.value + item.half_range * column[item.cause], low, high)
    return result


def _legal(rule: Parameter, value: float) -> tuple[float, float]:
    """Legal range; an R-value does not move down to where it would look like a U-value."""
    low = (
        max(rule.legal_low, R_LIKE_U)
        if rule.unit == R_UNIT and value >= R_LIKE_U
        else rule.legal_low
    )
    return min(low, value), max(rule.legal_high, value)


def _error(split: FuelSplit, weather: BillWeather) -> FloatArray:
    """Standard deviation of each period around a right model: scatter of the bills, and of the model. [unit]"""
    days = np.array([float(p.days) for p in split.periods])
    mean = sum(p.quantity for p in split.periods) / days.sum()
    model = MODEL_ERROR * mean * np.sqrt(days * 30.0)
    floor = 1e-6 * max(abs(mean), 1e-6) * days
    return np.asarray(np.sqrt(_scatter(split, weather) ** 2 + model**2) + floor)


def _scatter(split: FuelSplit, weather: BillWeather) -> FloatArray:
    """Standard deviation of each period round its line: what is usual, as far as the bills do not show their own.

    What is not known of the weather weighs in cold and hot periods, so they do not all scatter alike; and
    twelve bills alone tell their scatter too poorly, so what is usual counts as some more of them. [unit]
    """
    days = np.array([float(p.days) for p in split.periods])
    use = np.array([p.quantity for p in split.periods])
    if split.fit is None:
        return np.asarray(UNKNOWN_SCATTER * use.sum() / days.sum() * days)
    data = daily_use(split.periods, weather)
    usual = usual_spread(split.periods, split.fit, weather)
    off = (data.use - data.means(split.fit.use(data.temperature))) / usual
    left = max(split.fit.degrees_of_freedom, 1)
    scale = np.sqrt((USUAL_COUNTS + (off**2).sum()) / (USUAL_COUNTS + left))
    return np.asarray(scale * usual * days)


def _result(
    task: _Task, stories: list[Story], bare: HouseFit, notes: list[str], *, forced: bool
) -> HouseFit:
    posterior = stories[0].posterior
    compared = tuple(_compared(task, posterior))
    if forced:
        caps = tuple(_part_caps(task))
        foremost = (_forced(compared), *_capped(caps))
        return replace(
            bare,
            compared=tuple(
                replace(c, after=c.before, criteria_after=c.criteria_before) for c in compared
            ),
            stories=tuple(stories),
            caps=caps,
            notes=tuple(notes),
            verdicts=(*foremost, *bare.verdicts),
        )
    after = numbers_at(task.house, task.ranges, task.causes, posterior.mean[None])
    moved = [_moved(task.house, item, float(after[item.path][0, 0])) for item in task.ranges]
    house = with_numbers(task.house, {path: float(v[0, 0]) for path, v in after.items()})
    fuels = {fuel for story in stories for fuel in _load_fuels(story.ranges)}
    lacking = [f for f in sorted(fuels) if f not in _load_fuels(task.ranges)]
    return replace(
        bare,
        house=with_other_loads(house, lacking),
        used=True,
        compared=compared,
        stories=tuple(stories),
        moved=tuple(sorted((m for m in moved if abs(m.half_ranges) >= MOVED), key=_distance)),
        entangled=posterior.entangled(),
        caps=tuple((c.fuel, "", min(1.0, c.scale)) for c in compared),
        notes=(*(c.sentence for c in compared), *notes),
        verdicts=(
            *_load_verdicts(stories),
            *bare.verdicts,
            *_earlier_verdicts(posterior),
            _agreement(compared),
        ),
    )


def _is_forced(task: _Task, posterior: Posterior) -> bool:
    """Whether the bills are too far from what the described house can use within its ranges.

    Looked at as a whole, and apart in the few sums that say most: the year of each fuel, and how much of
    it follows the weather. In the many single bills a house that is far off would go under.
    """
    surprise, covariance = task.surprise(posterior)
    sums = _few_sums(task)
    rest, spread = sums @ surprise, sums @ covariance @ sums.T
    from scipy.stats import chi2  # noqa: PLC0415 - slow to import, needed here only

    far = float(rest @ np.linalg.solve(spread, rest))
    return posterior.disagrees or bool(chi2.sf(far, len(rest)) < FORCED)


def _few_sums(task: _Task) -> FloatArray:
    """Rows that add bills up: all of each fuel, and cold against mild ones where there are enough. shape (sums, n)"""
    rows, start = [], 0
    for split in task.splits:
        part = slice(start, start + len(split.periods))
        start = part.stop
        row = np.zeros(len(task.billed))
        row[part] = 1.0
        rows.append(row)
        if len(split.periods) >= ENOUGH_TO_SPLIT:
            slope = np.zeros(len(task.billed))
            away = np.abs(task.temperature[part] - COMFORT)
            slope[part] = away - away.mean()
            rows.append(slope)
    return np.array(rows)


def _part_caps(task: _Task) -> Iterable[tuple[str, str, float]]:
    """What the model may use at most, by fuel and end use: the weather's part and the rest of each fuel's bills."""
    year = year_energy(task.house, task.climate)
    for split in task.splits:
        content = heat_contents()[split.fuel]
        used = {
            use: float(np.sum(year.annual(fuel, use))) / content
            for fuel, use in year.monthly
            if fuel == split.fuel
        }
        weather = sum(used.get(use, 0.0) for use in WITH_WEATHER)
        if split.normal_base is None or split.normal_year is None:
            if split.normal_year is not None:
                yield (
                    split.fuel,
                    "",
                    min(1.0, split.normal_year.high / max(sum(used.values()), 1e-9)),
                )
            continue
        billed = max(split.normal_year.value - split.normal_base.value, 0.0)
        rest = max(sum(used.values()) - weather, 1e-9)
        for use in used:
            most, own = (
                (billed, weather) if use in WITH_WEATHER else (split.normal_base.value, rest)
            )
            yield split.fuel, use, float(np.clip(most / max(own, 1e-9), 0.0, 1.0))


def _distance(number: NumberMoved) -> tuple[float, str]:
    return -abs(number.half_ranges), number.path


def _moved(house: House, item: StatedRange, after: float) -> NumberMoved:
    rule = parameter_at(house, item.path)
    return NumberMoved(
        path=item.path,
        label=rule.label,
        unit=rule.unit,
        before=item.value,
        after=after,
        half_ranges=(after - item.value) / item.half_range,
    )


def _compared(task: _Task, posterior: Posterior) -> Iterable[Compared]:
    start = 0
    for split in task.splits:
        part = slice(start, start + len(split.periods))
        start = part.stop
        billed, before = posterior.measured[part], posterior.predicted_before[part]
        after = posterior.predicted[part]
        yield Compared(
            fuel=split.fuel,
            periods=split.periods,
            temperature=task.temperature[part],
            billed=billed,
            before=before,
            after=after,
            criteria_before=fit_criteria(billed, before, parameters=1),
            criteria_after=fit_criteria(billed, after, parameters=1),
        )


def _percent(share: float) -> str:
    """Signed whole percent; what rounds to nothing has no minus sign."""
    return f"{round(100.0 * share):+d}%" if np.isfinite(share) else "an unknown share"


def _forced(compared: Sequence[Compared]) -> Verdict:
    """Which fuel is farthest off, and to which side."""
    worst = max(compared, key=lambda c: abs(_off(c.billed, c.before)))
    off = _off(worst.billed, worst.before)
    return Verdict(
        key="forced_high" if off >= 0 else "forced_low",
        fuel=worst.fuel,
        values={"share": f"{abs(off):.0%}"},
        serious=True,
    )


def _off(billed: FloatArray, model: FloatArray) -> float:
    return float(billed.sum() / max(float(model.sum()), 1e-9) - 1.0)


def _capped(caps: Sequence[tuple[str, str, float]]) -> Iterable[Verdict]:
    for fuel in dict.fromkeys(fuel for fuel, _, scale in caps if scale < 1.0):
        yield Verdict(key="capped", fuel=fuel)


def _load_verdicts(stories: Sequence[Story]) -> Iterable[Verdict]:
    """An unlisted load that a likely enough story has, with its size."""
    loaded = next((s for s in stories if _load_fuels(s.ranges)), None)
    if loaded is None or loaded.chance < WORTH_TELLING:
        return
    key = "other_load" if loaded is stories[0] else "other_load_maybe"
    for item, size in zip(loaded.posterior.inputs, loaded.posterior.mean, strict=True):
        day = SPREAD_KWH * EIGHTY_PERCENT * float(size)
        if item.name.startswith(KEY) and day >= LEAST_LOAD:
            fuel = item.name.partition(".")[2]
            amount = day * heat_contents()["electricity"] / heat_contents()[fuel]
            yield Verdict(
                key=key,
                fuel=fuel,
                values={
                    "day": f"{amount:,.2g}",
                    "year": f"{float(f'{amount * YEAR_DAYS:.2g}'):,.0f}",
                    "unit": several(fuel_units()[fuel]),
                },
                serious=True,
            )


def _earlier_verdicts(posterior: Posterior) -> Iterable[Verdict]:
    """Fuels of which clearly more or less was used before the last year than house and weather explain.

    Whether something changed or the weather was another, the bills alone do not tell.
    """
    for item, more in zip(posterior.inputs, posterior.mean.tolist(), strict=True):
        if item.name.startswith(EARLIER) and abs(more) >= EARLIER_WORTH_TELLING:
            yield Verdict(
                key="earlier_more" if more > 0 else "earlier_less",
                fuel=item.name.rpartition(".")[2],
                values={"share": f"{abs(more):.0%}"},
            )


def _agreement(compared: Sequence[Compared]) -> Verdict:
    worst = max(compared, key=lambda c: abs(_off(c.billed, c.after)))
    return Verdict(
        key="agree",
        fuel=worst.fuel,
        values={"share": f"{max(abs(_off(worst.billed, worst.after)), 0.01):.0%}"},
    )


def _kept_verdicts(kept: Sequence[Kept]) -> Iterable[Verdict]:
    for one in kept:
        fuel = one.split.fuel
        if one.change is not None:
            yield _change_verdict(fuel, one.change)
        for odd in one.odd:
            yield Verdict(
                key="odd_more" if odd.share > 0 else "odd_less",
                fuel=fuel,
                values={
                    "start": odd.period.start.isoformat(),
                    "end": odd.period.end.isoformat(),
                    "share": f"{abs(odd.share):.0%}",
                },
            )


def _change_verdict(fuel: str, change: Change) -> Verdict:
    key = "change_after" if change.enough_after else "change_too_late"
    return Verdict(
        key=f"{key if change.sure else 'change_maybe'}_{'up' if change.share > 0 else 'down'}",
        fuel=fuel,
        values={"day": change.day.isoformat(), "share": f"{abs(change.share):.0%}"},
        serious=change.sure,
    )


def _unknown_fuels(splits: Sequence[FuelSplit], known: Sequence[str]) -> Iterable[Verdict]:
    billed = {split.fuel for split in splits if split.periods}
    for fuel in sorted(billed - set(known)):
        yield Verdict(key="no_user", fuel=fuel, serious=True)


def _set_aside(bills: BillSet) -> Iterable[Verdict]:
    for fuel, _ in bills.set_aside:
        yield Verdict(key="set_aside", fuel=fuel, serious=True)


def _fuel_remarks(splits: Sequence[FuelSplit], known: Sequence[str]) -> list[str]:
    billed = {split.fuel for split in splits if split.periods}
    notes = [
        told("fit.no_fuel", fuel=Word("fuels", fuel, fuel_names()[fuel]))
        for fuel in sorted(set(known) - billed)
    ]
    return [note for split in splits for note in split.notes] + notes
