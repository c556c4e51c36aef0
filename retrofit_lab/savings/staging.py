"""A plan of work over several years: which measures in which year, with unspent money carried forward."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

import numpy as np

from retrofit_lab.base.values import FloatArray, IntArray
from retrofit_lab.savings.choosing import SLACK, ChoiceError, Sets, in_working_order
from retrofit_lab.texts.refusals import told

MOST_YEARS = 30
IMPATIENCE = 1e-6
"""Least worth of having a measure a year sooner, so that nothing waits without a reason. [1/year]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One year of a plan, counted from 1: measures in the order of work, money and yearly saving from then on.

    ``left`` is carried into the next year. [dollars]
    """

    year: int
    added: tuple[int, ...]
    spent: float
    left: float
    saving: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All years, what could not be reached, and net savings with each step counted in its own year. [dollars]"""

    stages: tuple[Stage, ...]
    not_reached: tuple[int, ...]
    net_savings: float


def staged_plan(
    sets: Sets,
    chosen: int,
    budgets: Sequence[float],
    after: Sequence[Sequence[int]] = (),
    rate: float = 0.03,
) -> Plan:
    """Plan that does every chosen measure as soon as the money reaches it, those that save most first.

    Parameters
    ----------
    sets : Sets
        All sets of a lattice.
    chosen : int
        Number of the set that is wanted in the end.
    budgets : sequence of float
        Money that comes in at the start of each year; what is not spent stays for later years. [dollars]
    after : sequence of sequence of int
        For each measure those that must not be done in a later year than it.
    rate : float
        Real discount rate. [1/year]

    Returns
    -------
    Plan
        Every year's set keeps the rules between measures. Of all such plans it has the most `usefulness`,
        each step counted from its own year on at its worth today. What is chosen is chosen: a measure that
        costs more than it saves is not put off for that.

    Raises
    ------
    ChoiceError
        When the chosen set breaks a rule, there are no budgets, or one of them is below zero.

    Notes
    -----
    Exact: with money carried forward a set is within reach in a year when its whole cost is within all
    money so far, whatever the way there; so the best way to every set follows from the best ways to
    its subsets a year before, found measure by measure instead of subset by subset.
    """
    _check(sets, chosen, budgets)
    order = in_working_order(range(sets.count), after)
    followers = _followers(sets.count, after)
    money = list(accumulate(budgets))
    inside = sets.allowed & (np.arange(len(sets.cost)) & ~chosen == 0)
    useful = usefulness(sets, chosen)
    worth = np.full(len(sets.cost), -np.inf)
    worth[0] = 0.0
    origins: list[IntArray] = []
    for weight, so_far in zip(_weights(len(budgets), rate), money, strict=True):
        worth, origin = _best_subset(worth, order, followers)
        affordable = inside & (sets.cost <= so_far * (1.0 + SLACK))
        worth = np.where(affordable, worth + weight * useful, -np.inf)
        origins.append(origin)
    last = chosen if np.isfinite(worth[chosen]) else int(np.argmax(worth))
    path = _way_back(origins, last)
    return replace(_plan(sets, path, money, order, rate), not_reached=_members(chosen & ~last))


def usefulness(sets: Sets, chosen: int) -> FloatArray:
    """What it is worth to have each set a year sooner: its yearly saving, and a trifle for each dollar spent.

    A chosen measure that raises the bills, by itself or beside the others, is taken as one that neither
    saves nor costs: someone wants it for another reason, and now. shape (sets,) [dollars/year]
    """
    one = 1 << np.arange(sets.count)
    alone = sets.saving[one]
    last = sets.saving[chosen] - sets.saving[chosen & ~one]
    raises = np.maximum(-np.minimum(alone, last), 0.0)
    return np.asarray(sets.saving + sets.masks @ raises + IMPATIENCE * sets.cost)


def _check(sets: Sets, chosen: int, budgets: Sequence[float]) -> None:
    if not 1 <= len(budgets) <= MOST_YEARS:
        raise ChoiceError(told("staging.years", count=len(budgets), most=MOST_YEARS))
    for year, budget in enumerate(budgets, 1):
        if not 0.0 <= budget < float("inf"):
            raise ChoiceError(told("staging.budget", year=year, budget=f"{budget:g}"))
    if not sets.allowed[chosen]:
        raise ChoiceError(told("staging.together"))


def _weights(years: int, rate: float) -> FloatArray:
    """Weight of each year's net savings such that their sum counts each step in its own year."""
    worth = (1.0 + rate) ** -np.arange(years)
    sooner = np.maximum(-np.diff(worth), IMPATIENCE)
    return np.append(sooner, worth[-1])


def _followers(count: int, after: Sequence[Sequence[int]]) -> list[int]:
    """For each measure the set of those that come after it, as a number."""
    followers = [0] * count
    for later, earlier in enumerate(after):
        for i in earlier:
            followers[i] |= 1 << later
    return followers


def _best_subset(
    worth: FloatArray, order: Sequence[int], followers: Sequence[int]
) -> tuple[FloatArray, IntArray]:
    """For each set the best worth among its subsets from which it can be reached, and which one that is.

    Measure by measure, those that come first before those that come after: while a measure is looked
    at, the followers in a set's number are those that it already had the year before.
    """
    numbers = np.arange(len(worth))
    best, origin = worth.copy(), numbers.copy()
    for i in order:
        with_it = numbers[(numbers >> i & 1 == 1) & (numbers & followers[i] == 0)]
        without = with_it ^ (1 << i)
        better = with_it[best[without] > best[with_it]]
        origin[better] = origin[better ^ (1 << i)]
        best[better] = best[better ^ (1 << i)]
    return best, origin


def _way_back(origins: Sequence[IntArray], last: int) -> list[int]:
    """Sets year by year, the empty one first."""
    path = [last]
    for origin in reversed(origins):
        path.append(int(origin[path[-1]]))
    return path[::-1]


def _plan(
    sets: Sets, path: Sequence[int], money: Sequence[float], order: Sequence[int], rate: float
) -> Plan:
    steps = list(zip(path[:-1], path[1:], money, strict=True))
    stages = tuple(
        Stage(
            year=year,
            added=tuple(i for i in order if (new & ~old) >> i & 1),
            spent=float(sets.cost[new] - sets.cost[old]),
            left=max(0.0, float(so_far - sets.cost[new])),
            saving=float(sets.saving[new]),
        )
        for year, (old, new, so_far) in enumerate(steps, 1)
    )
    gains = np.diff(sets.net_savings[list(path)])
    worth = float(gains @ (1.0 + rate) ** -np.arange(len(gains)))
    return Plan(stages=stages, not_reached=(), net_savings=worth)


def _members(number: int) -> tuple[int, ...]:
    return tuple(i for i in range(number.bit_length()) if number >> i & 1)
