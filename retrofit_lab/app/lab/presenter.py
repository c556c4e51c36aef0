"""The line of each result of a notebook, and the way to its table and its figure, which other modules draw."""

from collections.abc import Callable, Mapping
from typing import Any

from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.bills.reading.fuels import fuel_names
from retrofit_lab.study.answers import (
    BillsAnswer,
    EnergyAnswer,
    PlanAnswer,
    RangesAnswer,
    Several,
)
from retrofit_lab.study.explanation import Explanation
from retrofit_lab.study.lab import Lab


def line(result: Any, language: str) -> str:
    """One sentence that tells a result."""
    said = words(language, page="lab")
    return LINES[type(result)](result, said)


def table(result: Any, language: str) -> Any:
    """Table of a result; see `retrofit_lab.app.lab.tables`."""
    from retrofit_lab.app.lab.tables import TABLES  # noqa: PLC0415 - pandas is read when a table is asked for

    return TABLES[type(result)](result, words(language, page="lab"))


def plot(result: Any, language: str) -> Any:
    """Figure of a result; see `retrofit_lab.app.lab.plots`."""
    from retrofit_lab.app.lab.plots import PLOTS  # noqa: PLC0415 - plotly is read when a figure is asked for

    return PLOTS[type(result)](result, words(language, page="lab"))


def _lab(lab: Lab, said: Words) -> str:
    house = lab.house
    return said.say(
        "line.lab",
        house=house.name,
        year=f"{float(house.site.year_built):.0f}",
        area=f"{float(house.size.floor_area):,.0f}",
        place=lab.study.climate.name,
        cost=dollars(lab.energy().cost),
        count=len(lab.keys),
    )


def _energy(answer: EnergyAnswer, said: Words) -> str:
    co2 = f"{answer.co2:,.0f}"
    return said.say("line.energy", house=answer.house, cost=dollars(answer.cost), co2=co2)


def _plan(answer: PlanAnswer, said: Words) -> str:
    cost, saving = answer.cost, answer.saving
    return said.say(
        "line.plan",
        count=len(answer.keys),
        house=answer.house,
        saving=dollars(saving.middle),
        low=dollars(saving.low),
        high=dollars(saving.high),
        cost=dollars(cost.likely),
        cost_low=dollars(cost.low),
        cost_high=dollars(cost.high),
        net=dollars(answer.net_savings),
    )


def _ranges(answer: RangesAnswer, said: Words) -> str:
    saving = answer.saving
    return said.say(
        "line.ranges",
        count=len(answer.keys),
        house=answer.house,
        saving=dollars(saving.middle),
        low=dollars(saving.low),
        high=dollars(saving.high),
        chance=f"{100.0 * answer.outcome.pays_back:.0f}",
    )


def _bills(answer: BillsAnswer, said: Words) -> str:
    moved = len(answer.fit.moved)
    fuels = ", ".join(said.names.word(fuel_names()[one.fuel]) for one in answer.compared)
    return said.say("line.bills", house=answer.house, fuels=fuels, moved=moved)


def _explanation(told: Explanation, said: Words) -> str:
    return said.say("line.explanation", topic=told.topic, formula=told.formula)


def _several(answer: Several, said: Words) -> str:
    names = ", ".join(answer.given[0]) if answer.given else ""
    return said.say("line.several", count=len(answer), names=names)


LINES: Mapping[type, Callable[[Any, Words], str]] = {
    Lab: _lab,
    EnergyAnswer: _energy,
    PlanAnswer: _plan,
    RangesAnswer: _ranges,
    BillsAnswer: _bills,
    Explanation: _explanation,
    Several: _several,
}
"""What tells each kind of result in one line."""
