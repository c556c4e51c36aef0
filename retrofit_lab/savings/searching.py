"""Good sets of more measures than can be listed in all sets: gathered class by class of cost, then exchanged.

Every set that is named here has been worked out by whoever asks; nothing is estimated. What is found cannot
be bettered by taking a measure in, leaving one out, exchanging two, bringing one in and making room for it, by
any other choice among the measures that are the closest calls, nor by the likeliest exchanges of up to three for
up to three.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, reduce
from itertools import combinations

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.savings.choosing import SLACK, Limits, Sets, best_set, scores, shortfall, within
from retrofit_lab.savings.combinations import all_plans

CLASSES = 48
"""Classes of cost, of which the best set each is kept while sets are gathered."""
CHEAPEST_CLASS = 20.0
"""Cost up to which all sets that cost anything are in one class. [dollars]"""
GATHERED_BY = ("net_savings", "saving", "co2")
STARTS = 2
"""Gathered sets from which a search sets out; what sets apart the ones it ends at is tried in every mix."""
ANEW, LARGE, MOST_LARGE = 3, (0.12, 0.03), 8
"""Sets with other large measures, and the rest fitted to these, from which it sets out again; shares of the
money from which a measure is large, the second too where a saving must be reached, which leaves the money open; and
how many large ones are tried in every mix."""
TOWARD_SAVING = 3
"""Times that the measures are put in the order of what the aim loses for each dollar saved, each time beside the best
set of the time before, where a saving must be reached."""
MIXED = 9
"""Measures at most that are tried in every mix at the end."""
CLOSE_CALLS = 10
"""Measures of which every set is looked at before a search stops: those nearest to being left out or taken in."""
NEAREST, LIKELIEST = 16, 1024
"""Measures in a set and outside it, nearest to leaving or coming, of which up to three are exchanged for up to three
before a search stops; and how many of these exchanges, the likeliest, are worked out."""
MOST_STEPS = 100
"""Exchanges after which a search stops in any case."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Choice:
    """What is chosen among.

    ``prices`` are those of the measures by themselves [dollars], shape (n,). Of each measure (row)
    ``needed`` says which others it needs, ``brings`` these and itself, ``drives_out`` what any of those
    excludes, shape (n, n). ``work_out`` gives what sets cost and bring, ``cost_of`` their first cost alone,
    visits and rebates shared. [dollars]
    """

    prices: FloatArray
    needed: BoolArray
    brings: BoolArray
    drives_out: BoolArray
    work_out: Callable[[BoolArray], Sets]
    cost_of: Callable[[BoolArray], FloatArray]

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


class _Remembered:
    """What sets cost and bring, worked out once each: a search comes by the same ones again and again."""

    def __init__(self, work_out: Callable[[BoolArray], Sets]) -> None:
        self.work_out = work_out
        self.rows: dict[bytes, int] = {}
        self.table: Sets | None = None

    def __call__(self, masks: BoolArray) -> Sets:
        keys = [row.tobytes() for row in np.packbits(masks, axis=1)]
        new = {key: place for place, key in enumerate(keys) if key not in self.rows}
        if new or self.table is None:
            found = self.work_out(masks[list(new.values())])
            self.table = found if self.table is None else self.table.joined(found)
            self.rows.update(
                zip(new, range(len(self.rows), len(self.rows) + len(new)), strict=True)
            )
        return self.table.rows([self.rows[key] for key in keys])


def remembering(choice: Choice) -> Choice:
    """The same choice, which works each set out once."""
    return replace(choice, work_out=_Remembered(choice.work_out))


