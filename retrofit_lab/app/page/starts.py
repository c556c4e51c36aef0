"""Plans to start from, and the most that money saves for every budget, told for the page; the plans come from below."""

from collections.abc import Sequence
from typing import Any

from retrofit_lab.app.page.told import Told
from retrofit_lab.app.shared.wording import as_rounded, dollars, shown_after
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult

CHEAP_BUDGET = 500.0
"""What the cheap start may cost. [dollars] (judgment)"""


STARTS = ("rater", "cheap", "value")
"""Plans to start from, in the order in which they are worked out and shown."""


def starting_plan(advice: Advice, name: str) -> tuple[str, ...]:
    """One of `STARTS`; what waits for a hazard is only in the rater's, which shows it waiting."""
    if name == "rater":
        return rater_plan(advice, sure=False).result.ticked
    best = advice.best(Limits(budget=CHEAP_BUDGET) if name == "cheap" else Limits())
    return tuple(key for key in best.keys if not advice.study.case.holds[key])


def starts_content(
    told: Told, real: RealHouses, plans: dict[str, tuple[str, ...]]
) -> dict[str, Any]:
    """The starts in words."""
    study = told.study
    results = {name: study.plan(keys) for name, keys in plans.items()}
    expected = {name: real.of_plan(result) for name, result in results.items()}
    before = study.plan(()).before.cost
    now = dollars(before)
    after = as_rounded(shown_after(before, expected["rater"].left))
    items = [
        {
            "key": name,
            "title": told.say(f"start.{name}"),
            "text": _says(told, expected[name].saving, results[name]),
            "keys": list(results[name].ticked),
        }
        for name in plans
        if name == "rater" or set(plans[name]) != set(plans["rater"])
    ]
    nothing = {
        "key": "nothing",
        "title": told.say("start.nothing"),
        "text": told.say("start.says_nothing"),
        "keys": [],
    }
    return {
        "lead": told.say("start.lead_plan", now=now, after=after),
        "items": [*items, nothing],
        "more": len(plans) < len(STARTS),
    }


def _says(told: Told, saving: float, result: PlanResult) -> str:
    """What a start saves and costs, and that some of it waits where that is so."""
    said = told.say("start.says", saving=dollars(saving), cost=told.price(result.cost))
    return f"{said}. {told.say('budget.held')}" if result.held else said


def budget_line(told: Told, real: RealHouses, advice: Advice) -> list[dict[str, Any]]:
    """Plans that no cheaper one equals in what it saves in real houses, by rising cost."""
    found: list[dict[str, Any]] = []
    most = 0.0
    for plan in advice.frontier():
        saving = real.of_keys(plan.keys, plan.saving)
        if plan.keys and saving > most:
            most = saving
            found.append(_on_line(told, plan.keys, plan.cost, saving, plan.held))
    return found


def _on_line(
    told: Told, keys: Sequence[str], cost: float, saving: float, held: Sequence[str]
) -> dict[str, Any]:
    blanks = {
        "cost": dollars(cost) if cost > 0 else told.say("form.free"),
        "saving": dollars(saving),
    }
    return {
        "cost": cost,
        "saving": saving,
        "keys": list(keys),
        "blanks": blanks,
        "held": told.say("budget.held") if held else "",
    }
