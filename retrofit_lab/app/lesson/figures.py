"""Charts of the lessons as pure functions from numbers to figures, in the colors of the kitchen table."""

from dataclasses import replace
from typing import Any

from retrofit_lab.app.lesson.wording import with_minus
from retrofit_lab.app.shared.figures import (
    KEPT,
    PLAIN,
    Figure,
    Trace,
    bar_layout,
    bar_trace,
    wrapped,
)
from retrofit_lab.classroom.guesses import Spread
from retrofit_lab.classroom.lesson_numbers import Bars

COLORS = ((KEPT, ""), (PLAIN, "/"))
"""Color and pattern of the first and the second series."""
WALL_LETTERS, WALL_HEIGHT, WALL_BESIDE = 40, 640, 530
"""Letters that the last row reads off a wall 1,080 high, and the height of a chart there, or of one of two. [px]"""
STANDING = 9
"""From so many labels on bars stand upright, where the labels are short."""


def beside(before: Bars, now: Bars, names: tuple[str, str]) -> Bars:
    """Two states of one series side by side, label by label of the second."""
    ((_, old),), ((_, new),) = before.series.items(), now.series.items()
    known = dict(zip(before.labels, old, strict=True))
    series = {names[1]: new, names[0]: tuple(known.get(label, 0.0) for label in now.labels)}
    return replace(now, series=series)


def bars_figure(bars: Bars) -> Figure:
    """Bars side by side or on each other; upright when there are many short labels, such as months."""
    upright = is_upright(bars)
    labels = list(bars.labels) if upright else [wrapped(label) for label in bars.labels]
    traces = [
        bar_trace(name, color, pattern, labels, list(values))
        for (name, values), (color, pattern) in zip(bars.series.items(), COLORS, strict=False)
    ]
    height = 340 if upright else 120 + 44 * max(len(labels), 2)
    layout = _layout(height, legend=len(traces) > 1)
    layout["barmode"] = "relative" if bars.stacked else "group"
    if upright:
        traces = [_stood_up(trace) for trace in traces]
        layout["xaxis"], layout["yaxis"] = {"automargin": True}, layout["xaxis"]
        layout["margin"] = {**layout["margin"], "t": 20}
    return {"data": traces, "layout": layout}


def is_upright(bars: Bars) -> bool:
    """Whether the bars stand: there are many of them with short labels."""
    return len(bars.labels) >= STANDING


def spread_figure(found: Spread, unit: str) -> Figure:
    """How many guessed how much; the group that holds the answer stands out where it may be seen."""
    known = found.place is not None
    holds = [place == found.place for place in range(len(found.counts))]
    names = [
        with_minus(f"{low:,.6g} to {high:,.6g}")
        for low, high in zip(found.edges, found.edges[1:], strict=False)
    ]
    labels = [f"<b>{name}</b>" if on else name for name, on in zip(names, holds, strict=True)]
    near = [count if on else 0 for count, on in zip(found.counts, holds, strict=True)]
    others = [0 if on else count for count, on in zip(found.counts, holds, strict=True)]
    traces = [bar_trace("other guesses" if known else "guesses", PLAIN, "/", labels, others)]
    if known:
        traces.insert(0, bar_trace("where the answer lies", KEPT, "", labels, near))
    layout = bar_layout("guesses", 150 + 32 * len(labels), legend=known)
    layout["barmode"] = "relative"
    layout["yaxis"] = {"automargin": True, "title": {"text": unit}, "type": "category"}
    layout["xaxis"] = {**layout["xaxis"], "dtick": max(1, max(found.counts) // 5)}
    return {"data": traces, "layout": layout}


def enlarged(chart: dict[str, Any], *, beside: bool) -> dict[str, Any]:
    """A chart for a wall: letters of 40 px, and as high as a wall has room for; lower where two stand there."""
    layout = chart["figure"]["layout"]
    large = {
        **layout,
        "height": WALL_BESIDE if beside else WALL_HEIGHT,
        "font": {**layout["font"], "size": WALL_LETTERS},
        "margin": {"l": 20, "r": 20, "t": 10, "b": 110},
        "showlegend": False,
        "bargap": 0.25,
    }
    if beside:
        large["yaxis"] = {key: value for key, value in layout["yaxis"].items() if key != "title"}
    return {**chart, "figure": {**chart["figure"], "layout": large}}


def _layout(height: int, *, legend: bool) -> dict[str, Any]:
    """As everywhere, save that the unit stands above the chart, where it has room on a phone."""
    layout = bar_layout("", height, legend=legend)
    layout["xaxis"] = {"automargin": True, "zeroline": True, "nticks": 5, "tickangle": 0}
    layout["font"] = {**layout["font"], "size": 14}
    return layout


def _stood_up(trace: Trace) -> Trace:
    return {**trace, "orientation": "v", "x": trace["y"], "y": trace["x"]}
