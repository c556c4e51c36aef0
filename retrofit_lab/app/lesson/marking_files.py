"""Marks files of answers, one or a folder of them, and sums a class up by question and by wrong idea."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from retrofit_lab.app.lesson.command import SHEET, read_answers
from retrofit_lab.app.lesson.wording import marked, points_of, total_of
from retrofit_lab.classroom.marking import (
    Mark,
    NumberQuestion,
    Question,
    chosen_letters,
    mark_all,
)
from retrofit_lab.classroom.scenario import ScenarioError, scenario
from retrofit_lab.classroom.scenario_questions import questions_of
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.classroom.sheet_codes import read_code, sheet_code, sheet_of_code
from retrofit_lab.texts.english_only import sentence

MOST_FILES = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedFile:
    """Answers of one file, the questions that they are for, and their marks."""

    name: str
    answers: Mapping[str, str]
    questions: tuple[Question, ...]
    marks: tuple[Mark, ...]


@cache
def _questions(seed: int, level: int, place: str, told: ScenarioTexts) -> tuple[Question, ...]:
    made = scenario(seed, level, place)
    return tuple(asked.question for asked in questions_of(made, told))


def marked_file(path: Path, seed: int | None, level: int | None, language: str) -> MarkedFile:
    """One file of answers with its marks; the code in it says which sheet it answers, and in which units.

    Raises
    ------
    ScenarioError
        When the file cannot be read, or answers another sheet than the one that was asked for.
    """
    answers = read_answers(path)
    code = answers.get(SHEET, "")
    seed, level = _sheet(path, code, seed, level)
    told = ScenarioTexts(language, read_code(code).system)
    questions = _questions(seed, level, read_code(code).place, told)
    return MarkedFile(
        name=path.name,
        answers=answers,
        questions=questions,
        marks=mark_all(questions, answers, language),
    )


def _sheet(path: Path, code: str, seed: int | None, level: int | None) -> tuple[int, int]:
    """Seed and level by the code in a file, or as asked where it has none."""
    found = sheet_of_code(code) if code.strip() else None
    if code.strip() and seed is not None:
        levels = [level] if level else [1, 2, 3]
        asked = [(seed, one) for one in levels if sheet_code(seed, one) == read_code(code).letters]
        if not asked:
            whose = (
                sentence("lesson_marking_files.other_sheet", seed=found[0], level=found[1])
                if found
                else "another one"
            )
            raise ScenarioError(
                sentence(
                    "lesson_marking_files.sheet_leave",
                    file=path.name,
                    code=code.strip(),
                    whose=whose,
                )
            )
        return asked[0]
    if found:
        return found
    if seed is None:
        raise ScenarioError(sentence("lesson_marking_files.row_sheet", file=path.name))
    return seed, level or 1


def file_lines(found: MarkedFile, language: str) -> Iterator[str]:
    """Marks of a file, a line each, and their sum."""
    told = ScenarioTexts(language)
    for one in found.marks:
        yield told.say("marks.question", key=one.key, sentence=marked(one, language))
    yield total_of(found.marks, language)


def folder_lines(folder: Path, seed: int | None, level: int | None, language: str) -> Iterator[str]:
    """Marks of all files of answers in a folder: a line a file, then by question, then by wrong idea.

    Raises
    ------
    ScenarioError
        When there is no file of answers.
    """
    told = ScenarioTexts(language)
    files = []
    for path in sorted(folder.glob("*.csv"))[:MOST_FILES]:
        try:
            files.append(marked_file(path, seed, level, language))
        except ScenarioError as error:
            yield told.say("marks.not_marked", error=error)
            continue
        yield told.say("marks.one", name=path.name, **points_of(files[-1].marks))
    if not files:
        raise ScenarioError(sentence("lesson_marking_files.holds_file", folder=folder))
    yield from class_lines(files, told)


def class_lines(files: Sequence[MarkedFile], told: ScenarioTexts) -> Iterator[str]:
    """A class by question, and which wrong ideas how many had."""
    yield ""
    yield told.say("marks.sheets", count=len(files))
    for key in sorted({one.key for found in files for one in found.marks}):
        marks = [one for found in files for one in found.marks if one.key == key]
        right = sum(one.right for one in marks)
        share = 100.0 * sum(one.points for one in marks) / sum(one.most for one in marks)
        yield told.say("marks.by_question", key=key, right=right, count=len(marks), share=share)
    yield ""
    yield told.say("marks.ideas")
    ideas = wrong_ideas(files, told)
    for (key, idea), count in ideas.most_common():
        yield told.say("marks.idea", key=key, count=count, idea=idea)
    if not ideas:
        yield told.say("marks.none")


def wrong_ideas(files: Sequence[MarkedFile], told: ScenarioTexts) -> Counter[tuple[str, str]]:
    """How many had which known wrong idea, or chose what is not right, by question."""
    known: Counter[tuple[str, str]] = Counter()
    for found in files:
        for question, one in zip(found.questions, found.marks, strict=True):
            given = found.answers.get(question.key, "")
            known.update((one.key, idea) for idea in _ideas(question, one, given, told))
    return known


def _ideas(question: Question, one: Mark, given: str, told: ScenarioTexts) -> list[str]:
    if isinstance(question, NumberQuestion):
        return [one.sentence] if one.sentence in {slip.idea for slip in question.slips} else []
    wrong = sorted(chosen_letters(question, given) - question.right)
    return [told.say("marks.chose", option=question.options[letter]) for letter in wrong]
