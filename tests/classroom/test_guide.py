"""The trainer's guide: every line of its hand calculations is right, and they end at the program's answers."""

import re

import pytest

from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lessons import lesson_numbers, lessons

GUIDE = (shipped_folder("notebooks") / "classroom" / "GUIDE.md").read_text(encoding="utf-8")
LINE = re.compile(r"^\d+\. [^:]+: ([-\d.,() ×÷−+^]+) = ([−\d.,]+)", re.MULTILINE)
PROGRAM = re.compile(r"^The program says (?:R-)?([−\d.,]*\d).*?: (?:R-)?([−\d.,]*\d)", re.MULTILINE)
ADVICE = "run python tests/classroom/write_guide.py and read what it changed"


def part(number: int) -> str:
    assert f"## Lesson {number}:" in GUIDE, f"GUIDE.md has no chapter on lesson {number}"
    start = GUIDE.index(f"## Lesson {number}:")
    return GUIDE[start : GUIDE.index("\n## ", start + 1)]


def value(text: str) -> float:
    return float(text.replace(",", "").replace("−", "-"))


def by_pencil(work: str) -> float:
    """Shares nothing with the program's own arithmetic."""
    signs = {"×": "*", "÷": "/", "−": "-", "^": "**", ",": ""}
    for sign, meant in signs.items():
        work = work.replace(sign, meant)
    return eval(work, {"__builtins__": {}})  # noqa: S307 - only digits and signs match LINE


def half_a_digit(text: str) -> float:
    return 0.5000001 * 10.0 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("lesson", lessons(), ids=lambda lesson: lesson.key)
def test_lines_are_right_and_end_at_the_programs_answer(lesson) -> None:
    text, facts = part(lesson.number), lesson_numbers(lesson).facts
    answer, guess = facts[lesson.hand.fact], facts[lesson.guess.fact]
    lines = LINE.findall(text)[: len(lesson.hand.steps)]
    assert len(lines) == len(lesson.hand.steps)
    for work, result in lines:
        assert by_pencil(work) == pytest.approx(value(result), abs=half_a_digit(result)), work
    allowed = max(lesson.hand.within * abs(answer), lesson.hand.least)
    assert value(lines[-1][1]) == pytest.approx(answer, abs=allowed), ADVICE
    said, guessed = PROGRAM.search(text).groups()
    assert value(said) == pytest.approx(answer, abs=half_a_digit(said)), ADVICE
    assert value(guessed) == pytest.approx(guess, rel=0.006), ADVICE


@pytest.mark.parametrize("lesson", lessons(), ids=lambda lesson: lesson.key)
def test_every_lesson_has_time_aims_pitfalls_and_answers(lesson) -> None:
    text, told = part(lesson.number), LessonTexts(lesson)
    assert text.splitlines()[0] == f"## Lesson {lesson.number}: {told.own['title']}"
    assert f"**Time.** {lesson.minutes} minutes" in text
    for heading in ("**Aims.**", "**Pitfalls.**", "**By hand.**"):
        assert heading in text
    assert text.count("\n- ") >= 3 + len(told.hand.given)
    answers = text[text.index("**Go further: answers.**") :]
    assert len(re.findall(r"^\d\. \S.{40,}", answers, re.MULTILINE)) == len(told.own["further"])


@pytest.mark.parametrize("lesson", lessons(), ids=lambda lesson: lesson.key)
def test_every_wrong_idea_stands_in_the_table_with_its_number(lesson) -> None:
    text, told = part(lesson.number), LessonTexts(lesson)
    rows = re.findall(r"^\| (first guess|pencil) \| ([^|]+) \| (.+) \|$", text, re.MULTILINE)
    slips = told.question(lesson_numbers(lesson)).slips
    assert len(rows) == len(slips) + len(lesson.guess.ideas)
    for slip in slips:
        (said,) = (number for _, number, idea in rows if idea == slip.idea)
        assert value(said) == pytest.approx(slip.value, rel=0.006), ADVICE


@pytest.mark.parametrize("lesson", lessons(), ids=lambda lesson: lesson.key)
def test_given_numbers_are_those_of_the_page(lesson) -> None:
    text, told = part(lesson.number), LessonTexts(lesson)
    for name, shown in told.hand.shown(told.facts(lesson_numbers(lesson).facts)):
        (said,) = re.findall(rf"^- {re.escape(name)}: (.*)$", text, re.MULTILINE)
        numbers = (re.findall(r"\d[\d.,]*", told_in.rstrip(".")) for told_in in (shown, said))
        for ours, printed in zip(*numbers, strict=True):
            assert value(ours.rstrip(".,")) == pytest.approx(
                value(printed.rstrip(".,")), rel=0.01
            ), ADVICE
