"""One house in its weather, on terms of money, with the measures that fit it and the rules between them.

No energy of a plan and no price is worked out here.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import Oddity, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import THIS_YEAR
from retrofit_lab.house.place import place_in
from retrofit_lab.house.readings import with_readings
from retrofit_lab.measures.catalog import Measure, MeasureError, catalog
from retrofit_lab.measures.fitted_measures import Offer, offers_for
from retrofit_lab.measures.in_this_house import Surroundings
from retrofit_lab.measures.replacing import Due, check_replaced, due_for_replacement, with_likes
from retrofit_lab.measures.sequence import earlier
from retrofit_lab.model.plausible import unlikely_use
from retrofit_lab.model.sizing import design_heat_load, short_heaters
from retrofit_lab.model.year import year_energy
from retrofit_lab.money.purchase import check_rebates
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.safety.hazards import Hazard, hazards_of, holds_for
from retrofit_lab.savings.combinations import allowed, mask_of
from retrofit_lab.savings.explaining import facts_of
from retrofit_lab.savings.plan_energies import fuel_uses
from retrofit_lab.texts.refusals import told
from retrofit_lab.uncertainty.learning import NOTHING, Learned

if TYPE_CHECKING:
    from retrofit_lab.bills.reading.record import BillFiles
    from retrofit_lab.study.billed import BilledHouse


@dataclass(frozen=True, kw_only=True, eq=False)
class Case:
    """What a study is about.

    ``as_found`` is the house as it stands, fitted to its bills where it has any; ``house`` is the same with
    what the measures add, at rest. ``measures`` are those that were considered, ``offers`` those that apply, in
    catalog order. ``learned`` is what the rater's finished jobs say of what comes about of a saving.
    """

    as_found: House
    house: House
    climate: MonthlyClimate
    measures: tuple[Measure, ...]
    offers: tuple[Offer, ...]
    terms: MoneyTerms
    billed: "BilledHouse | None"
    around: Surroundings
    learned: Learned = NOTHING

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Keys of the measures that apply, in catalog order."""
        return tuple(offer.key for offer in self.offers)

    @cached_property
    def facts(self) -> frozenset[str]:
        """What sentences on this house may take for granted."""
        return facts_of(self.as_found)

    @cached_property
    def _by_key(self) -> dict[str, Offer]:
        return {offer.key: offer for offer in self.offers}

    @cached_property
    def rivals(self) -> dict[str, frozenset[str]]:
        """Measures that cannot go with each one, whichever of the two says so."""
        excludes = {offer.key: set(offer.measure.excludes) for offer in self.offers}
        return {
            key: frozenset(own | {other for other in excludes if key in excludes[other]})
            for key, own in excludes.items()
        }

    @cached_property
    def hazards(self) -> tuple[Hazard, ...]:
        """Hazards of the house as found, the gravest first; no plan releases one."""
        return hazards_of(self.as_found)

    @cached_property
    def holds(self) -> Mapping[str, tuple[Hazard, ...]]:
        """Hazards that each measure waits for; facts of the house, whatever is ticked."""
        return holds_for(self.as_found, [offer.measure for offer in self.offers])

    def waiting(self, ticked: Iterable[str]) -> frozenset[str]:
        """Measures of a set that cannot be started: those held, and those that come after one of them."""
        chosen = set(ticked)
        wait = {key for key in chosen if self.holds[key]}
        while more := {key for key in chosen - wait if wait & set(self.earlier(key))}:
            wait |= more
        return frozenset(wait)

    def earlier(self, key: str) -> tuple[str, ...]:
        """Measures that come before one where they are chosen too; see `measures.sequence`."""
        return self._earlier[key]

    @cached_property
    def _earlier(self) -> Mapping[str, tuple[str, ...]]:
        measures = [offer.measure for offer in self.offers]
        return {measure.key: earlier(measure, measures) for measure in measures}

    def offer(self, key: str) -> Offer:
        """Offer of a key.

        Raises
        ------
        MeasureError
            When the measure does not apply to this house.
        """
        if key in self._by_key:
            return self._by_key[key]
        known = known_names(key, self.keys)
        raise MeasureError(told("study.no_measure", key=key, known=known))

    def mask(self, ticked: Iterable[str]) -> BoolArray:
        """A set of measures as a row, in catalog order whatever the order of ticking."""
        return mask_of(self.keys, ticked)

    def widened(self, sets: BoolArray, places: IntArray) -> BoolArray:
        """Sets of some measures, named by their places, as sets of all. (sets, some) -> (sets, measures)"""
        masks = np.zeros((len(sets), len(self.keys)), dtype=np.bool_)
        masks[:, places] = sets
        return masks

    def allowed(self, masks: BoolArray) -> BoolArray:
        """Which of many sets keep the rules between measures."""
        measures = [offer.measure for offer in self.offers]
        return allowed(
            masks,
            self.keys,
            {m.key: m.excludes for m in measures},
            {m.key: m.needs for m in measures},
        )

    def conflict(self, ticked: Iterable[str]) -> str:
        """Sentence on two ticked measures that cannot go together, or nothing."""
        chosen = set(ticked)
        for key in self.keys:
            for other in self.offer(key).measure.excludes if key in chosen else ():
                if other in chosen:
                    first, second = self.offer(key).measure.title, self.offer(other).measure.title
                    return told("study.together", first=first, second=second)
        return ""

    @cached_property
    def uses(self) -> tuple[tuple[str, str], ...]:
        """Pairs of fuel and end use that results have."""
        return fuel_uses(self.house, self.climate)

    @cached_property
    def fuels(self) -> tuple[str, ...]:
        """Fuels that the house uses or would use, in the order of charges."""
        return tuple(dict.fromkeys(fuel for fuel, _ in self.uses))

    @cached_property
    def scales(self) -> FloatArray:
        """Factor on the energy of each use, at most 1, so that no saving exceeds the bills. [1] shape (uses,)"""
        if self.billed is None:
            return np.ones(len(self.uses))
        return np.array([self.billed.fit.saving_scale(fuel, use) for fuel, use in self.uses])

    @cached_property
    def oddities(self) -> tuple[Oddity, ...]:
        """What is unlikely in the house as found: its numbers, its heaters and what it uses for its size."""
        year = year_energy(self.as_found, self.climate)
        return (*check_house(self.as_found), *short_heaters(year), *unlikely_use(year))

    @cached_property
    def due(self) -> tuple[Due, ...]:
        """Equipment past its usual life, which could be named as replaced anyway; nothing counts it by itself."""
        named = set(self.terms.replaced_anyway)
        found = due_for_replacement(self.as_found, THIS_YEAR)
        return tuple(item for item in found if item.path not in named)


