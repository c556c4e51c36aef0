"""What to ask next on a walk: which answers would change the plan most, and when enough is known; no words.

A plan is judged by its net savings in houses that this one could be. What is not known costs something: in
some of them another plan would have been better. What an answer is worth is how much of that it saves on
average. A measure that rests on numbers which no one gave is not in the plan of a rater, so the answers that
make a step of it are worth what it brings where it pays.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.catalog import Measure, catalog
from retrofit_lab.measures.evidence import not_known, paths_of
from retrofit_lab.measures.fitted_measures import offers_for
from retrofit_lab.measures.selecting import EITHER
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.study.advice import setting_of
from retrofit_lab.study.plan_tables import Chooser, table_of
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.one_by_one import OpenNumbers, open_numbers
from retrofit_lab.uncertainty.outcomes import bill_parts

DRAWS = 128
MOST_TURNS = 40
ENOUGH = 0.03
"""Enough is known when nine in ten houses lose at most this share of the net savings for want of answers. [1]"""
LOOKED_AT = 16
"""Drawn houses in which is looked what they are offered. [1]"""
_COMPARED = re.compile(r"([a-z_]+)[<>]")
LEAST_WORTH = 5.0
"""What is worth less is not asked for the plan's sake. [dollars]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One number to ask for, and what knowing it betters the plan by on average. [dollars over its life]"""

    path: str
    worth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """What is best as far as is known, and what to ask.

    ``plan`` is the best if all estimates were right, ``net_savings`` what it brings [dollars], ``to_gain``
    how much better the plan comes out on average if everything is found out, ``most_lost`` what is lost in no
    more than one in ten houses [dollars]; ``questions`` go by what they are worth, the first the most.
    """

    plan: tuple[str, ...]
    net_savings: float
    to_gain: float
    most_lost: float
    questions: tuple[Question, ...]

    @property
    def enough(self) -> bool:
        """Whether the plan is nearly the best in nine of ten houses that this one could be."""
        return self.most_lost <= ENOUGH * max(self.net_savings, 0.0) or not self.questions


def ask_next(
    study: Study, *, asked: Callable[[str], bool] = lambda _path: True, count: int = DRAWS
) -> Asking:
    """What to ask next of the house of a study.

    Parameters
    ----------
    study : Study
        The house as it is known so far.
    asked : callable
        Whether a path of the house is asked for anywhere.
    count : int
        Houses that are drawn.

    References
    ----------
    Expected value of partial perfect information, by regression (Strong, Oakley and Brennan 2014, memory).
    """
    house, chooser = stated_house(study), Chooser(study, study.keys)
    best = _best_by_turns(study, chooser)
    sets = _one_changed(chooser, best)
    found = open_numbers(house, count, asked=asked)
    net = _net_savings(study, np.vstack([best[None], sets]), found)
    gains = net[1:] - net[0]
    ready = np.array(
        [not not_known(house, study.offer(key).measure.rests_on) for key in study.keys]
    )
    still = _Open(house=house, found=found, asked=asked)
    worths = _Worths(np.zeros(count))
    worths.of_offered(study, still, np.where(best[:, None], -gains, gains), ready)
    plan = tuple(key for key, on in zip(study.keys, best, strict=True) if on)
    worths.of_not_offered(study, still, plan)
    worth = worths.worth
    order = sorted(worth, key=lambda path: -worth[path])
    return Asking(
        plan=plan,
        net_savings=float(table_of(study, best[None]).net_savings[0]),
        to_gain=float(worths.lost.mean()),
        most_lost=float(np.quantile(worths.lost, 0.9)),
        questions=tuple(
            Question(path=path, worth=worth[path]) for path in order if worth[path] >= LEAST_WORTH
        ),
    )


def _best_by_turns(study: Study, chooser: Chooser) -> BoolArray:
    """The plan that no change of one measure betters, from nothing."""
    best = np.zeros(len(study.keys), dtype=np.bool_)
    value = 0.0
    for _ in range(MOST_TURNS):
        sets = _one_changed(chooser, best)
        table = table_of(study, sets)
        worth = np.where(table.allowed, table.net_savings, -np.inf)
        place = int(np.argmax(worth))
        if worth[place] <= value + 1e-6:
            break
        best, value = sets[place], float(worth[place])
    return best


