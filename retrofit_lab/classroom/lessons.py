"""The lessons as records, read from ``data/lessons.toml``, and their numbers for a house that boxes may change."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from types import MappingProxyType
from typing import Any

from retrofit_lab.base.records import shipped_table
from retrofit_lab.base.values import InputError
from retrofit_lab.classroom import (
    air_lessons,
    bill_lesson,
    house_lessons,
    moisture_lessons,
    money_lessons,
    pump_lesson,
)
from retrofit_lab.classroom.lesson_houses import LessonHouse, lesson_house
from retrofit_lab.classroom.lesson_numbers import LessonNumbers, Workings
from retrofit_lab.classroom.working import arithmetic
from retrofit_lab.house.paths import number_at
from retrofit_lab.study.study import Study
from retrofit_lab.texts.refusals import told

WORKINGS: Mapping[str, Workings] = MappingProxyType(
    {
        "heat": house_lessons.where_heat_goes,
        "label": house_lessons.label_and_installed,
        "air": air_lessons.blower_door_to_winter,
        "together": money_lessons.savings_do_not_add,
        "worth": money_lessons.is_it_worth_it,
        "bills": bill_lesson.read_the_bills,
        "draft": air_lessons.fans_and_flues,
        "moisture": moisture_lessons.dew_on_the_glass,
        "zones": air_lessons.zones_at_fifty,
        "ducts": air_lessons.heat_in_the_ducts,
        "budget": money_lessons.choose_under_a_budget,
        "balance": pump_lesson.where_the_pump_is_enough,
        "infrared": moisture_lessons.wall_in_infrared,
        "client": money_lessons.what_to_promise,
    }
)
REVEALED: Mapping[str, Any] = MappingProxyType(
    {"worth": money_lessons.how_sure, "client": money_lessons.how_sure_of_the_plan}
)
"""Facts that only the reveal tells, since they take longer than the rest."""
WHOLE_TERMS = ("period_years",)
LEAST = 1e-9


class LessonError(InputError):
    """A lesson that is not there, or a house that it cannot be held with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A number that students may change: numbers of the house, a term of money, or the lesson's own."""

    name: str
    low: float
    high: float
    step: float = 1.0
    scale: float = 1.0
    unit: str = ""
    paths: tuple[str, ...] = ()
    term: str = ""
    value: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """A wrong idea that a guess gives away: the guess lies between two numbers, written as sums of facts."""

    name: str
    low: str
    high: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """The number that students guess: which fact, its unit, bounds and step; ``ideas`` are known wrong ones."""

    fact: str
    unit: str
    low: float
    high: float
    step: float = 1.0
    ideas: tuple[Idea, ...] = ()
    steps: tuple[Mapping[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HandNumbers:
    """The question that is worked out with a pencil: its fact, its lines, and numbers of wrong ideas as sums of facts.

    An answer is right ``within`` a share of it [1] or ``least`` in its unit.
    """

    fact: str
    unit: str
    within: float
    steps: tuple[Mapping[str, str], ...]
    slips: Mapping[str, str]
    least: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One lesson in numbers; its words stand in the catalog under its key.

    ``watched`` is the fact that goes up or down with the boxes. In a ``puzzle`` the boxes come before the answer,
    which opens when the fact ``puzzle`` has fallen to `NEAR_ENOUGH` times the fact ``best``. ``needs`` are places
    that its house must have.
    """

    number: int
    key: str
    house: str
    minutes: int
    guess: Guess
    boxes: tuple[Box, ...]
    hand: HandNumbers
    watched: str
    units: Mapping[str, str] = field(default_factory=dict)
    measures: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    puzzle: str = ""
    best: str = ""


@cache
def lessons() -> tuple[Lesson, ...]:
    """All lessons by number."""
    return tuple(_lesson(row) for row in shipped_table("lessons.toml")["lesson"])


def lesson_of(number: int) -> Lesson:
    """Lesson of a number.

    Raises
    ------
    LessonError
        When there is none.
    """
    for lesson in lessons():
        if lesson.number == number:
            return lesson
    known = ", ".join(str(lesson.number) for lesson in lessons())
    raise LessonError(told("lesson.no_lesson", number=number, known=known))


def lesson_study(
    lesson: Lesson, values: Mapping[str, float] | None = None, where: LessonHouse | None = None
) -> Study:
    """Study of a lesson's house, or of a house of one's own, changed by what is in its boxes.

    Raises
    ------
    LessonError
        When the house has not what the lesson is about.
    """
    found, given = where or lesson_house(lesson.house), values or {}
    _check_house(lesson, found)
    lesson = fitted(lesson, found)
    changes: dict[str, float] = {}
    terms: dict[str, Any] = {}
    for box in lesson.boxes:
        if box.name not in given:
            continue
        value = given[box.name] / box.scale
        changes |= dict.fromkeys(box.paths, value)
        if box.term:
            terms[box.term] = round(value) if box.term in WHOLE_TERMS else value
    return found.study(changes, lesson.measures, terms)


def _check_house(lesson: Lesson, where: LessonHouse) -> None:
    missing = [path for path in lesson.needs if not _has(where, path)]
    if missing:
        raise LessonError(
            told("lesson.lacks", name=where.name, number=lesson.number, known=", ".join(missing))
        )


def fitted(lesson: Lesson, where: LessonHouse | None) -> Lesson:
    """The lesson with the boxes that a house has, each wide enough for the house's own number."""
    if where is None or not where.own:
        return lesson
    kept = [box for box in lesson.boxes if all(_has(where, path) for path in box.paths)]
    return replace(lesson, boxes=tuple(_wide_enough(box, where) for box in kept))


def _wide_enough(box: Box, where: LessonHouse) -> Box:
    value = _start(box, where)
    return replace(box, low=min(box.low, value), high=max(box.high, value))


def _has(where: LessonHouse, path: str) -> bool:
    try:
        number_at(where.house, path)
    except (InputError, KeyError, AttributeError):
        return False
    return True


def start_values(lesson: Lesson, where: LessonHouse | None = None) -> dict[str, float]:
    """What is in each box at first: the house's own number, or the lesson's."""
    found = where or lesson_house(lesson.house)
    return {box.name: _start(box, found) for box in fitted(lesson, found).boxes}


def _start(box: Box, where: LessonHouse) -> float:
    value = box.value
    if box.paths:
        value = float(number_at(where.house, box.paths[0])) * box.scale
    elif box.term:
        value = float(getattr(where.terms, box.term)) * box.scale
    return round(value, 6)


def lesson_numbers(
    lesson: Lesson, values: Mapping[str, float] | None = None, where: LessonHouse | None = None
) -> LessonNumbers:
    """Numbers of a lesson, as its house is or as the boxes change it.

    Raises
    ------
    InputError
        When the house cannot be changed so.
    """
    if where is None and (not values or values == start_values(lesson)):
        return _as_shipped(lesson.number)
    return _worked_out(lesson, values, where)


@cache
def _as_shipped(number: int) -> LessonNumbers:
    """Numbers of a lesson with its own house as it is; asked for by every page and sheet of it."""
    return _worked_out(lesson_of(number), None, None)


def _worked_out(
    lesson: Lesson, values: Mapping[str, float] | None, where: LessonHouse | None
) -> LessonNumbers:
    lesson = fitted(lesson, where)
    own = {
        box.name: box.value / box.scale for box in lesson.boxes if not box.paths and not box.term
    }
    given = {
        box.name: values[box.name] / box.scale
        for box in lesson.boxes
        if values and box.name in values
    }
    chosen = own | {name: value for name, value in given.items() if name in own}
    study = lesson_study(lesson, values, where)
    missing = [key for key in lesson.measures if key not in study.keys]
    if missing and where is not None:
        raise LessonError(
            told("lesson.no_fit", name=where.name, number=lesson.number, known=", ".join(missing))
        )
    return WORKINGS[lesson.key](study, chosen)


def reveal_facts(lesson: Lesson, where: LessonHouse | None = None) -> Mapping[str, float]:
    """Facts that the reveal names beyond the lesson's own numbers."""
    if lesson.key not in REVEALED:
        return {}
    if where is None:
        return _revealed_as_shipped(lesson.number)
    facts: Mapping[str, float] = REVEALED[lesson.key](lesson_study(lesson, None, where))
    return facts


@cache
def _revealed_as_shipped(number: int) -> Mapping[str, float]:
    lesson = lesson_of(number)
    facts: Mapping[str, float] = REVEALED[lesson.key](lesson_study(lesson))
    return facts


def slip_values(lesson: Lesson, facts: Mapping[str, float]) -> dict[str, float]:
    """Numbers that wrong ideas lead to, by the name of the idea; from the facts as they are shown."""
    return {name: arithmetic(work, facts) for name, work in lesson.hand.slips.items()}


def idea_of(lesson: Lesson, guess: float, facts: Mapping[str, float]) -> str:
    """Name of the wrong idea that a guess gives away, or nothing; all as shown."""
    for idea in lesson.guess.ideas:
        low, high = (arithmetic(work, facts) for work in (idea.low, idea.high))
        if min(low, high) - LEAST <= guess <= max(low, high) + LEAST:
            return idea.name
    return ""


def moved(before: float, after: float) -> str:
    """Which way a number went: "up", "down" or "same", within a thousandth."""
    if abs(after - before) <= 1e-3 * max(abs(before), abs(after), LEAST):
        return "same"
    return "up" if after > before else "down"


def _lesson(row: Mapping[str, Any]) -> Lesson:
    plain = {name: _frozen(value) for name, value in row.items()}
    guess = dict(row["guess"])
    guess["ideas"] = tuple(Idea(**idea) for idea in guess.get("ideas", ()))
    plain["guess"] = Guess(**{name: _frozen(value) for name, value in guess.items()})
    plain["boxes"] = tuple(
        Box(**{name: _frozen(value) for name, value in box.items()}) for box in row["boxes"]
    )
    plain["hand"] = HandNumbers(**{name: _frozen(value) for name, value in row["hand"].items()})
    return Lesson(**plain)


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
