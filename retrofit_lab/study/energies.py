"""Energy of the plans of one case, with what was worked out before: that saves time and changes no result."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.measures.fitted_measures import Offer, fitted, with_offers
from retrofit_lab.model.losses import SeasonLosses, season_losses
from retrofit_lab.model.year import year_energy
from retrofit_lab.safety.ventilation import FreshAirProposal, fresh_air_proposal
from retrofit_lab.savings.attribution import fair_share
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.savings.explaining import ENDS, general, reason_of
from retrofit_lab.savings.neighbors import Near, SetCosts, within_one, within_two
from retrofit_lab.savings.orders import sampled_share
from retrofit_lab.savings.plan_energies import PlanEnergies, choices, plan_energies
from retrofit_lab.study.case import Case
from retrofit_lab.study.money import Money

MOST_EXACT = 12
"""Ticked measures up to which fair shares are exact; beyond, orders are sampled. Set by the time of a tick."""


class Energies:
    """Energy of many plans, of the neighbors of one, of every set of a few measures, and what each measure earns."""

    def __init__(self, case: Case, money: Money) -> None:
        self.case, self.money = case, money
        self._near: Near | None = None
        self._sets = SetCosts(places=(), cost=np.array([np.nan]))

    def of(self, masks: BoolArray, offers: Sequence[Offer] | None = None) -> PlanEnergies:
        """Energy of many plans; see `retrofit_lab.savings.plan_energies.plan_energies`.

        Where the model still uses more than was billed, it is scaled down; see `HouseFit.saving_scale`.
        """
        wanted = self.case.offers if offers is None else offers
        found = plan_energies(
            self.case.house,
            self.case.climate,
            wanted,
            masks,
            self.case.uses,
            charge=self.money.bills,
        )
        return (
            found
            if self.case.billed is None
            else replace(found, energy=found.energy * self.case.scales)
        )

    @cached_property
    def single(self) -> PlanEnergies:
        """Nothing, and each measure by itself, in that order; no tick changes them."""
        count = len(self.case.keys)
        nothing = np.zeros((1, count), dtype=np.bool_)
        return self.of(np.vstack([nothing, np.eye(count, dtype=np.bool_)]))

    @cached_property
    def single_costs(self) -> FloatArray:
        """Energy bills with nothing done and with each measure by itself. [dollars/year]"""
        return self.single.cost

    def around(self, mask: BoolArray) -> PlanEnergies:
        """Energy of a set, then of the sets that differ from it by each measure. shape (1 + measures, uses)"""
        found = self._near.around(mask) if self._near else None
        return found or self.of(within_one(mask))

    def work_ahead(self, ticked: Iterable[str]) -> None:
        """Work out, while no one waits, what ticking any one measure next will ask for."""
        mask = self.case.mask(ticked)
        sets, energy = within_one(mask), self.of(within_two(mask))
        fans = [
            self.fan_for(row, float(air))
            for row, air in zip(sets, energy.ventilation[: len(sets)], strict=True)
        ]
        self._near = Near(
            mask=mask,
            energy=energy,
            losses=self._losses(choices(sets)),
            with_fan=self._costs_with_fans(sets, fans),
        )

    def fan_for(self, mask: BoolArray, outdoor_air: float) -> FreshAirProposal | None:
        """Fan that a set calls for where it gets too little outdoor air and this house can have one. [cfm]"""
        chosen = [offer.measure for offer, on in zip(self.case.offers, mask, strict=True) if on]
        wanted = fresh_air_proposal(self.case.as_found, chosen, outdoor_air)
        return wanted if wanted and wanted.measure in self.case.keys else None

    def cost_with_fan(self, mask: BoolArray, fan: FreshAirProposal) -> float:
        """Energy bills of a set with the fan that it calls for. [dollars/year]"""
        found = self._near.cost_with_fan(mask) if self._near else None
        return found if found is not None else float(self._costs_with_fans(mask[None], [fan])[0])

    def _costs_with_fans(
        self, sets: BoolArray, fans: Sequence[FreshAirProposal | None]
    ) -> FloatArray:
        """The same for many sets, not a number for those that call for none; the house sets the kind of fan."""
        cost = np.full(len(sets), np.nan)
        calling = [row for row, fan in enumerate(fans) if fan]
        if calling:
            wanted = [fan for fan in fans if fan]
            flows = np.array([[fan.flow] for fan in wanted])
            offers = fitted(self.case.offers, wanted[0].measure, "flow", flows)
            masks = sets[calling] | self.case.mask([wanted[0].measure])
            cost[calling] = self.of(masks, offers).cost
        return cost

    def costs_of_sets(self, places: Sequence[int]) -> FloatArray:
        """Energy bills of every set of some measures, in the order of `all_plans`. [dollars/year]

        What was worked out for the measures asked for before is used again; a tick adds half at most.
        """
        cost = self._sets.known(places)
        alone = self.single_costs[[0, *(1 + place for place in places)]]
        cost[[0, *(1 << i for i in range(len(places)))]] = alone
        new = np.isnan(cost)
        if new.any():
            masks = self.case.widened(all_plans(len(places))[new], np.array(places, dtype=np.int64))
            cost[new] = self.of(masks).cost
            # a smaller choice keeps the larger table: whoever unticks a measure often ticks it again
            self._sets = SetCosts(places=tuple(places), cost=cost)
        return cost

    def fair_shares(self, ticked: Iterable[str]) -> tuple[dict[str, float], float]:
        """Fair share of each ticked measure in the yearly saving, with its standard error. [dollars/year]

        Exact, with no error, up to `MOST_EXACT` measures; beyond that orders are sampled.
        """
        places = np.flatnonzero(self.case.mask(ticked))
        if len(places) > MOST_EXACT:
            shares, error = sampled_share(self._saved_by_sets(places), len(places))
        else:
            shares, error = fair_share(-self.costs_of_sets(places.tolist())), 0.0
        keys = [self.case.keys[place] for place in places]
        return dict(zip(keys, shares.tolist(), strict=True)), error

    def _saved_by_sets(self, places: IntArray) -> Callable[[BoolArray], FloatArray]:
        def saved(sets: BoolArray) -> FloatArray:
            return -self.of(self.case.widened(sets, places)).cost

        return saved

    def season_losses(self, ticked: Iterable[str]) -> SeasonLosses:
        """Heat that leaves over a heating season, by part, with a set of measures done. [Btu/season]"""
        mask = self.case.mask(ticked)
        found = self._near.losses_of(mask) if self._near else None
        return found or self._losses(mask.tolist())

    def _losses(self, chosen: Sequence[BoolArray | bool]) -> SeasonLosses:
        return season_losses(
            year_energy(with_offers(self.case.house, self.case.offers, chosen), self.case.climate)
        )

    def bills_by_month(self, ticked: Iterable[str]) -> FloatArray:
        """Energy bills of each month with a plan done, with fixed charges. shape (fuels, 12) [dollars/month]"""
        chosen = self.case.mask(ticked)
        year = year_energy(
            with_offers(self.case.house, self.case.offers, chosen.tolist()), self.case.climate
        )
        return self.money.charges.bills_by_month(
            self.of(chosen[None]).energy[0], self.money.months(year)
        )

    def why(self, first: Offer, second: Offer, lost: float) -> str:
        """Sentence on why two measures save less or, where ``lost`` is below zero, more together."""
        smallest = min(
            (charge for charge in self.money.charges.fixed.values() if charge > 0), default=np.inf
        )
        if lost <= -0.5 * smallest and self._end_a_fuel(first, second):
            return general("otherwise", ENDS)
        return reason_of(first, second, lost, self.case.facts)

    def _end_a_fuel(self, first: Offer, second: Offer) -> bool:
        """Whether two measures end a fixed charge that neither ends alone."""
        sets = [
            self.case.mask([first.key]),
            self.case.mask([second.key]),
            self.case.mask([first.key, second.key]),
        ]
        one, other, both = self.money.charges.fixed_due(self.of(np.array(sets)).energy)
        return bool((both < np.minimum(one, other)).any())
