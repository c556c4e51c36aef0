"""Writes the hand calculations of the trainer's guide again from the program: python tests/classroom/write_guide.py."""

import re

from retrofit_lab.app.lesson.wording import number
from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.classroom.lessons import Lesson, lesson_numbers, lessons
from retrofit_lab.classroom.working import worked

GUIDE = shipped_folder("notebooks") / "classroom" / "GUIDE.md"
BLOCK = r"(?s)(<!-- numbers of lesson {number} -->\n).*?(<!-- end -->)"


def block(lesson: Lesson) -> str:
    """Givens, lines and what the program says, for one lesson."""
    numbers = lesson_numbers(lesson)
    hand, facts = lesson.hand, numbers.facts
    lines = [f"{hand.text.format(**facts)}", ""]
    lines += [f"- {name.format(**facts)}: {shown.format(**facts)}" for name, shown in hand.given]
    lines += [""]
    done = worked(hand.steps, facts)
    lines += [f"{place}. {line.text}" for place, line in enumerate(done, start=1)]
    said = format(numbers.answer, hand.steps[-1].form).replace("-", "−")
    lines += [
        "",
        f"The program says {said} {hand.unit}. The answer to the first guess: {number(numbers.guessed)} {lesson.predict.unit}.",
        "",
    ]
    return "\n".join(lines)


def written(text: str) -> str:
    """The guide with all its numbers worked out."""
    for lesson in lessons():
        text = re.sub(
            BLOCK.format(number=lesson.number),
            lambda found, lesson=lesson: f"{found[1]}{block(lesson)}{found[2]}",
            text,
        )
    return text


if __name__ == "__main__":
    GUIDE.write_text(written(GUIDE.read_text(encoding="utf-8")), encoding="utf-8")
