"""The one call that everything outside makes: a house, its weather, prices and measures in, results out."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Any

import numpy as np

from retrofit_lab.base.sums import over_last, weighted
from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import Oddity, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import THIS_YEAR
from retrofit_lab.house.readings import with_fitted_leakage
from retrofit_lab.measures.catalogue import VISITS, Measure, MeasureError, catalogue
from retrofit_lab.measures.fitted_measures import Offer, fitted, offers_for, with_offers
from retrofit_lab.measures.replacing import (
    Due,
    check_replaced,
    due_for_replacement,
    equipment,
    replacing,
    with_likes,
)
from retrofit_lab.measures.sequence import earlier
from retrofit_lab.model.losses import SeasonLosses, season_losses
from retrofit_lab.model.plausible import unlikely_use
from retrofit_lab.model.sizing import short_heaters
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.money.charges import Charges, Monthly
from retrofit_lab.money.factors import modified_uniform_present_value, uniform_present_value
from retrofit_lab.money.pricing import PricedFuel, charges_for, priced_fuels
from retrofit_lab.money.purchase import Anyway, Purchases, Visit, check_rebates
from retrofit_lab.money.terms import MoneyTerms, fuels
from retrofit_lab.money.worth import (
    adjusted_internal_rate,
    calculable,
    cost_factors_over_life,
    discounted_payback,
    net_savings,
    savings_to_investment_ratio,
    simple_payback,
)
from retrofit_lab.physics.ventilation import minimum_ventilation
from retrofit_lab.safety.cautions import cautions_for
from retrofit_lab.safety.hazards import Hazard, hazards_of, holds_for
from retrofit_lab.safety.ventilation import FreshAirProposal, fresh_air_proposal
from retrofit_lab.savings.attribution import fair_share
from retrofit_lab.savings.combinations import all_plans, allowed, mask_of
from retrofit_lab.savings.explaining import ENDS, facts_of, reason_of
from retrofit_lab.savings.neighbors import Near, SetCosts, within_one, within_two
from retrofit_lab.savings.orders import sampled_share
from retrofit_lab.savings.plan_energies import PlanEnergies, choices, fuel_uses, plan_energies
from retrofit_lab.study.explanation import Explanation, explain
from retrofit_lab.study.results import (
    FreshAir,
    MeasureResult,
    Overlap,
    PlanResult,
    Range,
    YearResult,
)

if TYPE_CHECKING:
    from retrofit_lab.bills.reading.record import BillFiles
    from retrofit_lab.study.billed import BilledHouse

MOST_EXACT = 12
"""Ticked measures up to which fair shares are exact; beyond, orders are sampled. Set by the time of a tick."""
KG_PER_TON = 1000.0
LONGEST_PAYBACK = 100
"""Years after which nobody asks when a discounted saving has paid back. [year]"""


class Study:
    """One house in its climate with the measures that apply to it.

    Parameters
    ----------
    house : House
        House as found.
    climate : MonthlyClimate, optional
        Weather; by default what the house names.
    measures : sequence of Measure, optional
        Measures to consider; by default the whole catalogue.
    terms : MoneyTerms, optional
        Discount rate, period, price rises and rebates.
    folder : str
        Where the weather file and the bills of the house are looked for.
    bills : str or BillFiles
        Files with bills, in place of what the house names, and the weather of their days.
    """

    def __init__(
        self,
        house: House,
        climate: MonthlyClimate | None = None,
        measures: Sequence[Measure] | None = None,
        *,
        terms: MoneyTerms | None = None,
        folder: str = ".",
        bills: "str | BillFiles" = "",
    ) -> None:
        house = with_fitted_leakage(house)
        self.terms = terms or MoneyTerms()
        self.climate = climate or find_climate(house.site.climate, folder)
        self.billed = _with_bills(house, self.climate, folder, bills)
        self.as_found = house = self.billed.fit.house if self.billed else house
        wanted = catalogue() if measures is None else tuple(measures)
        check_rebates(self.terms.rebates, [measure.key for measure in wanted])
        check_replaced(house, self.terms.replaced_anyway)
        base = with_likes(house, self.terms.replaced_anyway)
        self.house, self.offers = offers_for(base, wanted, self.terms.cost_factor)
        # what was worked out for one set and helps with the next; no result hangs on it
        self._near: Near | None = None
        self._sets = SetCosts(places=(), cost=np.array([np.nan]))

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Keys of the measures that apply, in catalogue order."""
        return tuple(offer.key for offer in self.offers)

    @cached_property
    def facts(self) -> frozenset[str]:
        """What sentences on this house may take for granted."""
        return facts_of(self.as_found)

    def why(self, first: Offer, second: Offer, lost: float) -> str:
        """Sentence on why two measures save less or, where ``lost`` is below zero, more together."""
        smallest = min(
            (charge for charge in self.charges.fixed.values() if charge > 0), default=np.inf
        )
        if lost <= -0.5 * smallest and self._end_a_fuel(first, second):
            return ENDS
        return reason_of(first, second, lost, self.facts)

    def _end_a_fuel(self, first: Offer, second: Offer) -> bool:
        """Whether two measures end a fixed charge that neither ends alone."""
        sets = [self.mask([first.key]), self.mask([second.key]), self.mask([first.key, second.key])]
        one, other, both = self.charges.fixed_due(self.energy(np.array(sets)).energy)
        return bool((both < np.minimum(one, other)).any())

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
        raise MeasureError(
            f"there is no measure '{key}' for this house; known are {', '.join(self.keys)}"
        )

    @cached_property
    def uses(self) -> tuple[tuple[str, str], ...]:
        """Pairs of fuel and end use that results have."""
        return fuel_uses(self.house, self.climate)

    @cached_property
    def fuels(self) -> tuple[str, ...]:
        """Fuels that the house uses or would use, in the order of charges."""
        return tuple(dict.fromkeys(fuel for fuel, _ in self.uses))

    @cached_property
    def fuel_prices(self) -> tuple[PricedFuel, ...]:
        """How each of these fuels is paid, with the date and source of its price."""
        return priced_fuels(self.house, self.terms, self.fuels)

    @property
    def prices(self) -> FloatArray:
        """Price of each use's heat content, a mean as found where it hangs on months. [dollars/Btu] shape (uses,)"""
        return self.charges.prices

    @cached_property
    def charges(self) -> Charges:
        """What energy costs in this house, with the fixed charges of each fuel."""
        return charges_for(
            self.uses,
            self.fuel_prices,
            lambda: self._months(year_energy(self.house, self.climate)),
        )

    def _months(self, year: YearEnergy) -> Monthly:
        """Energy of a use by month, as the bills ask. [Btu/month]"""
        scales = dict(zip(self.uses, self.scales.tolist(), strict=True))
        return lambda pair: year.monthly.get(pair, 0.0) * scales[pair]

    @cached_property
    def carbon(self) -> FloatArray:
        """CO2 of each use's heat content. [kg/Btu] shape (uses,)"""
        return np.array([fuels()[f].co2 / fuels()[f].heat_content for f, _ in self.uses])

    @cached_property
    def _worth_per_dollar(self) -> FloatArray:
        """Present worth of a yearly dollar of each fuel over the study period. shape (fuels,)"""
        return self._worth_over(np.array([self.terms.period_years]))[:, 0]

    @cached_property
    def _worth_by_year(self) -> FloatArray:
        """Present worth of a yearly dollar of each fuel over 1, 2, ... years. shape (fuels, years)"""
        return self._worth_over(np.arange(1, LONGEST_PAYBACK + 1))

    def _worth_over(self, years: IntArray) -> FloatArray:
        rate, rises = self.terms.discount_rate, self.terms.escalation
        rows = [
            modified_uniform_present_value(rate, rises.get(fuel, 0.0), years.astype(np.float64))
            for fuel in self.fuels
        ]
        return np.array(rows)

    def energy(self, masks: BoolArray, offers: Sequence[Offer] | None = None) -> PlanEnergies:
        """Energy of many plans; see `retrofit_lab.savings.plan_energies.plan_energies`.

        Where the model still uses more than was billed, it is scaled down; see `HouseFit.saving_scale`.
        """
        wanted = self.offers if offers is None else offers
        found = plan_energies(
            self.house, self.climate, wanted, masks, self.uses, charge=self._bills
        )
        return found if self.billed is None else replace(found, energy=found.energy * self.scales)

    @cached_property
    def scales(self) -> FloatArray:
        """Factor on the energy of each use, at most 1, so that no saving exceeds the bills. [1] shape (uses,)"""
        if self.billed is None:
            return np.ones(len(self.uses))
        return np.array([self.billed.fit.saving_scale(fuel, use) for fuel, use in self.uses])

    def charged(self, energy: FloatArray, year: YearEnergy) -> tuple[FloatArray, FloatArray]:
        """What modeled energy costs by fuel, and what is fixed of the bills.

        Parameters
        ----------
        energy : ndarray, shape (rows, uses)
            Energy as modeled; it is scaled here as the bills ask. [Btu/year]
        year : YearEnergy
            The year that it stands for, with its months.

        Returns
        -------
        two of ndarray, shape (rows, fuels)
            [dollars/year]
        """
        scaled = energy if self.billed is None else energy * self.scales
        moving = self.charges.of_energy(scaled, self._months(year))
        return moving, self.charges.fixed_due(scaled)

    def _bills(self, energy: FloatArray, year: YearEnergy) -> FloatArray:
        moving, fixed = self.charged(energy, year)
        return moving + fixed

    @cached_property
    def single(self) -> PlanEnergies:
        """Nothing, and each measure by itself, in that order; no tick changes them."""
        count = len(self.keys)
        nothing = np.zeros((1, count), dtype=np.bool_)
        return self.energy(np.vstack([nothing, np.eye(count, dtype=np.bool_)]))

    @cached_property
    def single_costs(self) -> FloatArray:
        """Energy bills with nothing done and with each measure by itself. [dollars/year]"""
        return self.single.cost

    def energy_around(self, mask: BoolArray) -> PlanEnergies:
        """Energy of a set, then of the sets that differ from it by each measure. shape (1 + measures, uses)"""
        found = self._near.around(mask) if self._near else None
        return found or self.energy(within_one(mask))

    def work_ahead(self, ticked: Iterable[str]) -> None:
        """Work out, while nobody waits, what ticking any one measure next will ask for."""
        mask = self.mask(ticked)
        sets, energy = within_one(mask), self.energy(within_two(mask))
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
        chosen = [offer.measure for offer, on in zip(self.offers, mask, strict=True) if on]
        wanted = fresh_air_proposal(self.as_found, chosen, outdoor_air)
        return wanted if wanted and wanted.measure in self.keys else None

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
            offers = fitted(self.offers, wanted[0].measure, "flow", flows)
            masks = sets[calling] | self.mask([wanted[0].measure])
            cost[calling] = self.energy(masks, offers).cost
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
            masks = self.widened(all_plans(len(places))[new], np.array(places, dtype=np.int64))
            cost[new] = self.energy(masks).cost
            # a smaller choice keeps the larger table: whoever unticks a measure often ticks it again
            self._sets = SetCosts(places=tuple(places), cost=cost)
        return cost

    def season_losses(self, ticked: Iterable[str]) -> SeasonLosses:
        """Heat that leaves over a heating season, by part, with a set of measures done. [Btu/season]"""
        mask = self.mask(ticked)
        found = self._near.losses_of(mask) if self._near else None
        return found or self._losses(mask.tolist())

    def _losses(self, chosen: Sequence[BoolArray | bool]) -> SeasonLosses:
        return season_losses(
            year_energy(with_offers(self.house, self.offers, chosen), self.climate)
        )

    def mask(self, ticked: Iterable[str]) -> BoolArray:
        """A set of measures as a row, in catalogue order whatever the order of ticking."""
        return mask_of(self.keys, ticked)

    @cached_property
    def oddities(self) -> tuple[Oddity, ...]:
        """What is unlikely in the house as found: its numbers, its heaters and what it uses for its size."""
        year = year_energy(self.as_found, self.climate)
        return (*check_house(self.as_found), *short_heaters(year), *unlikely_use(year))

    def explain(self, topic: str) -> Explanation:
        """Formula, inputs with source, and result of one mechanism or of one path of the house.

        Raises
        ------
        InputError
            When nothing has that name; says what has.
        """
        year = year_energy(self.as_found, self.climate)
        return explain(self.as_found, year, topic)

    def conflict(self, ticked: Iterable[str]) -> str:
        """Sentence on two ticked measures that cannot go together, or nothing."""
        chosen = set(ticked)
        for key in self.keys:
            for other in self.offer(key).measure.excludes if key in chosen else ():
                if other in chosen:
                    first, second = self.offer(key).measure.title, self.offer(other).measure.title
                    return f"'{first}' and '{second}' cannot go together. Choose one of them."
        return ""

    def plan(self, ticked: Iterable[str]) -> PlanResult:
        """Results of one set of measures.

        Raises
        ------
        MeasureError
            When two of them cannot go together.
        InputError
            When one of them is unknown.
        """
        mask = self.mask(ticked)
        chosen = tuple(key for key, on in zip(self.keys, mask, strict=True) if on)
        problem = self.conflict(chosen)
        if problem:
            raise MeasureError(problem)
        return _PlanWork(self, mask, chosen).result()

    def fair_shares(self, ticked: Iterable[str]) -> tuple[dict[str, float], float]:
        """Fair share of each ticked measure in the yearly saving, with its standard error. [dollars/year]

        Exact, with no error, up to `MOST_EXACT` measures; beyond that orders are sampled.
        """
        places = np.flatnonzero(self.mask(ticked))
        if len(places) > MOST_EXACT:
            shares, error = sampled_share(self._saved_by_sets(places), len(places))
        else:
            shares, error = fair_share(-self.costs_of_sets(places.tolist())), 0.0
        keys = [self.keys[place] for place in places]
        return dict(zip(keys, shares.tolist(), strict=True)), error

    def _saved_by_sets(self, places: IntArray) -> Callable[[BoolArray], FloatArray]:
        def saved(sets: BoolArray) -> FloatArray:
            return -self.energy(self.widened(sets, places)).cost

        return saved

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

    def year(self, found: PlanEnergies, row: int = 0) -> YearResult:
        """One set of many as a year that a person reads."""
        energy, charges = found.energy[row], found.charges[row]
        contents = [fuels()[fuel].heat_content for fuel, _ in self.uses]
        return YearResult(
            energy={
                use: float(amount / content)
                for use, amount, content in zip(self.uses, energy, contents, strict=True)
            },
            cost_by_use=self._cost_by_use(found, row),
            cost=float(over_last(charges)),
            fixed=float(over_last(self.charges.fixed_due(energy))),
            co2=float(weighted(energy, self.carbon)),
            outdoor_air=float(found.ventilation[row]),
        )

    def _cost_by_use(self, found: PlanEnergies, row: int) -> dict[str, float]:
        cost: dict[str, float] = {}
        for (_, use), amount in zip(self.uses, self.cost_of_uses(found)[row].tolist(), strict=True):
            cost[use] = cost.get(use, 0.0) + amount
        return cost

    def cost_of_uses(self, found: PlanEnergies) -> FloatArray:
        """Bills without fixed charges, shared among end uses. shape (sets, uses) [dollars/year]

        A bill that is worked out by the month is shared as the plain price would share it.
        """
        shared = found.energy * self.prices
        if not self.charges.by_month:
            return shared
        moving = found.charges - self.charges.fixed_due(found.energy)
        plain = self.charges.of_energy(found.energy)
        ratio = np.where(plain > 0.0, moving / np.where(plain > 0.0, plain, 1.0), 1.0)
        return shared * ratio[:, [self.fuels.index(fuel) for fuel, _ in self.uses]]

    def bills_by_month(self, ticked: Iterable[str]) -> FloatArray:
        """Energy bills of each month with a plan done, with fixed charges. shape (fuels, 12) [dollars/month]"""
        chosen = self.mask(ticked)
        year = year_energy(with_offers(self.house, self.offers, chosen.tolist()), self.climate)
        return self.charges.bills_by_month(self.energy(chosen[None]).energy[0], self._months(year))

    def present_cost(self, offer: Offer) -> float:
        """Present worth of buying one measure at its price before rebates; see `purchases`. [dollars]"""
        terms = self.terms
        first, later = cost_factors_over_life(
            offer.measure.life.years, terms.period_years, terms.discount_rate
        )
        return offer.cost_likely * (first + later)

    @cached_property
    def purchases(self) -> Purchases:
        """What buying the measures of this house costs on the study's terms."""
        lives = np.array([offer.measure.life.years for offer in self.offers])
        return Purchases(
            keys=self.keys,
            lives=lives,
            terms=self.terms,
            anyway=self._anyway,
            visits=tuple(self._visits()),
        )

    def _visits(self) -> Iterator[Visit]:
        """Visits of trades that could do more than one measure of this house."""
        for name in VISITS:
            mine = [offer for offer in self.offers if offer.measure.cost.visit == name]
            if len(mine) > 1:
                setups = tuple(offer.setup for offer in mine)
                yield Visit(measures=tuple(offer.key for offer in mine), setups=setups)

    @cached_property
    def _anyway(self) -> tuple[Anyway, ...]:
        """What must be bought whatever is decided."""
        known, measures = equipment(self.as_found), [offer.measure for offer in self.offers]
        return tuple(
            Anyway(
                price=self.terms.cost_factor * known[path].price,
                life=known[path].life,
                measures=replacing(self.as_found, measures, path),
            )
            for path in self.terms.replaced_anyway
        )

    @cached_property
    def due(self) -> tuple[Due, ...]:
        """Equipment past its usual life, which could be named as replaced anyway; nothing counts it by itself."""
        named = set(self.terms.replaced_anyway)
        found = due_for_replacement(self.as_found, THIS_YEAR)
        return tuple(item for item in found if item.path not in named)

    @cached_property
    def costs(self) -> FloatArray:
        """Low, likely and high price of each measure before rebates. shape (3, measures) [dollars]"""
        rows = [(o.cost_low, o.cost_likely, o.cost_high) for o in self.offers]
        return np.array(rows).reshape(-1, 3).T

    def prices_of(self, masks: BoolArray) -> FloatArray:
        """Likely price of each measure in many sets, zero where it is not in them. [dollars]"""
        return np.where(masks, self.costs[1], 0.0)

    def worth_by_year(self, charges: FloatArray) -> FloatArray:
        """Present worth of yearly bills or savings over 1, 2, ... years. (fuels,) -> (years,) [dollars]"""
        return weighted(self._worth_by_year.T, charges)

    def worth_per_dollar(self, fuel: str) -> float:
        """Present worth of a yearly dollar of one fuel's bill over the study period. [dollars]"""
        return float(self._worth_per_dollar[self.fuels.index(fuel)])

    def present_worth(self, charges: FloatArray) -> FloatArray:
        """Present worth of yearly bills or savings by fuel. (..., fuels) [dollars/year] -> (...) [dollars]"""
        return weighted(charges, self._worth_per_dollar)


