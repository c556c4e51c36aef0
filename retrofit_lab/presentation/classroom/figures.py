"""Charts of the lessons as pure functions from numbers to figures, in the colours of the kitchen table."""

from typing import Any

import plotly.graph_objects as go

from retrofit_lab.classroom.guesses import Spread
from retrofit_lab.classroom.lesson_numbers import Bars
from retrofit_lab.presentation.figures import KEPT, PLAIN, bar_layout, bar_trace, wrapped

COLOURS = ((KEPT, ""), (PLAIN, "/"))
"""Colour and pattern of the first and the second series."""
STANDING = 9
"""From so many labels on bars stand upright, where the labels are short."""


def bars_figure(bars: Bars) -> go.Figure:
    """Bars side by side or on each other; upright when there are many short labels, such as months."""
    upright = is_upright(bars)
    labels = list(bars.labels) if upright else [wrapped(label) for label in bars.labels]
    traces = [
        bar_trace(name, colour, pattern, labels, list(values))
        for (name, values), (colour, pattern) in zip(bars.series.items(), COLOURS, strict=False)
    ]
    height = 340 if upright else 120 + 44 * max(len(labels), 2)
    layout = bar_layout(bars.unit, height, legend=len(traces) > 1)
    layout["barmode"] = "relative" if bars.stacked else "group"
    if upright:
        traces = [_stood_up(trace) for trace in traces]
        layout["xaxis"], layout["yaxis"] = {"automargin": True}, layout["xaxis"]
    return go.Figure(data=traces, layout=layout)


def is_upright(bars: Bars) -> bool:
    """Whether the bars stand: there are many of them with short labels."""
    return len(bars.labels) >= STANDING


def spread_figure(found: Spread, unit: str) -> go.Figure:
    """How many guessed how much; the group that holds the answer stands out."""
    labels = [
        f"{low:,.6g} to {high:,.6g}"
        for low, high in zip(found.edges, found.edges[1:], strict=False)
    ]
    holds = [place == found.place for place in range(len(found.counts))]
    beside = [count if on else 0 for count, on in zip(found.counts, holds, strict=True)]
    others = [0 if on else count for count, on in zip(found.counts, holds, strict=True)]
    traces = [
        bar_trace("where the answer lies", KEPT, "", labels, beside),
        bar_trace("other guesses", PLAIN, "/", labels, others),
    ]
    layout = bar_layout("guesses", 150 + 32 * len(labels), legend=True)
    layout["barmode"] = "relative"
    layout["yaxis"] = {"automargin": True, "title": {"text": unit}, "type": "category"}
    layout["xaxis"] = {**layout["xaxis"], "dtick": max(1, max(found.counts) // 5)}
    return go.Figure(data=traces, layout=layout)


def _stood_up(trace: Any) -> Any:
    return {**trace, "orientation": "v", "x": trace["y"], "y": trace["x"]}
