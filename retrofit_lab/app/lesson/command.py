"""What the command line does for the classroom: the notebook of a lesson, and the files and marks of a scenario."""

import argparse
import csv
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

from retrofit_lab.app.lesson.trainer_word import new_word
from retrofit_lab.app.shared.output_file import write_output
from retrofit_lab.app.shared.pdf import print_pdf
from retrofit_lab.app.shared.spreadsheet import csv_text
from retrofit_lab.base.shipped_files import shipped_folder
from retrofit_lab.bills.reading.fuels import fuel_units
from retrofit_lab.classroom.lesson_houses import lesson_house
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lesson_units import SYSTEMS
from retrofit_lab.classroom.lessons import fitted, lesson_numbers, lesson_of, lessons
from retrofit_lab.classroom.scenario import Scenario, ScenarioError, scenario
from retrofit_lab.classroom.scenario_questions import questions_of
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.classroom.sheet_codes import sheet_code
from retrofit_lab.house.file import save_house
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.english_only import sentence

SHEET = "sheet"
"""What answers name the row by that says which sheet they are for."""
MOST_BYTES = 100_000
MOST_ROWS = 200


def lesson_page(
    number: int, *, house: Path | None = None, place: str = "", prices: str = ""
) -> dict[str, Any]:
    """What the page server needs for a lesson: its notebook, its house, and a word for the trainer alone.

    Raises
    ------
    InputError
        When there is no lesson of that number, or it cannot be held with that house, place or prices.
    """
    lesson = lesson_of(number)
    if house or place or prices:
        found = lesson_house(lesson.house, house=house or "", place=place, prices=prices)
        lesson_numbers(lesson, None, found)
    folder = shipped_folder("notebooks") / "classroom"
    notebook = next(folder.glob(f"{lesson.number}_*.ipynb"))
    return {"page": notebook, "trainer": new_word(), "place": place, "own_house": house is not None}


