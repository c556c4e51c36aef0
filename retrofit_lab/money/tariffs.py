"""Rates that are more than one price a unit: by the hours, by the amount of a month, with a credit for panels."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.sums import MONTHS, over_last
from retrofit_lab.base.values import FloatArray
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.texts.refusals import told

HOURS = 24
DAYS = {"every day": (1.0, 1.0), "weekdays": (1.0, 0.0), "weekends": (0.0, 1.0)}
"""Whether a period holds on weekdays and on weekends."""
WEEK = np.array([5.0 / 7.0, 2.0 / 7.0])
"""Share of a use that falls on weekdays and on weekends: uses are taken as alike on all days. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """Price of the part of a month's use below ``up_to``, in the fuel's unit; the last tier has no end."""

    price: float
    up_to: float = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Price of some hours: from the first up to the second, which may be past midnight; months count from 1."""

    name: str
    price: float
    hours: tuple[float, float]
    days: str = "every day"
    months: tuple[int, ...] = tuple(range(1, MONTHS + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class NetMetering:
    """What panels make each month, and what is paid for a unit that the house does not use in the month.

    ``made`` has twelve numbers, in the fuel's unit. With ``carry``, what is left of a month lowers later
    months, January to December, and only what is left at the end of the year is paid at ``credit``.
    """

    made: tuple[float, ...]
    credit: float = 0.0
    carry: bool = False


_NOT_BESIDE_HOURS = ("tiers", "net_metering")
"""What rates by the hours are not counted with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff:
    """How one fuel is paid: price a unit, fixed charge a month, and where they hold hours, tiers or a credit.

    ``price`` is that of all hours in no period. ``as_of`` is the date of the prices, ``source`` who says so.
    ``co2`` is the carbon dioxide of a unit where the supplier tells it. [kg/unit]
    """

    price: float
    fixed: float = 0.0
    as_of: str = ""
    source: str = ""
    tiers: tuple[Tier, ...] = ()
    time_of_use: tuple[Period, ...] = ()
    net_metering: NetMetering | None = None
    co2: float | None = None

    def __post_init__(self) -> None:
        problem = next(self._problems(), None)
        if problem:
            raise MoneyError(problem)

    @property
    def by_month(self) -> bool:
        """Whether a year's bill depends on how the use falls on the months."""
        return bool(self.tiers or self.net_metering) or any(
            len(set(period.months)) < MONTHS for period in self.time_of_use
        )

    def _problems(self) -> Iterator[str]:
        for beside in _NOT_BESIDE_HOURS:
            if self.time_of_use and getattr(self, beside):
                yield told("tariff.beside", beside=beside, way_out=told(f"tariff.way_out_{beside}"))
        ends = [tier.up_to for tier in self.tiers]
        if ends != sorted(set(ends)) or (ends and ends[-1] != float("inf")):
            yield told("tariff.tiers")
        if self.net_metering and len(self.net_metering.made) != MONTHS:
            yield told("tariff.made")


def hourly_price(tariff: Tariff, use: str) -> FloatArray:
    """Mean price of a unit of an end use in each month, by the shape of its day. shape (12,) [dollars/unit]

    Where periods share an hour, the first that is listed holds.
    """
    left = np.ones((len(WEEK), MONTHS, HOURS))
    price = np.zeros_like(left)
    for period in tariff.time_of_use:
        days = np.array(DAYS[period.days])[:, None, None]
        months = np.isin(np.arange(1, MONTHS + 1), period.months)[:, None]
        taken = np.minimum(left, days * months * _overlap(period.hours))
        price += taken * period.price
        left -= taken
    price += left * tariff.price
    return over_last(np.tensordot(WEEK, price, axes=1) * day_shape(use))


def _overlap(hours: tuple[float, float]) -> FloatArray:
    """Share of each hour of the day that lies in a period. shape (24,) [1]"""
    start, end = hours
    spans = [(start, end)] if start < end else [(start, float(HOURS)), (0.0, end)]
    first = np.arange(float(HOURS))
    parts = [np.clip(np.minimum(b, first + 1.0) - np.maximum(a, first), 0.0, 1.0) for a, b in spans]
    return np.asarray(sum(parts))


@cache
def _shapes() -> Mapping[str, FloatArray]:
    rows = read_rows("day_shapes.csv")
    weights = {
        row["use"]: np.array([float(row[f"h{h:02d}"]) for h in range(HOURS)]) for row in rows
    }
    return {use: weight / weight.sum() for use, weight in weights.items()}


def day_shape(use: str) -> FloatArray:
    """Share of a day's use that falls in each hour, even where nothing is declared. shape (24,) [1]"""
    return _shapes().get(use, np.full(HOURS, 1.0 / HOURS))


def month_charges(tariff: Tariff, used: FloatArray) -> FloatArray:
    """What each month costs at a rate with tiers or a credit for sun, without fixed charges.

    Parameters
    ----------
    tariff : Tariff
        The rate.
    used : ndarray, shape (..., 12)
        Use of each month, in the fuel's unit.

    Returns
    -------
    ndarray, shape (..., 12)
        [dollars/month]
    """
    taken, left_over = _net(used, tariff.net_metering)
    credit = tariff.net_metering.credit if tariff.net_metering else 0.0
    return np.asarray(_tiered(taken, tariff) - credit * left_over)


def _tiered(taken: FloatArray, tariff: Tariff) -> FloatArray:
    cost, start = np.zeros_like(taken), 0.0
    for tier in tariff.tiers or (Tier(price=tariff.price),):
        cost = cost + tier.price * np.clip(taken - start, 0.0, tier.up_to - start)
        start = tier.up_to
    return cost


def _net(used: FloatArray, sun: NetMetering | None) -> tuple[FloatArray, FloatArray]:
    """What is taken from the grid each month, and what is left over and paid for. 2 x (..., 12)"""
    if sun is None:
        return used, np.zeros_like(used)
    balance = used - np.array(sun.made)
    if not sun.carry:
        return np.maximum(balance, 0.0), np.maximum(-balance, 0.0)
    taken, left_over = np.zeros_like(balance), np.zeros_like(balance)
    kept = np.zeros(balance.shape[:-1])
    for month in range(MONTHS):
        need = balance[..., month] - kept
        taken[..., month] = np.maximum(need, 0.0)
        kept = np.maximum(-need, 0.0)
    left_over[..., -1] = kept
    return taken, left_over
