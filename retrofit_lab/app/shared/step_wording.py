"""Steps of a proposal, and what to look at first, as plain sentences; layout and money are the pages' own."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from retrofit_lab.app.shared.wording import dollars, lowered
from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.base.parameters import parameters
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.proposals.known import FINDING, MADE, SAID, Evidence
from retrofit_lab.proposals.look_first import LookFirst
from retrofit_lab.proposals.steps import FACT, OWN, SETTLE, Proposal, Step
from retrofit_lab.safety.hazards import hazards

PAGE = "steps"
SHARE = "1"
"""Unit of plain numbers; those that end at 1 are told in percent."""


class HasOffers(Protocol):
    """A study, or whatever else knows the measures of a house by their keys."""

    def offer(self, key: str) -> Offer:
        """Offer of a key."""


@dataclass(frozen=True)
class StepWords:
    """What is said of the steps of one study in the language and units of ``words``."""

    study: HasOffers
    words: Words

    @cached_property
    def said(self) -> Words:
        """Sentences about steps."""
        return words(self.words.language, self.words.system, PAGE)

    def title(self, step: Step) -> str:
        """What a step is called."""
        if step.kind == OWN:
            return step.title
        if step.kind == SETTLE:
            return self.words.names.hazard(hazards()[step.key])["title"]
        return self.measure(step.key)

    def measure(self, key: str) -> str:
        """Title of a measure of the house."""
        return self.words.names.title(self.study.offer(key).measure)

    def in_short(self, step: Step) -> str:
        """What a step is, in about five words; empty where it is no measure."""
        if step.kind in (OWN, SETTLE):
            return ""
        return self.words.names.in_short(self.study.offer(step.key).measure)

    def phase(self, phase: str) -> str:
        """Heading of a phase."""
        return self.said.say(f"phase.{phase}")

    def who(self, step: Step) -> str:
        """Who does a step."""
        if step.kind == SETTLE:
            return self.words.names.hazard(hazards()[step.key])["settled_by"]
        return self.said.say(f"doer.{step.doer}")

    def kind(self, step: Step) -> str:
        """Why a step is there at all."""
        if not step.in_plan:
            return self.said.say("kind.beside")
        return self.said.say(
            "kind.needed" if step.needed and step.kind == OWN else f"kind.{step.kind}"
        )

    def why(self, step: Step) -> list[str]:
        """What speaks for a step here, a sentence for each kind of evidence; that nothing does where nothing does."""
        found: dict[str, list[str]] = {}
        for (kind, what), places in self._together(step.evidence).items():
            place = "" if kind == SAID else self.said.names.parts(places)
            told = self.said.say("why.place", what=what, place=place) if place else what
            found.setdefault(kind, []).append(told)
        sentences = [
            self.said.say(f"why.{kind}", what="; ".join(told)) for kind, told in found.items()
        ]
        return sentences or [self.said.say("why.none")]

    def _together(self, evidence: Iterable[Evidence]) -> Mapping[tuple[str, str], list[str]]:
        """Equal evidence of several parts of the house once, with the labels of the parts."""
        found: dict[tuple[str, str], list[str]] = {}
        for item in evidence:
            places = found.setdefault((item.kind, self._evidence(item)), [])
            if item.place and item.place not in places:
                places.append(item.place)
        return {key: places for key, places in found.items() if key[1]}

    def _evidence(self, item: Evidence) -> str:
        if item.kind == FINDING:
            return lowered(self.words.names.observation(item.key))
        if item.kind == SAID:
            return item.note
        if item.kind == FACT:
            return self.said.say(f"fact.{item.key}")
        return self.said.say("why.number", what=self.number(item.key), value=self._value(item))

    def number(self, name: str) -> str:
        """What a number is called."""
        return (
            self.said.say("number.made")
            if name == MADE
            else self.words.names.parameter(parameters()[name])
        )

    def _value(self, item: Evidence) -> str:
        if item.value is None:
            return item.note
        share = item.unit == SHARE and parameters()[item.key].legal_high <= 1.0
        return f"{item.value:.0%}" if share else self.words.quantity(item.value, item.unit)

    def order(self, step: Step, steps: Sequence[Step]) -> list[str]:
        """What a step waits for, what comes before it, and with which of the steps it is done in one visit."""
        return list(self._order(step, steps))

    def _order(self, step: Step, steps: Sequence[Step]) -> Iterator[str]:
        if step.held_by:
            held = [self.words.names.hazard(hazard)["title"] for hazard in step.held_by]
            yield self.said.say("order.waits", titles="; ".join(held))
        elif step.waits:
            yield self.said.say("order.waits_too")
        if step.after:
            yield self.said.say("order.after", names=_names(map(self.measure, step.after)))
        others = [s for s in steps if s.visit == step.visit and s.key != step.key]
        if step.visit and others:
            yield self.said.say("order.visit", names=_names(map(self.title, others)))

    def startable(self, proposed: Proposal) -> str:
        """What of a plan can start now, where some of it waits; empty where nothing does."""
        chosen = set(proposed.result.ticked)
        waits = [step.waits for step in proposed.steps if step.key in chosen]
        if not any(waits):
            return ""
        if all(waits):
            return self.said.say("order.none_now")
        cost, saving = proposed.startable
        return self.said.say("order.now", cost=dollars(cost.likely), saving=dollars(saving))

    def done(self, step: Step) -> str:
        """How one knows that a step was done well; empty where nothing says it."""
        if step.kind == SETTLE:
            told = self.words.names.hazard(hazards()[step.key])
            return self.said.say("done.settle", test=told["release"], who=told["settled_by"])
        if step.kind == OWN:
            return ""
        test = self.words.names.done_when(self.study.offer(step.key).measure)
        return self.said.say("done.measure", test=test) if test else ""

    def look_heading(self) -> tuple[str, str]:
        """Title and lead of what to look at first."""
        return self.said.say("look.title"), self.said.say("look.lead")

    def look_at(self, item: LookFirst) -> list[str]:
        """What to find out before a measure is a step, and what that could bring."""
        return list(self._look_at(item))

    def _look_at(self, item: LookFirst) -> Iterator[str]:
        if item.questions:
            yield self.said.say("look.numbers", names="; ".join(map(self.number, item.questions)))
        if item.words:
            seen = (lowered(self.words.names.observation(word)) for word in item.words)
            yield self.said.say("look.words", names="; ".join(seen))
        if item.could_bring:
            low, high = item.could_bring.low, max(item.could_bring.high, 0.0)
            key = "look.could" if low >= 0.0 else "look.could_cost"
            yield self.said.say(key, low=dollars(low), high=dollars(high), cost=dollars(-low))
        if item.change and item.change >= 1.0:
            yield self.said.say("look.matters", amount=dollars(item.change))
        if item.in_plan:
            yield self.said.say("look.in_plan")


def _names(titles: Iterable[str]) -> str:
    return "; ".join(map(lowered, titles))