def add_scenario(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    parser = commands.add_parser("scenario", help=sentence("lesson_command.make_invented"))
    parser.add_argument("--seed", type=int, help=sentence("lesson_command.number_invented"))
    parser.add_argument("--level", type=int, help="1 easy to 3 hard; 1 by default")
    parser.add_argument(
        "--place",
        default="",
        help=sentence("lesson_command.address_zip"),
    )
    parser.add_argument(
        "--out", type=Path, default=Path("scenario"), help=sentence("lesson_command.folder_write")
    )
    _add_words(parser)
    parser.add_argument("--pdf", action="store_true", help=sentence("lesson_command.write_pdfs"))
    parser.add_argument("--mark", type=Path, help=sentence("lesson_command.mark_file"))
    parser.set_defaults(run=_run)


def add_lesson_sheet(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand for students' sheets to the command."""
    parser = commands.add_parser("lesson-sheet", help=sentence("lesson_command.write_lesson"))
    parser.add_argument(
        "lesson", type=int, help=sentence("lesson_command.number_lesson", count=len(lessons()))
    )
    parser.add_argument("--out", type=Path, default=Path("lesson.html"), help="file to write")
    parser.add_argument("--house", type=Path, help=sentence("lesson_command.house_file"))
    parser.add_argument("--place", default="", help="address, ZIP code, 'Town, ST' or weather file")
    parser.add_argument("--prices", type=Path, help=sentence("lesson_command.own_prices"))
    _add_words(parser)
    parser.add_argument("--pdf", action="store_true", help=sentence("lesson_command.write_pdf"))
    parser.set_defaults(run=_run_sheet)


def _add_words(parser: argparse.ArgumentParser) -> None:
    """In which language and units a sheet is written."""
    parser.add_argument("--language", default=LANGUAGES[0], choices=LANGUAGES, help="language")
    parser.add_argument("--units", default=SYSTEMS[0], choices=SYSTEMS, help="units")


def _run_sheet(options: argparse.Namespace) -> int:
    # the templates' library is slow to import and only sheets need it
    from retrofit_lab.app.lesson.lesson_sheet import write_lesson_sheet  # noqa: PLC0415

    lesson = lesson_of(options.lesson)
    where = lesson_house(
        lesson.house,
        house=options.house or "",
        place=options.place,
        prices=str(options.prices or ""),
    )
    told = LessonTexts(fitted(lesson, where), options.language, options.units)
    for path in write_lesson_sheet(told, options.out, where, pdf=options.pdf):
        print(path)  # noqa: T201 - the command's output
    return 0


def _run(options: argparse.Namespace) -> int:
    for line in _lines(options):
        print(line)  # noqa: T201 - the command's output
    return 0


def _lines(options: argparse.Namespace) -> Iterator[str]:
    """What a scenario prints: the files that were written, or marks."""
    if options.mark:
        yield from mark_lines(options.mark, options.seed, options.level, options.language)
        return
    if options.seed is None:
        raise ScenarioError(sentence("lesson_command.invented_house"))
    made = scenario(options.seed, options.level or 1, options.place)
    told = ScenarioTexts(options.language, options.units)
    yield from map(str, write_scenario(made, options.out, told, pdf=options.pdf))


def write_scenario(
    made: Scenario, folder: Path, told: ScenarioTexts, *, pdf: bool = False
) -> list[Path]:
    """Write sheet, key, house, bills and a file for answers; each appears whole or not at all.

    Raises
    ------
    InputError
        When the folder cannot be used or nothing can print.
    """
    # the templates' library is slow to import and only sheets need it
    from retrofit_lab.app.lesson.sheets import (  # noqa: PLC0415
        students_sheet,
        trainer_key,
    )

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ScenarioError(
            sentence("lesson_command.folder_cannot", folder=folder, why=error)
        ) from error
    written = [
        write_output(folder / "students.html", students_sheet(made, told)),
        write_output(folder / "trainer.html", trainer_key(made, told)),
        write_output(folder / "bills.csv", bills_csv(made)),
        write_output(folder / "answers.csv", answers_csv(made, told)),
        folder / "house.toml",
    ]
    save_house(made.believed, folder / "house.toml")
    for html in written[:2] if pdf else ():
        print_pdf(html.read_text(encoding="utf-8"), html.with_suffix(".pdf"))
        written.append(html.with_suffix(".pdf"))
    return written


def bills_csv(made: Scenario) -> str:
    """The bills as a table that the program reads."""
    rows = [
        [str(bill.start), str(bill.end), bill.fuel, f"{bill.quantity:.1f}", fuel_units()[bill.fuel]]
        for bill in made.bills.bills
    ]
    return csv_text(["start", "end", "fuel", "quantity", "unit"], rows)


def answers_csv(made: Scenario, told: ScenarioTexts) -> str:
    """A row that names the sheet, and an empty one for each answer."""
    rows = [[asked.question.key, ""] for asked in questions_of(made)]
    named, code = told.catalog["file"], sheet_code(made.seed, made.level, made.place, told.system)
    return csv_text(named["heads"], [[named["sheet"], code], *rows])


def mark_lines(
    path: Path, seed: int | None = None, level: int | None = None, language: str = LANGUAGES[0]
) -> Iterator[str]:
    """Marks of a file of answers, a line each, or of a folder of them, summed up.

    Raises
    ------
    ScenarioError
        When a file cannot be read or answers another sheet.
    """
    # it reads files with what stands below
    from retrofit_lab.app.lesson import marking_files  # noqa: PLC0415

    if path.is_dir():
        return marking_files.folder_lines(path, seed, level, language)
    return marking_files.file_lines(
        marking_files.marked_file(path, seed, level, language), language
    )


def read_answers(path: Path) -> dict[str, str]:
    """Answers by question, from a table with the columns question and answer in any language.

    Raises
    ------
    ScenarioError
        Naming the file, the row and the way out.
    """
    rows = _rows(path)
    heads = [cell.strip().lower() for cell in rows[0][:2]] if rows else []
    names = [ScenarioTexts(language).catalog["file"] for language in LANGUAGES]
    if heads not in [named["heads"] for named in names]:
        raise ScenarioError(sentence("lesson_command.first_row", file=path.name))
    sheet = {named["sheet"]: SHEET for named in names}
    filled = [row for row in rows[1:] if len(row) > 1]
    return {sheet.get(key, key): row[1].lstrip("'") for row in filled for key in [row[0].strip()]}


def _part(text: str) -> str:
    """What parts the columns: a semicolon where the first row has one, as where commas are decimal, or a tab."""
    first = text.partition("\n")[0]
    return next((sign for sign in (";", "\t") if sign in first), ",")


def _rows(path: Path) -> list[list[str]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ScenarioError(
                sentence("lesson_command.larger_than", file=path.name, most=f"{MOST_BYTES:,}")
            )
        with path.open(newline="", encoding="utf-8-sig") as file:
            text = file.read()
        return list(csv.reader(StringIO(text), delimiter=_part(text)))[:MOST_ROWS]
    except FileNotFoundError:
        raise ScenarioError(sentence("lesson_command.such_file", file=path.name)) from None
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ScenarioError(
            sentence("lesson_command.cannot_read", file=path.name, why=error)
        ) from error
