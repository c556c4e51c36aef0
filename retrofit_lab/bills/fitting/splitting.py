"""Splits the bills of one fuel into base load and weather, and says how surely; the search is in degree_day_fit.py."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import (
    COEFFICIENTS,
    HIGHEST_BASE,
    KINDS,
    LOWEST_BASE,
    DailyUse,
    DegreeDayFit,
    base_profile,
    best_fit,
)
from retrofit_lab.bills.fitting.few_bills import few_bills_estimate
from retrofit_lab.bills.fitting.fit_criteria import FitCriteria, fit_criteria
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.reading.checking import Period, periods
from retrofit_lab.bills.reading.fuels import fuel_names
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import told

LEAST_BILLS = 3
ENOUGH_TO_SPLIT = 6
ENOUGH_TO_TRUST = 10
"""Consecutive readings below which results need scrutiny. Rachlin, Fels and Socolow 1986, abstract (read)."""
WIDEST_BASE = 15.0
"""A base temperature known no better than this counts as not identifiable. [F] judgment"""
CONFIDENCE = 0.8
YEAR_DAYS = 365.0
FUEL_KINDS = ("none", "heating")
"""What a fuel other than electricity can do: no fuel cools."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A number with its standard error and its range at the stated confidence."""

    value: float
    standard_error: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelSplit:
    """What the bills of one fuel say.

    Base load [unit/day], slopes [unit/(F day)], bases [F], normal year and its parts [unit/year],
    in the unit of the fuel. ``base_load`` and ``normal_year`` are missing where bills are too few;
    ``fit`` where a line was not fitted. ``notes`` are sentences on what to keep in mind.
    """

    fuel: str
    kind: str
    confidence: float
    periods: tuple[Period, ...]
    base_load: Estimate | None = None
    heating_slope: Estimate | None = None
    cooling_slope: Estimate | None = None
    heating_base: Estimate | None = None
    cooling_base: Estimate | None = None
    normal_year: Estimate | None = None
    normal_base: Estimate | None = None
    normal_heating: Estimate | None = None
    normal_cooling: Estimate | None = None
    fit: DegreeDayFit | None = None
    criteria: FitCriteria | None = None
    notes: tuple[str, ...] = ()

    @property
    def days(self) -> int:
        """Days that the periods cover."""
        return sum(period.days for period in self.periods)


def split_fuel(
    bills: BillSet,
    fuel: str,
    weather: BillWeather,
    *,
    kinds: Iterable[str] | None = None,
    confidence: float = CONFIDENCE,
) -> FuelSplit:
    """Split the usable bills of one fuel.

    Parameters
    ----------
    bills : BillSet
        Bills as read; their order does not matter.
    fuel : str
        Key of the fuel.
    weather : BillWeather
        Daily temperatures of the time, or of a typical year; the normal year is always the typical.
    kinds : iterable of str, optional
        What the fuel may do: ``none``, ``heating``, ``cooling``, ``both``; by default what it can.
    confidence : float
        Level of every range.

    Notes
    -----
    With `ENOUGH_TO_SPLIT` periods or more the base temperature is fitted; from `LEAST_BILLS` it is
    taken from a range, which makes the answer wide; below that there is no answer.
    """
    allowed = tuple(kinds) if kinds is not None else kinds_of(fuel)
    return split_periods(periods(bills.usable(fuel)), fuel, weather, allowed, confidence)


def kinds_of(fuel: str) -> tuple[str, ...]:
    """What a fuel can do."""
    return KINDS if fuel == "electricity" else FUEL_KINDS


def split_periods(
    whole: Sequence[Period],
    fuel: str,
    weather: BillWeather,
    kinds: Sequence[str] = KINDS,
    confidence: float = CONFIDENCE,
) -> FuelSplit:
    """Split periods that are known to be whole; see `split_fuel`."""
    name = Word("fuels", fuel, fuel_names()[fuel])
    notes = _weather_notes(whole, weather, name)
    bare = FuelSplit(fuel=fuel, kind="none", confidence=confidence, periods=tuple(whole))
    if len(whole) < LEAST_BILLS:
        few = told("fit.few", count=len(whole), fuel=name, least=LEAST_BILLS)
        return replace(bare, notes=(few,))
    data = daily_use(whole, weather)
    year = weather.normal_year()
    if len(whole) < ENOUGH_TO_SPLIT:
        return _from_few(bare, data, year, kinds, notes)
    fit = best_fit(data, kinds)
    return _from_fit(bare, data, year, fit, [*notes, *_count_notes(whole, name)])


def daily_use(whole: Sequence[Period], weather: BillWeather) -> DailyUse:
    """Daily means of periods with the temperatures of their days."""
    temperatures = [weather.between(period.start, period.end) for period in whole]
    days = np.array([float(period.days) for period in whole])
    return DailyUse(
        use=np.array([period.quantity for period in whole]) / days,
        days=days,
        temperature=np.concatenate(temperatures),
        starts=np.concatenate([[0], np.cumsum(days)[:-1]]).astype(np.int64),
    )


