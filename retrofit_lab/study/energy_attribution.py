"""Which measure earns what in a set, in energy by fuel, money and CO2: alone, last, by fair share, and pair by pair.

A tick works out money alone; this is the whole account, for whoever asks.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.sums import weighted
from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.savings.attribution import alone, fair_share, interaction, last
from retrofit_lab.savings.combinations import MOST_MEASURES, all_plans
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Saving:
    """What is saved in a year: money [dollars], CO2 [kg], energy by fuel [unit of the fuel]."""

    cost: float
    co2: float
    energy: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One measure of the set: by itself, added after all others, and its fair share of the whole."""

    key: str
    alone: Saving
    last: Saving
    share: Saving


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two measures of the set: what they overlap by, negative where they help each other.

    ``lost`` is with these two alone; ``within`` is the mean over all sets of the others.
    """

    first: str
    second: str
    lost: Saving
    within: Saving
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WhoSaves:
    """The account of one set; the fair shares of ``parts`` add to ``whole``. ``pairs`` by size of overlap."""

    whole: Saving
    parts: tuple[Part, ...]
    pairs: tuple[Pair, ...]


def who_saves(study: Study, ticked: Sequence[str]) -> WhoSaves:
    """Account of a set, exact from every set of its measures.

    Raises
    ------
    InputError
        When more are ticked than sets can be listed for.
    """
    keys = tuple(key for key in study.keys if key in ticked)
    if len(keys) > MOST_MEASURES:
        raise InputError(told("study.many", count=len(keys), most=MOST_MEASURES))
    saved = _saved(study, keys)
    each = [_savings(study, values) for values in (alone(saved), last(saved), fair_share(saved))]
    return WhoSaves(
        whole=_savings(study, (saved[-1] - saved[0])[None])[0],
        parts=tuple(
            Part(key=key, alone=a, last=b, share=c)
            for key, a, b, c in zip(keys, *each, strict=True)
        ),
        pairs=_pairs(study, keys, saved),
    )


def _saved(study: Study, keys: Sequence[str]) -> FloatArray:
    """What every set saves: money, CO2, then each fuel. (2**n, outputs)"""
    places = np.flatnonzero(study.mask(keys))
    found = study.energy(study.case.widened(all_plans(len(keys)), places))
    columns = [study.money.carbon, *(_of_fuel(study, fuel) for fuel in study.fuels)]
    saved = [weighted(found.energy[0] - found.energy, column) for column in columns]
    return np.column_stack([found.cost[0] - found.cost, *saved])


def _of_fuel(study: Study, wanted: str) -> FloatArray:
    """Amount of a fuel in each use's heat content, in the unit of the fuel."""
    return np.array([(fuel == wanted) / fuels()[fuel].heat_content for fuel, _ in study.uses])


def _savings(study: Study, rows: FloatArray) -> list[Saving]:
    names = study.fuels
    return [
        Saving(cost=cost, co2=co2, energy=dict(zip(names, energy, strict=True)))
        for cost, co2, *energy in rows.tolist()
    ]


def _pairs(study: Study, keys: Sequence[str], saved: FloatArray) -> tuple[Pair, ...]:
    places = list(combinations(range(len(keys)), 2))
    single, within = alone(saved), -interaction(saved)
    lost = [single[i] + single[j] - (saved[1 << i | 1 << j] - saved[0]) for i, j in places]
    rows = np.array([*lost, *(within[i, j] for i, j in places)]).reshape(-1, saved.shape[1])
    told = _savings(study, rows)
    pairs = [
        Pair(
            first=keys[i],
            second=keys[j],
            lost=told[at],
            within=told[len(places) + at],
            why=_why(study, keys[i], keys[j], told[at].cost),
        )
        for at, (i, j) in enumerate(places)
    ]
    return tuple(sorted(pairs, key=lambda pair: -abs(pair.lost.cost)))


def _why(study: Study, first: str, second: str, lost: float) -> str:
    return study.energies.why(study.offer(first), study.offer(second), lost)
