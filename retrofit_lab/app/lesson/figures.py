"""Charts and pictures of the lessons: from numbers to plain data, in the colors of the kitchen table."""

from collections.abc import Mapping, Sequence
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
from retrofit_lab.app.shared.svg import Node, node
from retrofit_lab.classroom.guesses import Spread
from retrofit_lab.classroom.lesson_numbers import Field

SERIES = ((KEPT, ""), (PLAIN, "/"))
"""Color and pattern of the first and the second series."""
DASHES = ("solid", "dash", "dot", "dashdot")
SYMBOLS = ("circle", "diamond", "square", "x")
LINE_COLORS = (KEPT, "#d55e00", "#1c1c1c", PLAIN)
WALL_LETTERS, WALL_HEIGHT, WALL_BESIDE = 40, 640, 530
"""Letters that the last row reads off a wall 1,080 high, and the height of a chart there, or of one of two. [px]"""
STANDING = 9
"""From so many labels on bars stand upright, where the labels are short."""
COLD_TO_WARM = ((38, 12, 74), (120, 28, 109), (203, 66, 76), (245, 125, 21), (252, 206, 37))
"""Colors of a heat picture, dark to light, which a color-blind eye tells apart too. [red, green, blue]"""
PICTURE_WIDTH, PICTURE_HEIGHT = 560.0, 260.0
Curve = tuple[str, Sequence[float], Sequence[float], bool]


def bars_figure(
    labels: Sequence[str], series: Mapping[str, Sequence[float]], *, stacked: bool, upright: bool
) -> Figure:
    """Bars side by side or on each other; upright when there are many short labels, such as months."""
    names = list(labels) if upright else [wrapped(label) for label in labels]
    traces = [
        bar_trace(name, color, pattern, names, list(values))
        for (name, values), (color, pattern) in zip(series.items(), SERIES, strict=False)
    ]
    height = 340 if upright else 120 + 44 * max(len(names), 2)
    layout = _layout(height, legend=len(traces) > 1)
    layout["barmode"] = "relative" if stacked else "group"
    if upright:
        traces = [_stood_up(trace) for trace in traces]
        layout["xaxis"], layout["yaxis"] = {"automargin": True}, layout["xaxis"]
        layout["margin"] = {**layout["margin"], "t": 20}
    return {"data": traces, "layout": layout}


def is_upright(count: int) -> bool:
    """Whether so many bars stand."""
    return count >= STANDING


def curves_figure(curves: Sequence[Curve], x_unit: str, y_unit: str) -> Figure:
    """Lines and points of one number over another, told apart by dash and symbol as well as by color."""
    traces: list[Trace] = []
    for place, (name, x, y, joined) in enumerate(curves):
        color = LINE_COLORS[place % len(LINE_COLORS)]
        trace: Trace = {"type": "scatter", "name": name, "x": list(x), "y": list(y)}
        if joined:
            trace |= {
                "mode": "lines",
                "line": {"color": color, "width": 3, "dash": DASHES[place % 4]},
            }
        else:
            trace |= {
                "mode": "markers",
                "marker": {"color": color, "size": 11, "symbol": SYMBOLS[place % 4]},
            }
        traces.append(trace)
    layout = _layout(380, legend=True)
    layout["xaxis"] |= {"title": {"text": x_unit}}
    layout["yaxis"] = {"automargin": True, "zeroline": True, "title": {"text": y_unit}}
    layout["margin"] = {**layout["margin"], "t": 20, "b": 110}
    return {"data": traces, "layout": layout}


def spread_figure(found: Spread, unit: str, words: Mapping[str, str]) -> Figure:
    """How many guessed how much; the group that holds the answer stands out where it may be seen.

    ``words`` says what ``guesses``, ``other``, ``answer`` and ``from_to`` are called.
    """
    known = found.place is not None
    holds = [place == found.place for place in range(len(found.counts))]
    names = [
        with_minus(words["from_to"].format(low=f"{low:,.6g}", high=f"{high:,.6g}"))
        for low, high in zip(found.edges, found.edges[1:], strict=False)
    ]
    labels = [f"<b>{name}</b>" if on else name for name, on in zip(names, holds, strict=True)]
    near = [count if on else 0 for count, on in zip(found.counts, holds, strict=True)]
    others = [0 if on else count for count, on in zip(found.counts, holds, strict=True)]
    name = words["other"] if known else words["guesses"]
    traces = [bar_trace(name, PLAIN, "/", labels, others)]
    if known:
        traces.insert(0, bar_trace(words["answer"], KEPT, "", labels, near))
    layout = bar_layout(words["guesses"], 150 + 32 * len(labels), legend=known)
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


def heat_picture(fields: Sequence[Field]) -> Node:
    """Surfaces in the colors of an infrared picture, darkest where they are coldest."""
    low, high = (pick(field.temperature for field in fields) for pick in (min, max))
    return node(
        "svg",
        *(_rectangle(field, low, high) for field in fields),
        viewBox=f"0 0 {PICTURE_WIDTH:.0f} {PICTURE_HEIGHT:.0f}",
        role="img",
        class_="heat-picture",
    )


def heat_color(temperature: float, low: float, high: float) -> str:
    """Color of a temperature between the coldest and the warmest."""
    share = (temperature - low) / (high - low) if high > low else 1.0
    place = share * (len(COLD_TO_WARM) - 1)
    first = min(int(place), len(COLD_TO_WARM) - 2)
    part = place - first
    mixed = (
        round(a + part * (b - a))
        for a, b in zip(COLD_TO_WARM[first], COLD_TO_WARM[first + 1], strict=True)
    )
    return "#" + "".join(f"{value:02x}" for value in mixed)


def _rectangle(field: Field, low: float, high: float) -> Node:
    return node(
        "rect",
        x=field.left * PICTURE_WIDTH,
        y=field.top * PICTURE_HEIGHT,
        width=field.width * PICTURE_WIDTH,
        height=field.height * PICTURE_HEIGHT,
        fill=heat_color(field.temperature, low, high),
        data_name=field.name,
    )


def _layout(height: int, *, legend: bool) -> dict[str, Any]:
    """As everywhere, save that the unit stands above the chart, where it has room on a phone."""
    layout = bar_layout("", height, legend=legend)
    layout["xaxis"] = {"automargin": True, "zeroline": True, "nticks": 5, "tickangle": 0}
    layout["font"] = {**layout["font"], "size": 14}
    return layout


def _stood_up(trace: Trace) -> Trace:
    return {**trace, "orientation": "v", "x": trace["y"], "y": trace["x"]}
