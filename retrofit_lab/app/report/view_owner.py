"""The owner's two pages: what was found, the plan by phases, promised against real, this weekend, what we need."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby, islice
from typing import Any

from markupsafe import Markup

from retrofit_lab.app.report.view_measures import Titles, marks_of, saves
from retrofit_lab.app.shared.section_drawing import arrows, drawn_parts, section_drawing
from retrofit_lab.app.shared.step_wording import StepWords
from retrofit_lab.app.shared.svg import markup
from retrofit_lab.app.shared.wording import dollars, lowered
from retrofit_lab.app.shared.words import Words
from retrofit_lab.house.parts import LOSING
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.proposals.content import ReportContent, UseRow
from retrofit_lab.proposals.look_first import LookFirst
from retrofit_lab.proposals.steps import SETTLE, Step

MOST_NAMED = 3
"""Uses, ways out of the house and findings that one sentence names."""
MOST_ASKED = 3
LINES_OF_A_PAGE = 21
"""Steps and headings up to which the whole plan stands on the second page, with what belongs to it."""


def beside(content: ReportContent, words: Words) -> list[dict[str, str]]:
    """Work beside the plan: what it is and where, why, what it costs, and who does it."""
    said = StepWords(Offers(content), words)
    return [
        {
            "title": said.title(step),
            "where": words.names.parts(step.where),
            "why": " ".join(said.why(step)),
            "cost": words.cost(step.cost) if step.cost else words.say("owner.ask_price"),
            "who": said.who(step),
        }
        for step in content.proposal.beside
    ]


@dataclass(frozen=True)
class Offers:
    """Measures of a report by their keys."""

    content: ReportContent

    def offer(self, key: str) -> Offer:
        """Offer of a measure that the report speaks of."""
        known = [step.offer for step in self.content.order.steps]
        known += [item.offer for item in self.content.considered]
        return next(offer for offer in known if offer.key == key)


def owner(content: ReportContent, words: Words, titles: Titles) -> dict[str, Any]:
    """Everything that stands on the owner's pages."""
    said = StepWords(Offers(content), words)
    return {
        "found": list(_found(content, words)),
        "drawing": drawing(content, words),
        "phases": phases(content, said),
        "short": _lines(content) <= LINES_OF_A_PAGE,
        "total": _total(content, words),
        "startable": said.startable(content.proposal),
        "bars": bars(content, words) if saves(content) else [],
        "asked": list(_asked(content, said)),
        "weekend": "; ".join(lowered(titles[step.key]) for step in content.weekend),
    }


def _found(content: ReportContent, words: Words) -> Iterator[str]:
    """Three sentences: what the year costs, where the heat goes, what the walk turned up."""
    result, say = content.result, words.say
    uses = words.joined(_use(row, words) for row in content.uses[:MOST_NAMED])
    yield say("owner.costs", cost=dollars(result.before.cost), uses=uses)
    ways = (
        say("owner.way", name=say(f"part.{part}"), percent=f"{share:.0%}")
        for part, share in content.ways_out[:MOST_NAMED]
    )
    yield say("owner.leaves", ways=words.joined(ways))
    seen = [lowered(words.names.observation(s.key)) for s in content.observations if not s.remedy]
    if seen:
        more = len(seen) - MOST_NAMED
        key = "owner.seen_more" if more > 0 else "owner.seen"
        yield say(key, seen=words.joined(seen[:MOST_NAMED]), more=more)


def _use(row: UseRow, words: Words) -> str:
    return words.say(
        "owner.use", use=lowered(words.say(f"use.{row.use}")), cost=dollars(row.cost_before)
    )


def drawing(content: ReportContent, words: Words) -> Markup:
    """The house in a cut with its heat losses, as markup of our own drawing."""
    section = content.section
    titles = {part: words.say(f"part.{part}") for part in drawn_parts(section, LOSING)}
    shares = {part: 100.0 * share for part, share in content.ways_out}
    drawn = arrows(section, shares, None)
    numbers = {part: f"{shares.get(part, 0.0):.0f}%" for part in titles}
    return Markup(  # noqa: S704 - numbers and our own words; texts are escaped where it is written
        markup(section_drawing(section, titles), drawn, numbers)
    )


