"""A wide answer from three to five bills: lines at several base temperatures, all of which are taken seriously."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.degree_day_fit import DailyUse
from retrofit_lab.bills.fitting.least_squares import LinearFit, linear_fit

HEATING_BASES = (52.0, 60.0, 68.0)
COOLING_BASES = (62.0, 68.0, 74.0)
"""Low, usual and high base temperatures of houses. [F] judgment"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoughYear:
    """Use of a normal year with a range that covers every line that was tried. [unit/year]"""

    kind: str
    value: float
    standard_error: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class _Line:
    kind: str
    base: float
    fit: LinearFit
    year: float
    half: float


def few_bills_estimate(
    data: DailyUse, year: FloatArray, kinds: Sequence[str], confidence: float
) -> RoughYear:
    """Normal-year use from few periods.

    Parameters
    ----------
    data : DailyUse
        At least three periods.
    year : ndarray, shape (days,)
        Daily temperatures of the normal year. [F]
    kinds : sequence of str
        Kinds that the fuel allows.
    confidence : float
        Level of each line's own range.

    Returns
    -------
    RoughYear
        The value of the best line; from the lowest to the highest end of all lines' ranges.
    """
    lines = list(_lines(data, year, kinds, confidence))
    best = min(lines, key=lambda line: (line.fit.residual_sum, line.kind, line.base))
    low = max(min(line.year - line.half for line in lines), 0.0)
    high = max(line.year + line.half for line in lines)
    z = _normal_quantile(confidence)
    return RoughYear(
        kind=best.kind, value=best.year, standard_error=(high - low) / (2.0 * z), low=low, high=high
    )


def _lines(
    data: DailyUse, year: FloatArray, kinds: Sequence[str], confidence: float
) -> Iterator[_Line]:
    """A flat line, and a line of each kind at each base whose slope is above zero."""
    yield _line("none", 0.0, None, data=data, year=year, confidence=confidence)
    for kind, bases in (("heating", HEATING_BASES), ("cooling", COOLING_BASES)):
        for base in bases if {kind, "both"} & set(kinds) else ():
            at = np.array([base])
            column = (data.heating(at) if kind == "heating" else data.cooling(at))[0]
            line = _line(kind, base, column, data=data, year=year, confidence=confidence)
            if np.ptp(column) > 0 and line.fit.coefficients[1] > 0:
                yield line


def _line(
    kind: str,
    base: float,
    column: FloatArray | None,
    *,
    data: DailyUse,
    year: FloatArray,
    confidence: float,
) -> _Line:
    from scipy.stats import t as t_distribution  # noqa: PLC0415 - slow to import

    ones = np.ones_like(data.use)
    columns = [ones] if column is None else [ones, column]
    fit = linear_fit(np.stack(columns, axis=1), data.use, data.days)
    sign = 1.0 if kind == "heating" else -1.0
    degree_days = float(np.maximum(sign * (base - year), 0.0).sum())
    gradient = np.array([float(len(year)), degree_days])[: len(columns)]
    error = float(np.sqrt(gradient @ fit.covariance @ gradient))
    half = error * float(t_distribution.ppf(0.5 + confidence / 2.0, fit.degrees_of_freedom))
    return _Line(kind, base, fit, float(gradient @ fit.coefficients), half)


def _normal_quantile(confidence: float) -> float:
    return NormalDist().inv_cdf(0.5 + confidence / 2.0)
