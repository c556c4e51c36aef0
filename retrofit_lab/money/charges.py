"""What a year's energy costs, by fuel: the energy itself and the fixed charges that end with a fuel's last use."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from retrofit_lab.sums import over_last, weighted
from retrofit_lab.values import FloatArray

LEAST_USE = 1.0
"""Heat content below which a fuel is not used any more, and its meter or tank goes. [Btu/year]"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Charges:
    """Prices of the energy of each pair of fuel and end use, and each fuel's fixed charge.

    ``uses`` are sorted by fuel; ``prices`` [dollars/Btu] have shape (uses,). ``fixed`` are by fuel, for
    those that have one. [dollars/year]
    """

    uses: tuple[tuple[str, str], ...]
    prices: FloatArray
    fixed: Mapping[str, float]

    @cached_property
    def fuels(self) -> tuple[str, ...]:
        """Fuels in the order of their uses."""
        return tuple(dict.fromkeys(fuel for fuel, _ in self.uses))

    def of_energy(self, energy: FloatArray) -> FloatArray:
        """What the energy costs without fixed charges. (..., uses) [Btu/year] -> (..., fuels) [dollars/year]"""
        return np.stack([self._of_fuel(energy, fuel) for fuel in self.fuels], axis=-1)

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

    @cached_property
    def _columns(self) -> dict[str, slice]:
        names = [fuel for fuel, _ in self.uses]
        return {
            fuel: slice(names.index(fuel), len(names) - names[::-1].index(fuel))
            for fuel in self.fuels
        }