def phases(content: ReportContent, said: StepWords) -> list[dict[str, Any]]:
    """Steps under the heading of their phase, with cost, saving, who and what they wait for."""
    marks = marks_of(content)
    return [
        {"title": said.phase(phase), "steps": [_row(step, said, marks) for step in group]}
        for phase, group in groupby(content.proposal.steps, key=lambda step: step.phase)
    ]


def _lines(content: ReportContent) -> int:
    """Lines of the plan's table: its steps and the headings of their phases."""
    steps = content.proposal.steps
    return len(steps) + len({step.phase for step in steps})


def _row(step: Step, said: StepWords, marks: Mapping[str, str]) -> dict[str, Any]:
    say, cost, span = said.words.say, step.cost, step.span
    priced = say("owner.ask_price") if cost is None else _money(cost.low, cost.high, said.words)
    saves = _money(span.low, span.high, said.words) if span else ""
    if step.needed or not step.in_plan:
        saves = say("owner.needed")
    waits = ", ".join(marks[hazard.key] for hazard in step.held_by)
    return {
        "title": said.title(step),
        "in_short": said.in_short(step),
        "cost": priced,
        "saves": saves,
        "who": said.who(step),
        "waits": say("owner.waits", marks=waits) if waits else "",
    }


def _money(low: float, high: float, words: Words) -> str:
    """A range of dollars, or one number where both ends are the same."""
    if round(high) <= 0 and round(low) <= 0:
        return words.say("owner.nothing")
    low = max(low, 0.0)
    return dollars(high) if round(low) == round(high) else f"{dollars(low)}–{dollars(high)[1:]}"


def _total(content: ReportContent, words: Words) -> dict[str, str]:
    cost, whole, span = content.result.cost, content.proposal.cost, content.order.saving
    beside = whole.high > cost.high + 1.0
    saved = words.say("owner.a_year", money=_money(span.low, span.high, words))
    return {
        "cost": _money(cost.low, cost.high, words),
        "beside": _money(whole.low - cost.low, whole.high - cost.high, words) if beside else "",
        "saves": saved if saves(content) else words.say("owner.needed"),
    }


def bars(content: ReportContent, words: Words) -> list[dict[str, Any]]:
    """Promised one by one, together, and in real houses, as bars on one scale. width [percent]"""
    result, span = content.result, content.order.saving
    whole = max(result.sum_alone, result.saved, span.high, 1.0)
    rows = (
        ("owner.added_up", 0.0, result.sum_alone, dollars(result.sum_alone)),
        ("owner.together", 0.0, result.saved, dollars(result.saved)),
        (
            "owner.real",
            span.low,
            span.high,
            words.say("owner.from_to", low=dollars(span.low), high=dollars(span.high)),
        ),
    )
    return [
        {
            "name": words.say(key),
            "from": max(100.0 * low / whole, 0.0),
            "width": max(100.0 * (high - max(low, 0.0)) / whole, 0.5),
            "value": value,
        }
        for key, low, high, value in rows
    ]


def _tells(item: LookFirst) -> bool:
    """Whether looking could bring money that is worth a sentence."""
    return item.could_bring is None or item.could_bring.high >= 1.0


def _asked(content: ReportContent, said: StepWords) -> Iterator[str]:
    """What the rater and the contractors need from the owner."""
    say = said.words.say
    if any(step.phase == SETTLE for step in content.proposal.steps):
        yield say("owner.settle", phase=said.phase(SETTLE))
    telling = (item for item in content.proposal.look_first if _tells(item))
    for item in islice(telling, MOST_ASKED):
        yield say(
            "owner.look",
            title=lowered(said.measure(item.key)),
            what=" ".join(said.look_at(replace(item, change=0.0))),
        )
    yield say("owner.bids")
