"""The best set of measures within limits, the frontier, and an order of work; no energy, no prices.

Whatever is chosen is a row of a table of sets; `retrofit_lab.savings.searching` finds rows where there are too many.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray, InputError, IntArray
from retrofit_lab.texts.refusals import told

AIMS = {
    "net_savings": np.array([1.0, 0.0, 0.0, 0.0]),
    "life_cycle_cost": np.array([1.0, 0.0, 0.0, 0.0]),
    "saving": np.array([0.0, 1.0, 0.0, 0.0]),
    "co2": np.array([0.0, 0.0, 1.0, 0.0]),
    "cost": np.array([0.0, 0.0, 0.0, -1.0]),
}
"""What each aim counts of net savings, yearly saving, CO2 saved and first cost; the most wins."""
SLACK = 1e-9
"""Relative tolerance within which two sets count as equally good, and a limit as kept."""


class ChoiceError(InputError):
    """Limits that no set of measures keeps, or rules that cannot be followed."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sets:
    """What sets cost and bring, a row each: every set of a lattice in the order of numbers, or some sets.

    ``masks`` say which measures are in each, shape (sets, n). ``cost`` is the first cost [dollars],
    ``net_savings`` present worth [dollars], ``saving`` the yearly bill saved [dollars/year], ``co2`` what is
    no longer emitted [kg/year]; ``allowed`` says which sets keep the rules between measures.
    """

    masks: BoolArray
    cost: FloatArray
    net_savings: FloatArray
    saving: FloatArray
    co2: FloatArray
    allowed: BoolArray

    @property
    def count(self) -> int:
        """Number of measures."""
        return int(self.masks.shape[1])

    def rows(self, wanted: Sequence[int] | IntArray) -> "Sets":
        """Some of the sets, in the order that is given."""
        return Sets(**{name: getattr(self, name)[wanted] for name in _COLUMNS})

    def joined(self, other: "Sets") -> "Sets":
        """These sets and then those of another table of the same measures."""
        both = (
            (name, np.concatenate([getattr(self, name), getattr(other, name)])) for name in _COLUMNS
        )
        return Sets(**dict(both))


_COLUMNS = tuple(field.name for field in fields(Sets))


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a choice must keep to.

    ``budget`` is the most to spend at first [dollars], ``payback`` the longest simple payback [year],
    ``saving`` the least yearly saving [dollars/year], ``monthly_payment`` the most to pay for a loan
    on the whole cost [dollars/month] that takes ``payment_per_dollar`` each month.
    """

    budget: float = float("inf")
    payback: float = float("inf")
    saving: float = -float("inf")
    monthly_payment: float = float("inf")
    payment_per_dollar: float = 0.0

    def __post_init__(self) -> None:
        for name in ("budget", "payback", "monthly_payment", "payment_per_dollar"):
            value = getattr(self, name)
            if not value >= 0:
                raise ChoiceError(
                    told("choosing.negative", name=name.replace("_", " "), value=f"{value:g}")
                )
        if self.monthly_payment < float("inf") and self.payment_per_dollar == 0:
            raise ChoiceError(told("choosing.payment"))

    @property
    def most_cost(self) -> float:
        """The lower of the budget and what the loan's payment allows. [dollars]"""
        if self.payment_per_dollar == 0:
            return self.budget
        return min(self.budget, self.monthly_payment / self.payment_per_dollar)


def within(sets: Sets, limits: Limits) -> BoolArray:
    """Which sets keep the rules and the limits. shape (2**n,)"""
    fine = sets.allowed & (sets.cost <= limits.most_cost * (1.0 + SLACK))
    fine &= sets.saving >= limits.saving - SLACK * abs(limits.saving)
    if np.isfinite(limits.payback):
        fine &= sets.cost <= limits.payback * sets.saving * (1.0 + SLACK)
    return fine


