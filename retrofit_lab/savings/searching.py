"""Good sets of more measures than can be listed in all sets: gathered class by class of cost, then exchanged.

Every set that is named here has been worked out by whoever asks; nothing is estimated. What is found cannot
be bettered by taking a measure in, leaving one out, exchanging two, bringing one in and making room for it, by
any other choice among the measures that are the closest calls, nor by the likeliest exchanges of two for one.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import reduce

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.savings.choosing import SLACK, Limits, Sets, best_set, scores, shortfall, within
from retrofit_lab.savings.combinations import all_plans

CLASSES = 48
"""Classes of cost, of which the best set each is kept while sets are gathered."""
CHEAPEST_CLASS = 20.0
"""Cost up to which all sets that cost anything are in one class. [dollars]"""
GATHERED_BY = ("net_savings", "saving", "co2")
STARTS = 3
"""Gathered sets from which a search sets out; the best that it ends at is taken."""
CLOSE_CALLS = 10
"""Measures of which every set is looked at before a search stops: those nearest to being left out or taken in."""
TRIPLES = 1024
"""Sets of two measures for one, or one for two, that are worked out before a search stops."""
MOST_STEPS = 100
"""Exchanges after which a search stops in any case."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Choice:
    """What is chosen among.

    ``prices`` are those of the measures by themselves [dollars], shape (n,). Of each measure (row)
    ``needed`` says which others it needs, ``brings`` these and itself, ``drives_out`` what any of those
    excludes, shape (n, n). ``work_out`` gives what sets cost and bring.
    """

    prices: FloatArray
    needed: BoolArray
    brings: BoolArray
    drives_out: BoolArray
    work_out: Callable[[BoolArray], Sets]

    @property
    def count(self) -> int:
        """Number of measures."""
        return len(self.prices)

    def with_each(self, masks: BoolArray, measures: IntArray) -> BoolArray:
        """Sets with a measure each taken in: what it needs comes with it, what it excludes goes."""
        taken = (masks & ~self.drives_out[measures]) | self.brings[measures]
        return self.whole(taken)

    def whole(self, masks: BoolArray) -> BoolArray:
        """Sets without the measures that lack something they need. (..., n) -> (..., n)"""
        while True:
            lacks = (self.needed & ~masks[..., None, :]).any(axis=-1) & masks
            if not lacks.any():
                return masks
            masks = masks & ~lacks


def choice_of(
    prices: FloatArray,
    rivals: BoolArray,
    needed: BoolArray,
    work_out: Callable[[BoolArray], Sets],
) -> Choice:
    """A choice from which measures exclude which and which need which, shape (n, n)."""
    closed = needed | np.eye(len(prices), dtype=np.bool_)
    for _ in range(len(prices)):
        closed = closed | ((closed.astype(np.intp) @ closed) > 0)
    either = rivals | rivals.T
    return Choice(
        prices=prices,
        needed=needed,
        brings=closed,
        drives_out=(closed.astype(np.intp) @ either) > 0,
        work_out=work_out,
    )


def gathered(choice: Choice) -> Sets:
    """The best sets of each class of cost, found by taking measure after measure into those found before.

    They are gathered for net savings, for the yearly saving and for CO2, one after the other.
    """
    every = np.concatenate([_gathered_by(choice, aim) for aim in GATHERED_BY])
    return choice.work_out(np.unique(every, axis=0))


def _gathered_by(choice: Choice, aim: str) -> BoolArray:
    most = max(float(choice.prices.sum()), 2.0 * CHEAPEST_CLASS)
    edges = np.array([0.0, *np.geomspace(CHEAPEST_CLASS, most, CLASSES)])
    sets = choice.work_out(np.zeros((1, choice.count), dtype=np.bool_))
    for measure in range(choice.count):
        more = choice.with_each(sets.masks, np.full(len(sets.masks), measure))
        sets = sets.joined(choice.work_out(more))
        sets = sets.rows(_best_of_each(sets, aim, edges))
    return sets.masks


