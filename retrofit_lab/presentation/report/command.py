"""The ``report`` subcommand: which files it writes, and where."""

import argparse
import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from retrofit_lab.house.file import load_house
from retrofit_lab.presentation.report.bids import compare_bids, has_bids, read_bids
from retrofit_lab.presentation.report.bills_beside import bills_beside
from retrofit_lab.presentation.report.content import Maker, report_content
from retrofit_lab.presentation.report.contractors import scopes
from retrofit_lab.presentation.report.html import report_html
from retrofit_lab.presentation.report.leave_behind import leave_behind
from retrofit_lab.presentation.report.pdf import print_pdf
from retrofit_lab.presentation.report.sets import all_sets, best_choice
from retrofit_lab.presentation.report.tables import Table, csv_text, report_tables, workbook
from retrofit_lab.presentation.report.words import LANGUAGES, words
from retrofit_lab.reference_data import data_path
from retrofit_lab.study import Study
from retrofit_lab.values import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportOptions:
    """What a report is made of; without ``ticked`` the set with the most net savings is recommended."""

    house: Path
    out: Path
    maker: Maker
    ticked: tuple[str, ...] = ()
    language: str = "en"
    pdf: bool = False
    xlsx: bool = False
    bids: Path | None = None


def add_report(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    report = commands.add_parser("report", help="write the report of a house")
    report.add_argument(
        "house",
        nargs="?",
        type=Path,
        default=data_path("houses", "alder_street.toml"),
        help="house file; an example by default",
    )
    report.add_argument(
        "--tick",
        default="",
        help="measures to recommend, joined by commas; by default the best set",
    )
    report.add_argument("--out", type=Path, default=Path("report"), help="folder to write to")
    report.add_argument(
        "--language", default="en", choices=LANGUAGES, help="language of the report"
    )
    report.add_argument("--pdf", action="store_true", help="write a PDF too, with the browser")
    report.add_argument("--xlsx", action="store_true", help="write the tables as a spreadsheet too")
    report.add_argument("--bids", type=Path, help="CSV with the bids of contractors")
    report.add_argument("--by", default="", help="who hands the report over")
    report.add_argument("--interest", default="", help="what that person earns from the work")
    report.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    maker = Maker(
        made_on=datetime.now(tz=UTC).astimezone().date(), by=options.by, interest=options.interest
    )
    ticked = tuple(key.strip() for key in options.tick.split(",") if key.strip())
    written = write_report(
        ReportOptions(
            house=options.house,
            out=options.out,
            maker=maker,
            ticked=ticked,
            language=options.language,
            pdf=options.pdf,
            xlsx=options.xlsx,
            bids=options.bids,
        )
    )
    for path in written:
        print(path)  # noqa: T201 - the command's output
    return 0


def write_report(options: ReportOptions) -> list[Path]:
    """Write the report's files; each appears whole or not at all.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        When something cannot be read, written or printed.
    """
    study = Study(load_house(options.house), folder=str(options.house.parent))
    content = report_content(study, options.ticked or best_choice(study), options.maker)
    steps, result = content.order.steps, content.result
    language = words(options.language)
    offered = read_bids(options.bids, result.ticked) if options.bids else None
    bills = study.as_found.bills
    pages = scopes(study, steps, result.cautions)
    alive = leave_behind(study, all_sets(study, result.ticked), result.ticked, language)
    html = report_html(
        content,
        language,
        pages,
        bids=compare_bids(study, result, steps, offered) if offered else None,
        bills=bills_beside(options.house.parent / bills, result) if bills else (),
        bills_file=bills,
        leave_behind=alive.markup,
        scripts=alive.scripts,
    )
    folder = _folder(options.out)
    written = [write_whole(folder / "report.html", html)]
    written += write_tables(report_tables(content, pages, language), folder, xlsx=options.xlsx)
    if options.pdf:
        print_pdf(written[0], folder / "report.pdf")
        written.append(folder / "report.pdf")
    return written


def write_tables(tables: Sequence[Table], folder: Path, *, xlsx: bool) -> list[Path]:
    """Write tables as CSV into the folder ``tables``, and on demand as one spreadsheet file.

    A table of bids that somebody has begun to fill is left alone.
    """
    below = _folder(folder / "tables")
    book = workbook(tables) if xlsx else b""
    written = []
    for table in tables:
        path = below / f"{table.name}.csv"
        if not (table.name == "bids" and has_bids(path)):
            written.append(write_whole(path, csv_text(table)))
    if xlsx:
        written.append(write_whole(folder / "tables.xlsx", book))
    return written


def _folder(path: Path) -> Path:
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"the folder {path} cannot be made ({error}). Choose another.") from error
    return path


def write_whole(path: Path, content: str | bytes) -> Path:
    """Write a file to a new name and move it into place."""
    data = content.encode("utf-8") if isinstance(content, str) else content
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except OSError as error:
        raise InputError(f"{path} cannot be written ({error}). Choose another folder.") from error
    return path
