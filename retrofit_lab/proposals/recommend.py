"""Puts chosen measures in working order with what each saves there, and says why others are left; no words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np

from retrofit_lab.base.sums import over_last
from retrofit_lab.base.values import BoolArray, FloatArray
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.money.worth import calculable, savings_to_investment_ratio, simple_payback
from retrofit_lab.proposals.step_ranges import stretched
from retrofit_lab.safety.hazards import Hazard
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import MeasureResult, PlanResult, Range
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import working_order
from retrofit_lab.uncertainty.outcomes import Span, bill_parts
from retrofit_lab.uncertainty.sampling import Draws

DRAWS = 512
"""Draws behind the ranges of single steps: their ends are read to two digits."""
WEEKEND_MOST = 250.0
"""Most that a job for a weekend may cost. [dollars] (judgment)"""
AFTER, BEFORE, FREE, WORTH, LOSES = "after", "before", "free", "worth", "loses"
HELD, NEEDED = "held", "needed"
EXCLUDED, NEEDS, COSTS_MORE, TOO_DEAR, OPEN = "excluded", "needs", "costs_more", "too_dear", "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One chosen measure at its place in the order.

    ``cost`` is what it adds to the steps before it, after rebates [dollars]; ``saving`` is what it adds
    to them as worked out [dollars/year], ``span`` what comes of it in real houses, the middle and the 80 %
    range; ``payback`` [year] follows from the middle, ``sir`` and ``net_savings`` [dollars] from ``saving``;
    ``chance`` is the share of draws in which it earns back what wears out.
    ``reason`` is why it stands here, with the measures in ``named``. ``held_by`` are the hazards to
    settle before it starts; ``waits`` is also true where it comes after a measure that is held.
    """

    offer: Offer
    cost: Range
    saving: float
    span: Span
    payback: float
    sir: float | None
    net_savings: float
    chance: float
    reason: str
    named: tuple[str, ...] = ()
    held_by: tuple[Hazard, ...] = ()
    waits: bool = False

    @property
    def key(self) -> str:
        """Key of the measure."""
        return self.offer.key


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The steps in their order, and what they save together in real houses, with its 80 % range. [dollars/year]"""

    steps: tuple[Step, ...]
    saving: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Considered:
    """One measure that was looked at and is not recommended: its result added to the others, and why not."""

    offer: Offer
    result: MeasureResult
    reason: str
    named: tuple[str, ...] = ()


def order_of(advice: Advice, chosen: Sequence[str], saving: Span | None = None) -> Order:
    """Chosen measures in order with the saving of each where it stands, and its range.

    Parameters
    ----------
    advice : Advice
        The study, with the draws and the range of the plan that every other answer has too.
    chosen : sequence of str
        Keys of the plan.
    saving : Span, optional
        What the plan saves, where it is known already. [dollars/year]
    """
    study = advice.study
    keys = working_order(study, chosen)
    masks = np.array([study.mask(keys[:count]) for count in range(len(keys) + 1)])
    charges = study.energy(masks).charges
    saved = charges[:-1] - charges[1:]
    draws = advice.draws.part(0, DRAWS)
    drawn = _drawn(advice, masks, keys, draws)
    savings, worths = over_last(saved).tolist(), study.money.present_worth(saved).tolist()
    whole = saving or advice.outcome(keys).saving
    spans = stretched(drawn, whole.middle)
    steps = tuple(
        _step(
            study,
            keys,
            place,
            saving=savings[place],
            worth=worths[place],
            drawn=drawn[place],
            comes=spans[place],
            costs=draws.costs[:, study.keys.index(key)],
        )
        for place, key in enumerate(keys)
    )
    return Order(steps=steps, saving=whole)


def _drawn(advice: Advice, masks: BoolArray, keys: Sequence[str], draws: Draws) -> FloatArray:
    """What each step saves in real houses. shape (steps, draws) [dollars/year]"""
    moving, fixed = bill_parts(advice.setting, masks, draws)
    steps, ended = -np.diff(moving, axis=0), -np.diff(fixed, axis=0)
    shares = draws.realized[:, [advice.study.keys.index(key) for key in keys]].T
    return steps - np.maximum(steps, 0.0) * (1.0 - shares) + ended


def paid_back(result: PlanResult, saving: Span) -> float:
    """Years until what comes about in real houses has paid what the chosen measures cost extra."""
    paid = result.payback * result.saved if isfinite(result.payback) else result.cost.likely
    return float(simple_payback(paid, saving.middle))


def _step(
    study: Study,
    keys: Sequence[str],
    place: int,
    *,
    saving: float,
    worth: float,
    drawn: FloatArray,
    comes: Span,
    costs: FloatArray,
) -> Step:
    key = keys[place]
    offer = study.offer(key)
    bought = study.mask(keys[: place + 1])
    at, purchases = study.keys.index(key), study.money.purchases
    low, likely, high = purchases.first_cost_added(study.money.costs, bought)[:, at].tolist()
    present = float(purchases.present_cost_added(study.money.costs[1], bought)[at])
    extra = max(0.0, likely - float(purchases.avoided_added(study.money.costs[1], bought)[at]))
    reason, named = _reason(study, keys, key, cost=likely, net_savings=worth - present)
    return Step(
        offer=offer,
        cost=Range(low=low, likely=likely, high=high),
        saving=saving,
        span=comes,
        payback=float(simple_payback(extra, comes.middle)),
        sir=calculable(float(savings_to_investment_ratio(worth, present))),
        net_savings=worth - present,
        chance=float(np.mean(drawn >= costs / offer.measure.life.years)),
        reason=reason,
        named=named,
        held_by=study.case.holds[key],
        waits=key in study.case.waiting(keys),
    )


def _reason(
    study: Study, keys: Sequence[str], key: str, *, cost: float, net_savings: float
) -> tuple[str, tuple[str, ...]]:
    if study.case.holds[key]:
        return HELD, ()
    earlier = tuple(other for other in keys if other in study.case.earlier(key))
    if earlier:
        return AFTER, earlier
    later = tuple(other for other in keys if key in study.case.earlier(other))
    if later:
        return BEFORE, later
    if cost <= 0:
        return FREE, ()
    if study.offer(key).measure.needed:
        return NEEDED, ()
    return (WORTH if net_savings >= 0 else LOSES), ()


def not_recommended(study: Study, result: PlanResult) -> tuple[Considered, ...]:
    """Every measure that applies to the house and was not chosen, the nearest to worth its cost first."""
    others = [row for row in result.measures.values() if not row.ticked]
    others.sort(key=lambda row: -row.net_savings)
    return tuple(_considered(study, result, row) for row in others)


def _considered(study: Study, result: PlanResult, row: MeasureResult) -> Considered:
    reason, named = _why_not(study, result, row)
    return Considered(offer=study.offer(row.key), result=row, reason=reason, named=named)


def _why_not(study: Study, result: PlanResult, row: MeasureResult) -> tuple[str, tuple[str, ...]]:
    missing = tuple(
        key
        for key in study.offer(row.key).measure.needs
        if key in study.keys and key not in result.ticked
    )
    if row.blocked_by:
        return EXCLUDED, row.blocked_by
    if missing:
        return NEEDS, missing
    if row.held_by:
        return HELD, ()
    if study.offer(row.key).measure.needed:
        return NEEDED, ()
    if row.now < 0:
        return COSTS_MORE, ()
    return (TOO_DEAR if row.net_savings < 0 else OPEN), ()


def for_the_weekend(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Chosen measures that the owner can carry out alone for little money, in order; none that waits for a hazard."""
    return tuple(
        step
        for step in steps
        if step.offer.measure.doer == "owner"
        and step.cost.likely <= WEEKEND_MOST
        and not step.waits
    )
