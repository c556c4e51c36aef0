"""What only a rater asks: which fix earns what, where the energy goes, how a number came about."""

from collections.abc import Callable

from retrofit_lab.app.page.asking import Asked, Content
from retrofit_lab.app.shared.figures import end_use_figure
from retrofit_lab.app.shared.shown_units import fuel_amount, shown
from retrofit_lab.app.shared.sizing_wording import sizing_sentences
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import Words
from retrofit_lab.base.fuels import fuels
from retrofit_lab.study.energy_attribution import Pair, Saving, who_saves
from retrofit_lab.study.explanation import TOPICS

MOST_PAIRS = 5
LEAST_TOLD = 1.0
"""Overlap of a pair below which it is not told. [dollars/year]"""
LEAST_USED = 0.5
DOLLARS, CO2 = 0, 1
"""Places among what savings can be counted in; fuels follow."""


def shares(asked: Asked) -> Content:
    """What each fix saves alone, last and by fair share, and which pairs overlap."""
    if not asked.ticked:
        return asked.only("panel.shares.none")
    place = asked.number("counted")
    fuel = list(fuels())[place - 2] if place > CO2 else ""
    if fuel and fuel not in {name for name, _ in asked.advice.study.uses}:
        return {"sentences": [asked.say("panel.shares.no_fuel", fuel=asked.say(f"fuel.{fuel}"))]}
    account, told = who_saves(asked.advice.study, asked.ticked), _teller(asked, place, fuel)
    rows = [
        [asked.told.titles[part.key], *(told(s) for s in (part.alone, part.last, part.share))]
        for part in account.parts
    ]
    rows.append([asked.say("panel.shares.all"), "", "", told(account.whole)])
    return {
        "sentences": [asked.say("panel.shares.lead")],
        "table": {"columns": asked.told.all("panel.shares.columns"), "rows": rows},
        "heading": asked.say("panel.shares.heading"),
        "items": [
            _pair(asked, pair, told)
            for pair in account.pairs[:MOST_PAIRS]
            if abs(pair.lost.cost) >= LEAST_TOLD
        ],
    }


def _teller(asked: Asked, place: int, fuel: str) -> Callable[[Saving], str]:
    """Says a saving in what it is counted in."""
    if fuel:
        return lambda saving: _of_fuel(asked.told.words, saving.energy[fuel], fuel)
    if place == CO2:
        return lambda saving: asked.told.co2(saving.co2)
    return lambda saving: dollars(saving.cost)


def _pair(asked: Asked, pair: Pair, told: Callable[[Saving], str]) -> str:
    return asked.say(
        "panel.shares.lost" if pair.lost.cost > 0 else "panel.shares.won",
        first=asked.told.titles[pair.first],
        second=asked.told.name(pair.second),
        lost=told(pair.lost),
        within=told(pair.within),
        why=asked.told.plain(asked.told.words.names.word(pair.why)),
    )


def sizing(asked: Asked) -> Content:
    """What a contractor sizes new equipment by, as the house stands and with the plan."""
    study = asked.advice.study
    found, done = study.sizing(), study.sizing(asked.ticked)
    return {"sentences": sizing_sentences(found, done, asked.told.words)}


def where_it_goes(asked: Asked) -> Content:
    """What the energy is used for, now and with the plan."""
    before, after, told = asked.result.before.energy, asked.result.after.energy, asked.told
    rows = [
        [
            asked.say(
                "panel.uses.of_fuel", use=asked.say(f"use.{use}"), fuel=asked.say(f"fuel.{fuel}")
            ),
            _of_fuel(told.words, used, fuel),
            _of_fuel(told.words, after[fuel, use], fuel),
        ]
        for (fuel, use), used in before.items()
        if max(used, after[fuel, use]) >= LEAST_USED
    ]
    names = {name: asked.say(f"panel.uses.{name}") for name in ("now", "then", "axis")}
    uses = {use: asked.say(f"use.{use}") for use in asked.result.after.cost_by_use}
    sentence = asked.say("panel.uses.sentence")
    return {
        "sentences": [sentence],
        "chart": {"figure": end_use_figure(asked.result, uses, names), "sentence": sentence},
        "table": {"columns": told.all("panel.uses.columns"), "rows": rows},
    }


def behind_the_numbers(asked: Asked) -> Content:
    """Formula, inputs with source and steps of one mechanism."""
    found = asked.advice.study.explain(list(TOPICS)[asked.number("topic")])
    words = asked.told.words
    language = words.language
    rows = [
        [
            item.path,
            _with_unit(words, item.value, item.unit),
            asked.say("panel.numbers.default" if item.assumed else "panel.numbers.given"),
            item.source,
        ]
        for item in found.inputs
    ]
    return {
        "sentences": [found.formula_said(language)],
        "heading": asked.say("panel.numbers.heading"),
        "items": [
            f"{asked.told.plain(step.said(language))}: {_with_unit(words, step.value, step.unit)}"
            for step in found.steps
        ],
        "table": {"columns": asked.told.all("panel.numbers.columns"), "rows": rows},
    }


def _with_unit(words: Words, value: float, written: str) -> str:
    number, unit = shown(value, written, words.system)
    return f"{number:,.4g} {words.names.word(unit)}".strip()


def _of_fuel(words: Words, used: float, fuel: str) -> str:
    number, unit = fuel_amount(used, fuel, words.system)
    return f"{number:,.0f} {words.names.word(unit)}"