def shortfall(sets: Sets, limits: Limits) -> FloatArray:
    """How far each set is from keeping the limits: 0 where it keeps them, infinite where it breaks a rule.

    Every limit counts as a share of itself, so that dollars and dollars a year can be added. shape (sets,) [1]
    """
    cost, most, least = sets.cost, limits.most_cost, limits.saving
    short = np.where(sets.allowed, 0.0, np.inf)
    if np.isfinite(most):
        short = short + np.maximum(cost - most, 0.0) / max(most, 1.0)
    if np.isfinite(least):
        short = short + np.maximum(least - sets.saving, 0.0) / max(abs(least), 1.0)
    if np.isfinite(limits.payback):
        late = np.maximum(cost - limits.payback * sets.saving, 0.0)
        short = short + late / np.maximum(cost, 1.0)
    return np.where(within(sets, limits), 0.0, np.maximum(short, SLACK))


def scores(sets: Sets, aim: str) -> FloatArray:
    """What an aim counts of each set; the most wins.

    Raises
    ------
    ChoiceError
        When the aim is unknown.
    """
    values = np.column_stack([sets.net_savings, sets.saving, sets.co2, sets.cost])
    return np.asarray(values @ AIMS[known_aim(aim)])


def best_set(sets: Sets, limits: Limits, aim: str = "net_savings") -> int:
    """Row of the best set, found by looking at every one.

    Parameters
    ----------
    sets : Sets
        Sets to choose from.
    limits : Limits
        What the choice must keep to.
    aim : str
        One of `AIMS`. Net savings and life-cycle cost name the same set: one is the life-cycle cost of
        the house as it is less the other.

    Returns
    -------
    int
        Among equally good sets the cheapest, then the one with fewest measures.

    Raises
    ------
    ChoiceError
        When no set keeps the limits, or the aim is unknown.

    References
    ----------
    10 CFR 436.20: net savings are the difference of life-cycle costs (read). Handbook 135: of
    interdependent systems the combination with the lowest life-cycle cost is chosen (memory).
    """
    worth = scores(sets, aim)
    fine = np.flatnonzero(within(sets, limits))
    if fine.size == 0:
        raise ChoiceError(_why_none(sets, limits))
    best = worth[fine].max()
    close = fine[worth[fine] >= best - SLACK * max(1.0, abs(best))]
    measures = sets.masks[close].sum(axis=1)
    return int(close[np.lexsort((close, measures, sets.cost[close]))[0]])


def known_aim(aim: str) -> str:
    """The aim itself.

    Raises
    ------
    ChoiceError
        When there is no such aim.
    """
    if aim not in AIMS:
        raise ChoiceError(told("choosing.aim", aim=aim, known=", ".join(AIMS)))
    return aim


def _why_none(sets: Sets, limits: Limits) -> str:
    affordable = sets.allowed & (sets.cost <= limits.most_cost * (1.0 + SLACK))
    if not affordable.any():
        return told("choosing.no_plan")
    most = float(sets.saving[affordable].max())
    if most < limits.saving:
        return told("choosing.target", saving=f"{limits.saving:,.0f}", most=f"{most:,.0f}")
    return told("choosing.payback", saving=f"{limits.saving:,.0f}", payback=f"{limits.payback:g}")


def frontier(sets: Sets) -> IntArray:
    """Numbers of the allowed sets that no cheaper set equals in yearly saving, by rising cost."""
    numbers = np.flatnonzero(sets.allowed)
    order = numbers[np.lexsort((numbers, -sets.saving[numbers], sets.cost[numbers]))]
    saving = sets.saving[order]
    best_before = np.concatenate([[-np.inf], np.maximum.accumulate(saving)[:-1]])
    return np.asarray(order[saving > best_before])


def in_working_order(measures: Sequence[int], after: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """Measures in the given order, except that each comes after those that should be done before it.

    Raises
    ------
    ChoiceError
        When the rules go round in a circle.
    """
    waiting: list[int] = list(measures)
    done: list[int] = []
    while waiting:
        ready = next((i for i in waiting if not set(_earlier(after, i)) & set(waiting)), None)
        if ready is None:
            raise ChoiceError(told("choosing.circle", waiting=waiting))
        waiting.remove(ready)
        done.append(ready)
    return tuple(done)


def _earlier(after: Sequence[Sequence[int]], measure: int) -> Sequence[int]:
    return after[measure] if measure < len(after) else ()
