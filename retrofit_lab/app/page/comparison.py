"""Kept plans side by side, as a table of finished words."""

from typing import Any

from retrofit_lab.app.page.kept_plans import KeptPlans
from retrofit_lab.app.page.told import Told
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.results import PlanResult


def comparison(told: Told, real: RealHouses, plans: KeptPlans) -> dict[str, Any]:
    """Names, picks and table of the kept plans."""
    results = [told.study.plan(plan.ticked) for plan in plans]
    return {
        "names": [plan.name for plan in plans],
        "ticked": [list(result.ticked) for result in results],
        "columns": ["", *(plan.name for plan in plans)],
        "rows": [*_numbers(told, real, results), *_fixes(told, results)] if results else [],
    }


def _numbers(told: Told, real: RealHouses, results: list[PlanResult]) -> list[list[str]]:
    expected = [real.of_plan(result) for result in results]
    none, flow = told.say("form.none"), told.words.flow
    cells = {
        "cost": [told.price(r.cost) for r in results],
        "saving": [told.yearly(e.saving) for e in expected],
        "payback": [
            told.years(e.payback) if r.ticked else none
            for r, e in zip(results, expected, strict=True)
        ],
        "net": [dollars(r.net_savings) for r in results],
        "co2": [told.co2(r.before.co2 - r.after.co2) for r in results],
        "air": [flow(r.after.outdoor_air) for r in results],
        "cautions": [str(len(r.cautions)) for r in results],
    }
    blanks = {"years": results[0].period_years, "minimum": flow(results[0].minimum_air)}
    return [[told.say(f"compare.{name}", **blanks), *row] for name, row in cells.items()]


def _fixes(told: Told, results: list[PlanResult]) -> list[list[str]]:
    chosen = {key for result in results for key in result.ticked}
    yes, no = told.say("file.yes"), told.say("file.no")
    return [
        [told.titles[key], *(yes if key in result.ticked else no for result in results)]
        for key in told.study.keys
        if key in chosen
    ]