def _best_of_each(sets: Sets, aim: str, edges: FloatArray) -> IntArray:
    """The best allowed set of each class of cost, and of those only what no cheaper one beats."""
    numbers = np.flatnonzero(sets.allowed)
    worth = scores(sets, aim)[numbers]
    place = np.searchsorted(edges, sets.cost[numbers])
    order = np.lexsort((sets.cost[numbers], -worth, place))
    kept = order[np.concatenate([[True], np.diff(place[order]) > 0])]
    before = np.concatenate([[-np.inf], np.maximum.accumulate(worth[kept])[:-1]])
    return np.asarray(numbers[kept[worth[kept] > before]])


def best_found(
    choice: Choice, known: Sets, limits: Limits, aim: str = "net_savings", starts: int = STARTS
) -> Sets:
    """Best set within limits that a search from some of the best known sets finds, as a table of one row.

    No known set need keep the limits: a search comes as near to them as it can before it looks for better.

    Raises
    ------
    ChoiceError
        When nothing that was found keeps the limits.
    """
    ends = [
        _climbed(choice, known.rows([start]), limits, aim)
        for start in _starts(known, limits, aim, starts)
    ]
    found = reduce(Sets.joined, ends)
    if not within(found, limits).any() and np.isfinite(limits.saving):
        # so that the refusal can tell how much can be saved
        free = replace(limits, saving=-np.inf)
        found = best_found(choice, known, free, "saving", starts)
    return found.rows([best_set(found, limits, aim)])


def _starts(known: Sets, limits: Limits, aim: str, starts: int) -> list[int]:
    """Known sets to set out from: those nearest to the limits, the best of them first."""
    short = shortfall(known, limits)
    order: list[int] = np.lexsort((-scores(known, aim), short))[:starts].tolist()
    if short[order[0]] == 0.0:
        return order
    affordable = known.allowed & (known.cost <= limits.most_cost)
    saving = int(np.argmax(np.where(affordable, known.saving, -np.inf)))
    return list(dict.fromkeys([*order, saving]))


def _climbed(choice: Choice, at: Sets, limits: Limits, aim: str) -> Sets:
    for _ in range(MOST_STEPS):
        better = next(_betters(choice, at, limits, aim), None)
        if better is None:
            return at
        at = better
    return at


def _betters(choice: Choice, at: Sets, limits: Limits, aim: str) -> Iterator[Sets]:
    """The best of the sets beside one, where it is better: by exchanges, then close calls, then two for one."""
    mask, most = at.masks[0], limits.most_cost
    short = float(shortfall(at, limits)[0])
    # as long as the limits are not kept, what counts is what brings them nearer; and the least cost is found
    # by putting what saves most for its money into less money
    wanted = aim if short == 0.0 and aim != "cost" else "saving"
    if short == 0.0 and aim == "cost":
        most = min(most, float(at.cost[0]) * (1.0 - SLACK))
    beside = choice.work_out(_flipped(choice, mask))
    gain = np.where(mask, -1.0, 1.0) * (scores(beside, wanted) - float(scores(at, wanted)[0]))
    for moves in (_exchanged, _close_calls, _two_for_one):
        sets = choice.work_out(np.unique(moves(choice, mask, gain, most), axis=0))
        yield from _better(beside.joined(sets), at, limits, aim)


def _better(sets: Sets, at: Sets, limits: Limits, aim: str) -> Iterator[Sets]:
    """The best of some sets where it is nearer to the limits than one or, keeping them too, better."""
    short, here = shortfall(sets, limits), float(shortfall(at, limits)[0])
    if not np.isfinite(short).any():
        return
    if short.min() > 0.0:
        if short.min() < here - SLACK:
            yield sets.rows([int(np.argmin(short))])
        return
    best = sets.rows([best_set(sets, limits, aim)])
    now = float(scores(at, aim)[0])
    if here > 0.0 or scores(best, aim)[0] > now + SLACK * max(1.0, abs(now)):
        yield best


