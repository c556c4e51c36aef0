"""What a page without a model can tell of every plan: some measures in all their plans, and a guess for all others.

The guess is a formula fitted to many plans of the house: products of two measures (`retrofit_lab.savings.estimating`),
and for what is left sums of measures in a curve (`retrofit_lab.savings.bending`). Where a plan holds
measures that were worked out in every combination, it only says what the others add to these.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

import numpy as np

from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import BoolArray, FloatArray, Value
from retrofit_lab.house.parts import LOSING
from retrofit_lab.measures.fitted_measures import with_offers
from retrofit_lab.model.losses import season_losses
from retrofit_lab.model.year import year_energy
from retrofit_lab.proposals.all_plans import AllSets
from retrofit_lab.proposals.dollars_by_part import OTHERS, ROOMS
from retrofit_lab.savings.bending import ROUNDS, Bends, bends_from
from retrofit_lab.savings.estimating import Estimate, estimate_from
from retrofit_lab.savings.plan_energies import CHUNK, choices
from retrofit_lab.study.study import Study

SAMPLE = 16_000
"""Plans that the guess is fitted to."""
SEED = 20_260_309
TRIED = 500
"""Other plans on which the guess is tried."""
BILL = ("rooms", *OTHERS, "fixed")
"""Parts of the bill that are guessed one by one: what they hang on differs."""
USES = {"rooms": ROOMS, **OTHERS}
HEAT = 0.02
"""Weight of the heat by its way out, in dollars for a part in a hundred: it is only drawn."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanEstimate:
    """The guess for one house: bill by part [dollars/year], outdoor air [cfm], heat by its way out. [of 100]

    ``estimate`` and ``bends`` together give square roots of the numbers times ``scales``, shape (numbers,); their
    names are `BILL`, ``"air"`` and the parts of `LOSING`.
    """

    estimate: Estimate
    bends: Bends
    scales: FloatArray

    def of(self, masks: BoolArray) -> FloatArray:
        """Numbers of many plans. (plans, measures) -> (plans, numbers)"""
        roots = self.estimate.of(masks) + self.bends.of(masks)
        return np.square(np.maximum(roots, 0.0) / self.scales)

    def bills(self, masks: BoolArray) -> FloatArray:
        """Yearly bills of many plans. [dollars/year] (plans, measures) -> (plans,)"""
        return np.asarray(over_last(self.of(masks)[:, : len(BILL)]))


def plan_estimate(
    study: Study, sample: int = SAMPLE, rounds: Sequence[tuple[int, int]] = ROUNDS
) -> PlanEstimate:
    """The guess for a house from a sample of its plans.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    sample : int
        Plans that it is fitted to.
    rounds : sequence of (int, int)
        How it is fitted; see `retrofit_lab.savings.bending.bends_from`.
    """
    masks = random_plans(study, sample, SEED)
    numbers = np.sqrt(np.maximum(_numbers(study, masks), 0.0))
    scales = 2.0 * np.maximum(np.quantile(numbers, 0.9, axis=0), 0.5)
    scales[len(BILL) :] *= HEAT
    estimate = estimate_from(masks, numbers * scales, len(BILL))
    bends = bends_from(masks, numbers * scales - estimate.of(masks), rounds=rounds)
    return PlanEstimate(estimate=estimate, bends=bends, scales=scales)


def random_plans(study: Study, count: int, seed: int) -> BoolArray:
    """Plans of every size that keep the rules between measures, one as likely as another of its size."""
    rng = np.random.default_rng(seed)
    keys, places = study.keys, range(len(study.keys))
    rivals = [_bits(keys, study.case.rivals[key]) for key in keys]
    wanted = [(key, *study.offer(key).measure.needs) for key in keys]
    brought = [_bits(keys, some) for some in wanted]
    kept_out = [
        reduce(or_, (rivals[keys.index(key)] for key in some if key in keys)) for some in wanted
    ]
    masks = np.zeros((count, len(keys)), dtype=np.bool_)
    for row in masks:
        chosen = 0  # bits, as this runs through hundreds of thousands of measures
        for place in rng.permutation(len(keys))[: rng.integers(1, len(keys) + 1)].tolist():
            if not chosen & kept_out[place]:
                chosen |= brought[place]
        row[[place for place in places if chosen >> place & 1]] = True
    return masks


def _bits(keys: Sequence[str], some: Iterable[str]) -> int:
    """A bit for each of some measures, by their places; those that the house has not are left out."""
    return sum(1 << keys.index(key) for key in set(some) if key in keys)


def estimated_bills(
    study: Study, sets: AllSets, guess: PlanEstimate, masks: BoolArray
) -> FloatArray:
    """Bills of plans as a page without a model tells them. [dollars/year]

    Exact for what ``sets`` holds; what other measures add to it is guessed.
    """
    ours = np.isin(np.array(study.keys), sets.keys)
    places = [study.keys.index(key) for key in sets.keys]
    numbers = masks[:, places] @ (1 << np.arange(len(places)))
    return sets.energy.cost[numbers] + guess.bills(masks) - guess.bills(masks & ours)


def usual_miss(study: Study, sets: AllSets, guess: PlanEstimate) -> float:
    """What 99 of 100 plans are off by at most, of plans that the guess was not fitted to. [dollars/year]"""
    masks = random_plans(study, TRIED, SEED + 1)
    off = np.abs(estimated_bills(study, sets, guess, masks) - study.energy(masks).cost)
    return float(np.quantile(off, 0.99))


def _numbers(study: Study, masks: BoolArray) -> FloatArray:
    """What the guess is about, of many plans. (plans, numbers)"""
    found = study.energy(masks)
    by_use = study.money.cost_of_uses(found)
    names = [use for _, use in study.uses]
    bill = [over_last(by_use[:, [name in uses for name in names]]) for uses in USES.values()]
    fixed = over_last(study.money.charges.fixed_due(found.energy))
    leaving = _leaving(study, masks)
    return np.column_stack([*bill, fixed, found.ventilation, leaving])


def _leaving(study: Study, masks: BoolArray) -> FloatArray:
    """Heat that leaves by part, of all that leaves now. (plans, parts) [of 100]"""
    whole = study.energies.season_losses(()).total
    parts = [masks[start : start + CHUNK] for start in range(0, len(masks), CHUNK)]
    return np.concatenate([_leaving_of(study, part, whole) for part in parts])


def _leaving_of(study: Study, masks: BoolArray, whole: Value) -> FloatArray:
    case = study.case
    year = year_energy(with_offers(case.house, case.offers, choices(masks)), case.climate)
    shares = season_losses(year).of_hundred(whole)
    return np.stack([np.broadcast_to(shares[part], (len(masks),)) for part in LOSING], axis=1)