def choice_of(
    prices: FloatArray,
    rivals: BoolArray,
    needed: BoolArray,
    work_out: Callable[[BoolArray], Sets],
    cost_of: Callable[[BoolArray], FloatArray],
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
        cost_of=cost_of,
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
    choice = remembering(choice)
    climbed = _Climbing(choice, limits, aim)
    ends = [climbed(known.rows([start])) for start in _starts(known, limits, aim, starts)]
    found = _mixed(climbed, reduce(Sets.joined, ends))
    best = found.rows(_by_worth(found, limits, aim)[:1])
    large = LARGE if np.isfinite(limits.saving) else LARGE[:1]
    others = [start for share in large for start in _anew(choice, best, limits, aim, share)]
    others += _toward_saving(choice, best, limits, aim)
    anew = [climbed(start) for start in others]
    found = _mixed(climbed, reduce(Sets.joined, [found, *anew]))
    if not within(found, limits).any() and np.isfinite(limits.saving):
        # so that the refusal can tell how much can be saved
        free = replace(limits, saving=-np.inf)
        found = best_found(choice, known, free, "saving", starts)
    return found.rows([best_set(found, limits, aim)])


def _mixed(climbed: "_Climbing", ends: Sets) -> Sets:
    """The ends of several searches, and the end of one from the best mix of them, until no mix is better."""
    choice, limits, aim = climbed.choice, climbed.limits, climbed.aim
    for _ in range(len(ends.masks)):
        best = ends.rows(_by_worth(ends, limits, aim)[:1])
        apart = (ends.masks != best.masks).sum(axis=0)
        differ = np.argsort(-apart, kind="stable")[: min(MIXED, int((apart > 0).sum()))]
        masks = np.repeat(best.masks, 2 ** len(differ), axis=0)
        masks[:, differ] = all_plans(len(differ))
        mixes = choice.work_out(np.unique(choice.whole(masks), axis=0))
        better = next(_better(mixes, best, limits, aim), None)
        if better is None:
            break
        ends = ends.joined(climbed(better))
    return ends


def _anew(choice: Choice, at: Sets, limits: Limits, aim: str, share: float) -> list[Sets]:
    """The best sets with other large measures, from a share of the money on, the rest fitted to these.

    Many small ones make room for a large one.
    """
    here = _beside(choice, at, limits, aim)
    large = np.flatnonzero((choice.prices >= share * here.most) & (choice.prices <= here.most))
    large = large[np.argsort(-here.ratio[large], kind="stable")[:MOST_LARGE]]
    mixes = all_plans(len(large))
    mixes = mixes[(mixes != here.mask[large]).any(axis=1)]
    alone = np.zeros((len(mixes), choice.count), dtype=np.bool_)
    alone[:, large] = mixes
    mixes = mixes[choice.cost_of(alone) <= here.most]
    if not len(mixes):
        return []
    masks = np.repeat(here.mask[None], len(mixes), axis=0)
    masks[:, large] = mixes
    found = choice.work_out(_refitted(choice, [here] * len(masks), masks, large))
    best = found.rows(_by_worth(found, limits, aim)[: 3 * ANEW])
    own = [
        _beside(choice, best.rows([row]), limits, aim, here.most) for row in range(len(best.masks))
    ]
    masks = np.concatenate([best.masks, _refitted(choice, own, best.masks, large)])
    found = choice.work_out(np.unique(masks, axis=0))
    found = found.rows(np.flatnonzero((found.masks[:, large] != here.mask[large]).any(axis=1)))
    starts = [found.rows([int(row)]) for row in _by_worth(found, limits, aim)[:ANEW]]
    return [
        _Climbing(_held(choice, start, large), limits, aim, far=False)(start) for start in starts
    ]


def _held(choice: Choice, at: Sets, places: IntArray) -> Choice:
    """The choice in which some measures stay as they are in a set, in it or not.

    With a large measure just brought in, all that it drives out or makes room for takes many steps, and the
    first of them alone leads back.
    """
    stay = at.masks[0, places]

    def work_out(masks: BoolArray) -> Sets:
        sets = choice.work_out(masks)
        return replace(sets, allowed=sets.allowed & (masks[:, places] == stay).all(axis=1))

    return replace(choice, work_out=work_out)


def _toward_saving(choice: Choice, at: Sets, limits: Limits, aim: str) -> list[Sets]:
    """Sets made for a saving to reach, each measure by what the aim loses for each dollar saved.

    What keeps the money alone in view fills it by gain, and never takes in what only the saving asks for.
    """
    if not np.isfinite(limits.saving):
        return []
    best = [at]
    for _ in range(TOWARD_SAVING):
        found = choice.work_out(_by_loss(choice, best[-1], aim))
        best.append(found.rows(_by_worth(found, limits, aim)[:1]))
    return best[1:]


def _by_loss(choice: Choice, at: Sets, aim: str) -> BoolArray:
    """Sets of one measure, two and so on, those first of which the aim loses least for each dollar saved."""
    beside = choice.work_out(_flipped(choice, at.masks[0]))
    sign = np.where(at.masks[0], -1.0, 1.0)
    gain = sign * (scores(beside, aim) - scores(at, aim))
    saved = sign * (beside.saving - at.saving)
    loss = np.where(
        saved > 0.0, -gain / np.maximum(saved, SLACK), np.where(gain > 0.0, -np.inf, np.inf)
    )
    order = np.argsort(loss, kind="stable")
    mask, sets = np.zeros((1, choice.count), dtype=np.bool_), []
    for measure in order[loss[order] < np.inf]:
        if not (choice.drives_out[measure] & mask).any():
            mask = choice.with_each(mask, np.array([measure]))
            sets.append(mask)
    return np.concatenate(sets) if sets else mask


def _refitted(
    choice: Choice, heres: Sequence["_Here"], masks: BoolArray, fixed: IntArray
) -> BoolArray:
    """Sets whose other measures are fitted to the fixed ones, by what each brings beside its own set."""
    stays = np.zeros(masks.shape, dtype=np.bool_)
    stays[:, fixed] = True
    return np.asarray(np.unique(choice.whole(_fitted(choice, heres, masks, stays)), axis=0))


def _by_worth(sets: Sets, limits: Limits, aim: str) -> IntArray:
    """Numbers of sets, those nearest to the limits first and the best of them before the others."""
    return np.lexsort((-scores(sets, aim), shortfall(sets, limits)))


def _starts(known: Sets, limits: Limits, aim: str, starts: int) -> list[int]:
    """Known sets to set out from: those nearest to the limits, the best of them first."""
    short = shortfall(known, limits)
    order: list[int] = np.lexsort((-scores(known, aim), short))[:starts].tolist()
    if short[order[0]] == 0.0:
        return order
    affordable = known.allowed & (known.cost <= limits.most_cost)
    saving = int(np.argmax(np.where(affordable, known.saving, -np.inf)))
    return list(dict.fromkeys([*order, saving]))


class _Climbing:
    """Goes from a set to better ones until there is none; where it came by before, the end is known."""

    def __init__(self, choice: Choice, limits: Limits, aim: str, *, far: bool = True) -> None:
        self.choice, self.limits, self.aim = choice, limits, aim
        self.far = far
        self.ends: dict[bytes, Sets] = {}

    def __call__(self, at: Sets) -> Sets:
        path: list[bytes] = []
        while len(path) < MOST_STEPS:
            key = at.masks.tobytes()
            if key in self.ends:
                at = self.ends[key]
                break
            path.append(key)
            better = next(_betters(self.choice, at, self.limits, self.aim, far=self.far), None)
            if better is None:
                break
            at = better
        self.ends.update(dict.fromkeys(path, at))
        return at


def _betters(choice: Choice, at: Sets, limits: Limits, aim: str, *, far: bool) -> Iterator[Sets]:
    """The best of the sets beside one, where it is better: by exchanges; ``far``, by other moves too."""
    here, short = _beside(choice, at, limits, aim), float(shortfall(at, limits)[0])
    wanted = _aimed_at(at, limits, aim)[0]
    beside = choice.work_out(_flipped(choice, here.mask))
    for moves in (_exchanged, _close_calls) if far else (_exchanged,):
        sets = choice.work_out(np.unique(moves(choice, here), axis=0))
        yield from _better(beside.joined(sets), at, limits, aim)
    if not far:
        return
    within_reach = replace(limits, budget=here.most)
    if short > 0.0:
        within_reach = replace(within_reach, saving=-np.inf, payback=np.inf)
    for guessed_by in dict.fromkeys((wanted, aim if short == 0.0 else wanted)):
        sets = choice.work_out(_some_for_some(choice, here, at, within_reach, guessed_by))
        yield from _better(sets, at, limits, aim)


def _aimed_at(at: Sets, limits: Limits, aim: str) -> tuple[str, float]:
    """What counts beside a set, and the most to spend. [dollars]

    As long as the limits are not kept, it is what brings them nearer; and the least cost is found by
    putting what saves most for its money into less money.
    """
    short, most = float(shortfall(at, limits)[0]), limits.most_cost
    wanted = aim if short == 0.0 and aim != "cost" else "saving"
    if short == 0.0 and aim == "cost":
        most = min(most, float(at.cost[0]) * (1.0 - SLACK))
    return wanted, most


@dataclass(frozen=True, slots=True, kw_only=True)
class _Here:
    """A set, its cost, what each measure brings and costs by being in it or not, and the most it may cost. [dollars]"""

    mask: BoolArray
    cost: float
    gain: FloatArray
    price: FloatArray
    most: float

    @property
    def ratio(self) -> FloatArray:
        """Gain for each dollar. [1]"""
        return self.gain / np.maximum(self.price, 1.0)


def _beside(choice: Choice, at: Sets, limits: Limits, aim: str, most: float | None = None) -> _Here:
    """A set with what each measure brings and costs beside the others in it."""
    wanted, own = _aimed_at(at, limits, aim)
    mask = at.masks[0]
    beside = choice.work_out(_flipped(choice, mask))
    change = scores(beside, wanted) - float(scores(at, wanted)[0])
    return _Here(
        mask=mask,
        cost=float(at.cost[0]),
        gain=np.where(mask, -change, change),
        price=np.abs(beside.cost - at.cost),
        most=own if most is None else most,
    )


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


def _some_for_some(choice: Choice, here: _Here, at: Sets, limits: Limits, aim: str) -> BoolArray:
    """Sets in which up to three come for up to three: of those that seem to keep the limits the likeliest to be better.

    What an exchange brings is guessed from every one and every two of its measures.
    """
    order = np.argsort(here.ratio, kind="stable")
    inside, outside = order[here.mask[order]][:NEAREST], order[~here.mask[order]][::-1][:NEAREST]
    places = np.concatenate([inside, outside])
    goes, comes = _up_to_three(len(inside)), _up_to_three(len(outside))
    guess = _guessed(choice, at, places, goes, comes)
    worth, cost, saving = (
        guess(values) for values in (lambda sets: scores(sets, aim), _cost, _saving)
    )
    fine = (cost <= limits.most_cost) & (saving >= limits.saving)
    if np.isfinite(limits.payback):
        fine &= cost <= limits.payback * saving
    likely = np.argsort(np.where(fine, -worth, np.inf), axis=None, kind="stable")[:LIKELIEST]
    row, column = np.unravel_index(likely[fine.ravel()[likely]], worth.shape)
    masks = np.repeat(here.mask[None], len(row), axis=0)
    masks[:, inside] ^= goes[row]
    masks[:, outside] ^= comes[column]
    return np.unique(choice.whole(np.concatenate([here.mask[None], masks])), axis=0)


def _guessed(
    choice: Choice, at: Sets, places: IntArray, goes: BoolArray, comes: BoolArray
) -> Callable[[Callable[[Sets], FloatArray]], FloatArray]:
    """How to guess a value of a set in which some of the places change, from the sets in which one or two do.

    The guess has a row for each of ``goes`` and a column for each of ``comes``, the first and the last places.
    """
    count, some = len(places), goes.shape[1]
    first, second = np.triu_indices(count)
    masks = np.repeat(at.masks, len(first), axis=0)
    rows = np.arange(len(first))
    masks[rows, places[first]] ^= True
    masks[rows[first != second], places[second[first != second]]] ^= True
    found = choice.work_out(choice.whole(masks))

    def guess(value: Callable[[Sets], FloatArray]) -> FloatArray:
        change = np.zeros((count, count))
        change[first, second] = value(found) - float(value(at)[0])
        alone = np.diag(change).copy()
        both = np.triu(change - alone[:, None] - alone[None, :], 1)
        parts = (goes.astype(np.float64), comes.astype(np.float64))
        own = [
            part @ alone[where] + ((part @ both[where, where]) * part).sum(axis=1)
            for part, where in zip(parts, (slice(0, some), slice(some, None)), strict=True)
        ]
        cross = parts[0] @ both[:some, some:] @ parts[1].T
        return np.asarray(float(value(at)[0]) + own[0][:, None] + own[1][None, :] + cross)

    return guess


def _cost(sets: Sets) -> FloatArray:
    return sets.cost


def _saving(sets: Sets) -> FloatArray:
    return sets.saving


@cache
def _up_to_three(count: int) -> BoolArray:
    """Every choice of at most three of some things. shape (choices, count)"""
    chosen = [c for size in range(4) for c in combinations(range(count), size)]
    masks = np.zeros((len(chosen), count), dtype=np.bool_)
    for mask, places in zip(masks, chosen, strict=True):
        mask[list(places)] = True
    return masks


def _close_calls(choice: Choice, here: _Here) -> BoolArray:
    """Every set of the measures whose gain for each dollar is nearest to where the money or the gain ends."""
    order = np.argsort(-here.ratio)
    paid = np.cumsum(here.price[order]) <= here.most
    end = int(np.sum(paid & (here.ratio[order] > 0.0)))
    first = max(0, min(end - CLOSE_CALLS // 2, choice.count - CLOSE_CALLS))
    near = order[first : first + CLOSE_CALLS]
    masks = np.repeat(here.mask[None], 2 ** len(near), axis=0)
    masks[:, near] = all_plans(len(near))
    return choice.whole(masks)


def _flipped(choice: Choice, mask: BoolArray) -> BoolArray:
    """The set with each measure taken in or left out, in the order of the measures."""
    every = np.arange(choice.count)
    out = choice.whole(mask & ~np.eye(choice.count, dtype=np.bool_))
    return np.where(mask[:, None], out, choice.with_each(mask, every))


def _exchanged(choice: Choice, here: _Here) -> BoolArray:
    """Sets in which one comes for another, or comes and others make room, or goes and others fill it."""
    mask = here.mask
    inside, outside = np.flatnonzero(mask), np.flatnonzero(~mask)
    more = choice.with_each(mask, outside)
    less = mask & ~np.eye(choice.count, dtype=np.bool_)[inside]
    swapped = more[:, None, :] & (less | ~mask)[None, :, :]
    every = np.concatenate([more, less])
    fixed = np.eye(choice.count, dtype=np.bool_)[np.concatenate([outside, inside])]
    filled = _fitted(choice, [here] * len(every), every, fixed)
    return choice.whole(np.concatenate([swapped.reshape(-1, choice.count), filled]))


def _fitted(
    choice: Choice, heres: Sequence[_Here], masks: BoolArray, fixed: BoolArray
) -> BoolArray:
    """Sets made cheap enough and then filled up, by gain for each dollar; fixed measures stay as they are."""
    rows, most = np.arange(len(masks)), np.array([here.most for here in heres])
    order = np.argsort([here.ratio for here in heres], axis=1).T
    brings = np.array([here.gain > 0.0 for here in heres])
    masks = masks.copy()
    over = choice.cost_of(masks) > most
    for places in order:
        goes = over & masks[rows, places] & ~fixed[rows, places]
        if goes.any():
            masks[rows[goes], places[goes]] = False
            over = choice.cost_of(masks) > most
    for places in order[::-1]:
        fits = brings[rows, places] & ~masks[rows, places] & ~fixed[rows, places]
        fits &= ~(choice.drives_out[places] & masks).any(axis=1)
        if fits.any():
            more = masks[fits]
            more[np.arange(len(more)), places[fits]] = True
            fits[fits] = choice.cost_of(more) <= most[fits]
            masks[rows[fits], places[fits]] = True
    return masks