def _two_for_one(choice: Choice, mask: BoolArray, gain: FloatArray, most: float) -> BoolArray:
    """Sets in which two come for one or one for two: of those that can be paid the likeliest to be better."""
    inside, outside = np.flatnonzero(mask), np.flatnonzero(~mask)
    moves = np.concatenate([_triples(inside, outside), _triples(outside, inside)])
    if not len(moves):
        return mask[None]
    sign = np.where(mask, -1.0, 1.0)
    cost = float(choice.prices[mask].sum()) + (sign * choice.prices)[moves].sum(axis=1)
    guess = np.where(cost <= most, (sign * gain)[moves].sum(axis=1), -np.inf)
    moves = moves[np.argsort(-guess, kind="stable")[:TRIPLES]]
    masks = np.repeat(mask[None], len(moves), axis=0)
    rows = np.arange(len(moves))[:, None]
    masks[rows, moves] = ~masks[rows, moves]
    return choice.whole(masks)


def _triples(one: IntArray, two: IntArray) -> IntArray:
    """Each of some measures with each pair of others. shape (triples, 3)"""
    first, second = np.triu_indices(len(two), 1)
    pairs = np.column_stack([two[first], two[second]])
    return np.column_stack([np.repeat(one, len(pairs)), np.tile(pairs, (len(one), 1))])


def _close_calls(choice: Choice, mask: BoolArray, gain: FloatArray, most: float) -> BoolArray:
    """Every set of the measures whose gain for each dollar is nearest to where the money or the gain ends."""
    ratio = gain / np.maximum(choice.prices, 1.0)
    order = np.argsort(-ratio)
    paid = np.cumsum(choice.prices[order]) <= most
    end = int(np.sum(paid & (ratio[order] > 0.0)))
    first = max(0, min(end - CLOSE_CALLS // 2, choice.count - CLOSE_CALLS))
    near = order[first : first + CLOSE_CALLS]
    masks = np.repeat(mask[None], 2 ** len(near), axis=0)
    masks[:, near] = all_plans(len(near))
    return choice.whole(masks)


def _flipped(choice: Choice, mask: BoolArray) -> BoolArray:
    """The set with each measure taken in or left out, in the order of the measures."""
    every = np.arange(choice.count)
    out = choice.whole(mask & ~np.eye(choice.count, dtype=np.bool_))
    return np.where(mask[:, None], out, choice.with_each(mask, every))


def _exchanged(choice: Choice, mask: BoolArray, gain: FloatArray, most: float) -> BoolArray:
    """Sets in which one comes for another, or comes and others make room, or goes and others fill it."""
    inside, outside = np.flatnonzero(mask), np.flatnonzero(~mask)
    more = choice.with_each(mask, outside)
    less = mask & ~np.eye(choice.count, dtype=np.bool_)[inside]
    swapped = more[:, None, :] & (less | ~mask)[None, :, :]
    fixed = [*outside.tolist(), *inside.tolist()]
    filled = [
        _fitted(choice, row, gain, most, measure)
        for row, measure in zip([*more, *less], fixed, strict=True)
    ]
    return choice.whole(np.concatenate([swapped.reshape(-1, choice.count), np.array(filled)]))


def _fitted(
    choice: Choice, mask: BoolArray, gain: FloatArray, most: float, fixed: int
) -> BoolArray:
    """A set made cheap enough and then filled up, by gain for each dollar; one measure stays as it is."""
    mask, prices = mask.copy(), choice.prices
    order = np.argsort(gain / np.maximum(prices, 1.0)).tolist()
    cost = float(prices[mask].sum())
    for i in order:
        if cost > most and mask[i] and i != fixed:
            mask[i], cost = False, cost - prices[i]
    for i in order[::-1]:
        fits = gain[i] > 0.0 and not mask[i] and i != fixed and cost + prices[i] <= most
        if fits and not (choice.drives_out[i] & mask).any():
            mask[i], cost = True, cost + prices[i]
    return mask
