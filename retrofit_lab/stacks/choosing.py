"""The best set of measures within limits, the frontier, what next and what one would regret; no energy, no prices.

Exact from the arrays of all sets of a lattice; an estimate from single measures and pairs beyond it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.values import BoolArray, FloatArray, InputError, IntArray

AIMS = {
    "net_savings": np.array([1.0, 0.0, 0.0, 0.0]),
    "life_cycle_cost": np.array([1.0, 0.0, 0.0, 0.0]),
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
    """What every set of a lattice costs and brings, in the order of set numbers. shape (2**n,)

    ``cost`` is the first cost [dollars], ``net_savings`` present worth [dollars], ``saving`` the yearly
    bill saved [dollars/year], ``co2`` what is no longer emitted [kg/year]; ``allowed`` says which sets
    keep the rules between measures.
    """

    cost: FloatArray
    net_savings: FloatArray
    saving: FloatArray
    co2: FloatArray
    allowed: BoolArray

    @property
    def count(self) -> int:
        """Number of measures."""
        return int(self.cost.shape[0]).bit_length() - 1


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
                    f"{name.replace('_', ' ')} is {value:g}; must be 0 or above. Change it."
                )
        if self.monthly_payment < float("inf") and self.payment_per_dollar == 0:
            raise ChoiceError(
                "a monthly payment needs the payment for each dollar borrowed. Give the loan's terms."
            )

    @property
    def most_cost(self) -> float:
        """The lower of the budget and what the loan's payment allows. [dollars]"""
        if self.payment_per_dollar == 0:
            return self.budget
        return min(self.budget, self.monthly_payment / self.payment_per_dollar)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One measure added to a set, or what goes with it when it is taken out.

    ``ratio`` is net savings for each dollar of first cost; infinite where it costs nothing and helps.
    """

    measure: int
    cost: float
    saving: float
    net_savings: float

    @property
    def ratio(self) -> float:
        """Net savings for each dollar of first cost. [1]"""
        if self.cost > 0:
            return self.net_savings / self.cost
        return float(np.copysign(np.inf, self.net_savings)) if self.net_savings else 0.0


def within(sets: Sets, limits: Limits) -> BoolArray:
    """Which sets keep the rules and the limits. shape (2**n,)"""
    fine = sets.allowed & (sets.cost <= limits.most_cost * (1.0 + SLACK))
    fine &= sets.saving >= limits.saving - SLACK * abs(limits.saving)
    if np.isfinite(limits.payback):
        fine &= sets.cost <= limits.payback * sets.saving * (1.0 + SLACK)
    return fine


def best_set(sets: Sets, limits: Limits, aim: str = "net_savings") -> int:
    """Number of the best set of all, found by looking at every one.

    Parameters
    ----------
    sets : Sets
        All sets of a lattice.
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
    values = np.column_stack([sets.net_savings, sets.saving, sets.co2, sets.cost])
    score = values @ AIMS[_known(aim)]
    fine = np.flatnonzero(within(sets, limits))
    if fine.size == 0:
        raise ChoiceError(_why_none(sets, limits))
    best = score[fine].max()
    close = fine[score[fine] >= best - SLACK * max(1.0, abs(best))]
    measures = np.array([int(number).bit_count() for number in close])
    return int(close[np.lexsort((close, measures, sets.cost[close]))[0]])


def _known(aim: str) -> str:
    if aim not in AIMS:
        raise ChoiceError(f"aim '{aim}' is unknown; use one of {', '.join(AIMS)}.")
    return aim


def _why_none(sets: Sets, limits: Limits) -> str:
    affordable = sets.allowed & (sets.cost <= limits.most_cost * (1.0 + SLACK))
    if not affordable.any():
        return "no set of measures keeps the rules and the budget. Raise the budget."
    most = float(sets.saving[affordable].max())
    if most < limits.saving:
        return (
            f"the saving asked for is {limits.saving:,.0f} dollars a year; at most {most:,.0f} can be "
            f"saved within the budget. Lower the target or raise the budget."
        )
    return (
        f"no set saves {limits.saving:,.0f} dollars a year within the budget and a payback of "
        f"{limits.payback:g} years. Allow a longer payback or a lower target."
    )


def frontier(sets: Sets) -> IntArray:
    """Numbers of the allowed sets that no cheaper set equals in yearly saving, by rising cost."""
    numbers = np.flatnonzero(sets.allowed)
    order = numbers[np.lexsort((numbers, -sets.saving[numbers], sets.cost[numbers]))]
    saving = sets.saving[order]
    best_before = np.concatenate([[-np.inf], np.maximum.accumulate(saving)[:-1]])
    return np.asarray(order[saving > best_before])


def what_next(
    sets: Sets, number: int, by: str = "net_savings", after: Sequence[Sequence[int]] = ()
) -> tuple[Step, ...]:
    """Measures that may be added to a set, the best first.

    Parameters
    ----------
    sets : Sets
        All sets of a lattice.
    number : int
        Set that is ticked.
    by : str
        ``"net_savings"`` or ``"ratio"``.
    after : sequence of sequence of int
        For each measure those that should be done before it; of two that are both worth their cost
        the one that should come first is named first.
    """
    free = [i for i in range(sets.count) if not number >> i & 1]
    steps = [_step(sets, number, number | 1 << i, i) for i in free if sets.allowed[number | 1 << i]]
    steps.sort(key=lambda step: (-getattr(step, by), step.measure))
    by_measure = {step.measure: step for step in steps}
    worth = {step.measure for step in steps if step.net_savings > 0}
    rules = [[i for i in earlier if i in worth] for earlier in after]
    return tuple(by_measure[i] for i in in_working_order([s.measure for s in steps], rules))


