"""Results as plotly figures, in the colors of the page; no table is made here."""

from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import plotly.graph_objects as go
from plotly.subplots import make_subplots

from retrofit_lab.app.lab.tables import several_table
from retrofit_lab.app.shared.figures import KEPT, PLAIN, bar_layout, bar_trace, wrapped
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.units import for_people
from retrofit_lab.study.answers import (
    BillsAnswer,
    EnergyAnswer,
    PlanAnswer,
    RangesAnswer,
    Several,
)
from retrofit_lab.study.explanation import Explanation
from retrofit_lab.study.lab import Lab

FUEL_COLORS = (KEPT, "#E69F00", "#009E73", "#CC79A7", "#56B4E9")
"""Okabe-Ito palette, one color a fuel; a pattern tells them apart without color."""
PATTERNS = ("", "/", ".", "x", "-")
MILLION = 1e6
BINS = 30
LEAST_HEAT = 1e4
"""Heat below which a part is left out of the figure. [Btu/season]"""


def energy_plot(answer: EnergyAnswer, said: Words) -> go.Figure:
    """Bills month by month, one color a fuel."""
    months = said.all("axis.months")
    bars = [
        go.Bar(
            name=said.names.word(fuels()[fuel].name),
            x=months,
            y=bills,
            marker={"color": color, "pattern": {"shape": pattern}},
        )
        for fuel, bills, color, pattern in zip(
            answer.fuels, answer.bills, FUEL_COLORS, PATTERNS, strict=False
        )
    ]
    figure = _figure(
        bars, said.say("title.energy", house=answer.house, cost=dollars(answer.cost)), ""
    )
    return figure.update_layout(barmode="stack", yaxis_title=said.say("axis.bills"))


def plan_plot(answer: PlanAnswer, said: Words) -> go.Figure:
    """What each measure saves alone and in the plan."""
    keys = answer.keys[::-1]
    labels = [wrapped(said.names.title(answer.measures[key])) for key in keys]
    found, saving = answer.result.measures, answer.saving
    bars = [
        bar_trace(said.say("trace.share"), KEPT, "", labels, [found[key].share for key in keys]),
        bar_trace(said.say("trace.alone"), PLAIN, "/", labels, [found[key].alone for key in keys]),
    ]
    title = said.say(
        "title.plan",
        house=answer.house,
        saving=dollars(saving.middle),
        low=dollars(saving.low),
        high=dollars(saving.high),
    )
    return _figure(bars, title, said.say("axis.saves"), rows=len(keys))


def lab_plot(lab: Lab, said: Words) -> go.Figure:
    """Heat that leaves the house over a heating season, by part."""
    losses = lab.study.energies.season_losses(())
    parts = {
        part: float(heat) for part, heat in losses.by_part.items() if abs(float(heat)) > LEAST_HEAT
    }
    order = sorted(parts, key=lambda part: parts[part])
    named = words(said.language, page="page")
    labels = [named.say(f"part_short.{part}") for part in order]
    bars = [bar_trace("", KEPT, "", labels, [parts[part] / MILLION for part in order])]
    title = said.say("title.lab", house=lab.house.name)
    return _figure(bars, title, said.say("axis.heat"), rows=len(order), legend=False)


def ranges_plot(answer: RangesAnswer, said: Words) -> go.Figure:
    """How many of the drawn houses save how much, with the middle and the range of eight in ten."""
    counts, edges = np.histogram(answer.savings, bins=BINS)
    middles = 0.5 * (edges[1:] + edges[:-1])
    bars = go.Bar(x=middles, y=counts, marker={"color": KEPT}, width=np.diff(edges))
    saving = answer.saving
    title = said.say(
        "title.ranges",
        house=answer.house,
        saving=dollars(saving.middle),
        low=dollars(saving.low),
        high=dollars(saving.high),
    )
    figure = _figure([bars], title, said.say("axis.saves_real"), legend=False)
    for place in (saving.low, saving.middle, saving.high):
        figure.add_vline(place, line={"color": PLAIN, "dash": "dot"})
    return figure.update_layout(yaxis_title=said.say("axis.houses"), bargap=0)


def bills_plot(answer: BillsAnswer, said: Words) -> go.Figure:
    """Use a day against the temperature outdoors, fuel below fuel: billed, as described, and fitted."""
    figure = make_subplots(rows=len(answer.compared), cols=1, shared_xaxes=True)
    for row, one in enumerate(answer.compared, 1):
        days = np.array([period.days for period in one.periods])
        for name, use, color, symbol in (
            ("billed", one.billed, "#1c1c1c", "circle"),
            ("described", one.before, FUEL_COLORS[1], "x"),
            ("fitted", one.after, KEPT, "diamond-open"),
        ):
            trace = go.Scatter(
                x=one.temperature,
                y=use / days,
                mode="markers",
                name=said.say(f"trace.{name}"),
                marker={"color": color, "symbol": symbol, "size": 10},
                showlegend=row == 1,
            )
            figure.add_trace(trace, row=row, col=1)
        unit = said.names.word(fuels()[one.fuel].unit)
        named = said.names.word(fuels()[one.fuel].name)
        figure.update_yaxes(
            title_text=said.say("axis.a_day", fuel=named, unit=unit), row=row, col=1
        )
    figure.update_xaxes(title_text=said.say("axis.outdoors"), row=len(answer.compared), col=1)
    return figure.update_layout(
        title=said.say("title.bills", house=answer.house),
        height=120 + 260 * len(answer.compared),
        template="none",
    )


def explanation_plot(told: Explanation, said: Words) -> go.Figure:
    """The steps that are counted in the same unit as most, as bars."""
    unit, _ = Counter(step.unit for step in told.steps).most_common(1)[0]
    steps = [step for step in told.steps if step.unit == unit][::-1]
    labels = [wrapped(step.text) for step in steps]
    bars = [bar_trace("", KEPT, "", labels, [step.value for step in steps])]
    title = said.say("title.explanation", topic=told.topic)
    return _figure(bars, title, for_people(unit), rows=len(steps), legend=False)


def several_plot(answer: Several, said: Words) -> go.Figure:
    """The first number that the answers came to, over the first thing that they differ in."""
    table = several_table(answer, said)
    over = table.columns[0]
    saves = said.say("column.saves")
    what = saves if saves in table else said.say("column.bills")
    trace = go.Scatter(x=table[over], y=table[what], mode="lines+markers", line={"color": KEPT})
    if saves in table:
        up = table[said.say("column.saves_high")] - table[saves]
        down = table[saves] - table[said.say("column.saves_low")]
        trace.error_y = {"array": up, "arrayminus": down, "color": PLAIN}
    figure = _figure([trace], said.say("title.several", name=what), str(over), legend=False)
    return figure.update_layout(yaxis_title=what)


def _figure(
    traces: list[Any], title: str, unit: str, *, rows: int = 8, legend: bool = True
) -> go.Figure:
    layout = bar_layout(unit, 90 + 44 * max(rows, 2), legend=legend)
    layout["margin"] |= {"t": 50}
    return go.Figure(traces, {**layout, "title": {"text": title}, "barmode": "group"})


PLOTS: Mapping[type, Callable[[Any, Words], go.Figure]] = {
    Lab: lab_plot,
    EnergyAnswer: energy_plot,
    PlanAnswer: plan_plot,
    RangesAnswer: ranges_plot,
    BillsAnswer: bills_plot,
    Explanation: explanation_plot,
    Several: several_plot,
}
"""What draws the figure of each kind of result."""
