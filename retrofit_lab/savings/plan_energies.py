"""Energy of many sets of measures at once, by the one model path; worth and shares are in attribution.py."""

import multiprocessing
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from retrofit_lab.base.sums import MONTHS, over_last, over_year
from retrofit_lab.base.values import BoolArray, FloatArray, IntArray
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.measures.fitted_measures import Offer, with_offers
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.physics.ventilation import infiltration_credit

CHUNK = 1024
"""Plans worked out together: their months fit in a processor's cache."""
WORKERS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanEnergies:
    """Energy of many plans.

    ``uses`` are the pairs of fuel and end use; ``energy`` has shape (plans, uses) [Btu/year];
    ``charges`` is what each fuel costs, with its fixed charges, shape (plans, fuels) [dollars/year], of no
    fuels where no one asked; ``ventilation`` is the mean outdoor air, natural and by fans, shape (plans,)
    [cfm].
    """

    uses: tuple[tuple[str, str], ...]
    energy: FloatArray
    charges: FloatArray
    ventilation: FloatArray

    @property
    def cost(self) -> FloatArray:
        """What all fuels cost together. shape (plans,) [dollars/year]"""
        return over_last(self.charges)

    def rows(self, rows: IntArray | list[int]) -> "PlanEnergies":
        """Some of the plans."""
        return replace(
            self,
            energy=self.energy[rows],
            charges=self.charges[rows],
            ventilation=self.ventilation[rows],
        )


Charge: TypeAlias = Callable[[FloatArray, YearEnergy], FloatArray]
"""Gives what fuels cost from the energy of plans (plans, uses) [Btu/year] and the year behind it."""


def plan_energies(
    house: House,
    climate: MonthlyClimate,
    offers: Sequence[Offer],
    masks: BoolArray,
    uses: tuple[tuple[str, str], ...],
    *,
    charge: Charge | None = None,
) -> PlanEnergies:
    """Energy of every plan of a table of sets.

    Parameters
    ----------
    house : House
        House with the additions of its offers, at rest.
    climate : MonthlyClimate
        Its weather.
    offers : sequence of Offer
        Measures in catalog order.
    masks : ndarray of bool, shape (plans, offers)
        Which measures are in each plan.
    uses : tuple of (fuel, end use)
        From `fuel_uses` of the same house.
    charge : callable, optional
        Gives the charges.
    """
    chunks = [masks[start : start + CHUNK] for start in range(0, len(masks) or 1, CHUNK)]

    def work(chunk: BoolArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        year = year_energy(with_offers(house, offers, choices(chunk)), climate)
        energy = _energy(year, len(chunk), uses)
        charges = charge(energy, year) if charge else np.empty((len(chunk), 0))
        return energy, charges, np.broadcast_to(mean_outdoor_air(year), (len(chunk),))

    if len(chunks) == 1:
        parts = [work(chunks[0])]
    else:
        with ThreadPoolExecutor(workers()) as pool:
            parts = list(pool.map(work, chunks))
    energy, charges, air = (np.concatenate(part) for part in zip(*parts, strict=True))
    return PlanEnergies(uses=uses, energy=energy, charges=charges, ventilation=air)


def workers() -> int:
    """Threads to work with: one where this process was started beside others, one for each core."""
    return WORKERS if multiprocessing.parent_process() is None else 1


def fuel_uses(house: House, climate: MonthlyClimate) -> tuple[tuple[str, str], ...]:
    """Pairs of fuel and end use that a house can have, with its additions."""
    return tuple(sorted(year_energy(house, climate).monthly))


def _energy(year: YearEnergy, plans: int, uses: tuple[tuple[str, str], ...]) -> FloatArray:
    energy = np.empty((plans, len(uses)))
    for place, (fuel, end_use) in enumerate(uses):
        energy[:, place] = year.annual(fuel, end_use)
    return energy


def choices(masks: BoolArray) -> list[BoolArray | bool]:
    """Sets as `with_offers` takes them: for each offer a column, one row a set."""
    return [_choice(column) for column in masks.T]


def _choice(column: BoolArray) -> BoolArray | bool:
    """A plain yes or no where all plans of a chunk agree: the model is quicker with plain numbers."""
    if column.all():
        return True
    return column[:, None] if column.any() else False


def mean_outdoor_air(year: YearEnergy) -> FloatArray:
    """Outdoor air over the year as the ventilation standard counts it: its credit for leaks, and all fans. [cfm]"""
    flows, parts = year.parts.flows, year.parts
    credit = infiltration_credit(
        flows.flow_50, parts.climate.leak_weather, parts.house.size.stories
    )
    fans = flows.exhaust + flows.supply + flows.balanced
    return np.asarray(over_year(credit + fans) / MONTHS)
