"""A question that is worked out with a pencil, as texts with names in braces; the numbers come from elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.classroom.marking import NumberQuestion, Slip
from retrofit_lab.classroom.working import Line, worked


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Texts of one question; ``slips`` say what went wrong, by the idea's name."""

    text: str
    unit: str
    within: float
    way: str
    given: tuple[tuple[str, str], ...]
    steps: tuple[Line, ...]
    slips: Mapping[str, str]
    least: float = 0.0

    def question(
        self, key: str, facts: Mapping[str, Any], answer: float, slips: Mapping[str, float]
    ) -> NumberQuestion:
        """The question with its numbers, ready to be marked."""
        return NumberQuestion(
            key=key,
            text=self.text.format(**facts),
            unit=self.unit.format(**facts),
            answer=answer,
            within=self.within,
            least=self.least,
            way=self.way.format(**facts),
            slips=tuple(
                Slip(value=value, idea=self.slips[name].format(**facts))
                for name, value in slips.items()
            ),
        )

    def shown(self, facts: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
        """What the page gives to work with: names and values."""
        return tuple((name.format(**facts), value.format(**facts)) for name, value in self.given)

    def lines(self, facts: Mapping[str, Any]) -> tuple[str, ...]:
        """The way to the answer, line by line."""
        return tuple(line.text for line in worked(self.steps, facts))


def hand_of(words: Mapping[str, Any], numbers: Mapping[str, Any], unit: str) -> Hand:
    """A question from its words in one language, and from the sums and bounds that the data has for all of them."""
    steps = zip(numbers["steps"], words["finds"], strict=True)
    return Hand(
        text=words["text"],
        unit=unit,
        within=numbers["within"],
        least=numbers.get("least", 0.0),
        way=words["way"],
        given=tuple((name, value) for name, value in words["given"]),
        steps=tuple(Line(**step, finds=found) for step, found in steps),
        slips=words["slips"],
    )