def _one_changed(chooser: Chooser, mask: BoolArray) -> BoolArray:
    """For each measure the set with it in, or out, with what needs it. shape (measures, measures)"""
    brings, drives_out = chooser.choice.brings, chooser.choice.drives_out
    rows = []
    for place, there in enumerate(mask.tolist()):
        if there:
            rows.append(mask & ~brings[:, place])
        else:
            out = drives_out[brings[place]].any(axis=0)
            gone = brings[:, out].any(axis=1) if out.any() else np.zeros_like(mask)
            rows.append((mask & ~gone) | brings[place])
    return np.array(rows)


def _net_savings(study: Study, masks: BoolArray, found: OpenNumbers) -> FloatArray:
    """Net savings of plans in every drawn house, but for what all have in common. shape (plans, draws) [dollars]"""
    draws = found.draws(tuple(dict.fromkeys(study.fuels)), len(study.keys))
    moving, fixed = bill_parts(setting_of(study), masks, draws)
    per_dollar = study.money.present_worth(np.eye(len(study.fuels))).mean()
    cost = study.money.purchases.present_cost(study.money.prices_of(masks))
    return np.asarray(-(moving + fixed) * per_dollar - cost[:, None])


@dataclass(frozen=True, kw_only=True, eq=False)
class _Open:
    """What is open of a house: its numbers, drawn, and whether a path is asked for at all."""

    house: House
    found: OpenNumbers
    asked: Callable[[str], bool]

    def columns(self, paths: Iterable[str]) -> FloatArray:
        """Where some numbers stand in the draws; one that is never spread has no column. shape (draws, some)"""
        places = [self.found.paths.index(path) for path in paths if path in self.found.paths]
        return self.found.normals[:, places]

    def some_houses(self) -> list[House]:
        """A few of the houses that this one could be."""
        some = range(min(LOOKED_AT, len(self.found.normals)))
        values = self.found.values.items()
        return [with_numbers(self.house, {p: float(v[n, 0]) for p, v in values}) for n in some]

    def deciding(self, measure: Measure) -> tuple[str, ...]:
        """Open numbers that decide whether a measure is offered: those that its selectors compare."""
        texts = (*(change.where for change in measure.changes), *measure.only_if)
        pairs = [
            (one.partition("[")[0], name)
            for text in texts
            for one in text.split(EITHER)
            for name in _COMPARED.findall(one)
        ]
        return tuple(
            path
            for path in self.found.paths
            if any(
                path.startswith(f"{where}.") and path.endswith(f".{name}") for where, name in pairs
            )
        )

    def to_make_ready(self, rests_on: Iterable[str]) -> tuple[str, ...]:
        """One open number for each entry that a measure still rests on; none where no number settles one."""
        chosen: list[str] = []
        for entry in not_known(self.house, rests_on):
            paths = [
                p for p in paths_of(self.house, entry) if p in self.house.assumed and self.asked(p)
            ]
            if not paths:
                return ()
            if not set(paths) & set(chosen):
                chosen.append(max(paths, key=lambda path: path in self.found.paths))
        return tuple(chosen)


