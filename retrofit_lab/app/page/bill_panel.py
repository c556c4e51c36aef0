"""Bills against the model, a question of the page: sentences, points against weather, and what is unusual."""

from typing import TYPE_CHECKING, Any

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.shared.figures import KEPT, PLAIN, Figure
from retrofit_lab.app.shared.shown_units import US, shown
from retrofit_lab.base.fuels import fuels
from retrofit_lab.texts import LANGUAGES

if TYPE_CHECKING:  # a page without bills does without a fifteenth of a page's memory
    from retrofit_lab.bills.fitting.house_fit import Compared, NumberMoved
    from retrofit_lab.study.billed import BilledHouse

MOST_MOVED = 3


def bills_against_model(asked: Asked) -> Content:
    """How well bills and model agree, fuel by fuel, and what is unusual."""
    billed = asked.advice.study.billed
    if billed is None:
        return asked.only("panel.bills.none")
    fuel = list(fuels())[asked.number("fuel")]
    compared = next((c for c in billed.fit.compared if c.fuel == fuel), None)
    english = asked.told.words.language == LANGUAGES[0]
    language = asked.told.words.language
    sentences = list(billed.bills.read) if english else []
    sentences += [verdict.sentence(language) for verdict in billed.fit.verdicts]
    content: Content = {"sentences": sentences, "table": _end_uses(asked, billed)}
    items = [found.told(language) for found in billed.peculiar]
    content |= {"heading": asked.say("panel.bills.heading"), "items": items}
    if compared is None:
        sentences.append(asked.say("panel.bills.none_fuel", fuel=asked.say(f"fuel.{fuel}")))
        return content
    sentences += [_difference(asked, compared), *_moved(asked, billed)]
    figure = bills_figure(compared, asked)
    return {**content, "chart": {"figure": figure, "sentence": asked.say("panel.bills.chart")}}


def _difference(asked: Asked, compared: "Compared") -> str:
    difference = f"{compared.criteria_after.nmbe:+.0%}"
    return asked.say(
        "panel.bills.compared", difference=difference, fuel=asked.say(f"fuel.{compared.fuel}")
    )


def _moved(asked: Asked, billed: "BilledHouse") -> list[str]:
    labels: dict[str, str] = {}
    for number in billed.fit.moved:
        labels.setdefault(number.label, _moved_one(asked, number))
    if not labels:
        return []
    return [asked.say("panel.bills.moved", numbers="; ".join(list(labels.values())[:MOST_MOVED]))]


def _moved_one(asked: Asked, number: "NumberMoved") -> str:
    words = asked.told.words
    before, after = (words.quantity(value, number.unit) for value in (number.before, number.after))
    what = words.names.parameter_named(number.label)
    return asked.say("panel.bills.moved_one", what=what, before=before, after=after)


def _end_uses(asked: Asked, billed: "BilledHouse") -> dict[str, Any]:
    say = asked.say
    rows = [
        [
            say(f"use.{row.end_use}"),
            say(
                "panel.bills.share",
                share=f"{row.share:.0%}", low=f"{row.share_low:.0%}", high=f"{row.share_high:.0%}",
            ),
            say("panel.bills.usual", low=f"{row.usual.low:.0%}", high=f"{row.usual.high:.0%}")
            if row.usual
            else "",
        ]
        for row in billed.end_uses(asked.advice.study.climate)
    ]  # fmt: skip
    return {"columns": asked.told.all("panel.bills.columns"), "rows": rows}


def bills_figure(compared: "Compared", asked: Asked) -> Figure:
    """Billed use and the fitted model against the outdoor temperature, a point for each bill."""
    system, say = asked.told.words.system, asked.say
    unit, degree = fuels()[compared.fuel].unit, "°F" if system == US else shown(0.0, "F", system)[1]
    marks = {
        say("panel.bills.billed"): (PLAIN, "circle", compared.billed),
        say("panel.bills.model"): (KEPT, "x", compared.after),
    }
    traces = [
        {
            "type": "scatter",
            "name": name,
            "mode": "markers",
            "x": [shown(degrees, "F", system)[0] for degrees in compared.temperature.tolist()],
            "y": values.tolist(),
            "marker": {"color": color, "symbol": symbol, "size": 10},
        }
        for name, (color, symbol, values) in marks.items()
    ]
    axes = {
        "xaxis": say("panel.bills.axis_degrees", unit=degree),
        "yaxis": say("panel.bills.axis_energy", unit=asked.told.words.names.word(unit)),
    }
    layout: dict[str, Any] = {
        "height": 320,
        "template": {},
        "margin": {"l": 10, "r": 10, "t": 10, "b": 40},
        "legend": {"orientation": "h", "y": 1.1},
        "font": {"size": 13},
        "paper_bgcolor": "#ffffff",
        "plot_bgcolor": "#ffffff",
        **{name: {"title": {"text": text}, "automargin": True} for name, text in axes.items()},
    }
    layout["yaxis"] |= {"rangemode": "tozero"}
    return {"data": traces, "layout": layout}
