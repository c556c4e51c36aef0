"""Kept choices side by side, as a table of finished words."""

from typing import Any

from retrofit_lab.app.page.kept_plans import Scenarios
from retrofit_lab.app.shared.shown_units import air_flow, carbon_dioxide
from retrofit_lab.app.shared.wording import dollars, years
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

IN_IT, NOT_IN_IT = "yes", "no"


def comparison(study: Study, scenarios: Scenarios, units: str) -> dict[str, Any]:
    """Names, ticks and table of the kept choices."""
    results = [study.plan(scenario.ticked) for scenario in scenarios]
    return {
        "names": [scenario.name for scenario in scenarios],
        "ticked": [list(result.ticked) for result in results],
        "columns": ["", *(scenario.name for scenario in scenarios)],
        "rows": [*_numbers(results, units), *_measures(study, results)] if results else [],
    }


def _numbers(results: list[PlanResult], units: str) -> list[list[str]]:
    minimum = air_flow(results[0].minimum_air, units)
    period = results[0].period_years
    lines = {
        "Costs about": [dollars(r.cost.likely) for r in results],
        "Saves a year": [dollars(r.saved) for r in results],
        "Paid back after": [years(r.payback) if r.ticked else "\N{EN DASH}" for r in results],
        f"In {period} years, more than it costs": [dollars(r.net_savings) for r in results],
        "Less carbon dioxide a year": [
            carbon_dioxide(r.before.co2 - r.after.co2, units) for r in results
        ],
        f"Outdoor air (the standard asks for {minimum})": [
            air_flow(r.after.outdoor_air, units) for r in results
        ],
        "Cautions before the work": [str(len(r.cautions)) for r in results],
    }
    return [[name, *cells] for name, cells in lines.items()]


def _measures(study: Study, results: list[PlanResult]) -> list[list[str]]:
    chosen = {key for result in results for key in result.ticked}
    return [
        [
            study.offer(key).measure.title,
            *(IN_IT if key in result.ticked else NOT_IN_IT for result in results),
        ]
        for key in study.keys
        if key in chosen
    ]