class _Worths:
    """What each open number is worth [dollars], gathered measure by measure.

    ``lost`` is what the plan loses in every drawn house for want of answers. shape (draws,) [dollars]
    """

    def __init__(self, lost: FloatArray) -> None:
        self.lost = lost
        self.worth: dict[str, float] = {}

    def _add(self, paths: Sequence[str], value: float) -> None:
        for path in paths:
            self.worth[path] = self.worth.get(path, 0.0) + value / len(paths)

    def of_offered(self, study: Study, still: _Open, gains: FloatArray, ready: BoolArray) -> None:
        """Measures that the house is offered.

        ``gains`` is what each adds to the others of the plan in every drawn house; a measure that is ready
        is done where that is above zero on average, one that is not is left out.
        """
        for gain, key, is_ready in zip(gains, study.keys, ready.tolist(), strict=True):
            rests_on = study.offer(key).measure.rests_on
            bundle = () if is_ready else still.to_make_ready(rests_on)
            if not is_ready and not bundle:
                continue
            good = bool(gain.mean() > 0.0)
            self.lost = self.lost + np.maximum(gain, 0.0) - (gain if is_ready and good else 0.0)
            if bundle:
                self._add(bundle, _known_better(gain, still.columns(bundle), done=False))
            for path in _telling(gain, still.found):
                self._add([path], _known_better(gain, still.columns([path]), done=good))

    def of_not_offered(self, study: Study, still: _Open, plan: Sequence[str]) -> None:
        """Measures that the house is offered only if some number turns out otherwise than estimated."""
        houses = still.some_houses()
        fitted = [offers_for(one, catalog(), around=study.case.around)[1] for one in houses]
        offered = [{offer.key for offer in offers} for offers in fitted]
        for measure in catalog():
            there = [place for place, keys in enumerate(offered) if measure.key in keys]
            paths = () if measure.key in study.keys else still.deciding(measure)
            if not there or not paths:
                continue
            usual = {p: float(np.median(still.found.values[p][there, 0])) for p in paths}
            gain = _gain_if(study, still.house, usual, measure.key, plan)
            chance = len(there) / len(houses)
            self.lost = self.lost + np.where(
                np.arange(len(self.lost)) < chance * len(self.lost), gain, 0.0
            )
            self._add(paths, chance * gain)


def _gain_if(
    study: Study, house: House, numbers: Mapping[str, float], key: str, plan: Sequence[str]
) -> float:
    """What a measure adds to a plan in the house with other numbers; nothing where it is not offered. [dollars]"""
    described = replace(with_numbers(house, dict(numbers)), bills="")
    other = Study(described, study.climate, terms=study.terms)
    if key not in other.keys:
        return 0.0
    apart = other.case.rivals[key]
    kept = [one for one in plan if one in other.keys and one not in apart]
    both = (
        *kept,
        *(k for k in other.offer(key).measure.needs if k in other.keys and k not in kept),
        key,
    )
    return max(0.0, other.plan(both).net_savings - other.plan(kept).net_savings)


LEAST_CORRELATION = 3.0
"""A number tells something of a gain where its correlation is so many of its own chance deviations from zero."""


def _telling(gain: FloatArray, found: OpenNumbers) -> Sequence[str]:
    """Open numbers that a gain follows."""
    if not len(found.paths) or gain.std() == 0.0:
        return ()
    normals = found.normals - found.normals.mean(axis=0)
    spread = np.sqrt((normals**2).mean(axis=0)) * gain.std()
    correlation = (normals * (gain - gain.mean())[:, None]).mean(axis=0) / spread
    least = LEAST_CORRELATION / np.sqrt(len(gain))
    return [found.paths[place] for place in np.flatnonzero(np.abs(correlation) > least).tolist()]


def _known_better(gain: FloatArray, normals: FloatArray, *, done: bool) -> float:
    """How much better a measure is decided on, on average, once some numbers are known. [dollars]

    What they tell of its gain is fitted by a curve of the second degree in each, and drawn back towards its
    mean by what a fit to so many draws explains by chance.
    """
    columns = np.column_stack([np.ones(len(gain)), normals, normals**2])
    fitted = columns @ np.linalg.lstsq(columns, gain, rcond=None)[0]
    left, free = gain.var(), len(gain) - columns.shape[1]
    if left > 0.0 and free > 0:
        explained = 1.0 - (gain - fitted).var() / left
        sound = 1.0 - (1.0 - explained) * (len(gain) - 1) / free
        share = np.sqrt(max(0.0, sound) / explained) if explained > 0.0 else 0.0
        fitted = gain.mean() + share * (fitted - gain.mean())
    return max(0.0, float(np.maximum(fitted, 0.0).mean()) - (float(gain.mean()) if done else 0.0))
