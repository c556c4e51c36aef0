"""Turns the work of each trade into sentences: what, where, how much, what to measure, who holds what, a price."""

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Any

from retrofit_lab.app.report.pictures import Picture
from retrofit_lab.app.report.view_measures import Titles, marks_of
from retrofit_lab.app.report.view_photos import photos as taken_at
from retrofit_lab.app.shared.sizing_wording import load_sentences
from retrofit_lab.app.shared.wording import lowered
from retrofit_lab.app.shared.words import Words
from retrofit_lab.base.units import R_UNIT
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.proposals.content import ReportContent
from retrofit_lab.proposals.contractors import (
    ADD,
    DEPTH,
    DUCT_TEST,
    WEIGHT,
    Scope,
    Target,
    Task,
)
from retrofit_lab.proposals.steps import LICENSED
from retrofit_lab.safety.cautions import TIERS

SIZES = "heating"
"""Trade that chooses the size of heating and cooling equipment."""
MOST_PHOTOS = 4
"""Photos on one page of a trade; all are in the appendix."""
ESTIMATED = ("ft2", "ft", "Btu/h")
"""Units of what is measured, not counted: bidders measure it again."""
HOLDERS = (
    ("trades.rater", "trades.rater_holds"),
    ("trades.contractor", "trades.contractor_holds"),
    ("trades.owner", "trades.owner_holds"),
)


def trades(
    content: ReportContent,
    found: Sequence[Scope],
    words: Words,
    titles: Titles,
    photos: Sequence[Picture] = (),
) -> list[dict[str, Any]]:
    """Pages for contractors."""
    return [_trade(content, scope, words, titles, photos) for scope in found]


def _trade(
    content: ReportContent, scope: Scope, words: Words, titles: Titles, photos: Sequence[Picture]
) -> dict[str, Any]:
    return {
        "key": scope.trade,
        "title": words.say("trades.scope", trade=words.say(f"trade.{scope.trade}")),
        "tasks": [
            {"number": number, **task_cells(content, task, words, titles)}
            for number, task in enumerate(scope.tasks, 1)
        ],
        **_cautions(scope, words),
        "before": words.say(f"trade_before.{scope.trade}"),
        "after": words.say(f"trade_after.{scope.trade}"),
        "leakage": leakage(content, scope, words),
        "sizing": _sizing(content, scope, words),
        "holds": list(_holds(content, scope, words)),
        "photos": taken_at([photo for photo in photos if photo.stop in scope.stops], words)[
            :MOST_PHOTOS
        ],
    }


def _cautions(scope: Scope, words: Words) -> dict[str, Any]:
    """What stops the work or is tested first in full; what trades know while they work by its titles.

    What a hazard holds says itself who settles it, and is not said twice.
    """
    held = {hazard.caution for hazard in scope.holds}
    others = [raised for raised in scope.cautions if raised.caution.key not in held]
    told = [(raised.tier, words.names.caution(raised.caution)) for raised in others]
    known = [lowered(text[0]) for tier, text in told if tier == TIERS[-1]]
    return {
        "cautions": [text[:2] for tier, text in told if tier != TIERS[-1]],
        "also": words.say("trades.also", titles="; ".join(known)) if known else "",
    }


def leakage(content: ReportContent, scope: Scope, words: Words) -> str:
    """Reading and target of the blower door where the trade seals anything."""
    if not scope.seals or not _tightens(content):
        return ""
    before, after = (words.flow(round(flow, -1)) for flow in content.leakage)
    return words.say("trades.leakage", before=before, after=after)


def _sizing(content: ReportContent, scope: Scope, words: Words) -> list[str]:
    """Design loads for the trade that sizes heating and cooling equipment."""
    if scope.trade != SIZES:
        return []
    return list(load_sentences(*content.sizing, words))


def _tightens(content: ReportContent) -> bool:
    return content.leakage[0] != content.leakage[1]


def _holds(content: ReportContent, scope: Scope, words: Words) -> Iterator[tuple[str, str]]:
    """Who must settle, allow, test or clear what."""
    marks = marks_of(content)
    for hazard in scope.holds:
        said = words.names.hazard(hazard)
        yield said["settled_by"], f"{marks[hazard.key]}: {said['title']}. {said['release']}"
    yield from ((words.say(who), words.say(what)) for who, what in HOLDERS)


