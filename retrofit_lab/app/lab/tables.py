"""Results as pandas tables, with units in the names of their columns; no figure is drawn here."""

from collections.abc import Callable, Mapping
from typing import Any

import pandas as pd

from retrofit_lab.app.shared.words import Words
from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.units import for_people, spelled
from retrofit_lab.study.answers import (
    BillsAnswer,
    EnergyAnswer,
    PlanAnswer,
    RangesAnswer,
    Several,
)
from retrofit_lab.study.explanation import Explanation
from retrofit_lab.study.lab import Lab
from retrofit_lab.study.results import MeasureResult


def energy_table(answer: EnergyAnswer, said: Words) -> pd.DataFrame:
    """Energy by fuel and bills of each end use; fixed charges and the whole year below."""
    year, uses = answer.year, sorted(answer.year.cost_by_use)
    columns: dict[str, list[float]] = {}
    for fuel in answer.fuels:
        name, unit = said.names.word(fuels()[fuel].name), said.names.word(fuels()[fuel].unit)
        amounts = [year.energy.get((fuel, use), 0.0) for use in uses]
        columns[said.say("column.fuel_use", fuel=name, unit=unit)] = [*amounts, 0.0, sum(amounts)]
    bills = [year.cost_by_use[use] for use in uses]
    columns[said.say("column.bills")] = [*bills, year.fixed, year.cost]
    rows = [said.names.word(use.replace("_", " ")) for use in uses]
    index = pd.Index([*rows, said.say("row.fixed"), said.say("row.total")])
    return pd.DataFrame(columns, index=index.rename(said.say("column.end_use")))


def plan_table(answer: PlanAnswer, said: Words) -> pd.DataFrame:
    """What each measure of a plan costs and saves, in the order in which they are done; the whole plan below."""
    result, cost = answer.result, answer.cost
    rows = [_measure_row(result.measures[key], said) for key in answer.keys]
    whole = (cost.low, cost.likely, cost.high, result.sum_alone, result.saved, result.saved)
    rows.append(_row(said, *whole, result.payback, result.net_savings))
    names = [said.names.title(answer.measures[key]) for key in answer.keys]
    index = pd.Index([*names, said.say("row.whole")], name=said.say("column.measure"))
    return pd.DataFrame(rows, index=index)


def lab_table(lab: Lab, said: Words) -> pd.DataFrame:
    """All measures that fit a house, each by itself."""
    answer = lab.plan(())
    rows = [_measure_row(answer.result.measures[key], said) for key in lab.keys]
    table = pd.DataFrame(rows, index=pd.Index(lab.keys, name=said.say("column.measure")))
    kept = [name for name in table if name not in {_head(said, "added"), _head(said, "share")}]
    return table[kept]


def ranges_table(answer: RangesAnswer, said: Words) -> pd.DataFrame:
    """What to measure: its share of the doubt, and how much narrower the range would be."""
    rows = [
        {
            said.say("column.doubt"): 100.0 * one.share,
            said.say("column.narrower"): 100.0 * one.narrower,
        }
        for one in answer.to_measure
    ]
    causes = [one.cause for one in answer.to_measure]
    return pd.DataFrame(rows, index=pd.Index(causes, name=said.say("column.cause")))


def bills_table(answer: BillsAnswer, said: Words) -> pd.DataFrame:
    """Numbers of the house that moved until it agreed with its bills, the farthest first."""
    rows = [
        {
            said.say("column.before"): one.before,
            said.say("column.after"): one.after,
            said.say("column.half_ranges"): one.half_ranges,
        }
        for one in answer.fit.moved
    ]
    paths = [_differs(one.path, {one.path: spelled(one.unit)}) for one in answer.fit.moved]
    return pd.DataFrame(rows, index=pd.Index(paths, name=said.say("column.number")))


def explanation_table(told: Explanation, said: Words) -> pd.DataFrame:
    """The steps on the way, each with its value and its unit."""
    columns = {
        said.say("column.value"): [step.value for step in told.steps],
        said.say("column.unit"): [for_people(step.unit) for step in told.steps],
    }
    index = pd.Index([step.text for step in told.steps], name=said.say("column.step"))
    return pd.DataFrame(columns, index=index)


def several_table(answer: Several, said: Words) -> pd.DataFrame:
    """One row for each answer: what it differs in, then what it came to."""
    rows = [
        {
            **{_differs(name, answer.units): value for name, value in given.items()},
            **_summary(one, said),
        }
        for given, one in zip(answer.given, answer, strict=True)
    ]
    return pd.DataFrame(rows)


def _differs(name: str, units: Mapping[str, str]) -> str:
    unit = units.get(name, "")
    return f"{name} [{unit}]" if unit else name


def _summary(one: Any, said: Words) -> dict[str, Any]:
    if isinstance(one, Lab):
        return _summary(one.energy(), said)
    if isinstance(one, EnergyAnswer):
        return {_head(said, "bills"): one.cost, _head(said, "co2"): one.co2}
    return {
        _head(said, "measures"): len(one.keys),
        _head(said, "cost"): one.cost.likely,
        _head(said, "saves_low"): one.saving.low,
        _head(said, "saves"): one.saving.middle,
        _head(said, "saves_high"): one.saving.high,
        _head(said, "net_savings"): one.net_savings,
    }


def _measure_row(measure: MeasureResult, said: Words) -> dict[str, float]:
    cost = measure.cost
    saves = (measure.alone, measure.now, measure.share)
    return _row(
        said, cost.low, cost.likely, cost.high, *saves, measure.payback, measure.net_savings
    )


def _row(said: Words, *values: float) -> dict[str, float]:
    names = (
        "cost_low", "cost", "cost_high", "alone", "added", "share", "payback", "net_savings",
    )  # fmt: skip
    return {_head(said, name): value for name, value in zip(names, values, strict=True)}


def _head(said: Words, name: str) -> str:
    return said.say(f"column.{name}")


TABLES: Mapping[type, Callable[[Any, Words], pd.DataFrame]] = {
    Lab: lab_table,
    EnergyAnswer: energy_table,
    PlanAnswer: plan_table,
    RangesAnswer: ranges_table,
    BillsAnswer: bills_table,
    Explanation: explanation_table,
    Several: several_table,
}
"""What makes the table of each kind of result."""
