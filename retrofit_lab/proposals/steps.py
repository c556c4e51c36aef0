"""What is proposed for a house: its steps by phases, what to look at first, what was left; keys and values, no words.

Page, report, lessons and commands show these records; the sentences stand by key in ``texts/LANGUAGE/steps.toml``.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.house.description import House, Recommendation
from retrofit_lab.house.limits import Beyond, beyond_limits, recorded_words
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.measures import catalog
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.money.worth import calculable, savings_to_investment_ratio, simple_payback
from retrofit_lab.proposals.end_of_life import (
    beside_new_equipment,
    replacing_due,
    with_due_equipment,
)
from retrofit_lab.proposals.known import (
    FINDING,
    READING,
    SAID,
    Evidence,
    evidence_for,
    has_evidence,
    is_lacking,
    recorded,
)
from retrofit_lab.proposals.look_first import LookFirst, look_first
from retrofit_lab.proposals.recommend import not_recommended
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.proposals.step_ranges import step_ranges
from retrofit_lab.safety.cautions import TIERS, Caution, cautions, cautions_for
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult, Range
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import phases_of, working_order
from retrofit_lab.uncertainty.outcomes import Span

SETTLE = "settle"
PHASES = (SETTLE, *catalog.PHASES)
MEASURE, NEEDED, OWN = "measure", "needed", "own"
KINDS = (SETTLE, NEEDED, MEASURE, OWN)
LOOK_FIRST = "look_first"
"""Why a measure was not chosen: nothing is known of the house that speaks for it."""
FACT = "fact"
"""Kind of evidence of a hazard that the description of the house tells, not a recorded word."""
OWNER, LICENSED = "owner", "licensed trade"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do at its place in the order.

    ``key`` is that of the measure, of the hazard (kind `SETTLE`) or, behind ``own:``, of a recommendation;
    ``kind`` one of `KINDS`: what is `NEEDED` is there for health or for the house to last and is never judged
    by payback. ``where`` are labels of the parts of the house. ``trade`` is a word of ``data/vocabularies.toml`` or
    who settles the hazard. ``after`` are keys of steps that come before it. ``cost`` is its part of what the
    plan costs, after rebates, a visit paid once shared among what is done in it; None where no one knows
    before someone looked. [dollars] ``visit`` is the crew, where it does more than this step. ``saving`` is
    the fair share of the plan's saving as worked out [dollars/year], ``span`` what comes of it in real houses;
    None where it was not asked for. ``payback`` is from the middle of the span where there is one. [year]
    ``in_plan`` is false for what is needed and was not chosen: its saving and cost are beside the plan's.
    ``by_difference`` says that ``sir``, ``payback`` and ``net_savings`` are those beside new equipment of the same
    kind, since what it replaces is past its usual life.
    ``waits`` is also true where it comes after what is held. ``needed`` says that payback does not judge it;
    ``title`` is what the rater calls it, empty where the data has a name.
    """

    key: str
    kind: str
    phase: str
    where: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    doer: str
    trade: str
    after: tuple[str, ...] = ()
    cost: Range | None
    visit: str = ""
    saving: float = 0.0
    span: Span | None = None
    life: float = 0.0
    sir: float | None = None
    payback: float = float("inf")
    net_savings: float = 0.0
    held_by: tuple[Hazard, ...] = ()
    waits: bool = False
    in_plan: bool = True
    needed: bool = False
    by_difference: bool = False
    title: str = ""
    cautions: Mapping[str, tuple[Caution, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What is proposed for one house.

    ``result`` is the plan of the chosen measures, ``ticked`` their keys in the order of work. ``not_chosen``
    gives why each other measure is left out. ``cost`` holds all steps whose cost is known; ``saving`` and
    ``span`` are those of the plan. ``exact`` says whether a best plan is the best of all; otherwise it is the
    best that a search found.
    """

    result: PlanResult
    steps: tuple[Step, ...]
    look_first: tuple[LookFirst, ...]
    not_chosen: Mapping[str, str]
    saving: float
    cost: Range
    span: Span | None
    exact: bool = True

    @property
    def ticked(self) -> tuple[str, ...]:
        """Chosen measures in the order of work."""
        chosen = set(self.result.ticked)
        return tuple(step.key for step in self.steps if step.in_plan and step.key in chosen)

    @property
    def beside(self) -> tuple[Step, ...]:
        """Work beside the chosen measures: what the house needs and no one chose, and what the rater recommends."""
        return tuple(s for s in self.steps if s.kind == OWN or (s.kind != SETTLE and not s.in_plan))

    @property
    def held(self) -> tuple[str, ...]:
        """Steps that cannot be started before a hazard is settled."""
        return tuple(step.key for step in self.steps if step.waits)

    @property
    def startable(self) -> tuple[Range, float]:
        """Cost of chosen measures that wait for nothing [dollars], and their shares of the saving. [dollars/year]"""
        chosen = set(self.result.ticked)
        ready = [step for step in self.steps if step.key in chosen and not step.waits]
        return _total(step.cost for step in ready), sum(step.saving for step in ready)


def proposal(advice: Advice, ticked: Sequence[str], *, sure: bool = True) -> Proposal:
    """What is proposed for a house when some measures are chosen.

    Parameters
    ----------
    advice : Advice
        House, weather, prices, measures, and their draws.
    ticked : sequence of str
        Chosen measures, whether or not anything is known that speaks for them.
    sure : bool
        Whether ranges are worked out; without them it takes as long as the plan.

    Raises
    ------
    MeasureError
        When two of the measures cannot go together.
    InputError
        When one of them is unknown.
    """
    study = advice.study
    plan = _Plan(advice, study.plan(ticked), sure)
    steps = plan.steps()
    guesses = [key for key in study.keys if key not in plan.evidenced]
    return Proposal(
        result=plan.result,
        steps=steps,
        look_first=look_first(advice, plan.house, guesses, plan.result.ticked, sure=sure),
        not_chosen=_not_chosen(plan, {step.key for step in steps}),
        saving=plan.result.saved,
        cost=_total(step.cost for step in steps),
        span=advice.outcome(plan.result.ticked).saving if sure and plan.result.ticked else None,
    )


def rater_plan(
    advice: Advice,
    limits: Limits | None = None,
    aim: str = "net_savings",
    *,
    sure: bool = True,
) -> Proposal:
    """The best plan of measures that something speaks for, with what the house needs.

    What a hazard holds is chosen as if it were released, and waits; `Proposal.startable` is what need not.
    While a hazard stops all work nothing is chosen. What is needed is paid first and is not judged; what is
    left of a budget goes to the best of the others. Nothing is laid over a leak whose sealing has evidence,
    unless the sealing is done too. Equipment past its usual life comes last: what takes its place is judged by
    the difference in price and in use, see `with_due_equipment`.

    Raises
    ------
    ChoiceError
        When no plan keeps the limits.
    """
    study, limits = advice.study, limits or Limits()
    house = stated_house(study)
    free = [key for key in study.keys if not _stopped(study, key)]
    ready = [key for key in free if has_evidence(house, study.offer(key).measure)]
    needed = [key for key in ready if is_lacking(house, study.offer(key).measure)]
    most = max(0.0, limits.most_cost - _first_cost(study, needed))
    others = tuple(key for key in ready if key not in needed)
    chooser = advice.chooser_among(others, sealed_first=True)
    best = chooser.best(replace(limits, budget=most), aim).masks[0]
    chosen = [key for key, on in zip(chooser.keys, best, strict=True) if on]
    wanted = [key for key in needed if not study.case.rivals[key] & set(chosen)]
    keys = with_due_equipment(study, [*chosen, *wanted], ready, limits)
    found = replace(proposal(advice, keys, sure=sure), exact=chooser.exact)
    return judged_by_difference(study, found)


def judged_by_difference(study: Study, found: Proposal) -> Proposal:
    """The same plan; what replaces equipment past its usual life has the worth of the difference.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    found : Proposal
        Its steps have ``by_difference`` set where they are judged so.
    """
    beside = set(replacing_due(study)) & set(found.result.ticked)
    if not beside:
        return found
    judged = proposal(Advice(beside_new_equipment(study)), found.result.ticked, sure=False)
    worth = {step.key: step for step in judged.steps if step.key in beside}
    steps = (
        replace(
            step,
            sir=worth[step.key].sir,
            payback=worth[step.key].payback,
            net_savings=worth[step.key].net_savings,
            by_difference=True,
        )
        if step.key in worth
        else step
        for step in found.steps
    )
    return replace(found, steps=tuple(steps))


def settles_hazard(study: Study, key: str) -> bool:
    """Whether a measure is needed for nothing but what tells a hazard, so that it settles it."""
    measure = study.offer(key).measure
    words = set(recorded(stated_house(study), measure))
    told = [set(hazard.tells) for hazard in study.case.hazards]
    return bool(measure.needed and words and words == set(measure.rests_on) and words in told)


def _stopped(study: Study, key: str) -> bool:
    """Whether a hazard that stops all work holds a measure; what only waits is none of these."""
    return any(hazard.does == STOPS for hazard in study.case.holds[key])


def _first_cost(study: Study, keys: Sequence[str]) -> float:
    return float(study.money.purchases.first_cost(study.money.prices_of(study.mask(keys))))


def _total(costs: Iterable[Range | None]) -> Range:
    known = [cost for cost in costs if cost is not None]
    return Range(
        low=sum(cost.low for cost in known),
        likely=sum(cost.likely for cost in known),
        high=sum(cost.high for cost in known),
    )


@dataclass(frozen=True)
class _Plan:
    """A chosen plan, and what its steps are made of."""

    advice: Advice
    result: PlanResult
    sure: bool

    @cached_property
    def study(self) -> Study:
        return self.advice.study

    @cached_property
    def house(self) -> House:
        return stated_house(self.study)

    @cached_property
    def evidenced(self) -> frozenset[str]:
        """Measures that something speaks for."""
        offers = self.study.offers
        return frozenset(o.key for o in offers if has_evidence(self.house, o.measure))

    @cached_property
    def apart(self) -> tuple[str, ...]:
        """Measures that the house needs and that were not chosen."""
        chosen = set(self.result.ticked)
        fan = self.result.fresh_air
        wanted = {o.key for o in self.study.offers if is_lacking(self.house, o.measure)}
        wanted |= {fan.measure} if fan else set()
        return tuple(
            key
            for key in self.study.keys
            if key in wanted - chosen and not self.study.case.rivals[key] & chosen
        )

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Measures that are steps, in the order of work."""
        return working_order(self.study, (*self.result.ticked, *self.apart))

    @cached_property
    def phases(self) -> Mapping[str, str]:
        return phases_of(self.study, self.keys)

    @cached_property
    def waiting(self) -> frozenset[str]:
        return self.study.case.waiting(self.keys)

    @cached_property
    def ranges(self) -> Mapping[str, Span]:
        if not self.sure or not self.result.ticked:
            return {}
        shares = {key: self.result.measures[key].share for key in self.result.ticked}
        order = [key for key in self.keys if key in shares]
        middle = self.advice.outcome(self.result.ticked).saving.middle
        return step_ranges(self.advice, order, shares, middle)

    @cached_property
    def costs(self) -> FloatArray:
        """Low, likely and high part of each measure in the cost of the plan. shape (3, measures) [dollars]"""
        mask = self.study.mask(self.result.ticked)
        return self.study.money.purchases.left_to_pay(np.where(mask, self.study.money.costs, 0.0))

    @cached_property
    def worth_per_dollar(self) -> float:
        """Present worth of a dollar a year of the plan's saving. [dollars]"""
        result, purchases = self.result, self.study.money.purchases
        present = float(purchases.present_cost(self.prices))
        if abs(result.saved) < 1.0:
            return float(self.study.money.present_worth(np.eye(len(self.study.fuels))).mean())
        return (result.net_savings + present) / result.saved

    @cached_property
    def prices(self) -> FloatArray:
        return self.study.money.prices_of(self.study.mask(self.result.ticked))

    def steps(self) -> tuple[Step, ...]:
        """Steps by phases: hazards first, then the measures in the order of work."""
        own = map(_own_step, self.house.recommendations)
        made = [*self._to_settle(), *map(self._step, self.keys), *own]
        return tuple(sorted(made, key=_place))

    def _to_settle(self) -> Iterator[Step]:
        """A step for each hazard that no measure of the plan settles."""
        settling = [
            set(self.study.offer(k).measure.rests_on)
            for k in self.keys
            if settles_hazard(self.study, k)
        ]
        for hazard in self.study.case.hazards:
            if set(hazard.tells) not in settling:
                yield _hazard_step(self.house, hazard)

    def _step(self, key: str) -> Step:
        offer, chosen = self.study.offer(key), key in self.result.ticked
        measure, before = offer.measure, set(self.study.case.earlier(key))
        return Step(
            key=key,
            kind=NEEDED if measure.needed else MEASURE,
            phase=SETTLE if settles_hazard(self.study, key) else self.phases[key],
            where=_where(self.study, offer),
            evidence=evidence_for(self.house, measure),
            doer=measure.doer,
            trade=measure.trade,
            after=tuple(other for other in self.keys if other in before),
            life=measure.life.years,
            held_by=self.study.case.holds[key],
            waits=key in self.waiting,
            in_plan=chosen,
            needed=bool(measure.needed),
            cautions=self._cautions(key),
            **(self._in_plan(key) if chosen else self._beside(key)),
        )

    def _in_plan(self, key: str) -> dict[str, Any]:
        """Money of a chosen measure: its parts of what the plan costs and saves."""
        place, purchases = self.study.keys.index(key), self.study.money.purchases
        low, likely, high = self.costs[:, place].tolist()
        share = self.result.measures[key].share
        present = float(purchases.present_parts(self.prices)[place])
        extra = float(purchases.extra_parts(self.prices)[place])
        worth, comes = share * self.worth_per_dollar, self.ranges.get(key)
        return {
            "cost": Range(low=low, likely=likely, high=high),
            "visit": self._visit(key),
            "saving": share,
            "span": comes,
            "sir": calculable(float(savings_to_investment_ratio(worth, present))),
            "payback": float(simple_payback(extra, comes.middle if comes else share)),
            "net_savings": worth - present,
        }

    def _beside(self, key: str) -> dict[str, Any]:
        """Money of what is needed and was not chosen, on top of the plan."""
        row, fan = self.result.measures[key], self.result.fresh_air
        ours = fan if fan and fan.measure == key else None
        return {
            "cost": ours.cost if ours else row.cost,
            "saving": -ours.yearly if ours else row.now,
            "sir": row.sir,
            "payback": row.payback,
            "net_savings": row.net_savings,
        }

    def _visit(self, key: str) -> str:
        """The crew that does a measure, where it does another one of the plan too."""
        name = self.study.offer(key).measure.cost.visit
        same = [k for k in self.result.ticked if self.study.offer(k).measure.cost.visit == name]
        return name if name and len(same) > 1 else ""

    def _cautions(self, key: str) -> dict[str, tuple[Caution, ...]]:
        measure = self.study.offer(key).measure
        below = self.result.after.outdoor_air < self.result.minimum_air
        raised = [
            item
            for item in cautions_for(self.house, [measure], below_minimum_ventilation=below)
            if item.measures
        ]
        return {tier: tuple(item.caution for item in raised if item.tier == tier) for tier in TIERS}


def _place(step: Step) -> tuple[int, int]:
    """Where a step stands: by phases; hazards, what the rater calls needed, measures, what else the rater says."""
    own = step.kind == OWN
    rank = 0 if step.kind == SETTLE else 1 if own and step.needed else 3 if own else 2
    return PHASES.index(step.phase), rank


def _own_step(own: Recommendation) -> Step:
    return Step(
        key=f"{OWN}:{own.key}",
        kind=OWN,
        phase=own.phase,
        where=(own.where,) if own.where else (),
        evidence=(Evidence(kind=SAID, key=own.key, place=own.where, note=own.why),),
        doer=own.who,
        trade=own.trade,
        cost=Range(
            low=float(own.cost_low), likely=float(own.cost_likely), high=float(own.cost_high)
        ),
        title=own.label,
        needed=own.needed == "yes",
        cautions=dict.fromkeys(TIERS, ()),
    )


def _hazard_step(house: House, hazard: Hazard) -> Step:
    words = [word for word in hazard.tells if word in recorded_words(house)]
    readings = beyond_limits(house)
    seen = (
        *(Evidence(kind=FINDING, key=word) for word in words),
        *(_read_beyond(house, found) for found in readings if found.limit.word in hazard.tells),
    )
    fact = (Evidence(kind=FACT, key=hazard.fact),) if hazard.fact and not seen else ()
    return Step(
        key=hazard.key,
        kind=SETTLE,
        phase=SETTLE,
        evidence=seen or fact,
        doer=OWNER if hazard.settled_by == OWNER else LICENSED,
        trade=hazard.settled_by,
        cost=None,
        needed=True,
        cautions=dict.fromkeys(TIERS, ()) | {TIERS[0]: (cautions()[hazard.caution],)},
    )


def _read_beyond(house: House, found: Beyond) -> Evidence:
    """A reading beyond its limit, as evidence of the hazard that it tells."""
    return Evidence(
        kind=READING,
        key=parameter_at(house, found.path).name,
        path=found.path,
        value=found.value,
        unit=found.limit.unit,
        place=found.label,
    )


def _where(study: Study, offer: Offer) -> tuple[str, ...]:
    """Labels of the parts of a house that a measure changes, each once; not of what measures bring."""
    added = (item for other in study.offers for item in other.measure.adds)
    brought = {f"{item.to}.{item.item['key']}" for item in added}
    owners = dict.fromkeys(change.path.rpartition(".")[0] for change in offer.changes)
    parts = (number_at(study.house, owner) for owner in owners if owner not in brought)
    labels = (getattr(part, "label", "") for part in parts)
    return tuple(dict.fromkeys(label for label in labels if label))


def _not_chosen(plan: _Plan, steps: set[str]) -> dict[str, str]:
    """Why each measure that is no step is left out."""
    reasons = {item.offer.key: item.reason for item in not_recommended(plan.study, plan.result)}
    return {
        key: reason if key in plan.evidenced else LOOK_FIRST
        for key, reason in reasons.items()
        if key not in steps
    }