def make_case(
    house: House,
    climate: MonthlyClimate | None = None,
    measures: Sequence[Measure] | None = None,
    *,
    terms: MoneyTerms | None = None,
    folder: str = ".",
    bills: "str | BillFiles" = "",
    learned: Learned = NOTHING,
) -> Case:
    """Case of a house as described; see `retrofit_lab.study.study.Study` for what is what."""
    house, terms = with_readings(house), terms or MoneyTerms()
    climate = climate or find_climate(house.site.climate, folder)
    billed = _with_bills(house, climate, folder, bills)
    as_found = billed.fit.house if billed else house
    wanted = catalog() if measures is None else tuple(measures)
    return replace(_case(as_found, climate, billed, wanted, terms), learned=learned)


def on_terms(case: Case, terms: MoneyTerms) -> Case:
    """The same house, weather and measures on other terms of money; its bills are not fitted again.

    Raises
    ------
    InputError
        When the terms name measures or equipment that are not there.
    """
    other = _case(case.as_found, case.climate, case.billed, case.measures, terms)
    return replace(other, learned=case.learned)


def _case(
    as_found: House,
    climate: MonthlyClimate,
    billed: "BilledHouse | None",
    wanted: tuple[Measure, ...],
    terms: MoneyTerms,
) -> Case:
    check_rebates(terms.rebates, [measure.key for measure in wanted])
    check_replaced(as_found, terms.replaced_anyway)
    base = with_likes(as_found, terms.replaced_anyway)
    around = _surroundings(base, climate)
    fitted, offers = offers_for(base, wanted, terms.cost_factor, around)
    return Case(
        as_found=as_found,
        house=fitted,
        climate=climate,
        measures=wanted,
        offers=offers,
        terms=terms,
        billed=billed,
        around=around,
    )


def _surroundings(house: House, climate: MonthlyClimate) -> Surroundings:
    """Place of a house and the heat that it asks for on a cold day, as it was found."""
    load = design_heat_load(year_energy(house, climate))
    return Surroundings(place=place_in(climate), heat_load=load)


def _with_bills(
    house: House, climate: MonthlyClimate, folder: str, bills: "str | BillFiles"
) -> "BilledHouse | None":
    """House fitted to its bills; where there are none, all that reads bills is not even imported."""
    if not (bills or house.bills):
        return None
    from retrofit_lab.study.billed import billed_house  # noqa: PLC0415 - a fifth of the import of the model

    return billed_house(house, climate, folder, bills)
