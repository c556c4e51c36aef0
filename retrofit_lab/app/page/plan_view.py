"""The plan as steps by phase, what to settle first, who does it, and safety notes by tier; no numbers of its own."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.page.told import Told, shown_lines
from retrofit_lab.app.shared.wording import adding_up, as_rounded, dollars, lowered, rounded
from retrofit_lab.proposals.in_real_houses import Expected
from retrofit_lab.proposals.pace import LOAN, YEARLY, years_at_pace
from retrofit_lab.proposals.steps import OWN, PHASES, SETTLE, Proposal, Step
from retrofit_lab.safety.cautions import cautions
from retrofit_lab.safety.hazards import STOPS, hazards
from retrofit_lab.study.results import PlanResult

LEAST_LOAN = 200.0
"""Cost of a plan below which no one borrows. [dollars] (judgment)"""


@dataclass(frozen=True)
class Shown:
    """What each step says that it costs and saves; both add up to what is said of the plan. [dollars, dollars/year]"""

    costs: Mapping[str, int]
    saves: Mapping[str, int]


def shown_steps(proposed: Proposal, steps: Sequence[Step], expected: Expected) -> Shown:
    """The numbers of the steps of a plan as they are shown."""
    priced = {step.key: step.cost.likely for step in steps if step.cost}
    costs = adding_up(list(priced.values()), rounded(proposed.result.cost.likely))
    return Shown(
        costs=dict(zip(priced, costs, strict=True)),
        saves=shown_lines(expected, proposed.result.ticked),
    )


def plan_content(told: Told, proposed: Proposal, expected: Expected) -> dict[str, Any]:
    """What the plan view shows."""
    result = proposed.result
    if not result.ticked:
        return {
            "ticked": [],
            "lead": told.say("plan.none"),
            "settle": [],
            "phases": [],
            "needed": [],
            "own": [],
            "total": "",
            "pace": "",
            "cautions": [],
        }
    known = hazards()
    ours = [step for step in proposed.steps if step.key not in known and step.kind != OWN]
    steps = [step for step in ours if step.in_plan]
    shown = shown_steps(proposed, steps, expected)
    return {
        "ticked": list(result.ticked),
        "lead": _first(told, steps, proposed, shown),
        "settle": _to_settle(told, proposed),
        "phases": _phases(told, steps, shown),
        "pace": _pace(told, proposed),
        "needed": [_needed(told, step, expected) for step in ours if not step.in_plan],
        "own": [_own(told, step) for step in proposed.steps if step.kind == OWN],
        "total": _total(told, proposed, expected, shown),
        "cautions": cautions_of(told, result),
    }


def _total(told: Told, proposed: Proposal, expected: Expected, shown: Shown) -> str:
    """What the plan costs and saves, and what of it can start now where some of it waits."""
    cost = told.price_range(proposed.result.cost)
    said = told.say("plan.total", cost=cost, saving=dollars(expected.saving))
    chosen = set(proposed.result.ticked)
    waits = [step.key for step in proposed.steps if step.key in chosen and step.waits]
    if not waits:
        return said
    if len(waits) == len(chosen):
        return f"{said} {told.say('plan.none_now')}"
    ready = chosen.difference(waits)
    cost, saving = (
        as_rounded(sum(amounts.get(key, 0) for key in ready))
        for amounts in (shown.costs, shown.saves)
    )
    now = told.say("plan.now", cost=cost, saving=saving)
    return f"{said} {now}"


def _first(told: Told, steps: Sequence[Step], proposed: Proposal, shown: Shown) -> str:
    """What to do first, in a sentence."""
    ready = [step for step in steps if not step.waits]
    if any(hazard.does == STOPS for hazard in proposed.result.hazards) or not ready:
        title = told.hazard(proposed.result.hazards[0])["title"] if proposed.result.hazards else ""
        return (
            told.say("plan.first_settle", title=lowered(title)) if title else told.say("plan.steps")
        )
    first = ready[0]
    saves = shown.saves[first.key]
    return told.say(
        "plan.first_step" if saves > -0.5 else "plan.first_step_more",
        title=told.name(first.key),
        saving=as_rounded(abs(saves)),
        cost=_price(told, first, shown),
    )


def _price(told: Told, step: Step, shown: Shown) -> str:
    known = step.key in shown.costs
    return told.amount(shown.costs[step.key], as_rounded) if known else told.say("form.none")


def _own(told: Told, step: Step) -> str:
    """What the rater recommends in own words."""
    cost = told.price_range(step.cost) if step.cost else told.say("form.none")
    return told.say("plan.own_one", title=step.title, cost=cost, who=told.say(f"doer.{step.doer}"))


def _needed(told: Told, step: Step, expected: Expected) -> str:
    """What the house needs for health or to last, beside the plan."""
    saves = expected.last[step.key]
    return told.say(
        "plan.needed_one" if saves > -0.5 else "plan.needed_more",
        title=told.titles[step.key],
        saving=dollars(abs(saves)),
        cost=told.price_range(step.cost) if step.cost else told.say("form.none"),
    )


def _to_settle(told: Told, proposed: Proposal) -> list[dict[str, str]]:
    known = hazards()
    found = [
        known[step.key] for step in proposed.steps if step.phase == SETTLE and step.key in known
    ]
    return [
        {"title": told.hazard(hazard)["title"], "text": told.released(hazard)} for hazard in found
    ]


def _phases(told: Told, steps: Sequence[Step], shown: Shown) -> list[dict[str, Any]]:
    places = {step.key: place for place, step in enumerate(steps, 1)}
    years = years_of(steps)
    found = {phase: [step for step in steps if step.phase == phase] for phase in PHASES}
    return [
        {
            "title": told.say(f"phase.{phase}"),
            "rows": [
                _step(told, step, places, shown) | {"year": years[step.key]} for step in inside
            ],
        }
        for phase, inside in found.items()
        if inside
    ]


def years_of(steps: Sequence[Step]) -> dict[str, str]:
    """Year of each step at an even pace; none for what waits until something is settled."""
    ready = [step for step in steps if not step.waits]
    costs = [step.cost.likely if step.cost else 0.0 for step in ready]
    years = zip((step.key for step in ready), map(str, years_at_pace(costs)), strict=True)
    return {step.key: "" for step in steps} | dict(years)


def _pace(told: Told, proposed: Proposal) -> str:
    """At what pace the years stand, and what a loan for all of it would take each month."""
    said = told.say("plan.pace", yearly=dollars(YEARLY))
    cost = proposed.result.cost.likely
    if cost < LEAST_LOAN:
        return said
    payment = dollars(LOAN.payment(cost))
    loan = told.say("plan.loan", payment=payment, rate=f"{LOAN.percent:g}", years=f"{LOAN.years:g}")
    return f"{said} {loan}"


def _step(told: Told, step: Step, places: Mapping[str, int], shown: Shown) -> dict[str, Any]:
    before = [lowered(told.hazard(hazard)["title"]) for hazard in step.held_by]
    notes = [told.words.names.caution(c)[0] for group in step.cautions.values() for c in group]
    said = [told.say("plan.waits", titles="; ".join(before))] if before else []
    if step.after:
        numbers = ", ".join(map(str, sorted(places[key] for key in step.after)))
        one = len(step.after) == 1
        said.append(told.say("plan.after_step" if one else "plan.after_steps", places=numbers))
    return {
        "key": step.key,
        "place": places[step.key],
        "title": told.titles[step.key],
        "who": told.say(f"doer.{step.doer}"),
        "cost": _price(told, step, shown),
        "saves": told.yearly(shown.saves[step.key], as_rounded),
        "before": said,
        "notes": notes,
        "waits": step.waits,
    }


def cautions_of(told: Told, result: PlanResult) -> list[dict[str, str]]:
    """Safety notes of a plan, the gravest tier first."""
    air = cautions()["minimum_ventilation"].key
    return [
        {
            "tier": told.say(f"tier.{item.tier}"),
            **told.caution(item.caution),
            "belongs": told.say("row.caution_because", names=told.names(item.measures))
            if item.measures
            else told.say("row.caution_house"),
            "air": _air(told, result) if item.caution.key == air else "",
        }
        for item in result.cautions
    ]


def _air(told: Told, result: PlanResult) -> str:
    """How the outdoor air compares with the published minimum, and what fan could bring the rest."""
    flow = told.words.flow
    said = told.say(
        "plan.air", air=flow(result.after.outdoor_air), minimum=flow(result.minimum_air)
    )
    fan = result.fresh_air
    if fan is None:
        return said
    title = told.name(fan.measure)
    more = told.say(
        "plan.fan", flow=flow(fan.flow), title=title, why=told.words.names.word(fan.why),
        cost=told.price_range(fan.cost), yearly=dollars(fan.yearly),
    )  # fmt: skip
    return f"{said} {more}"
