"""Energy of many sets of measures at once, by the one model path; worth and shares are in attribution.py."""

import multiprocessing
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.measures.offers import Offer, with_offers
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.sums import MONTHS, over_year
from retrofit_lab.values import BoolArray, FloatArray

CHUNK = 1024
"""Stacks worked out together: their months fit in a processor's cache."""
WORKERS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class StackEnergy:
    """Energy of many stacks.

    ``uses`` are the pairs of fuel and end use; ``energy`` has shape (stacks, uses) [Btu/year];
    ``ventilation`` is the mean outdoor air, natural and by fans, shape (stacks,) [cfm].
    """

    uses: tuple[tuple[str, str], ...]
    energy: FloatArray
    ventilation: FloatArray


def stack_energy(
    house: House,
    climate: MonthlyClimate,
    offers: Sequence[Offer],
    masks: BoolArray,
    uses: tuple[tuple[str, str], ...],
) -> StackEnergy:
    """Energy of every stack of a table of sets.

    Parameters
    ----------
    house : House
        House with the additions of its offers, at rest.
    climate : MonthlyClimate
        Its weather.
    offers : sequence of Offer
        Measures in catalogue order.
    masks : ndarray of bool, shape (stacks, offers)
        Which measures are in each stack.
    uses : tuple of (fuel, end use)
        From `fuel_uses` of the same house.
    """
    chunks = [masks[start : start + CHUNK] for start in range(0, len(masks) or 1, CHUNK)]

    def work(chunk: BoolArray) -> tuple[FloatArray, FloatArray]:
        return _chunk(house, climate, offers, chunk, uses)

    if len(chunks) == 1:
        parts = [work(chunks[0])]
    else:
        with ThreadPoolExecutor(workers()) as pool:
            parts = list(pool.map(work, chunks))
    return StackEnergy(
        uses=uses,
        energy=np.concatenate([energy for energy, _ in parts]),
        ventilation=np.concatenate([air for _, air in parts]),
    )


def workers() -> int:
    """Threads to work with: one where this process was started beside others, one for each core."""
    return WORKERS if multiprocessing.parent_process() is None else 1


def fuel_uses(house: House, climate: MonthlyClimate) -> tuple[tuple[str, str], ...]:
    """Pairs of fuel and end use that a house can have, with its additions."""
    return tuple(sorted(year_energy(house, climate).monthly))


def _chunk(
    house: House,
    climate: MonthlyClimate,
    offers: Sequence[Offer],
    masks: BoolArray,
    uses: tuple[tuple[str, str], ...],
) -> tuple[FloatArray, FloatArray]:
    year = year_energy(with_offers(house, offers, choices(masks)), climate)
    energy = np.empty((len(masks), len(uses)))
    for place, (fuel, end_use) in enumerate(uses):
        energy[:, place] = year.annual(fuel, end_use)
    return energy, np.broadcast_to(mean_outdoor_air(year), (len(masks),))


def choices(masks: BoolArray) -> list[BoolArray | bool]:
    """Sets as `with_offers` takes them: for each offer a column, one row a set."""
    return [_choice(column) for column in masks.T]


def _choice(column: BoolArray) -> BoolArray | bool:
    """A plain yes or no where all stacks of a chunk agree: the model is quicker with plain numbers."""
    if column.all():
        return True
    return column[:, None] if column.any() else False


def mean_outdoor_air(year: YearEnergy) -> FloatArray:
    """Mean outdoor air over the year, as the ventilation standard counts it. [cfm]"""
    flows = year.parts.flows
    monthly = flows.natural + flows.exhaust + flows.supply + flows.balanced
    return np.asarray(over_year(monthly) / MONTHS)
