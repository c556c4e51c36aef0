"""Makes a report and writes its files; each appears whole or not at all."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from retrofit_lab.app.report.html import Extras, report_html
from retrofit_lab.app.report.leave_behind import leave_behind
from retrofit_lab.app.report.pictures import pictures
from retrofit_lab.app.report.tables import Table, csv_text, report_tables, workbook
from retrofit_lab.app.report.view_bills import After
from retrofit_lab.app.shared.output_file import write_output
from retrofit_lab.app.shared.pdf import print_pdf
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.house.file import load_house
from retrofit_lab.proposals.all_plans import all_sets
from retrofit_lab.proposals.bids import compare_bids, has_bids, read_bids
from retrofit_lab.proposals.bills_beside import (
    bills_beside,
    splits,
    weather_of_bills,
    what_came,
)
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.proposals.contractors import scopes
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.opening import open_study
from retrofit_lab.study.study import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportOptions:
    """What a report is made of; without ``ticked`` the best plan of what something speaks for is recommended.

    ``bills`` are files in place of what the house names, with the daily temperatures of their days;
    ``prices`` one in place of the catalogue; ``bills_after`` and ``leakage_after`` [cfm at 50 Pa] are what
    was found after the work.
    """

    house: Path
    out: Path
    maker: Maker
    ticked: tuple[str, ...] = ()
    language: str = "en"
    system: str = "us"
    pdf: bool = False
    xlsx: bool = False
    bids: Path | None = None
    bills: BillFiles = BillFiles()  # noqa: RUF009 - frozen
    prices: Path | None = None
    bills_after: Path | None = None
    leakage_after: float | None = None


def write_report(options: ReportOptions) -> list[Path]:
    """Write the report's files.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        When something cannot be read, written or printed.
    """
    study = open_study(options.house, bills=_bills_before(options), prices=_text(options.prices))
    content = report_content(study, options.ticked or _proposed(study), options.maker)
    result, language = content.result, words(options.language, options.system)
    pages = scopes(study, content.order.steps, result.cautions)
    extras = _extras(options, study, content)
    alive = leave_behind(study, all_sets(study, result.ticked), result.ticked, language)
    folder = _folder(options.out)
    page = report_html(content, language, pages, extras, alive)
    written = [write_output(folder / "report.html", page)]
    written += write_tables(report_tables(content, pages, language), folder, xlsx=options.xlsx)
    if options.pdf:
        print_pdf(report_html(content, language, pages, extras), folder / "report.pdf")
        written.append(folder / "report.pdf")
    return written


def _proposed(study: Study) -> tuple[str, ...]:
    """The plan of what something speaks for and nothing holds."""
    return rater_plan(Advice(study), sure=False).ticked


def _bills_before(options: ReportOptions) -> BillFiles:
    """Bills of the house as found; where only later bills are given, the temperatures are for those alone."""
    if options.bills_after and not options.bills.paths and not load_house(options.house).bills:
        return replace(options.bills, weather="")
    return options.bills


def _text(path: Path | None) -> str:
    return str(path) if path else ""


def _extras(options: ReportOptions, study: Study, content: ReportContent) -> Extras:
    offered = read_bids(options.bids, content.result.ticked) if options.bids else None
    steps = content.order.steps
    return Extras(
        bids=compare_bids(study, content.result, steps, offered) if offered else None,
        bills=bills_beside(study.billed) if study.billed else None,
        after=_after(options, study, content),
        photos=pictures(options.house),
    )


def _after(options: ReportOptions, study: Study, content: ReportContent) -> After:
    if options.bills_after is None:
        return After(leakage=options.leakage_after)
    folder = options.house.parent
    weather = weather_of_bills(study.as_found, folder, options.bills.weather)
    before = splits(study.billed.bills, weather) if study.billed else {}
    later = splits(read_bills(options.bills_after), weather)
    return After(
        leakage=options.leakage_after,
        rows=what_came(before, later, content.result),
        measured_days=bool(options.bills.weather),
    )


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
            written.append(write_output(path, csv_text(table)))
    if xlsx:
        written.append(write_output(folder / "tables.xlsx", book))
    return written


def _folder(path: Path) -> Path:
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"the folder {path} cannot be made ({error}). Choose another.") from error
    return path
