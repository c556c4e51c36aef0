"""What a set of measures saves, costs and takes to pay back over all draws; no draws are made here.

Every draw goes through the one model of the year, before and after with the same numbers.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.measures.fitted_measures import Offer, with_offers
from retrofit_lab.model.year import YearEnergy, year_energy
from retrofit_lab.uncertainty.realizing import come_about
from retrofit_lab.uncertainty.sampling import Draws

ROWS = 512
"""Plans times draws worked out together: hardly slower than more, and their months take 8 MB and not 30.

One part after the other: a second thread waits for the first between such short steps, and holds as much memory.
"""
MEASURE_DRAWS = 256
"""Draws for the ranges of single measures: there are many of them, and their ends are read to two digits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The 80 % range of a number: one in ten lies below ``low``, one in ten above ``high``."""

    low: float
    middle: float
    high: float

    def times(self, factor: float) -> "Span":
        """The span of a number that is so many times as large; the factor is positive. [1]"""
        return Span(low=self.low * factor, middle=self.middle * factor, high=self.high * factor)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcome:
    """Ranges of one set of measures, or of one measure as it is added to a set.

    ``saving`` [dollars/year], ``cost`` [dollars], ``payback`` [year]; ``pays_back`` is the share of the
    draws in which the yearly saving is at least what wears out in a year, that is, the cost shared over
    the life of each measure. [1] ``savings`` are the draws themselves, shape (draws,) [dollars/year].
    """

    saving: Span
    cost: Span
    payback: Span
    pays_back: float
    savings: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Setting:
    """What the ranges are worked out for: a house with its weather, measures, uses and prices.

    ``house`` has the additions of its ``offers``, at rest; ``uses`` are pairs of fuel and end use.
    ``charged`` gives what their energy (..., uses) [Btu/year] costs by fuel, and what is fixed of the bills,
    each of shape (..., fuels) [dollars/year]. ``left_to_pay`` takes rebates off the prices of a set of
    measures, shape (..., offers) [dollars]. ``needless`` gives what the prices of a set need not be paid beside,
    at first [dollars] and as it wears out [dollars/year], each of shape (...).
    """

    house: House
    climate: MonthlyClimate
    offers: tuple[Offer, ...]
    uses: tuple[tuple[str, str], ...]
    fuels: tuple[str, ...]
    charged: Callable[[FloatArray, YearEnergy], tuple[FloatArray, FloatArray]]
    left_to_pay: Callable[[FloatArray], FloatArray] = np.asarray
    needless: Callable[[FloatArray], tuple[FloatArray, FloatArray]] | None = None


def plan_outcome(setting: Setting, mask: BoolArray, draws: Draws) -> Outcome:
    """Ranges of one set of measures against doing nothing.

    Parameters
    ----------
    setting : Setting
        House, weather, measures and prices.
    mask : ndarray of bool, shape (offers,)
        The set.
    draws : Draws
        From `retrofit_lab.uncertainty.sampling.draw` for the same house and offers.
    """
    costs = _left_to_pay(setting, mask, draws)
    moving, fixed = bill_parts(setting, np.array([np.zeros_like(mask), mask]), draws)
    saved = come_about(moving[0] - moving[1], saved_alone(setting, mask, draws), draws.realized)
    return _outcome(setting, costs, saved + (fixed[0] - fixed[1]))


def measure_outcomes(
    setting: Setting, mask: BoolArray, draws: Draws, count: int = MEASURE_DRAWS
) -> Mapping[str, Outcome]:
    """Ranges of every measure added to the ticked ones or, when it is ticked, of what it adds to the rest.

    Parameters
    ----------
    setting, mask, draws
        As for `plan_outcome`.
    count : int
        How many of the draws to use, the first ones. Costs are those of a measure bought by itself.
    """
    few = draws.part(0, count)
    one = np.eye(len(mask), dtype=np.bool_)
    sign = np.where(mask, -1.0, 1.0)[:, None]
    moving, fixed = (
        sign * (part[0] - part[1:])
        for part in bill_parts(setting, np.array([mask, *(mask ^ one)]), few)
    )
    added = moving - np.maximum(moving, 0.0) * (1.0 - few.realized.T) + fixed
    return {
        offer.key: _outcome(setting, _left_to_pay(setting, alone, few), saved)
        for offer, alone, saved in zip(setting.offers, one, added, strict=True)
    }


def saved_alone(setting: Setting, mask: BoolArray, draws: Draws) -> FloatArray:
    """What each measure of a set saves by itself in the house as described, zero for the others.

    Fixed charges are left out. shape (offers,) [dollars/year]
    """
    places = np.flatnonzero(mask)
    alone = np.zeros((len(places) + 1, len(mask)), dtype=np.bool_)
    alone[np.arange(len(places)) + 1, places] = True
    ones = {fuel: np.ones(1) for fuel in draws.price_factors}
    described = replace(draws.part(0, 1), numbers={}, price_factors=ones)
    moving, _ = bill_parts(setting, alone, described)
    saved = np.zeros(len(mask))
    saved[places] = (moving[0] - moving[1:])[:, 0]
    return saved


def drawn_bills(setting: Setting, masks: BoolArray, draws: Draws) -> FloatArray:
    """Yearly energy bill of many sets over all draws; see `bill_parts`."""
    moving, fixed = bill_parts(setting, masks, draws)
    return moving + fixed


def bill_parts(setting: Setting, masks: BoolArray, draws: Draws) -> tuple[FloatArray, FloatArray]:
    """What moves and what is fixed of the yearly bills of many sets over all draws; prices move no fixed charge.

    Parameters
    ----------
    setting : Setting
        House, weather, measures and prices.
    masks : ndarray of bool, shape (plans, offers)
        Sets.
    draws : Draws
        Their numbers and prices are used.

    Returns
    -------
    tuple of two ndarrays, each of shape (plans, draws)
        [dollars/year]
    """
    size = max(1, ROWS // len(masks))
    starts = range(0, draws.count, size)
    done = [_bills(setting, masks, draws.part(start, start + size)) for start in starts]
    moving, fixed = (np.concatenate(part, axis=1) for part in zip(*done, strict=True))
    return moving, fixed


def _bills(setting: Setting, masks: BoolArray, draws: Draws) -> tuple[FloatArray, FloatArray]:
    """Sets on the first axis, draws on the second: what no set changes is worked out once for all of them."""
    chosen = [_choice(column) for column in masks.T]
    house = with_offers(setting.house, setting.offers, chosen, draws.numbers)
    year = year_energy(house, setting.climate)
    rows = (len(masks), draws.count)
    energy = np.stack([np.broadcast_to(year.annual(*use), rows) for use in setting.uses], axis=-1)
    moving, fixed = setting.charged(energy, year)
    bills = np.zeros(rows)
    for place, fuel in enumerate(setting.fuels):
        bills = bills + moving[..., place] * draws.price_factors[fuel]
    return bills, over_last(fixed)


def _choice(column: BoolArray) -> BoolArray | bool:
    """A plain yes or no where all sets agree: the model is quicker with plain numbers."""
    if column.all():
        return True
    return column[:, None, None] if column.any() else False


def _left_to_pay(setting: Setting, mask: BoolArray, draws: Draws) -> FloatArray:
    """Cost of each measure of a set in every draw, after rebates. shape (draws, offers) [dollars]"""
    return setting.left_to_pay(np.where(mask, draws.costs, 0.0))


def _outcome(setting: Setting, costs: FloatArray, savings: FloatArray) -> Outcome:
    lives = np.array([offer.measure.life.years for offer in setting.offers])
    cost, worn = costs.sum(axis=1), (costs / lives).sum(axis=1)
    extra = cost
    if setting.needless:
        price, wear = setting.needless(costs)
        extra, worn = np.maximum(cost - price, 0.0), worn - wear
    saves = savings > 0
    payback = np.where(saves, extra / np.where(saves, savings, 1.0), np.inf)
    payback = np.where((extra == 0) & (savings >= 0), 0.0, payback)
    return Outcome(
        saving=span(savings),
        cost=span(cost),
        payback=span(payback),
        pays_back=float(np.mean(savings >= worn)),
        savings=savings,
    )


def span(values: FloatArray) -> Span:
    """The 80 % range and the middle of some draws, by draws that occurred, so that infinity may be one."""
    low, middle, high = np.quantile(values, [0.1, 0.5, 0.9], method="inverted_cdf")
    return Span(low=float(low), middle=float(middle), high=float(high))