def _with_bills(
    house: House, climate: MonthlyClimate, folder: str, bills: "str | BillFiles"
) -> "BilledHouse | None":
    """House fitted to its bills; where there are none, all that reads bills is not even imported."""
    if not (bills or house.bills):
        return None
    from retrofit_lab.study.billed import billed_house  # noqa: PLC0415 - a fifth of the import of the model

    return billed_house(house, climate, folder, bills)


def _told(names: Sequence[str], values: Sequence[float]) -> dict[str, Any]:
    """Values by name, None where one is not calculable."""
    return dict(zip(names, map(calculable, values), strict=True))


@dataclass(frozen=True, slots=True)
class _PlanWork:
    """The rows that one tick needs, worked out in one pass of the model, and what follows from them."""

    study: Study
    mask: BoolArray
    chosen: tuple[str, ...]

    def result(self) -> PlanResult:
        study, single = self.study, self.study.single
        energy = study.energy_around(self.mask)
        cost, sets = study.single_costs, self._costs_of_sets()
        before, after = study.year(single), study.year(energy)
        alone = cost[0] - cost[1:]
        shares, error = study.fair_shares(self.chosen)
        measures = self._measures(energy.charges, alone, shares)
        price = self._price()
        saved = before.cost - after.cost
        sum_alone = float(alone[self.mask].sum())
        minimum = float(minimum_ventilation(study.house.size.floor_area, study.house.size.bedrooms))
        return PlanResult(
            ticked=self.chosen,
            before=before,
            after=after,
            saved=saved,
            sum_alone=sum_alone,
            lost_to_overlap=sum_alone - saved,
            cost=price,
            **self._worth(single.charges[0] - energy.charges[0], price.likely, saved),
            **self._life_cycle(before, after, single.charges[0], energy.charges[0]),
            measures=measures,
            overlaps=self._overlaps(cost[0] - sets, alone),
            cautions=cautions_for(
                study.as_found,
                [study.offer(key).measure for key in self.chosen],
                below_minimum_ventilation=after.outdoor_air < minimum,
            ),
            hazards=study.hazards,
            minimum_air=minimum,
            fresh_air=self._fresh_air(after.outdoor_air, after.cost),
            share_error=error,
            period_years=study.terms.period_years,
        )

    def _fresh_air(self, outdoor_air: float, cost: float) -> FreshAir | None:
        """Fan that the plan lacks, with what it costs to run at the missing flow."""
        study = self.study
        wanted = study.fan_for(self.mask, outdoor_air)
        if wanted is None:
            return None
        offer = study.offer(wanted.measure)
        return FreshAir(
            measure=wanted.measure,
            flow=wanted.flow,
            why=wanted.why,
            cost=Range(low=offer.cost_low, likely=offer.cost_likely, high=offer.cost_high),
            yearly=study.cost_with_fan(self.mask, wanted) - cost,
        )

    def _worth(self, by_fuel: FloatArray, cost: float, saved: float) -> dict[str, Any]:
        """Whether the plan is worth its first cost, by all the measures of worth that people use."""
        study, terms = self.study, self.study.terms
        worth = float(study.present_worth(by_fuel))
        present = float(study.purchases.present_cost(study.prices_of(self.mask)))
        by_year = study.worth_by_year(by_fuel)
        extra = max(0.0, cost - float(study.purchases.avoided(study.prices_of(self.mask))))
        ratio = float(savings_to_investment_ratio(worth, present))
        return {
            "payback": float(simple_payback(extra, saved)),
            "discounted_payback": discounted_payback(extra, by_year, whole_years=False),
            "discounted_payback_whole_years": discounted_payback(extra, by_year, whole_years=True),
            "sir": calculable(ratio),
            "adjusted_internal_rate": calculable(
                float(adjusted_internal_rate(ratio, terms.discount_rate, terms.period_years))
            ),
            "net_savings": float(net_savings(worth, present)),
        }

    def _life_cycle(
        self, before: YearResult, after: YearResult, bills: FloatArray, less: FloatArray
    ) -> dict[str, float]:
        """Bills and work over the study period as one number each, and what CO2 is worth. [dollars]"""
        study, terms = self.study, self.study.terms
        present = float(study.purchases.present_cost(study.prices_of(self.mask)))
        tons = (before.co2 - after.co2) / KG_PER_TON
        factor = uniform_present_value(terms.discount_rate, float(terms.period_years))
        purchases = study.purchases
        anyway = sum(purchases.present_price(purchase) for purchase in purchases.anyway)
        return {
            "life_cycle_cost_before": float(study.present_worth(bills)) + anyway,
            "life_cycle_cost": float(study.present_worth(less)) + present + anyway,
            "carbon_worth": float(terms.carbon_price * tons * factor),
        }

    @property
    def exact(self) -> bool:
        """Whether few enough are ticked for every set of them."""
        return len(self.chosen) <= MOST_EXACT

    def _costs_of_sets(self) -> FloatArray:
        """Cost of every set of the ticked ones or, where these are many, of every pair. [dollars/year]

        A pass of its own: all that is not ticked is at rest in it, which is much quicker.
        """
        places = np.flatnonzero(self.mask)
        if self.exact:
            return self.study.costs_of_sets(places.tolist())
        one = np.eye(len(places), dtype=np.bool_)
        pairs = np.array([one[i] | one[j] for i, j in self._pairs()])
        return self.study.energy(self.study.widened(pairs, places)).cost

    def _pairs(self) -> list[tuple[int, int]]:
        return list(combinations(range(len(self.chosen)), 2))

    def _measures(
        self, charges: FloatArray, alone: FloatArray, shares: Mapping[str, float]
    ) -> dict[str, MeasureResult]:
        study = self.study
        added = (charges[0] - charges[1:]) * np.where(self.mask, -1.0, 1.0)[:, None]
        now, worth = over_last(added), study.present_worth(added)
        cost = study.purchases.first_cost_added(study.costs, self.mask)
        present = study.purchases.present_cost_added(study.costs[1], self.mask)
        columns = {
            "alone": alone,
            "now": now,
            "payback": np.asarray(simple_payback(self._extra(cost[1]), now)),
            "sir": np.asarray(savings_to_investment_ratio(worth, present)),
            "net_savings": net_savings(worth, present),
        }
        names, lines = list(columns), np.array(list(columns.values())).T.tolist()
        return {
            key: MeasureResult(
                key=key,
                ticked=key in self.chosen,
                share=shares.get(key, 0.0),
                cost=Range(low=low, likely=likely, high=high),
                held_by=study.holds[key],
                blocked_by=tuple(other for other in self.chosen if other in study.rivals[key]),
                **_told(names, line),
            )
            for key, line, (low, likely, high) in zip(
                study.keys, lines, cost.T.tolist(), strict=True
            )
        }

    def _extra(self, cost: FloatArray) -> FloatArray:
        """Cost of each measure beyond what must be paid anyway. shape (measures,) [dollars]"""
        purchases = self.study.purchases
        if not purchases.anyway:
            return cost
        saved = purchases.avoided_added(self.study.costs[1], self.mask)
        return np.maximum(cost - saved, 0.0)

    def _price(self) -> Range:
        bought = np.where(self.mask, self.study.costs, 0.0)
        low, likely, high = self.study.purchases.first_cost(bought).tolist()
        return Range(low=low, likely=likely, high=high)

    def _overlaps(self, saved: FloatArray, alone: FloatArray) -> tuple[Overlap, ...]:
        """Pairs of ticked ones, from what each set saves."""
        places, found = np.flatnonzero(self.mask), []
        for at, (i, j) in enumerate(self._pairs()):
            together = saved[(1 << i) + (1 << j)] if self.exact else saved[at]
            lost = float(alone[places[i]] + alone[places[j]] - together)
            first, second = self.study.offers[places[i]], self.study.offers[places[j]]
            why = self.study.why(first, second, lost)
            found.append(Overlap(first=first.key, second=second.key, lost=lost, why=why))
        return tuple(sorted(found, key=lambda pair: -abs(pair.lost)))
