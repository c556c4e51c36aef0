"""The lessons as records, read from ``data/lessons.toml``, and their numbers for a house that boxes may change."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from retrofit_lab.base.records import shipped_table
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.classroom.bill_lesson import read_the_bills
from retrofit_lab.classroom.hand import Hand, hand_from_table
from retrofit_lab.classroom.house_lessons import (
    blower_door_to_winter,
    label_and_installed,
    where_heat_goes,
)
from retrofit_lab.classroom.lesson_numbers import LessonNumbers, Workings
from retrofit_lab.classroom.marking import NumberQuestion
from retrofit_lab.classroom.money_lessons import how_sure, is_it_worth_it, savings_do_not_add
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.measures.catalogue import catalogue
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study.study import Study

WORKINGS: Mapping[str, Workings] = MappingProxyType(
    {
        "heat": where_heat_goes,
        "label": label_and_installed,
        "air": blower_door_to_winter,
        "together": savings_do_not_add,
        "worth": is_it_worth_it,
        "bills": read_the_bills,
    }
)
WHOLE_TERMS = ("period_years",)
SURE = "worth"
"""Lesson whose reveal tells how sure the saving is; this takes longer than the rest."""


class LessonError(InputError):
    """A lesson that is not there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A number that students may change: numbers of the house, a term of money, or the lesson's own."""

    name: str
    label: str
    low: float
    high: float
    step: float = 1.0
    scale: float = 1.0
    paths: tuple[str, ...] = ()
    term: str = ""
    value: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Predict:
    """The number that students guess, with its bounds."""

    text: str
    unit: str
    low: float
    high: float
    step: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """One lesson; its texts name facts in braces."""

    number: int
    key: str
    title: str
    house: str
    about: str
    aim: str
    predict: Predict
    reveal: tuple[str, ...]
    explore: tuple[Box, ...]
    explored: tuple[str, ...]
    hand: Hand
    extension: tuple[str, ...]
    measures: tuple[str, ...] = ()
    boxes_title: str = "Change the house"


@cache
def lessons() -> tuple[Lesson, ...]:
    """All lessons by number."""
    rows = shipped_table("lessons.toml")["lesson"]
    return tuple(_lesson(row) for row in rows)


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
    raise LessonError(f"there is no lesson {number}. Choose one of {known}.")


def lesson_study(lesson: Lesson, values: Mapping[str, float] | None = None) -> Study:
    """Study of a lesson's house, changed by what stands in its boxes."""
    given = values or {}
    house = load_house(data_path("houses", f"{lesson.house}.toml"))
    changes: dict[str, float] = {}
    terms: dict[str, Any] = {}
    for box in lesson.explore:
        if box.name not in given:
            continue
        value = given[box.name] / box.scale
        changes |= dict.fromkeys(box.paths, value)
        if box.term:
            terms[box.term] = round(value) if box.term in WHOLE_TERMS else value
    wanted = [m for m in catalogue() if m.key in lesson.measures] if lesson.measures else None
    return Study(with_numbers(house, changes), measures=wanted, terms=MoneyTerms(**terms))


def start_values(lesson: Lesson) -> dict[str, float]:
    """What stands in each box at first: the house's own number, or the lesson's."""
    house = load_house(data_path("houses", f"{lesson.house}.toml"))
    terms = MoneyTerms()
    values = {}
    for box in lesson.explore:
        value = box.value
        if box.paths:
            value = float(number_at(house, box.paths[0])) * box.scale
        elif box.term:
            value = float(getattr(terms, box.term)) * box.scale
        values[box.name] = round(value, 6)
    return values


def lesson_numbers(lesson: Lesson, values: Mapping[str, float] | None = None) -> LessonNumbers:
    """Numbers of a lesson, as its house is or as the boxes change it.

    Raises
    ------
    InputError
        When the house cannot be changed so.
    """
    own = {box.name for box in lesson.explore if not box.paths and not box.term}
    given = {name: value for name, value in (values or {}).items() if name in own}
    return WORKINGS[lesson.key](lesson_study(lesson, values), given)


def reveal_facts(lesson: Lesson) -> Mapping[str, float]:
    """Facts that the reveal names beyond the lesson's own numbers."""
    return how_sure(lesson_study(lesson)) if lesson.key == SURE else {}


def hand_question(lesson: Lesson, numbers: LessonNumbers) -> NumberQuestion:
    """The question of a lesson, ready to be marked."""
    return lesson.hand.question(lesson.key, numbers.facts, numbers.answer, numbers.slips)


def _lesson(row: Mapping[str, Any]) -> Lesson:
    plain = {name: _frozen(value) for name, value in row.items()}
    plain["predict"] = Predict(**row["predict"])
    plain["explore"] = tuple(
        Box(**{name: _frozen(value) for name, value in box.items()}) for box in row["explore"]
    )
    plain["hand"] = hand_from_table(row["hand"])
    return Lesson(**plain)


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
