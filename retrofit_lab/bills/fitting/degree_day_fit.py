"""Variable-base degree-day regression of daily means of use: search of base temperatures and choice of the kind.

What bills and weather make of the arrays, and what the result says to people, is in splitting.py.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, IntArray

KINDS = ("none", "heating", "cooling", "both")
COEFFICIENTS = {"none": 1, "heating": 3, "cooling": 3, "both": 5}
"""Fitted numbers of each kind, base temperatures included."""
LOWEST_BASE, HIGHEST_BASE = 40.0, 80.0
SINGLE_STEP, DOUBLE_STEP = 0.5, 1.0
SMALLEST_STEP = 1e-5
SIGNIFICANCE = 0.05
"""Level of the extra-sum-of-squares F test by which a weather term must earn its place."""
NEGLIGIBLE = 1e-12
"""Share of the squares below which a sum of squared residuals is rounding."""
BASE_SPREAD = 10.0
"""Standard deviation of base temperatures of houses, a weak prior in standard errors. [F] judgment"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyUse:
    """Daily means of use by period, and the temperature of every day.

    ``use`` [unit/day] and ``days`` [day] have shape (n,); ``temperature`` [F] has shape (all days,)
    and ``starts`` the place of each period's first day in it.
    """

    use: FloatArray
    days: FloatArray
    temperature: FloatArray
    starts: IntArray

    def heating(self, bases: FloatArray) -> FloatArray:
        """Heating degree days a day. [F] shape (bases, n)"""
        return self.means(np.maximum(bases[:, None] - self.temperature, 0.0))

    def cooling(self, bases: FloatArray) -> FloatArray:
        """Cooling degree days a day. [F] shape (bases, n)"""
        return self.means(np.maximum(self.temperature - bases[:, None], 0.0))

    def share_below(self, base: float) -> FloatArray:
        """Share of the days of each period that are colder than a base. shape (n,)"""
        return self.means((self.temperature < base).astype(np.float64))

    def means(self, by_day: FloatArray) -> FloatArray:
        """Means over each period of values by day, shape (..., all days) to (..., n)."""
        sums = np.add.reduceat(by_day, self.starts, axis=-1)
        return np.asarray(sums / self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class DegreeDayFit:
    """One fitted line: use a day = base load + heating slope × HDD + cooling slope × CDD.

    Slopes are zero where the kind has none, bases then not a number. ``covariance`` is that of the
    numbers named in ``columns``, base temperatures included, linearised where the fit stands.
    """

    kind: str
    base_load: float
    heating_slope: float
    cooling_slope: float
    heating_base: float
    cooling_base: float
    residual_sum: float
    covariance: FloatArray
    columns: tuple[str, ...]
    degrees_of_freedom: int

    def use(self, temperature: FloatArray) -> FloatArray:
        """Use of days by their mean temperature. [unit/day]"""
        result = np.full(np.shape(temperature), self.base_load)
        if self.heating_slope:
            result = result + self.heating_slope * np.maximum(self.heating_base - temperature, 0.0)
        if self.cooling_slope:
            result = result + self.cooling_slope * np.maximum(temperature - self.cooling_base, 0.0)
        return result


@dataclass(frozen=True, slots=True)
class _Point:
    """The best line at given bases; an infinite sum where no line with positive slopes exists."""

    residual_sum: float
    bases: tuple[float, ...]


def best_fit(data: DailyUse, kinds: Iterable[str] = KINDS) -> DegreeDayFit:
    """The kind that the data call for, fitted: a term stays only if an F test at 5 % says so.

    Parameters
    ----------
    data : DailyUse
        At least as many periods as `COEFFICIENTS` of the kind and one; kinds beyond that are left out.
    kinds : iterable of str
        Kinds that may be chosen.
    """
    allowed = [k for k in KINDS if k in kinds and COEFFICIENTS[k] < len(data.use)] or ["none"]
    fits = {kind: fit_kind(data, kind) for kind in allowed}
    chosen = fits.pop(allowed[0])
    for fit in sorted(fits.values(), key=lambda f: (COEFFICIENTS[f.kind], f.residual_sum)):
        if _earns(fit, chosen, data):
            chosen = fit
    return chosen


def fit_kind(data: DailyUse, kind: str) -> DegreeDayFit:
    """Best line of one kind; slopes and base load are never below zero."""
    return fit_at(data, kind, _search(data, kind).bases)


def fit_at(data: DailyUse, kind: str, bases: tuple[float, ...]) -> DegreeDayFit:
    """Line of one kind at given base temperatures."""
    columns = _columns(data, kind, [np.array([base]) for base in bases])[0]
    coefficients, residual_sum = _solved(columns[None], data)
    values = dict(zip(_names(kind), coefficients[0].tolist(), strict=True))
    slopes = {name: max(values.get(name, 0.0), 0.0) for name in ("heating_slope", "cooling_slope")}
    at = dict(zip((f"{part}_base" for part in _parts(kind)), bases, strict=True))
    names, jacobian = _linearised(data, kind, bases, slopes, with_base_load=values["base_load"] > 0)
    left = len(data.use) - COEFFICIENTS[kind]
    return DegreeDayFit(
        kind=kind,
        base_load=values["base_load"],
        heating_slope=slopes["heating_slope"],
        cooling_slope=slopes["cooling_slope"],
        heating_base=at.get("heating_base", float("nan")),
        cooling_base=at.get("cooling_base", float("nan")),
        residual_sum=float(residual_sum[0]),
        covariance=_covariance(names, jacobian, data, float(residual_sum[0]) / max(left, 1)),
        columns=names,
        degrees_of_freedom=left,
    )


def base_profile(
    data: DailyUse, fit: DegreeDayFit, part: str, confidence: float
) -> tuple[float, float]:
    """Range of a base temperature that the data allow, by the profile of the residual sum.

    Parameters
    ----------
    part : str
        ``"heating"`` or ``"cooling"``.
    confidence : float
        Level of the interval, such as 0.8.

    Returns
    -------
    tuple of float
        Lowest and highest base [F] at which the residual sum, all else fitted anew, stays below
        the smallest × (1 + F / degrees of freedom).
    """
    from scipy.stats import f as f_distribution  # noqa: PLC0415 - slow to import, needed here only

    left = len(data.use) - COEFFICIENTS[fit.kind]
    ratio = f_distribution.ppf(confidence, 1, left) / left if left > 0 else np.inf
    limit = fit.residual_sum * (1.0 + ratio) + NEGLIGIBLE * float((data.days * data.use**2).sum())
    found = fit.heating_base if part == "heating" else fit.cooling_base
    bases, sums = _profile(data, fit.kind, part)
    place = int(np.searchsorted(bases, found))
    bases, sums = np.insert(bases, place, found), np.insert(sums, place, fit.residual_sum)
    inside = np.flatnonzero(sums <= limit)
    return (
        _crossing(bases, sums, int(inside[0]), -1, limit),
        _crossing(bases, sums, int(inside[-1]), 1, limit),
    )


def _crossing(bases: FloatArray, sums: FloatArray, place: int, step: int, limit: float) -> float:
    """Base between an inside point and its outside neighbor at which the profile meets the limit."""
    beyond = place + step
    if not 0 <= beyond < len(bases) or not np.isfinite(sums[beyond]):
        return float(bases[place])
    share = (limit - sums[place]) / (sums[beyond] - sums[place])
    return float(bases[place] + share * (bases[beyond] - bases[place]))


def _profile(data: DailyUse, kind: str, part: str) -> tuple[FloatArray, FloatArray]:
    if kind != "both":
        bases = _grid(SINGLE_STEP / 2.0)
        return bases, _sums(data, kind, [bases])
    grid = _grid(DOUBLE_STEP)
    first, second = (axis.ravel() for axis in np.meshgrid(grid, grid, indexing="ij"))
    sums = _sums(data, kind, [first, second]).reshape(len(grid), len(grid))
    return grid, sums.min(axis=1 if part == "heating" else 0)


def _earns(fit: DegreeDayFit, simpler: DegreeDayFit, data: DailyUse) -> bool:
    """Whether a richer fit is better than chance allows; between equals the smaller sum wins."""
    from scipy.stats import f as f_distribution  # noqa: PLC0415 - slow to import, needed here only

    more = COEFFICIENTS[fit.kind] - COEFFICIENTS[simpler.kind]
    if not np.isfinite(fit.residual_sum):
        return False
    if more == 0:
        return fit.residual_sum < simpler.residual_sum
    floor = NEGLIGIBLE * float((data.days * data.use**2).sum())
    gained = simpler.residual_sum - fit.residual_sum
    if gained <= floor:
        return False
    left = len(data.use) - COEFFICIENTS[fit.kind]
    ratio = (gained / more) / (max(fit.residual_sum, floor) / left)
    return bool(ratio > f_distribution.ppf(1.0 - SIGNIFICANCE, more, left))


def _parts(kind: str) -> tuple[str, ...]:
    return {"none": (), "both": ("heating", "cooling")}.get(kind, (kind,))


def _names(kind: str) -> tuple[str, ...]:
    return ("base_load", *(f"{part}_slope" for part in _parts(kind)))


def _grid(step: float, low: float = LOWEST_BASE, high: float = HIGHEST_BASE) -> FloatArray:
    return np.arange(low, high + step / 2.0, step)


def _search(data: DailyUse, kind: str) -> _Point:
    """Best bases: a coarse grid, then ever finer ones around the best, until the step is negligible."""
    parts = _parts(kind)
    if not parts:
        return _Point(0.0, ())
    step = SINGLE_STEP if len(parts) == 1 else DOUBLE_STEP
    point = _best_of(data, kind, [_grid(step)] * len(parts))
    while step > SMALLEST_STEP:
        step /= 2.0
        near = [
            np.clip(base + step * np.arange(-2, 3), LOWEST_BASE, HIGHEST_BASE)
            for base in point.bases
        ]
        finer = _best_of(data, kind, near)
        point = finer if finer.residual_sum < point.residual_sum else point
    return point


def _best_of(data: DailyUse, kind: str, axes: Sequence[FloatArray]) -> _Point:
    bases = [axis.ravel() for axis in np.meshgrid(*axes, indexing="ij")]
    sums = _sums(data, kind, bases)
    place = _middle_of_ties(sums)
    return _Point(float(sums[place]), tuple(float(axis[place]) for axis in bases))


def _middle_of_ties(sums: FloatArray) -> int:
    """Place of the least sum; where a whole stretch of bases does equally well, its middle."""
    least = sums.min()
    ties = np.flatnonzero(sums <= least * (1.0 + 1e-9))
    return int(ties[len(ties) // 2]) if len(ties) else int(np.argmin(sums))


def _sums(data: DailyUse, kind: str, bases: Sequence[FloatArray]) -> FloatArray:
    """Residual sum at many bases at once; infinite where slopes are not above zero or bases cross."""
    coefficients, sums = _solved(_columns(data, kind, bases), data)
    wrong = (coefficients[:, 1:] <= 0).any(axis=1)
    if kind == "both":
        wrong |= bases[0] > bases[1]
    return np.where(wrong, np.inf, sums)


def _columns(data: DailyUse, kind: str, bases: Sequence[FloatArray]) -> FloatArray:
    """Columns of the line at many bases. shape (bases, n, coefficients)"""
    count = len(bases[0]) if bases else 1
    made = [np.ones((count, len(data.use)))]
    degree_days: dict[str, Callable[[FloatArray], FloatArray]] = {
        "heating": data.heating,
        "cooling": data.cooling,
    }
    for part, axis in zip(_parts(kind), bases, strict=True):
        made.append(degree_days[part](axis))
    return np.stack(made, axis=-1)


def _solved(columns: FloatArray, data: DailyUse) -> tuple[FloatArray, FloatArray]:
    """Coefficients and residual sums of many weighted fits; a base load below zero is fitted as zero."""
    w = np.sqrt(data.days)
    coefficients = np.linalg.pinv(columns * w[:, None]) @ (data.use * w)
    below = coefficients[:, 0] < 0
    if columns.shape[2] > 1 and below.any():
        rest = columns[below][:, :, 1:]
        coefficients[below, 0] = 0.0
        coefficients[below, 1:] = np.linalg.pinv(rest * w[:, None]) @ (data.use * w)
    fitted = np.einsum("knp,kp->kn", columns, coefficients)
    return coefficients, np.asarray((data.days * (data.use - fitted) ** 2).sum(axis=1))


def _linearised(
    data: DailyUse,
    kind: str,
    bases: Sequence[float],
    slopes: dict[str, float],
    *,
    with_base_load: bool,
) -> tuple[tuple[str, ...], FloatArray]:
    """How the fitted use answers to each number of the fit. shape (n, numbers)"""
    columns = {"base_load": np.ones_like(data.use)} if with_base_load or kind == "none" else {}
    for part, base in zip(_parts(kind), bases, strict=True):
        at = np.array([base])
        below = data.share_below(base)
        slope = slopes[f"{part}_slope"]
        columns[f"{part}_slope"] = (data.heating(at) if part == "heating" else data.cooling(at))[0]
        columns[f"{part}_base"] = slope * (below if part == "heating" else below - 1.0)
    return tuple(columns), np.stack(list(columns.values()), axis=1)


def _covariance(
    names: Sequence[str], jacobian: FloatArray, data: DailyUse, variance: float
) -> FloatArray:
    """Covariance of the fitted numbers; a weak prior on the bases keeps it finite where bills are silent."""
    floor = NEGLIGIBLE * float((data.days * data.use**2).mean())
    prior = np.diag([BASE_SPREAD**-2 if name.endswith("_base") else 0.0 for name in names])
    precision = jacobian.T @ (jacobian * data.days[:, None]) / max(variance, floor, 1e-300)
    return np.asarray(np.linalg.pinv(precision + prior, hermitian=True))
