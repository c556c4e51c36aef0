"""Good sets of more measures than every combination allows: filled, changed, exchanged; no energy, no prices."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from retrofit_lab.stacks.choosing import SLACK, Limits, Sets, scores, within
from retrofit_lab.values import BoolArray, FloatArray

FREE = 1.0
"""Cost below which a measure counts as costing this much, so that worth for a dollar can be told. [dollars]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What a search works with.

    ``worth_of`` tells what sets cost and bring and ``cost_of`` their first cost alone [dollars], both from masks
    of shape (sets, measures); ``aim`` is one of `retrofit_lab.stacks.choosing.AIMS`.
    """

    worth_of: Callable[[BoolArray], Sets]
    cost_of: Callable[[BoolArray], FloatArray]
    limits: Limits
    aim: str

    def scored(self, masks: BoolArray) -> tuple[FloatArray, FloatArray]:
        """Score of sets, minus infinity where they break a limit or a rule, and their cost. [dollars]"""
        sets = self.worth_of(masks)
        fine = within(sets, self.limits)
        return np.where(fine, scores(sets, self.aim), -np.inf), sets.cost


def filled(search: Search, count: int) -> BoolArray:
    """Set filled from nothing with what brings most for each dollar, as long as it fits. shape (count,)"""
    chosen = np.zeros(count, dtype=np.bool_)
    one = np.eye(count, dtype=np.bool_)
    while True:
        rows = np.vstack([chosen[None], chosen | one[~chosen]])
        score, cost = search.scored(rows)
        gain = score - score[0]
        if not np.any(gain > SLACK):
            return chosen
        ratio = np.where(gain > SLACK, gain / np.maximum(cost - cost[0], FREE), -np.inf)
        chosen = rows[int(np.argmax(ratio))]


def improved(search: Search, start: BoolArray) -> BoolArray:
    """Set that no change of one or two measures makes better, nor an exchange of one for one or two, or two for one.

    Parameters
    ----------
    search : Search
        What sets are worth, and the limits.
    start : ndarray of bool, shape (measures,)
        A set that keeps the limits.
    """
    best = start
    while True:
        others = np.vstack(list(_neighbours(best)))
        near = search.cost_of(others) <= search.limits.most_cost * (1.0 + SLACK)
        rows = np.vstack([best[None], others[near]])
        score, _ = search.scored(rows)
        first = int(np.argmax(score))
        if score[first] <= score[0] + SLACK * max(1.0, abs(score[0])):
            return best
        best = rows[first]


def _neighbours(mask: BoolArray) -> Iterator[BoolArray]:
    """One measure flipped; one or two added; one out for one or two; two out for one."""
    one = np.eye(len(mask), dtype=np.bool_)
    taken, added = one[mask], one[~mask]
    two_taken, two_added = _pairs(taken), _pairs(added)
    yield mask ^ one
    yield mask ^ two_added
    for out in taken:
        yield mask ^ out ^ added
        yield mask ^ out ^ two_added
    for come in added:
        yield mask ^ come ^ two_taken


def _pairs(rows: BoolArray) -> BoolArray:
    first, second = np.triu_indices(len(rows), 1)
    return np.asarray(rows[first] | rows[second])
