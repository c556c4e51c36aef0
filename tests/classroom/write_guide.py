"""Writes what the trainer's guide has from the program again: python tests/classroom/write_guide.py.

Hand calculations, the numbers of wrong ideas and the answers to "Go further" stand between two marks in each
chapter; all else in the guide is written by hand.
"""

import re
import tomllib
from pathlib import Path

from retrofit_lab.app.lesson.wording import number, with_minus, with_unit
from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.classroom.lesson_numbers import LessonNumbers
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lessons import lesson_numbers, lessons, start_values
from retrofit_lab.classroom.working import arithmetic, worked

GUIDE = shipped_folder("notebooks") / "classroom" / "GUIDE.md"
ANSWERS = tomllib.loads(Path(__file__).with_name("guide_answers.toml").read_text(encoding="utf-8"))
BLOCK = r"(?s)(<!-- numbers of lesson {number} -->\n).*?(<!-- end -->)"


def block(told: LessonTexts) -> str:
    """Everything of one chapter that comes from the program."""
    numbers = lesson_numbers(told.lesson)
    parts = [*hand_lines(told, numbers), "", *idea_lines(told, numbers), "", *answer_lines(told)]
    return with_minus("\n".join(parts)) + "\n"


def hand_lines(told: LessonTexts, numbers: LessonNumbers) -> list[str]:
    """Givens, lines, and what the program says."""
    facts, hand = told.facts(numbers.facts), told.hand
    done = worked(hand.steps, facts)
    question = told.question(numbers)
    said = format(question.answer, hand.steps[-1].form)
    guessed = facts[told.lesson.guess.fact]
    return [
        hand.text.format(**facts),
        "",
        *(f"- {name}: {value}" for name, value in hand.shown(facts)),
        "",
        *(f"{place}. {line.text}" for place, line in enumerate(done, start=1)),
        "",
        f"The program says {with_unit(said, question.unit)}. The answer to the first guess: "
        f"{with_unit(number(guessed), told.unit(told.lesson.guess.unit))}.",
    ]


def idea_lines(told: LessonTexts, numbers: LessonNumbers) -> list[str]:
    """A table of the numbers that wrong ideas give, of the guess and of the hand calculation."""
    facts = told.facts(numbers.facts)
    plain = {name: value for name, value in facts.items() if not isinstance(value, str)}
    rows = [
        "**Wrong ideas.** Whoever writes this had that idea:",
        "",
        "| where | number | idea |",
        "|---|---|---|",
    ]
    for idea in told.lesson.guess.ideas:
        text = told.own["ideas"][idea.name].format(**facts)
        low, high = (number(arithmetic(work, plain)) for work in (idea.low, idea.high))
        rows.append(f"| first guess | {low} to {high} | {text} |")
    rows += [
        f"| pencil | {number(slip.value)} | {slip.idea} |" for slip in told.question(numbers).slips
    ]
    return rows


def answer_lines(told: LessonTexts) -> list[str]:
    """What is right about the two questions that go further."""
    lines = ["**Go further: answers.**", ""]
    for place, answer in enumerate(ANSWERS[told.lesson.key], start=1):
        values = start_values(told.lesson) | answer.get("values", {})
        facts = told.facts(lesson_numbers(told.lesson, values).facts)
        lines.append(f"{place}. {answer['text'].format(**facts)}")
    return lines


def written(text: str) -> str:
    """The guide with all its numbers worked out."""
    for lesson in lessons():
        found = LessonTexts(lesson)
        text = re.sub(
            BLOCK.format(number=lesson.number),
            lambda match, found=found: f"{match[1]}{block(found)}{match[2]}",
            text,
        )
    return text


if __name__ == "__main__":
    GUIDE.write_text(written(GUIDE.read_text(encoding="utf-8")), encoding="utf-8")
