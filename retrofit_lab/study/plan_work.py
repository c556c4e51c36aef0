"""Everything about one plan, from the energies and the money of its case; nothing is kept and nothing is shown."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Any

import numpy as np

from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.money.factors import uniform_present_value
from retrofit_lab.money.worth import (
    adjusted_internal_rate,
    calculable,
    discounted_payback,
    net_savings,
    savings_to_investment_ratio,
    simple_payback,
)
from retrofit_lab.physics.ventilation import minimum_ventilation
from retrofit_lab.safety.cautions import cautions_for
from retrofit_lab.study.case import Case
from retrofit_lab.study.energies import MOST_EXACT, Energies
from retrofit_lab.study.money import Money
from retrofit_lab.study.results import (
    FreshAir,
    MeasureResult,
    Overlap,
    PlanResult,
    Range,
    YearResult,
)

KG_PER_TON = 1000.0


@dataclass(frozen=True, eq=False)
class PlanWork:
    """The rows that one plan needs, worked out in one pass of the model, and what follows from them."""

    case: Case
    money: Money
    energies: Energies
    mask: BoolArray

    @cached_property
    def chosen(self) -> tuple[str, ...]:
        """Keys of the plan, in catalog order."""
        return tuple(key for key, on in zip(self.case.keys, self.mask, strict=True) if on)

    def result(self) -> PlanResult:
        """All results of the plan."""
        case, money, energies = self.case, self.money, self.energies
        single = energies.single
        energy = energies.around(self.mask)
        cost, sets = energies.single_costs, self._costs_of_sets()
        before, after = money.year(single), money.year(energy)
        alone = cost[0] - cost[1:]
        shares, error = energies.fair_shares(self.chosen)
        measures = self._measures(energy.charges, alone, shares)
        price = self._price()
        saved = before.cost - after.cost
        sum_alone = float(alone[self.mask].sum())
        minimum = float(minimum_ventilation(case.house.size.floor_area, case.house.size.bedrooms))
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
                case.as_found,
                [case.offer(key).measure for key in self.chosen],
                below_minimum_ventilation=after.outdoor_air < minimum,
            ),
            hazards=case.hazards,
            minimum_air=minimum,
            fresh_air=self._fresh_air(after.outdoor_air, after.cost),
            share_error=error,
            period_years=case.terms.period_years,
        )

    def _fresh_air(self, outdoor_air: float, cost: float) -> FreshAir | None:
        """Fan that the plan lacks, with what it costs to run at the missing flow."""
        case, energies = self.case, self.energies
        wanted = energies.fan_for(self.mask, outdoor_air)
        if wanted is None:
            return None
        offer = case.offer(wanted.measure)
        return FreshAir(
            measure=wanted.measure,
            flow=wanted.flow,
            why=wanted.why,
            cost=Range(low=offer.cost_low, likely=offer.cost_likely, high=offer.cost_high),
            yearly=energies.cost_with_fan(self.mask, wanted) - cost,
        )

    def _worth(self, by_fuel: FloatArray, cost: float, saved: float) -> dict[str, Any]:
        """Whether the plan is worth its first cost, by all the measures of worth that people use."""
        money, terms = self.money, self.case.terms
        worth = float(money.present_worth(by_fuel))
        present = float(money.purchases.present_cost(money.prices_of(self.mask)))
        by_year = money.worth_by_year(by_fuel)
        extra = max(0.0, cost - float(money.purchases.avoided(money.prices_of(self.mask))))
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
        money, terms = self.money, self.case.terms
        present = float(money.purchases.present_cost(money.prices_of(self.mask)))
        tons = (before.co2 - after.co2) / KG_PER_TON
        factor = uniform_present_value(terms.discount_rate, float(terms.period_years))
        purchases = money.purchases
        anyway = sum(purchases.present_price(purchase) for purchase in purchases.anyway)
        return {
            "life_cycle_cost_before": float(money.present_worth(bills)) + anyway,
            "life_cycle_cost": float(money.present_worth(less)) + present + anyway,
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
            return self.energies.costs_of_sets(places.tolist())
        one = np.eye(len(places), dtype=np.bool_)
        pairs = np.array([one[i] | one[j] for i, j in self._pairs()])
        return self.energies.of(self.case.widened(pairs, places)).cost

    def _pairs(self) -> list[tuple[int, int]]:
        return list(combinations(range(len(self.chosen)), 2))

    def _measures(
        self, charges: FloatArray, alone: FloatArray, shares: Mapping[str, float]
    ) -> dict[str, MeasureResult]:
        case, money = self.case, self.money
        added = (charges[0] - charges[1:]) * np.where(self.mask, -1.0, 1.0)[:, None]
        now, worth = over_last(added), money.present_worth(added)
        cost = money.purchases.first_cost_added(money.costs, self.mask)
        present = money.purchases.present_cost_added(money.costs[1], self.mask)
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
                held_by=case.holds[key],
                blocked_by=tuple(other for other in self.chosen if other in case.rivals[key]),
                **_told(names, line),
            )
            for key, line, (low, likely, high) in zip(
                case.keys, lines, cost.T.tolist(), strict=True
            )
        }

    def _extra(self, cost: FloatArray) -> FloatArray:
        """Cost of each measure beyond what must be paid anyway. shape (measures,) [dollars]"""
        purchases = self.money.purchases
        if not purchases.anyway:
            return cost
        saved = purchases.avoided_added(self.money.costs[1], self.mask)
        return np.maximum(cost - saved, 0.0)

    def _price(self) -> Range:
        bought = np.where(self.mask, self.money.costs, 0.0)
        low, likely, high = self.money.purchases.first_cost(bought).tolist()
        return Range(low=low, likely=likely, high=high)

    def _overlaps(self, saved: FloatArray, alone: FloatArray) -> tuple[Overlap, ...]:
        """Pairs of ticked ones, from what each set saves."""
        places, found = np.flatnonzero(self.mask), []
        for at, (i, j) in enumerate(self._pairs()):
            together = saved[(1 << i) + (1 << j)] if self.exact else saved[at]
            lost = float(alone[places[i]] + alone[places[j]] - together)
            first, second = self.case.offers[places[i]], self.case.offers[places[j]]
            why = self.energies.why(first, second, lost)
            found.append(Overlap(first=first.key, second=second.key, lost=lost, why=why))
        return tuple(sorted(found, key=lambda pair: -abs(pair.lost)))


def _told(names: Sequence[str], values: Sequence[float]) -> dict[str, Any]:
    """Values by name, None where one is not calculable."""
    return dict(zip(names, map(calculable, values), strict=True))
