"""Who saves what in the ticked set, in money, CO2 or one fuel: a deeper view of the page, in words and a table."""

from collections.abc import Callable, Mapping
from typing import Any

from retrofit_lab.app.shared.shown_units import Telling, carbon_dioxide, fuel_amount
from retrofit_lab.app.shared.wording import dollars, lowered
from retrofit_lab.money.terms import fuels
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.energy_attribution import Pair, Saving, who_saves
from retrofit_lab.study.results import PlanResult

Content = dict[str, Any]
COUNTED = ("dollars", "carbon dioxide", *(fuel.name for fuel in fuels().values()))
"""What savings can be counted in."""
COLUMNS = ["Measure", "By itself", "After all the others", "Fair share"]
MOST_PAIRS = 5
LEAST_TOLD = 1.0
"""Overlap of a pair below which it is not told. [dollars/year]"""


def shares(
    advice: Advice, result: PlanResult, values: Mapping[str, float], telling: Telling
) -> Content:
    """What each ticked measure saves by itself, last and by fair share, and which pairs overlap."""
    if not result.ticked:
        return {"sentences": ["Tick something to see who saves what."]}
    place = int(values["counted"])
    fuel = list(fuels())[place - 2] if place >= 2 else ""
    if fuel and fuel not in {name for name, _ in advice.study.uses}:
        return {"sentences": [f"This house uses no {COUNTED[place]}."]}
    account, told = who_saves(advice.study, result.ticked), _teller(place, fuel, telling)
    rows = [
        [telling.titles[part.key], *(told(s) for s in (part.alone, part.last, part.share))]
        for part in account.parts
    ]
    return {
        "sentences": [
            "By itself is with nothing else done; after all the others is what is left to save then. The "
            "fair share is the mean over all orders in which the work could be done; these add to the whole.",
        ],
        "table": {
            "columns": COLUMNS,
            "rows": [*rows, ["All together", "", "", told(account.whole)]],
        },
        "heading": "Which pairs overlap or help each other",
        "items": [
            _pair(pair, told, telling)
            for pair in account.pairs[:MOST_PAIRS]
            if abs(pair.lost.cost) >= LEAST_TOLD
        ],
    }


def _teller(place: int, fuel: str, telling: Telling) -> Callable[[Saving], str]:
    """Says a saving in what it is counted in."""
    if fuel:
        return lambda saving: fuel_amount(saving.energy[fuel], fuel, telling.units)
    if place == 1:
        return lambda saving: carbon_dioxide(saving.co2, telling.units)
    return lambda saving: dollars(saving.cost)


def _pair(pair: Pair, told: Callable[[Saving], str], telling: Telling) -> str:
    both = f"{telling.titles[pair.first]}, and {lowered(telling.titles[pair.second])}"
    return (
        f"{both}: lost to overlap are {told(pair.lost)} a year with these two alone, and {told(pair.within)} "
        f"among all that is ticked. {pair.why}"
        if pair.lost.cost > 0
        else f"{both}: they help each other. {pair.why}"
    )
