"""Rebates and tax credits as the user enters them, taken off the price; whether they are granted is not known here."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.money.problem import MoneyError
from retrofit_lab.texts.refusals import told

LEAST_PERCENT = 1.0
"""Least percent of a rebate: what is below it is more likely a fraction."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebate:
    """One entry: a fixed amount [dollars], a share of the price [percent], or both, up to a cap. [dollars]

    ``measures`` are the keys that it is given for, all of them when there are none.
    """

    name: str
    amount: float = 0.0
    percent: float = 0.0
    cap: float = float("inf")
    measures: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        problem = next(self._problems(), None)
        if problem:
            raise MoneyError(told("rebate.of", name=self.name, problem=problem))

    def _problems(self) -> Iterator[str]:
        if not self.name.strip():
            yield told("rebate.no_name")
        if not 0.0 <= self.amount < float("inf"):
            yield told("rebate.amount", amount=f"{self.amount:g}")
        if not 0.0 <= self.percent <= 100.0:
            yield told("rebate.percent", percent=f"{self.percent:g}")
        if 0.0 < self.percent < LEAST_PERCENT:
            yield told(
                "rebate.fraction",
                percent=f"{self.percent:g}",
                hundredfold=f"{100.0 * self.percent:g}",
                least=f"{LEAST_PERCENT:g}",
            )
        if self.amount == 0.0 and self.percent == 0.0:
            yield told("rebate.nothing")
        if not self.cap > 0.0:
            yield told("rebate.cap", cap=f"{self.cap:g}")


def among(rebates: Sequence[Rebate], keys: Sequence[str]) -> tuple[Rebate, ...]:
    """The entries that can be given where only some measures are looked at, each for those of its own.

    Parameters
    ----------
    rebates : sequence of Rebate
        Entries for measures of the whole catalog.
    keys : sequence of str
        Measures that are looked at.
    """
    own = [replace(r, measures=tuple(k for k in r.measures if k in keys)) for r in rebates]
    return tuple(
        mine
        for mine, all_of in zip(own, rebates, strict=True)
        if mine.measures or not all_of.measures
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rebated:
    """What is left to pay, shape of the costs, and what each entry gives, shape (rebates, ...). [dollars]"""

    left: FloatArray
    given: FloatArray


def rebated(keys: Sequence[str], costs: FloatArray, rebates: Sequence[Rebate]) -> Rebated:
    """Costs after rebates, entry by entry in their order; never below zero.

    Parameters
    ----------
    keys : sequence of str
        Measures in column order.
    costs : ndarray, shape (..., measures)
        Price of each measure, zero where it is not bought; many sets at once in the leading axes. [dollars]
    rebates : sequence of Rebate
        Each takes its percent of the price that those before it left. An amount is given once for all
        measures of an entry together, as soon as one of them is bought, and shared among them by price.

    Raises
    ------
    MoneyError
        When an entry names a measure that is not among the keys.
    """
    left = np.array(costs, dtype=np.float64)
    given = np.zeros((len(rebates), *left.shape[:-1]))
    for place, rebate in enumerate(rebates):
        eligible = np.where(_columns(keys, rebate), left, 0.0)
        price = over_last(eligible)
        wanted = rebate.percent / 100.0 * price + rebate.amount
        given[place] = np.minimum(np.minimum(wanted, rebate.cap), price)
        share = given[place] / np.where(price > 0.0, price, 1.0)
        left -= eligible * share[..., None]
    return Rebated(left=np.maximum(left, 0.0), given=given)


def _columns(keys: Sequence[str], rebate: Rebate) -> BoolArray:
    unknown = set(rebate.measures) - set(keys)
    if unknown:
        raise MoneyError(
            told(
                "rebate.no_measure",
                name=rebate.name,
                unknown=min(unknown),
                known=known_names(min(unknown), keys),
            )
        )
    return np.array([not rebate.measures or key in rebate.measures for key in keys])