def task_cells(content: ReportContent, task: Task, words: Words, titles: Titles) -> dict[str, Any]:
    """One line to price: the work, where, how much, what to measure, when it is done."""
    step = task.step
    return {
        "key": step.key,
        "title": titles[step.key],
        "held": "; ".join(words.names.hazard(hazard)["title"] for hazard in step.held_by),
        "marks": ", ".join(marks_of(content)[hazard.key] for hazard in step.held_by),
        "needed": words.say("trades.needed") if step.needed or not step.in_plan else "",
        "places": words.names.parts(task.places),
        "targets": list(_measured(content, task, words)),
        **_of_measure(task, words),
    }


def _of_measure(task: Task, words: Words) -> dict[str, str]:
    """How much, with what, and when it is done; of the rater's own line why, and by whom."""
    if task.offer is not None:
        measure = task.offer.measure
        quantity = quantity_of(task.offer, words)
        if measure.cost.unit.split(" ")[0] in ESTIMATED:
            quantity = words.say("trades.about", quantity=quantity)
        return {
            "quantity": quantity,
            "materials": words.names.materials(measure),
            "done": words.names.done_when(measure),
        }
    why = " ".join(item.note for item in task.step.evidence)
    licensed = words.say("trades.licensed") if task.step.doer == LICENSED else ""
    said = words.say("trades.own", why=why) if why else ""
    return {
        "quantity": "",
        "materials": " ".join(filter(None, (said, licensed))),
        "done": words.say("trades.own_done"),
    }


def _measured(content: ReportContent, task: Task, words: Words) -> Iterator[str]:
    """What is measured when a task is done; of sealing, what the blower door shows when all of it is."""
    yield from target_sentences(task.targets, words)
    if task.seals and _tightens(content):
        yield words.say("target.blower_door", after=words.flow(round(content.leakage[1], -1)))


def quantity_of(offer: Offer, words: Words) -> str:
    """How much of a measure there is in the house."""
    number, unit = words.measure_quantity(offer.quantity, offer.measure.cost.unit)
    told = f"{number:,.0f}"
    return f"{told} {unit if told == '1' else words.several(offer.measure.cost.unit, unit)}"


def target_sentence(target: Target, words: Words) -> str:
    """What to measure at which place, and what it must show."""
    return next(target_sentences([target], words))


def target_sentences(targets: Sequence[Target], words: Words) -> Iterator[str]:
    """The same for several targets, what is alike at several places told once."""
    places: dict[str, list[str]] = {}
    for target in targets:
        places.setdefault(_told(target, words), []).append(target.place)
    for told, at in places.items():
        place = words.names.parts(dict.fromkeys(filter(None, at)))
        first = f"{told[:1].upper()}{told[1:]}"
        yield words.say("target.at", place=place, target=told) if place else first


def _told(target: Target, words: Words) -> str:
    if target.kind == DEPTH:
        return _depth(target, words)
    if target.kind == WEIGHT:
        number, unit = words.number(target.reach, "lb")
        return words.say("target.weight", weight=f"{round(number, -1):,.0f} {unit}")
    if target.kind == DUCT_TEST:
        flows = {"now": words.flow(target.now or 0.0), "reach": words.flow(target.reach)}
        return words.say("target.duct_test", **flows)
    return _number(target, words)


def _number(target: Target, words: Words) -> str:
    """A number of the house, at least or at most."""
    rule = target.rule
    if rule is None:
        return ""
    share = rule.unit == "1" and rule.name.endswith("efficiency") and target.reach <= 1.0
    value = f"{target.reach:.0%}" if share else words.quantity(target.reach, rule.unit)
    if rule.unit == "cfm":
        value = words.flow(ceil(target.reach) if target.at_least else target.reach)
    if target.kind == ADD:
        return words.say("target.add", value=value)
    key = "target.at_least" if target.at_least else "target.at_most"
    return words.say(key, what=words.names.parameter(rule), value=value)


def _depth(target: Target, words: Words) -> str:
    cellulose, fiberglass = (_length(depth, words) for depth in target.depths)
    return words.say(
        "target.depth",
        r=words.quantity(target.reach, R_UNIT),
        cellulose=cellulose,
        fiberglass=fiberglass,
        count=target.count,
    )


def _length(inches: float, words: Words) -> str:
    """A depth of fill, rounded up as one lays it."""
    number, unit = words.number(inches, "inch")
    return f"{ceil(number - 0.05):,.0f} {unit}"
