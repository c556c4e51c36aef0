"""A student's sheet of one lesson on one page: guess, boxes, pencil question and room to work; it holds no answer."""

from pathlib import Path
from typing import Any

from retrofit_lab.app.lesson.sheet_pages import sheet_page
from retrofit_lab.app.lesson.wording import number, with_minus
from retrofit_lab.app.shared.output_file import write_output
from retrofit_lab.app.shared.pdf import print_pdf
from retrofit_lab.classroom.lesson_houses import LessonHouse
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lessons import lesson_numbers, start_values


def lesson_sheet(told: LessonTexts, where: LessonHouse | None = None) -> str:
    """The sheet as a page that needs nothing else."""
    title = told.say("page.title", number=told.lesson.number, title=told.own["title"])
    return sheet_page("lesson_sheet.html.j2", title, _content(told, where))


def write_lesson_sheet(
    told: LessonTexts, path: Path, where: LessonHouse | None = None, *, pdf: bool = False
) -> list[Path]:
    """Write the sheet, and print it where asked."""
    text = lesson_sheet(told, where)
    written = [write_output(path, text)]
    if pdf:
        print_pdf(text, path.with_suffix(".pdf"))
        written.append(path.with_suffix(".pdf"))
    return written


def _content(told: LessonTexts, where: LessonHouse | None) -> dict[str, Any]:
    lesson, own = told.lesson, told.own
    facts = told.facts(lesson_numbers(lesson, None, where).facts)
    values = start_values(lesson, where)

    def filled(text: str) -> str:
        return with_minus(text.format(**facts))

    return {
        "language": told.language,
        "texts": {**told.catalog["page"], **told.catalog["sheet"]},
        "aim": own["aim"],
        "about": filled(own["about"]),
        "caution": list(own.get("caution", ())),
        "predict": filled(own["predict"]),
        "unit": told.unit(lesson.guess.unit),
        "boxes_title": own.get("boxes_title", told.say("page.try")),
        "try_note": told.say("page.try_note", watched=own["watched"]),
        "boxes": [
            (told.box_label(box), number(told.shown(values[box.name], box.unit)))
            for box in lesson.boxes
            if box.name in values
        ],
        "hand": filled(told.hand.text),
        "given": [(name, with_minus(value)) for name, value in told.hand.shown(facts)],
        "finds": [step.finds for step in told.hand.steps],
        "further": [filled(text) for text in own["further"]],
    }
