"""Marks files of answers, one or a folder of them, and sums a class up by question and by wrong idea."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from retrofit_lab.app.lesson.command import SHEET, read_answers
from retrofit_lab.app.lesson.wording import marked, total_of
from retrofit_lab.classroom.marking import Mark, NumberQuestion, Question, mark_all
from retrofit_lab.classroom.scenario import (
    Scenario,
    ScenarioError,
    place_of_code,
    scenario,
    sheet_code,
    sheet_letters,
    sheet_of_code,
)
from retrofit_lab.classroom.scenario_questions import questions_of

MOST_FILES = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedFile:
    """Marks of one file of answers, with the questions that they are for."""

    name: str
    questions: tuple[Question, ...]
    marks: tuple[Mark, ...]


@cache
def _made(seed: int, level: int, place: str) -> tuple[Scenario, tuple[Question, ...]]:
    made = scenario(seed, level, place)
    return made, tuple(asked.question for asked in questions_of(made))


def marked_file(path: Path, seed: int | None, level: int | None) -> MarkedFile:
    """One file of answers with its marks; the code in it says which sheet it answers.

    Raises
    ------
    ScenarioError
        When the file cannot be read, or answers another sheet than the one that was asked for.
    """
    answers = read_answers(path)
    code = answers.get(SHEET, "")
    seed, level = _sheet(path, code, seed, level)
    _, questions = _made(seed, level, place_of_code(code))
    return MarkedFile(name=path.name, questions=questions, marks=mark_all(questions, answers))


def _sheet(path: Path, code: str, seed: int | None, level: int | None) -> tuple[int, int]:
    """Seed and level by the code in a file, or as asked where it has none."""
    found = sheet_of_code(code) if code.strip() else None
    if code.strip() and seed is not None:
        levels = [level] if level else [1, 2, 3]
        asked = [(seed, one) for one in levels if sheet_code(seed, one) == sheet_letters(code)]
        if not asked:
            whose = f"that of seed {found[0]} and level {found[1]}" if found else "another one"
            raise ScenarioError(
                f"{path.name}: sheet {code.strip()} is {whose}. Leave --seed out, or mark it with its own."
            )
        return asked[0]
    if found:
        return found
    if seed is None:
        raise ScenarioError(
            f"{path.name}: the row 'sheet' with the code of the sheet is missing or unknown. "
            f"Add --seed and --level."
        )
    return seed, level or 1


def file_lines(found: MarkedFile) -> Iterator[str]:
    """Marks of a file, a line each, and their sum."""
    for one in found.marks:
        yield f"question {one.key}: {marked(one)}"
    yield total_of(found.marks)


def folder_lines(folder: Path, seed: int | None, level: int | None) -> Iterator[str]:
    """Marks of all files of answers in a folder: a line a file, then by question, then by wrong idea.

    Raises
    ------
    ScenarioError
        When there is no file of answers.
    """
    paths = sorted(folder.glob("*.csv"))[:MOST_FILES]
    files = []
    for path in paths:
        try:
            files.append(marked_file(path, seed, level))
        except ScenarioError as error:
            yield f"not marked: {error}"
            continue
        yield f"{path.name}: {total_of(files[-1].marks).removeprefix('together: ')}"
    if not files:
        raise ScenarioError(
            f"{folder}: holds no file of answers that can be marked. Put the students' CSV files there."
        )
    yield from class_lines(files)


def class_lines(files: Sequence[MarkedFile]) -> Iterator[str]:
    """A class by question, and which wrong ideas how many had."""
    yield ""
    yield f"{len(files)} sheets, by question:"
    keys = sorted({one.key for found in files for one in found.marks})
    for key in keys:
        marks = [one for found in files for one in found.marks if one.key == key]
        right = sum(one.right for one in marks)
        share = sum(one.points for one in marks) / sum(one.most for one in marks)
        yield f"  question {key}: {right} of {len(marks)} right, {100 * share:.0f} percent of the points"
    yield ""
    yield "By wrong idea:"
    ideas = wrong_ideas(files)
    for (key, idea), count in ideas.most_common():
        yield f"  {count} in question {key}: {idea}"
    if not ideas:
        yield "  none that is known"


def wrong_ideas(files: Sequence[MarkedFile]) -> Counter[tuple[str, str]]:
    """How many had which known wrong idea, or chose what is not right, by question."""
    known: Counter[tuple[str, str]] = Counter()
    for found in files:
        for question, one in zip(found.questions, found.marks, strict=True):
            known.update((one.key, idea) for idea in _ideas(question, one))
    return known


def _ideas(question: Question, one: Mark) -> list[str]:
    if isinstance(question, NumberQuestion):
        return [one.sentence] if one.sentence in {slip.idea for slip in question.slips} else []
    chosen = re.findall(r"\b([A-Z]) is not it\.", one.sentence)
    return [
        f'chose "{question.options[letter]}"' for letter in chosen if letter in question.options
    ]
