"""What a year's energy costs, by fuel: the energy itself and the fixed charges that end with a fuel's last use."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

import numpy as np

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.sums import MONTHS, over_last, total, weighted
from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.money.tariffs import Tariff, hourly_price, month_charges

Monthly: TypeAlias = Callable[[tuple[str, str]], Value]

LEAST_USE = 1.0
"""Heat content below which a fuel is not used any more, and its meter or tank goes. [Btu/year]"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Charges:
    """Prices of the energy of each pair of fuel and end use, and each fuel's fixed charge.

    ``uses`` are sorted by fuel; ``prices`` [dollars/Btu] have shape (uses,). ``fixed`` are by fuel, for
    those that have one. [dollars/year] ``by_month`` holds the rates of fuels whose bill is worked out month by
    month; their prices do not matter here.
    """

    uses: tuple[tuple[str, str], ...]
    prices: FloatArray
    fixed: Mapping[str, float]
    by_month: Mapping[str, Tariff] = field(default_factory=dict)

    @cached_property
    def fuels(self) -> tuple[str, ...]:
        """Fuels in the order of their uses."""
        return tuple(dict.fromkeys(fuel for fuel, _ in self.uses))

    def of_energy(self, energy: FloatArray, monthly: Monthly | None = None) -> FloatArray:
        """What the energy costs without fixed charges.

        Parameters
        ----------
        energy : ndarray, shape (..., uses)
            [Btu/year]
        monthly : callable, optional
            Gives the energy of a pair of fuel and end use by month, shape (..., 12) [Btu/month]; needed where
            a fuel is paid by the month.

        Returns
        -------
        ndarray, shape (..., fuels)
            [dollars/year]
        """
        found = [
            self._of_months(energy, fuel, monthly)
            if monthly and fuel in self.by_month
            else self._of_fuel(energy, fuel)
            for fuel in self.fuels
        ]
        return np.stack(found, axis=-1)

    def fixed_due(self, energy: FloatArray) -> FloatArray:
        """Fixed charges of the fuels that are used. (..., uses) [Btu/year] -> (..., fuels) [dollars/year]

        They are due as long as any use of a fuel is left, and end with the last.
        """
        due = np.zeros((*energy.shape[:-1], len(self.fuels)))
        for place, fuel in enumerate(self.fuels):
            if self.fixed.get(fuel, 0.0) > 0.0:
                used = over_last(energy[..., self._columns[fuel]]) >= LEAST_USE
                due[..., place] = np.where(used, self.fixed[fuel], 0.0)
        return due

    def _of_fuel(self, energy: FloatArray, fuel: str) -> FloatArray:
        columns = self._columns[fuel]
        return weighted(energy[..., columns], self.prices[columns])

    def bills_by_month(self, energy: FloatArray, monthly: Monthly) -> FloatArray:
        """Bills of one year, month by month, with fixed charges. (uses,) [Btu/year] -> (fuels, 12) [dollars/month]"""
        fixed = self.fixed_due(energy)[:, None] / MONTHS
        moving = np.array([self._each_month((), fuel, monthly) for fuel in self.fuels])
        return np.asarray(fixed + moving)

    def _of_months(self, energy: FloatArray, fuel: str, monthly: Monthly) -> FloatArray:
        return over_last(self._each_month(energy.shape[:-1], fuel, monthly))

    def _each_month(self, rows: tuple[int, ...], fuel: str, monthly: Monthly) -> FloatArray:
        """What the energy of a fuel costs each month. shape (*rows, 12) [dollars/month]"""
        content, shape = fuels()[fuel].heat_content, (*rows, MONTHS)
        amounts = {
            use: np.broadcast_to(np.asarray(monthly((name, use))), shape) / content
            for name, use in self.uses
            if name == fuel
        }
        tariff = self.by_month.get(fuel)
        if tariff is None:
            prices = dict(zip(self.uses, (self.prices * content).tolist(), strict=True))
            return np.asarray(total(a * prices[fuel, use] for use, a in amounts.items()))
        if tariff.time_of_use:
            return np.asarray(total(a * hourly_price(tariff, use) for use, a in amounts.items()))
        return month_charges(tariff, np.asarray(total(amounts.values())))

    @cached_property
    def _columns(self) -> dict[str, slice]:
        names = [fuel for fuel, _ in self.uses]
        return {
            fuel: slice(names.index(fuel), len(names) - names[::-1].index(fuel))
            for fuel in self.fuels
        }
