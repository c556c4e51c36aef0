"""What is known of sets near one that was worked out: a tick changes one measure; the model is run elsewhere."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.model.losses import SeasonLosses
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.savings.plan_energies import PlanEnergies


def within_one(mask: BoolArray) -> BoolArray:
    """A set, then the sets that differ from it by each measure. (measures,) -> (1 + measures, measures)"""
    return np.vstack([mask, mask ^ np.eye(len(mask), dtype=np.bool_)])


def within_two(mask: BoolArray) -> BoolArray:
    """The same, then the sets that differ by each pair of measures, in the order of `numpy.triu_indices`."""
    one = np.eye(len(mask), dtype=np.bool_)
    first, second = np.triu_indices(len(mask), 1)
    return np.vstack([within_one(mask), mask ^ one[first] ^ one[second]])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Near:
    """What is known of the sets near one: of those within two ticks the energy, of those within one the rest.

    All stand in the order of `within_two`. ``with_fan`` is the cost with the fan that a set calls for, not a
    number where it calls for none. [dollars/year]
    """

    mask: BoolArray
    energy: PlanEnergies
    losses: SeasonLosses
    with_fan: FloatArray

    def around(self, mask: BoolArray) -> PlanEnergies | None:
        """Energy of the sets of `within_one` of a set, where it is at most one tick away. shape (1 + measures, uses)"""
        row = self._row(mask)
        if row is None:
            return None
        count = len(mask)
        others = _row_of_pair(count)[row - 1] if row else np.arange(1, count + 1)
        rows = np.concatenate([[row], others])
        return self.energy.rows(rows)

    def losses_of(self, mask: BoolArray) -> SeasonLosses | None:
        """Heat that leaves with a set done, where it is at most one tick away. [Btu/season]"""
        row = self._row(mask)
        return None if row is None else self.losses.row(row)

    def cost_with_fan(self, mask: BoolArray) -> float | None:
        """Cost of a set with its fan, where it calls for one and is at most one tick away. [dollars/year]"""
        row = self._row(mask)
        return None if row is None or np.isnan(self.with_fan[row]) else float(self.with_fan[row])

    def _row(self, mask: BoolArray) -> int | None:
        changed = np.flatnonzero(self.mask ^ mask)
        if len(changed) > 1:
            return None
        return int(changed[0]) + 1 if len(changed) else 0


@cache
def _row_of_pair(count: int) -> IntArray:
    """Row of `within_two` for every pair of measures; a measure changed twice leads back to the set itself.

    Not to be written to.
    """
    rows = np.zeros((count, count), dtype=np.int64)
    first, second = np.triu_indices(count, 1)
    rows[first, second] = rows[second, first] = np.arange(1 + count, 1 + count + len(first))
    return rows


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SetCosts:
    """Cost of every set of some measures, named by their places, in the order of `all_plans`. [dollars/year]"""

    places: tuple[int, ...]
    cost: FloatArray

    def known(self, places: Sequence[int]) -> FloatArray:
        """Cost of every set of other measures; not a number where a set holds one that was not among these."""
        sets = all_plans(len(places))
        bits = np.array([1 << self.places.index(p) if p in self.places else 0 for p in places])
        foreign = np.array([p not in self.places for p in places], dtype=np.bool_)
        numbers = sets.astype(np.int64) @ bits.astype(np.int64)
        return np.where((sets & foreign).any(axis=1), np.nan, self.cost[numbers])
