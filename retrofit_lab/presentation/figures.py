"""Charts as pure functions from results to figures; no widgets, no wording of their own beyond labels."""

from collections.abc import Mapping
from typing import Any

import plotly.graph_objects as go

from retrofit_lab.presentation.wording import dollars
from retrofit_lab.results import StackResult

KEPT, LOST, HELPED = "#0072B2", "#E69F00", "#009E73"
"""Blue, orange and green of the Okabe-Ito palette, one meaning each on every chart."""
ALL_TOGETHER = "All together"


def bars(result: StackResult, titles: Mapping[str, str]) -> list[tuple[str, float, float, float]]:
    """Label, part kept, part counted twice and part won from others, for each ticked measure and all."""
    rows = [
        (titles[key], *_parts(result.measures[key].alone, result.measures[key].share))
        for key in result.ticked
    ]
    return [*rows, (ALL_TOGETHER, *_parts(result.sum_alone, result.saved))]


def _parts(alone: float, share: float) -> tuple[float, float, float]:
    kept = min(alone, share)
    return kept, max(alone - share, 0.0), max(share - alone, 0.0)


def overlap_figure(result: StackResult, titles: Mapping[str, str]) -> go.Figure:
    """Bars of what each ticked measure keeps, what would be counted twice, and what it wins from others."""
    rows = bars(result, titles)[::-1] if result.ticked else []
    labels = [_wrapped(row[0]) for row in rows]
    traces = [
        _trace("kept in this set", KEPT, "", labels, [row[1] for row in rows]),
        _trace("counted twice if added up", LOST, "/", labels, [row[2] for row in rows]),
        _trace("won because others are done", HELPED, ".", labels, [row[3] for row in rows]),
    ]
    height = 160 + 40 * max(len(rows), 2)
    layout = {
        "barmode": "relative",
        "height": height,
        "template": {},
        "margin": {"l": 10, "r": 20, "t": 10, "b": 110},
        "legend": {"orientation": "h", "yref": "container", "y": 0, "yanchor": "bottom", "x": 0},
        "font": {"size": 13, "color": "#1c1c1c"},
        "xaxis": {"title": {"text": "dollars saved a year"}, "automargin": True, "zeroline": True},
        "yaxis": {"automargin": True},
        "paper_bgcolor": "#ffffff",
        "plot_bgcolor": "#ffffff",
    }
    return go.Figure(data=traces, layout=layout)


def _trace(name: str, colour: str, pattern: str, labels: list[str], values: list[float]) -> Any:
    return go.Bar(
        name=name,
        orientation="h",
        y=labels,
        x=values,
        marker={
            "color": colour,
            "pattern": {"shape": pattern, "bgcolor": colour, "fgcolor": "#1c1c1c", "size": 6},
        },
    )


def _wrapped(label: str, width: int = 22) -> str:
    lines: list[str] = [""]
    for word in label.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return "<br>".join(lines)


def overlap_table(result: StackResult, titles: Mapping[str, str]) -> list[list[str]]:
    """The chart as rows of text."""
    rows = [
        [titles[key], dollars(result.measures[key].alone), dollars(result.measures[key].share)]
        for key in result.ticked
    ]
    return [*rows, [ALL_TOGETHER, dollars(result.sum_alone), dollars(result.saved)]]


TABLE_COLUMNS = ["Measure", "By itself, a year", "Fair share of the set, a year"]
