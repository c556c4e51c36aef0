"""Fits a described house to its bills: uncertain numbers move within their ranges until the model agrees.

Which numbers are uncertain is given from outside; how bills are split and read is done elsewhere.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from retrofit_lab.bills.checking import Period
from retrofit_lab.bills.fit_criteria import FitCriteria, fit_criteria
from retrofit_lab.bills.fitting import Posterior, UncertainInput, fit_inputs
from retrofit_lab.bills.fuels import fuel_names
from retrofit_lab.bills.model_months import fuel_months, model_fuels, month_shares
from retrofit_lab.bills.period_weather import BillWeather
from retrofit_lab.bills.record import BillError, BillSet
from retrofit_lab.bills.splitting import FuelSplit, split_fuel
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import R_LIKE_U
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import parameter_at, with_numbers
from retrofit_lab.model.year import year_energy
from retrofit_lab.parameters import Parameter
from retrofit_lab.units import R_UNIT
from retrofit_lab.values import FloatArray

MODEL_ERROR = 0.06
"""Standard deviation of the model's month round the truth when every input is right. [1] judgement"""
UNKNOWN_SCATTER = 0.12
"""Scatter of a month where bills are too few to show their own. [1] judgement"""
MOVED = 0.15
"""Share of a half range from which a number counts as moved. judgement"""


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
        return (
            f"{fuel_names()[self.fuel].capitalize()}: the model was {_percent(before.nmbe)} off the bills and is "
            f"now {_percent(after.nmbe)} off (NMBE, billed minus model); month by month it scatters by "
            f"{after.cv_rmse:.0%} (CV(RMSE); before {before.cv_rmse:.0%}), both with n - 1."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseFit:
    """A house fitted to its bills.

    ``house`` is the adjusted house, ``posterior`` the fit in half ranges by cause (none where there was
    nothing to fit), ``moved`` the numbers that moved, farthest first, ``entangled`` pairs of causes
    that the bills cannot tell apart, ``notes`` sentences, ``warnings`` what must be seen first.
    """

    stated: House
    house: House
    splits: tuple[FuelSplit, ...]
    compared: tuple[Compared, ...] = ()
    posterior: Posterior | None = None
    ranges: tuple[StatedRange, ...] = ()
    moved: tuple[NumberMoved, ...] = ()
    entangled: tuple[tuple[str, str, float], ...] = ()
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    def drawn_numbers(self, count: int, seed: int = 0) -> Mapping[str, FloatArray]:
        """Numbers of the house drawn from the result, by path, each of shape (count, 1)."""
        if self.posterior is None:
            return {}
        causes = [item.name for item in self.posterior.inputs]
        return numbers_at(self.stated, self.ranges, causes, self.posterior.draws(count, seed))

    def saving_scale(self, fuel: str) -> float:
        """Factor on savings of a fuel, at most 1, so that none exceeds what was billed. [1]"""
        return min([1.0, *(c.scale for c in self.compared if c.fuel == fuel)])


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
        Numbers that may move, such as from `retrofit_lab.ranges.sampling.spreads`.

    Returns
    -------
    HouseFit
        The house unchanged, with a note, where there is no usable bill.

    Raises
    ------
    BillError
        When there are bills but nothing may move.
    """
    splits = tuple(split_fuel(bills, fuel, weather) for fuel in bills.fuels)
    known = model_fuels(house, climate)
    used = [split for split in splits if split.periods and split.fuel in known]
    notes, warnings = _fuel_remarks(splits, known)
    ranges = tuple(ranges)
    if not used:
        none = (
            "There are no bills that the model can be fitted to; it stands alone, with its ranges."
        )
        return HouseFit(
            stated=house,
            house=house,
            splits=splits,
            ranges=ranges,
            notes=(none, *notes),
            warnings=tuple(warnings),
        )
    if not ranges:
        raise BillError(
            "no number of the house may move; at least one must. Give numbers with a range."
        )
    task = _Task(house, climate, used, weather, ranges)
    posterior = fit_inputs(task.predict, task.inputs, task.billed, task.error)
    return _result(task, posterior, splits, notes, warnings)


class _Task:
    """One fit: what is predicted for which bills, by which causes."""

    def __init__(
        self,
        house: House,
        climate: MonthlyClimate,
        splits: Sequence[FuelSplit],
        weather: BillWeather,
        ranges: Sequence[StatedRange],
    ) -> None:
        self.house, self.climate, self.splits, self.ranges = house, climate, splits, ranges
        self.causes = tuple(dict.fromkeys(item.cause for item in ranges))
        self.inputs = [UncertainInput(name=c, value=0.0, half_range=1.0) for c in self.causes]
        self.shares = [month_shares(s.periods, weather, s.fit) for s in splits]
        days = [weather.between(p.start, p.end) for s in splits for p in s.periods]
        self.temperature = np.array([float(day.mean()) for day in days])
        self.billed = np.array([p.quantity for s in splits for p in s.periods])
        self.error = np.concatenate([_error(split) for split in splits])

    def predict(self, places: FloatArray) -> FloatArray:
        """Use in every period. (variants, causes) to (variants, periods), in half ranges and units."""
        numbers = numbers_at(self.house, self.ranges, self.causes, places)
        year = year_energy(with_numbers(self.house, numbers), self.climate)
        parts = [
            fuel_months(year, split.fuel, len(places)) @ shares.T
            for split, shares in zip(self.splits, self.shares, strict=True)
        ]
        return np.concatenate(parts, axis=1)


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


def _error(split: FuelSplit) -> FloatArray:
    """Standard deviation of each period round a right model: scatter of the bills, and of the model. [unit]"""
    days = np.array([float(p.days) for p in split.periods])
    mean = sum(p.quantity for p in split.periods) / days.sum()
    if split.fit is None:
        scatter = UNKNOWN_SCATTER * mean * days
    else:
        left = max(split.fit.degrees_of_freedom, 1)
        scatter = np.sqrt(split.fit.residual_sum / left * days)
    model = MODEL_ERROR * mean * np.sqrt(days * 30.0)
    floor = 1e-6 * max(abs(mean), 1e-6) * days
    return np.asarray(np.sqrt(scatter**2 + model**2) + floor)


def _result(
    task: _Task,
    posterior: Posterior,
    splits: tuple[FuelSplit, ...],
    notes: list[str],
    warnings: list[str],
) -> HouseFit:
    after = numbers_at(task.house, task.ranges, task.causes, posterior.mean[None])
    moved = [_moved(task.house, item, float(after[item.path][0, 0])) for item in task.ranges]
    compared = tuple(_compared(task, posterior))
    return HouseFit(
        stated=task.house,
        house=with_numbers(task.house, {path: float(v[0, 0]) for path, v in after.items()}),
        splits=splits,
        compared=compared,
        posterior=posterior,
        ranges=tuple(task.ranges),
        moved=tuple(sorted((m for m in moved if abs(m.half_ranges) >= MOVED), key=_distance)),
        entangled=posterior.entangled(),
        notes=(*(c.sentence for c in compared), *notes),
        warnings=(*_disagreement(posterior, compared), *warnings),
    )


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


def _disagreement(posterior: Posterior, compared: Sequence[Compared]) -> Iterable[str]:
    if posterior.disagrees:
        worst = max(compared, key=lambda c: abs(c.criteria_after.nmbe) + c.criteria_after.cv_rmse)
        yield (
            f"THE BILLS AND THE HOUSE AS DESCRIBED DO NOT AGREE: no numbers within their ranges explain the bills "
            f"(chance {posterior.probability:.1g}), worst for {fuel_names()[worst.fuel]}. Do not trust savings yet: "
            f"look for a wrong entry, another user on the meter, or rooms that are not heated."
        )


def _fuel_remarks(splits: Sequence[FuelSplit], known: Sequence[str]) -> tuple[list[str], list[str]]:
    billed = {split.fuel for split in splits if split.periods}
    names = fuel_names()
    warnings = [
        f"There are bills for {names[fuel]}, but nothing in the house uses it. Enter the heater or stove."
        for fuel in sorted(billed - set(known))
    ]
    notes = [
        f"There are no bills for {names[fuel]}, which the house uses; that part stands on the model alone."
        for fuel in sorted(set(known) - billed)
    ]
    return [note for split in splits for note in split.notes] + notes, warnings
