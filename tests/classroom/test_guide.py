"""The trainer's guide: every line of its hand calculations is right, and they end at the program's answers."""

import re

import pytest

from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.classroom.lessons import lesson_numbers, lessons

GUIDE = (shipped_folder("notebooks") / "classroom" / "GUIDE.md").read_text(encoding="utf-8")
LINE = re.compile(r"^\d+\. [^:]+: ([-\d.,() ×÷−+^]+) = ([−\d.,]+)", re.MULTILINE)
PROGRAM = re.compile(r"^The program says ([−\d.,]+) .*?: ([−\d.,]+) ", re.MULTILINE)
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
    text, numbers = part(lesson.number), lesson_numbers(lesson)
    lines = LINE.findall(text)
    assert len(lines) == len(lesson.hand.steps)
    for work, result in lines:
        assert by_pencil(work) == pytest.approx(value(result), abs=half_a_digit(result)), work
    assert value(lines[-1][1]) == pytest.approx(numbers.answer, rel=0.004), ADVICE
    said, guessed = PROGRAM.search(text).groups()
    assert value(said) == pytest.approx(numbers.answer, rel=0.004), ADVICE
    assert value(guessed) == pytest.approx(numbers.guessed, rel=0.004), ADVICE


@pytest.mark.parametrize("lesson", lessons(), ids=lambda lesson: lesson.key)
def test_every_lesson_has_time_aims_and_pitfalls(lesson) -> None:
    text = part(lesson.number)
    assert text.splitlines()[0] == f"## Lesson {lesson.number}: {lesson.title}"
    assert re.search(r"\*\*Time\.\*\* \d+ minutes", text)
    for heading in ("**Aims.**", "**Pitfalls.**", "**By hand.**"):
        assert heading in text
    assert text.count("\n- ") >= 3 + len(lesson.hand.given)


@pytest.mark.parametrize("lesson", lessons(), ids=lambda lesson: lesson.key)
def test_given_numbers_are_those_of_the_page(lesson) -> None:
    text, facts = part(lesson.number), lesson_numbers(lesson).facts
    for name, shown in lesson.hand.given:
        (said,) = re.findall(rf"^- {re.escape(name.format(**facts))}: (.*)$", text, re.MULTILINE)
        for ours, printed in zip(
            re.findall(r"\d[\d.,]*", shown.format(**facts)),
            re.findall(r"\d[\d.,]*", said),
            strict=True,
        ):
            assert value(ours.rstrip(".,")) == pytest.approx(
                value(printed.rstrip(".,")), rel=0.01
            ), ADVICE