def _from_fit(
    bare: FuelSplit, data: DailyUse, year: FloatArray, fit: DegreeDayFit, notes: list[str]
) -> FuelSplit:
    estimate = _Estimating(fit, bare.confidence, year)
    predicted = data.means(fit.use(data.temperature))
    bases = {
        f"{part}_base": _base_estimate(data, fit, part, bare.confidence)
        for part in ("heating", "cooling")
        if fit.kind in (part, "both")
    }
    return replace(
        bare,
        kind=fit.kind,
        fit=fit,
        base_load=estimate.number("base_load"),
        heating_slope=estimate.number("heating_slope") if fit.heating_slope else None,
        cooling_slope=estimate.number("cooling_slope") if fit.cooling_slope else None,
        normal_year=estimate.year(("base", "heating", "cooling")),
        normal_base=estimate.year(("base",)),
        normal_heating=estimate.year(("heating",)) if fit.heating_slope else None,
        normal_cooling=estimate.year(("cooling",)) if fit.cooling_slope else None,
        criteria=fit_criteria(data.use, predicted, parameters=COEFFICIENTS[fit.kind]),
        notes=(*notes, *_base_notes(bases)),
        heating_base=bases.get("heating_base"),
        cooling_base=bases.get("cooling_base"),
    )


@dataclass(frozen=True, slots=True)
class _Estimating:
    """Estimates of one fit with their ranges; ``year`` are the daily temperatures of the normal year."""

    fit: DegreeDayFit
    confidence: float
    normal: FloatArray

    def number(self, name: str) -> Estimate:
        gradient = np.array([float(column == name) for column in self.fit.columns])
        return self.range_of(getattr(self.fit, name), gradient)

    def year(self, parts: Sequence[str]) -> Estimate:
        fit, normal = self.fit, self.normal
        values = {"base": fit.base_load * YEAR_DAYS, "heating": 0.0, "cooling": 0.0}
        slopes = {"base_load": YEAR_DAYS if "base" in parts else 0.0}
        if fit.heating_slope and "heating" in parts:
            degree_days = float(np.maximum(fit.heating_base - normal, 0.0).sum())
            values["heating"] = fit.heating_slope * degree_days
            slopes["heating_slope"] = degree_days
            slopes["heating_base"] = fit.heating_slope * float((normal < fit.heating_base).sum())
        if fit.cooling_slope and "cooling" in parts:
            degree_days = float(np.maximum(normal - fit.cooling_base, 0.0).sum())
            values["cooling"] = fit.cooling_slope * degree_days
            slopes["cooling_slope"] = degree_days
            slopes["cooling_base"] = -fit.cooling_slope * float((normal > fit.cooling_base).sum())
        gradient = np.array([slopes.get(column, 0.0) for column in fit.columns])
        return self.range_of(sum(values[part] for part in parts), gradient)

    def range_of(self, value: float, gradient: FloatArray) -> Estimate:
        from scipy.stats import t as t_distribution  # noqa: PLC0415 - slow to import

        error = np.sqrt(max(float(gradient @ self.fit.covariance @ gradient), 0.0))
        half = error * float(
            t_distribution.ppf(0.5 + self.confidence / 2.0, self.fit.degrees_of_freedom)
        )
        return Estimate(value=value, standard_error=error, low=value - half, high=value + half)


def _base_estimate(data: DailyUse, fit: DegreeDayFit, part: str, confidence: float) -> Estimate:
    low, high = base_profile(data, fit, part, confidence)
    name = f"{part}_base"
    place = fit.columns.index(name)
    return Estimate(
        value=getattr(fit, name),
        standard_error=float(np.sqrt(fit.covariance[place, place])),
        low=low,
        high=high,
    )


def _from_few(
    bare: FuelSplit, data: DailyUse, year: FloatArray, kinds: Sequence[str], notes: list[str]
) -> FuelSplit:
    few = few_bills_estimate(data, year, kinds, bare.confidence)
    said = told(
        "fit.few_range",
        count=len(bare.periods),
        fuel=Word("fuels", bare.fuel, fuel_names()[bare.fuel]),
        low=f"{few.low:,.0f}",
        high=f"{few.high:,.0f}",
    )
    return replace(
        bare,
        kind=few.kind,
        normal_year=Estimate(
            value=few.value, standard_error=few.standard_error, low=few.low, high=few.high
        ),
        notes=(said, *notes),
    )


def _weather_notes(whole: Sequence[Period], weather: BillWeather, name: Word) -> list[str]:
    if not whole:
        return []
    days = sum(period.days for period in whole)
    measured = sum(weather.share_measured(p.start, p.end) * p.days for p in whole) / days
    if measured == 0:
        return [told("fit.weather", place=weather.name, fuel=name)]
    if measured < 1:
        return [told("fit.weather_part", share=f"{1 - measured:.0%}", place=weather.name)]
    return []


def _count_notes(whole: Sequence[Period], name: Word) -> list[str]:
    notes: list[str] = []
    if len(whole) < ENOUGH_TO_TRUST:
        notes.append(told("fit.short", count=len(whole), fuel=name, enough=ENOUGH_TO_TRUST))
    if sum(period.days for period in whole) < 330:
        notes.append(told("fit.season", fuel=name))
    return notes


def _base_notes(bases: dict[str, Estimate]) -> list[str]:
    notes: list[str] = []
    for name, base in bases.items():
        edge = base.low <= LOWEST_BASE or base.high >= HIGHEST_BASE
        if edge or base.high - base.low > WIDEST_BASE:
            key = f"fit.{name}"
            notes.append(told(key, low=f"{base.low:.0f}", high=f"{base.high:.0f}"))
    return notes
