"""What energy and measures cost in one case, and what savings are worth; no energy of a plan is worked out here."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.sums import over_last, weighted
from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.money.charges import Charges, Monthly
from retrofit_lab.money.factors import modified_uniform_present_value
from retrofit_lab.money.pricing import PricedFuel, charges_for, priced_fuels
from retrofit_lab.money.purchase import Purchases
from retrofit_lab.savings.plan_energies import PlanEnergies
from retrofit_lab.study.buying import purchases_of
from retrofit_lab.study.case import Case
from retrofit_lab.study.results import YearResult

LONGEST_PAYBACK = 100
"""Years after which no one asks when a discounted saving has paid back. [year]"""


@dataclass(frozen=True, eq=False)
class Money:
    """Tariffs, prices of measures and terms of one case, and money counted by them."""

    case: Case

    @cached_property
    def fuel_prices(self) -> tuple[PricedFuel, ...]:
        """How each of these fuels is paid, with the date and source of its price."""
        return priced_fuels(self.case.house, self.case.terms, self.case.fuels)

    @property
    def prices(self) -> FloatArray:
        """Price of each use's heat content, a mean as found where it depends on months. [dollars/Btu] shape (uses,)"""
        return self.charges.prices

    @cached_property
    def charges(self) -> Charges:
        """What energy costs in this house, with the fixed charges of each fuel."""
        return charges_for(
            self.case.uses,
            self.fuel_prices,
            lambda: self.months(year_energy(self.case.house, self.case.climate)),
        )

    def months(self, year: YearEnergy) -> Monthly:
        """Energy of a use by month, as the bills ask. [Btu/month]"""
        scales = dict(zip(self.case.uses, self.case.scales.tolist(), strict=True))
        return lambda pair: year.monthly.get(pair, 0.0) * scales[pair]

    def charged(self, energy: FloatArray, year: YearEnergy) -> tuple[FloatArray, FloatArray]:
        """What modeled energy costs by fuel, and what is fixed of the bills.

        Parameters
        ----------
        energy : ndarray, shape (..., uses)
            Energy as modeled; it is scaled here as the bills ask. [Btu/year]
        year : YearEnergy
            The year that it stands for, with its months.

        Returns
        -------
        two of ndarray, shape (..., fuels)
            [dollars/year]
        """
        scaled = energy if self.case.billed is None else energy * self.case.scales
        moving = self.charges.of_energy(scaled, self.months(year))
        return moving, self.charges.fixed_due(scaled)

    def bills(self, energy: FloatArray, year: YearEnergy) -> FloatArray:
        """The same in one sum, fixed charges included. (rows, uses) -> (rows, fuels) [dollars/year]"""
        moving, fixed = self.charged(energy, year)
        return moving + fixed

    @cached_property
    def carbon(self) -> FloatArray:
        """CO2 of each use's heat content. [kg/Btu] shape (uses,)"""
        of_fuel = {
            row.fuel: row.carbon / fuels()[row.fuel].heat_content for row in self.fuel_prices
        }
        return np.array([of_fuel[fuel] for fuel, _ in self.case.uses])

    @cached_property
    def _worth_per_dollar(self) -> FloatArray:
        """Present worth of a yearly dollar of each fuel over the study period. shape (fuels,)"""
        return self._worth_over(np.array([self.case.terms.period_years]))[:, 0]

    @cached_property
    def _worth_by_year(self) -> FloatArray:
        """Present worth of a yearly dollar of each fuel over 1, 2, ... years. shape (fuels, years)"""
        return self._worth_over(np.arange(1, LONGEST_PAYBACK + 1))

    def _worth_over(self, years: IntArray) -> FloatArray:
        rate, rises = self.case.terms.discount_rate, self.case.terms.escalation
        rows = [
            modified_uniform_present_value(rate, rises.get(fuel, 0.0), years.astype(np.float64))
            for fuel in self.case.fuels
        ]
        return np.array(rows)

    def worth_by_year(self, charges: FloatArray) -> FloatArray:
        """Present worth of yearly bills or savings over 1, 2, ... years. (fuels,) -> (years,) [dollars]"""
        return weighted(self._worth_by_year.T, charges)

    def worth_per_dollar(self, fuel: str) -> float:
        """Present worth of a yearly dollar of one fuel's bill over the study period. [dollars]"""
        return float(self._worth_per_dollar[self.case.fuels.index(fuel)])

    def present_worth(self, charges: FloatArray) -> FloatArray:
        """Present worth of yearly bills or savings by fuel. (..., fuels) [dollars/year] -> (...) [dollars]"""
        return weighted(charges, self._worth_per_dollar)

    def year(self, found: PlanEnergies, row: int = 0) -> YearResult:
        """One set of many as a year that a person reads."""
        energy, charges = found.energy[row], found.charges[row]
        contents = [fuels()[fuel].heat_content for fuel, _ in self.case.uses]
        return YearResult(
            energy={
                use: float(amount / content)
                for use, amount, content in zip(self.case.uses, energy, contents, strict=True)
            },
            cost_by_use=self._cost_by_use(found, row),
            cost=float(over_last(charges)),
            fixed=float(over_last(self.charges.fixed_due(energy))),
            co2=float(weighted(energy, self.carbon)),
            outdoor_air=float(found.ventilation[row]),
        )

    def _cost_by_use(self, found: PlanEnergies, row: int) -> dict[str, float]:
        cost: dict[str, float] = {}
        for (_, use), amount in zip(
            self.case.uses, self.cost_of_uses(found)[row].tolist(), strict=True
        ):
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
        return shared * ratio[:, [self.case.fuels.index(fuel) for fuel, _ in self.case.uses]]

    @cached_property
    def purchases(self) -> Purchases:
        """What buying the measures of this case costs on its terms."""
        return purchases_of(self.case)

    @cached_property
    def costs(self) -> FloatArray:
        """Low, likely and high price of each measure before rebates. shape (3, measures) [dollars]"""
        rows = [(o.cost_low, o.cost_likely, o.cost_high) for o in self.case.offers]
        return np.array(rows).reshape(-1, 3).T

    def prices_of(self, masks: BoolArray) -> FloatArray:
        """Likely price of each measure in many sets, zero where it is not in them. [dollars]"""
        return np.where(masks, self.costs[1], 0.0)
