"""A load that no one listed, as one more unknown of the fit, and whether the bills call for it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import Appliance, House

KEY = "other_load"
SPREAD_KWH = 8.0
"""Standard deviation of an unlisted load where there is one: a car, a hot tub, a well or pool pump, a shop.
[kWh/day, as heat for other fuels] judgment"""
CHANCE, CHANCE_OF_FUEL = 0.25, 0.08
"""Chance before the bills are seen that a house has one: of electricity, for which there are many, and of another
fuel, where it can hardly be but a pool heater, a gas log or a generator. [1] judgment"""
WORTH_TRYING = 0.2
"""Chance after the bills are seen from which the fit is made with it too. [1] judgment"""
WORTH_TELLING = 0.3
"""And from which it is told. [1] judgment"""
DAYS_A_YEAR = 365.0
EIGHTY_PERCENT = 1.2815515655446004


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRange:
    """The use a year of an unlisted load as an uncertain number of the house. [kWh/year]"""

    path: str
    cause: str
    value: float = 0.0
    half_range: float = SPREAD_KWH * DAYS_A_YEAR * EIGHTY_PERCENT


def path_of(fuel: str) -> str:
    """Where the use of the unlisted load of a fuel is in a house that has one."""
    return f"appliances.{KEY}_{fuel}.use"


def with_other_loads(house: House, fuels: Iterable[str]) -> House:
    """The house with an unlisted load for each fuel, at rest; its heat stays outdoors."""
    loads = tuple(
        Appliance(
            key=f"{KEY}_{fuel}",
            label="what is not listed",
            kind=KEY,
            fuel=fuel,
            use=0.0,
            inside=0.0,
        )
        for fuel in fuels
    )
    return replace(house, appliances=(*house.appliances, *loads)) if loads else house


def load_ranges(fuels: Iterable[str]) -> tuple[LoadRange, ...]:
    """Uncertain numbers of the unlisted loads."""
    return tuple(LoadRange(path=path_of(fuel), cause=f"{KEY}.{fuel}") for fuel in fuels)


def chances(
    surprise: FloatArray,
    covariance: FloatArray,
    loads: Sequence[FloatArray],
    before: Sequence[float],
) -> list[float]:
    """Chance of an unlisted load of each fuel after the bills are seen.

    Parameters
    ----------
    surprise : ndarray, shape (n,)
        Billed less what was expected before the bills were seen. [unit]
    covariance : ndarray, shape (n, n)
        Of the surprise, where there is no unlisted load.
    loads : sequence of ndarray, shape (n,)
        What an unlisted load of one spread adds to each bill. [unit]
    before : sequence of float
        Chance of each load before the bills are seen. [1]

    Notes
    -----
    The load is zero or more, half of a normal distribution; its best size by generalised least squares
    gives the odds of both stories in closed form. All fuels are solved together, so that what one load
    explains is not explained by the other.
    """
    columns = np.stack(loads, axis=1)
    weighed = np.linalg.solve(covariance, columns)
    precision = columns.T @ weighed
    size = np.linalg.solve(precision + 1e-12 * np.eye(len(loads)), weighed.T @ surprise)
    error = np.sqrt(np.diag(np.linalg.inv(precision + 1e-12 * np.eye(len(loads)))))
    return [
        _chance(float(mean), float(sd), chance)
        for mean, sd, chance in zip(size, error, before, strict=True)
    ]


def chance_before(fuel: str) -> float:
    """Chance before the bills are seen that a house has an unlisted load of a fuel. [1]"""
    return CHANCE if fuel == "electricity" else CHANCE_OF_FUEL


def _chance(size: float, error: float, before: float) -> float:
    """From the best size of a load and its error, both in spreads of loads."""
    from scipy.stats import norm  # noqa: PLC0415 - slow to import, needed here only

    left = 1.0 / (1.0 + error**2)
    center, width = size * left, error * np.sqrt(left)
    log_odds = (
        np.log(2.0 * before / (1.0 - before))
        + norm.logcdf(center / width)
        + 0.5 * np.log(error**2 * left)
        + 0.5 * size**2 / error**2 * left
    )
    return float(1.0 / (1.0 + np.exp(-np.clip(log_odds, -50.0, 50.0))))
