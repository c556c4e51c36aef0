"""The page's view of bills against the model: sentences, points against weather, what is peculiar."""

from collections.abc import Mapping
from typing import Any

from retrofit_lab.app.shared.figures import KEPT, PLAIN, Figure
from retrofit_lab.app.shared.shown_units import US, Telling, shown
from retrofit_lab.bills.fitting.house_fit import Compared
from retrofit_lab.money.terms import fuels
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.billed import BilledHouse
from retrofit_lab.study.results import PlanResult

NO_BILLS = (
    "No bills were given. With a year of bills the house is fitted to what it really used: add a line "
    'bills = "bills.csv" to the house file, or start the page with --bills FILE.'
)


def bills_against_model(
    advice: Advice, _result: PlanResult, values: Mapping[str, float], telling: Telling
) -> dict[str, Any]:
    """How well bills and model agree, fuel by fuel, and what is peculiar."""
    billed = advice.study.billed
    if billed is None:
        return {"sentences": [NO_BILLS]}
    fuel = list(fuels())[int(values["fuel"])]
    compared = next((c for c in billed.fit.compared if c.fuel == fuel), None)
    sentences = [*billed.bills.read, *billed.verdict]
    if compared is None:
        sentences.append(f"There are no bills for {fuels()[fuel].name}.")
    else:
        sentences += [compared.sentence, *_moved(billed)]
    content: dict[str, Any] = {
        "sentences": sentences,
        "heading": "Peculiar, and what to look for",
        "items": [f"{found.sentence} {found.look_for}" for found in billed.peculiar],
        "table": _end_uses(advice, billed),
    }
    if compared is not None:
        figure = bills_figure(compared, telling.units)
        content["chart"] = {"figure": figure, "sentence": compared.sentence}
    return content


def _moved(billed: BilledHouse, most: int = 3) -> list[str]:
    labels: dict[str, str] = {}
    for number in billed.fit.moved:
        labels.setdefault(
            number.label, f"{number.label} from {number.before:.3g} to {number.after:.3g}"
        )
    if not labels:
        return []
    told = "; ".join(list(labels.values())[:most])
    return [f"To agree, these moved farthest within their ranges: {told}."]


def _end_uses(advice: Advice, billed: BilledHouse) -> dict[str, Any]:
    rows = [
        [
            row.end_use.replace("_", " "),
            f"{row.share:.0%} ({row.share_low:.0%} to {row.share_high:.0%})",
            f"{row.usual.low:.0%} to {row.usual.high:.0%} ({row.usual.of})" if row.usual else "",
        ]
        for row in billed.end_uses(advice.study.climate)
    ]
    return {
        "columns": ["Energy for", "Share here", "Usual (common practice, no source)"],
        "rows": rows,
    }


def bills_figure(compared: Compared, units: str = US) -> Figure:
    """Billed use and the fitted model against the outdoor temperature, a point for each bill."""
    unit, degree = fuels()[compared.fuel].unit, shown(0.0, "F", units)[1]
    marks = {"billed": (PLAIN, "circle", compared.billed), "model": (KEPT, "x", compared.after)}
    traces = [
        {
            "type": "scatter",
            "name": name,
            "mode": "markers",
            "x": [shown(degrees, "F", units)[0] for degrees in compared.temperature.tolist()],
            "y": values.tolist(),
            "marker": {"color": color, "symbol": symbol, "size": 10},
        }
        for name, (color, symbol, values) in marks.items()
    ]
    layout = {
        "height": 320,
        "template": {},
        "margin": {"l": 10, "r": 10, "t": 10, "b": 40},
        "legend": {"orientation": "h", "y": 1.1},
        "font": {"size": 13, "color": "#1c1c1c"},
        "xaxis": {
            "title": {"text": f"mean outdoor temperature of the bill, {degree}"},
            "automargin": True,
        },
        "yaxis": {
            "title": {"text": f"{unit} in the bill"},
            "automargin": True,
            "rangemode": "tozero",
        },
        "paper_bgcolor": "#ffffff",
        "plot_bgcolor": "#ffffff",
    }
    return {"data": traces, "layout": layout}
