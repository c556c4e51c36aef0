"""Words of one lesson in one language and system of units: its texts with numbers in them, and its hand question."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from retrofit_lab.classroom.hand import Hand, hand_of
from retrofit_lab.classroom.lesson_numbers import LessonNumbers
from retrofit_lab.classroom.lesson_units import US_SYSTEM, facts_shown, unit_of
from retrofit_lab.classroom.lessons import Box, Lesson, slip_values
from retrofit_lab.classroom.marking import NumberQuestion
from retrofit_lab.classroom.working import Line, worked
from retrofit_lab.texts import LANGUAGES, catalog

PAGE = "lessons"
FIGURES = 4
"""Figures of a number in a box when it was converted."""
Facts = dict[str, Any]


@dataclass(frozen=True)
class LessonTexts:
    """One lesson told in a language, with numbers in a system of units."""

    lesson: Lesson
    language: str = LANGUAGES[0]
    system: str = US_SYSTEM

    @cached_property
    def catalog(self) -> Mapping[str, Any]:
        """Sentences of all lessons."""
        return catalog(self.language, PAGE)

    @cached_property
    def own(self) -> Mapping[str, Any]:
        """Sentences of this lesson."""
        found: Mapping[str, Any] = self.catalog[self.lesson.key]
        return found

    @cached_property
    def units(self) -> dict[str, str]:
        """How units are written, by their names."""
        return written_units(self.language, self.system)

    def say(self, key: str, **blanks: object) -> str:
        """Sentence of the page by its key, such as ``"said.answer"``."""
        found: Any = self.catalog
        for name in key.split("."):
            found = found[name]
        return str(found).format(**blanks) if blanks else str(found)

    def facts(self, facts: Mapping[str, float]) -> Facts:
        """What the blanks of a text are filled with: facts as they are shown, and units."""
        return {**facts_shown(facts, self.lesson.units, self.system), **self.units}

    def filled(self, texts: Sequence[str], facts: Facts) -> list[str]:
        """Texts with their blanks filled."""
        return [text.format(**facts) for text in texts]

    def word(self, name: str, default: str = "") -> str:
        """What a label of a chart is called."""
        own = self.own.get("words", {})
        return str(own.get(name, self.catalog["words"].get(name, default or name)))

    def box_label(self, box: Box) -> str:
        """Name of a box."""
        return str(self.own["boxes"][box.name]).format(**self.units)

    def unit(self, name: str) -> str:
        """How a unit is written behind a number or a box; an R comes before its number."""
        return self.units.get(name, "").rstrip("-")

    @cached_property
    def hand(self) -> Hand:
        """The question that is worked out with a pencil."""
        numbers = self.lesson.hand
        bounds = {"steps": numbers.steps, "within": numbers.within, "least": numbers.least}
        return hand_of(self.own["hand"], bounds, self.unit(numbers.unit))

    def question(self, numbers: LessonNumbers) -> NumberQuestion:
        """The hand question, ready to be marked in the units that are shown."""
        facts = self.facts(numbers.facts)
        answer = float(facts[self.lesson.hand.fact])
        slips = slip_values(self.lesson, facts_shown(numbers.facts, self.lesson.units, self.system))
        return self.hand.question(self.lesson.key, facts, answer, slips)

    def guess_way(self, facts: Facts) -> tuple[str, ...]:
        """The way to the first guess, line by line; nothing where it needs the model."""
        steps = self.lesson.guess.steps
        found = self.own.get("guess_finds", ())
        lines = [Line(**{**step, "finds": said}) for step, said in zip(steps, found, strict=True)]
        return tuple(line.text for line in worked(lines, facts))

    def shown(self, value: float, unit: str) -> float:
        """A number as it is in a box."""
        return shown_in_box(value, unit, self.system)


def written_units(language: str, system: str) -> dict[str, str]:
    """How units are written in a language and a system, by their names."""
    written: Mapping[str, Mapping[str, str]] = catalog(language, PAGE)["unit"]
    return {**written["all"], **written[system]}


def shown_in_box(value: float, unit: str, system: str) -> float:
    """A number as it is in a box: as it is, or converted and as fine as people read it."""
    changed = unit_of(unit).shown(value, system)
    return value if changed == value else float(f"{changed:.{FIGURES}g}")


def read_from_box(sent: float, unit: str, system: str, now: float) -> float:
    """A number of a box in the unit of the trade; what was not changed stays as exact as it was."""
    if abs(sent - shown_in_box(now, unit, system)) < 1e-9:
        return now
    return unit_of(unit).read(sent, system)
