"""The measures that the report works out in every combination, and the best set among those; no words."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retrofit_lab.advice import Advice
from retrofit_lab.results import StackResult
from retrofit_lab.stacks.choosing import Limits
from retrofit_lab.stacks.combinations import MOST_MEASURES, all_stacks
from retrofit_lab.stacks.lattice import StackEnergy
from retrofit_lab.study import Study
from retrofit_lab.values import BoolArray, FloatArray

LEAST_GAIN = 1.0
"""Net savings below which one set is not taken as better than another. [dollars]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AllSets:
    """Every set of some measures of a house, in the order of set numbers.

    ``keys`` are the measures, bit by bit; ``left_out`` those that would make too many sets; ``masks``
    has shape (2**n, offers), ``energy`` a row for each set.
    """

    keys: tuple[str, ...]
    left_out: tuple[str, ...]
    masks: BoolArray
    energy: StackEnergy


def all_sets(study: Study, first: tuple[str, ...] = ()) -> AllSets:
    """Every set of the measures of a house, or of the sixteen that matter most.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    first : tuple of str
        Measures that are kept whatever they save; after them come those with the largest net savings
        by themselves.
    """
    keys = worth_most(study.stack(()), first)
    places = [study.keys.index(key) for key in keys]
    masks = np.zeros((2 ** len(keys), len(study.keys)), dtype=np.bool_)
    masks[:, places] = all_stacks(len(keys))
    left_out = tuple(key for key in study.keys if key not in keys)
    return AllSets(keys=keys, left_out=left_out, masks=masks, energy=study.energy(masks))


def worth_most(
    nothing: StackResult, first: tuple[str, ...] = (), most: int = MOST_MEASURES
) -> tuple[str, ...]:
    """Measures with the largest net savings by themselves, after those named first; in catalogue order."""
    ranked = sorted(
        nothing.measures.values(), key=lambda row: (row.key not in first, -row.net_savings)
    )
    kept = {row.key for row in ranked[:most]}
    return tuple(key for key in nothing.measures if key in kept)


def best_choice(study: Study) -> tuple[str, ...]:
    """The set with the largest net savings, without a limit on money, in catalogue order.

    Exact among the measures that `Advice` looks at; from there single measures of the whole catalogue
    are added, taken out or exchanged as long as that helps.
    """
    proposal = Advice(study).best(Limits())
    chosen = study.mask(proposal.keys)
    if proposal.left_out:
        chosen = _climbed(study, chosen)
    return tuple(key for key, on in zip(study.keys, chosen, strict=True) if on)


def _climbed(study: Study, chosen: BoolArray) -> BoolArray:
    while True:
        rows = np.array([chosen, *_neighbours(study, chosen)])
        worth = _net_savings(study, rows)
        worth = np.where(study.allowed(rows), worth, -np.inf)
        best = int(np.argmax(worth))
        if worth[best] <= worth[0] + LEAST_GAIN:
            return chosen
        chosen = rows[best]


def _neighbours(study: Study, chosen: BoolArray) -> Iterator[BoolArray]:
    """Sets that differ by one measure, or by one that comes for those it excludes."""
    for place, key in enumerate(study.keys):
        other = chosen.copy()
        other[place] ^= True
        yield other
        rivals = [study.conflict((key, rival)) != "" for rival in study.keys]
        if other[place] and np.any(other & rivals):
            yield other & ~np.array(rivals)


def _net_savings(study: Study, masks: BoolArray) -> FloatArray:
    energy = study.energy(np.vstack([np.zeros_like(masks[:1]), masks])).energy
    present = study.purchases.present_cost(study.prices_of(masks))
    return study.present_savings(energy[0] - energy[1:]) - present