def regrets(sets: Sets, number: int) -> tuple[Step, ...]:
    """What each ticked measure would take with it if it were left out, the most missed first.

    Negative net savings mean that the set is better off without it. Measures that another ticked one
    needs are left out: they cannot go alone.
    """
    ticked = [i for i in range(sets.count) if number >> i & 1]
    steps = [
        _step(sets, number ^ 1 << i, number, i) for i in ticked if sets.allowed[number ^ 1 << i]
    ]
    return tuple(sorted(steps, key=lambda step: (-step.net_savings, step.measure)))


def _step(sets: Sets, less: int, more: int, measure: int) -> Step:
    return Step(
        measure=measure,
        cost=float(sets.cost[more] - sets.cost[less]),
        saving=float(sets.saving[more] - sets.saving[less]),
        net_savings=float(sets.net_savings[more] - sets.net_savings[less]),
    )


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
            raise ChoiceError(
                f"the measures {waiting} should each come after another of them. Mend their 'after'."
            )
        waiting.remove(ready)
        done.append(ready)
    return tuple(done)


def _earlier(after: Sequence[Sequence[int]], measure: int) -> Sequence[int]:
    return after[measure] if measure < len(after) else ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pairwise:
    """Measures one by one and two by two, where there are too many for all sets.

    ``alone`` has a row for each measure with net savings, yearly saving and CO2 saved, shape (n, 3);
    ``beyond`` what two together bring beyond their sum, shape (n, n, 3), of which the upper triangle
    counts. ``excludes`` and ``needs`` are pairs of measures.
    """

    cost: FloatArray
    alone: FloatArray
    beyond: FloatArray
    excludes: tuple[tuple[int, int], ...] = ()
    needs: tuple[tuple[int, int], ...] = ()


def best_set_estimated(pairwise: Pairwise, limits: Limits, aim: str = "net_savings") -> BoolArray:
    """Best set of any number of measures, as far as singles and pairs tell.

    The worth of a set is taken as the sum of its measures and of what its pairs bring beyond that; what
    three or more do to one another is left out. Savings that share one load are then counted somewhat
    too low in large sets, so work the found set out by the model before it is shown.

    Returns
    -------
    ndarray of bool, shape (n,)

    Raises
    ------
    ChoiceError
        When no set keeps the limits, or the solver gives up.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - slow to import

    first, second = _pairs(pairwise)
    count = len(pairwise.cost)
    single = np.column_stack([pairwise.alone, pairwise.cost])
    pair = np.column_stack([pairwise.beyond[first, second], np.zeros(len(first))])
    values = np.vstack([single, pair])
    gain = values @ AIMS[_known(aim)]
    rows = [*_pair_rows(count, first, second), *_rule_rows(pairwise), *_limit_rows(values, limits)]
    found = milp(
        -gain,
        constraints=[
            LinearConstraint(_padded(row, len(gain)), -np.inf, most) for row, most in rows
        ],
        integrality=(np.arange(len(gain)) < count).astype(np.int64),
        bounds=Bounds(0.0, 1.0),
    )
    if found.x is None:
        raise ChoiceError(f"no set keeps the limits ({found.message}). Loosen one of them.")
    return np.asarray(found.x[:count] > 0.5)


def _pairs(pairwise: Pairwise) -> tuple[IntArray, IntArray]:
    matters = np.abs(pairwise.beyond).max(axis=-1) > SLACK
    first, second = np.nonzero(np.triu(matters, 1))
    return first, second


_Row = tuple[FloatArray, float]
"""Coefficients of the measures and pairs, and the most that their sum may be."""


def _pair_rows(count: int, first: IntArray, second: IntArray) -> Iterator[_Row]:
    """A pair counts exactly when both of its measures are chosen."""
    for place, (i, j) in enumerate(zip(first, second, strict=True), count):
        row = np.zeros(place + 1)
        row[place] = 1.0
        for one in (i, j):
            lone = row.copy()
            lone[one] = -1.0
            yield lone, 0.0
        both = -row
        both[[i, j]] = 1.0
        yield both, 1.0


def _rule_rows(pairwise: Pairwise) -> Iterator[_Row]:
    for i, j in pairwise.excludes:
        row = np.zeros(len(pairwise.cost))
        row[[i, j]] = 1.0
        yield row, 1.0
    for i, needed in pairwise.needs:
        row = np.zeros(len(pairwise.cost))
        row[[i, needed]] = 1.0, -1.0
        yield row, 0.0


def _limit_rows(values: FloatArray, limits: Limits) -> Iterator[_Row]:
    saving, cost = values[:, 1], values[:, 3]
    if np.isfinite(limits.most_cost):
        yield cost, limits.most_cost
    if np.isfinite(limits.payback):
        yield cost - limits.payback * saving, 0.0
    if np.isfinite(limits.saving):
        yield -saving, -limits.saving


def _padded(row: FloatArray, width: int) -> FloatArray:
    return np.pad(row, (0, width - len(row)))
