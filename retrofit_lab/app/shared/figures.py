"""Charts as pure functions from results to figures; no widgets, no wording of their own beyond labels.

A figure is what the chart library in the browser reads: traces and a layout, as plain data. The library's
Python half would check them at every tick and stay in every kernel; the tests do that instead.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab.study.results import PlanResult

KEPT, PLAIN = "#0072B2", "#999999"
"""Blue and gray of the Okabe-Ito palette, one meaning each on every chart; those of bars stand in the style."""
Figure = dict[str, Any]
Trace = dict[str, Any]


BAR_PARTS = ("kept", "lost", "won")
"""Parts of a bar: what a measure keeps in the plan, what it loses to the others, what it wins from them."""
LEAST_SEEN = 0.5
"""Width from which on a part of a bar is seen. [of 100]"""


def overlap_bars(result: PlanResult) -> dict[str, Any]:
    """Bars of what each measure of a plan keeps, loses and wins beside the others; the last is the whole plan.

    No chart of the library: its bars take longer to draw than the numbers to work out. Each part of a bar has
    a place ``left`` and a ``width``, from 0 to 100 across the chart; ``zero`` is the place of no saving.
    Labels and amounts are the page's.
    """
    lines = _overlap_lines(result) if result.ticked else []
    ends = [0.0, *(amount for both in lines for amount in both)]
    low, span = min(ends), max(ends) - min(ends) or 1.0
    rows = [
        {
            "parts": {
                name: [100.0 * (start - low) / span, 100.0 * (end - start) / span]
                for name, (start, end) in bar_parts(alone, share).items()
            }
        }
        for alone, share in lines
    ]
    seen = {n for row in rows for n, (_, width) in row["parts"].items() if width > LEAST_SEEN}
    legend = [name for name in BAR_PARTS if name in seen]
    return {"zero": 100.0 * -low / span, "rows": rows, "legend": legend}


def _overlap_lines(result: PlanResult) -> list[tuple[float, float]]:
    """Saving alone and fair share of each measure of a plan; last the sum and what all save. [dollars/year]"""
    rows = [(result.measures[key].alone, result.measures[key].share) for key in result.ticked]
    return [*rows, (result.sum_alone, result.saved)]


def bar_parts(alone: float, share: float) -> dict[str, tuple[float, float]]:
    """Start and end of what is the same alone and in the set, and of what is lost or won."""
    same = 0.0 if alone * share < 0 else min(alone, share, key=abs)
    return {
        "kept": (min(same, 0.0), max(same, 0.0)),
        "lost": (min(share, alone), alone),
        "won": (min(share, alone), share),
    }


def money_figure(balance: Sequence[float], years: str, unit: str) -> Figure:
    """Money saved less money spent, by year; ``years`` and ``unit`` name the axes."""
    bars = {
        "type": "bar",
        "x": list(range(len(balance))),
        "y": list(balance),
        "marker": {"color": [KEPT if amount >= 0 else PLAIN for amount in balance]},
        "showlegend": False,
    }
    layout = {
        "height": 260,
        "template": {},
        "margin": {"l": 10, "r": 10, "t": 10, "b": 40},
        "font": {"size": 13, "color": "#1c1c1c"},
        "xaxis": {"title": {"text": years}, "automargin": True},
        "yaxis": {"title": {"text": unit}, "tickprefix": "$", "automargin": True, "zeroline": True},
        "paper_bgcolor": "#ffffff",
        "plot_bgcolor": "#ffffff",
    }
    return {"data": [bars], "layout": layout}


def frontier_figure(
    line: Sequence[tuple[float, float]],
    chosen: tuple[float, float] | None,
    names: Mapping[str, str],
) -> Figure:
    """The most saved a year for each cost as a line of steps, and the chosen plan as a diamond.

    ``names`` says what ``best``, ``plan``, ``spend`` and ``save`` are called.
    """
    costs, savings = [cost for cost, _ in line], [saving for _, saving in line]
    traces: list[Trace] = [
        {
            "type": "scatter",
            "mode": "lines",
            "name": names["best"],
            "x": costs,
            "y": savings,
            "line": {"color": PLAIN, "width": 3, "shape": "hv"},
        }
    ]
    if chosen:
        traces.append(
            {
                "type": "scatter",
                "mode": "markers",
                "name": names["plan"],
                "x": [chosen[0]],
                "y": [chosen[1]],
                "marker": {"color": KEPT, "size": 14, "symbol": "diamond"},
            }
        )
    layout = bar_layout(names["spend"], 300, legend=True)
    layout["yaxis"] |= {"title": {"text": names["save"]}, "tickprefix": "$", "rangemode": "tozero"}
    layout["xaxis"] |= {"tickprefix": "$"}
    return {"data": traces, "layout": layout}


def end_use_figure(result: PlanResult, uses: Mapping[str, str], names: Mapping[str, str]) -> Figure:
    """Cost of each end use in a year, now and with a plan.

    ``uses`` says what end uses are called, ``names`` what ``now``, ``then`` and the ``axis`` are.
    """
    before, after = result.before.cost_by_use, result.after.cost_by_use
    shown = [use for use, amount in before.items() if max(amount, after.get(use, 0.0)) >= 1]
    shown += [use for use, amount in after.items() if amount >= 1 and use not in before]
    labels = [wrapped(uses[use]) for use in shown[::-1]]
    then = bar_trace(names["then"], KEPT, "", labels, [after[use] for use in shown[::-1]])
    now = bar_trace(names["now"], PLAIN, "/", labels, [before.get(use, 0.0) for use in shown[::-1]])
    layout = bar_layout(names["axis"], 90 + 44 * max(len(shown), 2), legend=True)
    layout["barmode"] = "group"
    return {"data": [then, now], "layout": layout}


def bar_layout(unit: str, height: int, *, legend: bool) -> dict[str, Any]:
    """Layout that every bar chart has: the unit below, a legend below that, nothing else."""
    return {
        "height": height + (50 if legend else 0),
        "template": {},
        "margin": {"l": 10, "r": 20, "t": 10, "b": 90 if legend else 40},
        "legend": {"orientation": "h", "yref": "container", "y": 0, "yanchor": "bottom", "x": 0},
        "showlegend": legend,
        "font": {"size": 13, "color": "#1c1c1c"},
        "xaxis": {"title": {"text": unit}, "automargin": True, "zeroline": True},
        "yaxis": {"automargin": True},
        "paper_bgcolor": "#ffffff",
        "plot_bgcolor": "#ffffff",
    }


def bar_trace(
    name: str, color: str, pattern: str, labels: list[str], values: Sequence[float]
) -> Trace:
    """Bars of one meaning: a color and, for the eye that does not see it, a pattern."""
    return {
        "type": "bar",
        "name": name,
        "orientation": "h",
        "y": labels,
        "x": values,
        "marker": {
            "color": color,
            "pattern": {"shape": pattern, "bgcolor": color, "fgcolor": "#1c1c1c", "size": 6},
        },
    }


def wrapped(label: str, width: int = 22) -> str:
    """A label on as many lines as it needs."""
    lines: list[str] = [""]
    for word in label.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return "<br>".join(lines)
