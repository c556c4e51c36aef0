"""What sets of a study's measures cost and bring, and the best of them within limits; nothing is shown or planned."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from retrofit_lab.base.sums import weighted
from retrofit_lab.base.values import BoolArray, IntArray
from retrofit_lab.savings.choosing import Limits, Sets, best_set
from retrofit_lab.savings.combinations import MOST_MEASURES, all_plans, allowed
from retrofit_lab.savings.plan_energies import PlanEnergies
from retrofit_lab.savings.searching import STARTS, Choice, best_found, choice_of, gathered
from retrofit_lab.study.study import Study


def table_of(
    study: Study,
    masks: BoolArray,
    places: IntArray | None = None,
    found: PlanEnergies | None = None,
) -> Sets:
    """Some sets, worked out by the model.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    masks : ndarray of bool, shape (sets, some)
        Which measures are in each set.
    places : ndarray of int, shape (some,), optional
        Which measures the columns stand for; by default all.
    found : PlanEnergies, optional
        Their energy, where it is at hand.
    """
    places = np.arange(len(study.keys)) if places is None else places
    wide = study.case.widened(masks, places)
    nothing = study.energies.single.rows([0])
    found = study.energy(wide) if found is None else found
    saved = nothing.charges - found.charges
    purchases = study.money.purchases.only([study.keys[place] for place in places])
    prices = np.where(masks, study.money.costs[1, places], 0.0)
    return Sets(
        masks=masks,
        cost=purchases.first_cost(prices),
        net_savings=study.money.present_worth(saved) - purchases.present_cost(prices),
        saving=nothing.cost - found.cost,
        co2=weighted(nothing.energy - found.energy, study.money.carbon),
        allowed=study.case.allowed(wide),
    )


def places_of(study: Study, keys: Sequence[str]) -> IntArray:
    """Where some measures stand among those of a study."""
    return np.array([study.keys.index(key) for key in keys], dtype=np.intp)


def lattice_of(study: Study, groups: Sequence[Sequence[str]]) -> Sets:
    """Every set of some groups of measures, in the order of set numbers; a column a group.

    Raises
    ------
    InputError
        When there are too many groups for all their sets.
    """
    small = all_plans(len(groups))
    keys = [key for group in groups for key in group]
    belongs = np.zeros((len(groups), len(keys)), dtype=np.bool_)
    for row, group in zip(belongs, groups, strict=True):
        row[[keys.index(key) for key in group]] = True
    return replace(table_of(study, small @ belongs, places_of(study, keys)), masks=small)


class Chooser:
    """Chooses among some measures of a study: exactly where all their sets can be listed, else by a search.

    With ``sealed_first`` nothing is chosen that buries leaks of which the sealing is among the measures, unless
    the sealing is chosen too. People may choose otherwise.
    """

    def __init__(self, study: Study, keys: Sequence[str], *, sealed_first: bool = False) -> None:
        self.study, self.keys = study, tuple(keys)
        self._found: dict[tuple[Limits, str, int], Sets] = {}
        measures = {key: study.offer(key).measure for key in self.keys}
        self.needs = {
            key: (*measure.needs, *(measure.buries if sealed_first else ()))
            for key, measure in measures.items()
        }

    @property
    def exact(self) -> bool:
        """Whether every set is looked at."""
        return len(self.keys) <= MOST_MEASURES

    @cached_property
    def known(self) -> Sets:
        """Sets to choose from: every one, or the best ones of each class of cost."""
        if self.exact:
            return self._ruled(lattice_of(self.study, [(key,) for key in self.keys]))
        return gathered(self.choice)

    @cached_property
    def choice(self) -> Choice:
        """The measures with the rules between them."""
        study, place = self.study, {key: i for i, key in enumerate(self.keys)}
        rivals, needed = np.zeros((2, len(place), len(place)), dtype=np.bool_)
        for key, i in place.items():
            measure = study.offer(key).measure
            rivals[i, [place[other] for other in measure.excludes if other in place]] = True
            needed[i, [place[other] for other in self.needs[key] if other in place]] = True
        places = places_of(study, self.keys)
        purchases, prices = study.money.purchases.only(self.keys), study.money.costs[1, places]
        return choice_of(
            prices,
            rivals,
            needed,
            lambda masks: self._ruled(table_of(study, masks, places)),
            lambda masks: purchases.first_cost(np.where(masks, prices, 0.0)),
        )

    def _ruled(self, sets: Sets) -> Sets:
        """The same sets, allowed only where none lacks what it needs here."""
        return replace(sets, allowed=sets.allowed & allowed(sets.masks, self.keys, {}, self.needs))

    def best(
        self,
        limits: Limits,
        aim: str = "net_savings",
        known: Sets | None = None,
        starts: int = STARTS,
    ) -> Sets:
        """Best set within limits, as a table of one row; a search sets out from ``known`` sets.

        Raises
        ------
        ChoiceError
            When no set keeps the limits.
        """
        if self.exact:
            return self.known.rows([best_set(self.known, limits, aim)])
        if known is not None:
            return best_found(self.choice, known, limits, aim, starts)
        asked = limits, aim, starts
        if asked not in self._found:
            self._found[asked] = best_found(self.choice, self.known, limits, aim, starts)
        return self._found[asked]
