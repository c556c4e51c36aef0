"""The files that a report is handed over as, by their names: page, tables, trades, the letter that stops work.

Nothing is worked out or written here.
"""

import io
import zipfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from retrofit_lab.app.report.html import LETTER, Extras, report_html, stop_html, trade_html
from retrofit_lab.app.report.pictures import pictures
from retrofit_lab.app.report.tables import csv_text, report_tables, trade_sheets, workbook
from retrofit_lab.app.shared.pdf import PrintError, pdf_of
from retrofit_lab.app.shared.words import Words
from retrofit_lab.proposals.bills_beside import bills_beside
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.proposals.contractors import Scope, scopes
from retrofit_lab.study.study import Study

File = tuple[str, str | bytes]
Beside = Callable[[Study, tuple[str, ...], str, str], File]
"""Makes the page that a homeowner keeps: of a study and a plan, in a language and units."""
TRADES, TABLES = "trades", "tables"


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """All that the files of one report are made of."""

    study: Study
    content: ReportContent
    words: Words
    pages: tuple[Scope, ...]
    extras: Extras
    paper: str = LETTER


def report_files(
    report: Report, *, xlsx: bool = False, beside: Beside | None = None
) -> Iterator[File]:
    """Every file of a report with its content; with ``xlsx`` all tables as one spreadsheet too.

    ``beside`` makes the page that the homeowner keeps, which takes longer than all others.
    """
    ticked, said = report.content.result.ticked, report.words
    kept = [beside(report.study, ticked, said.language, said.system)] if beside else []
    page = report_html(
        report.content, said, report.pages, report.extras, paper=report.paper,
        at_home=kept[0][0] if kept else "",
    )  # fmt: skip
    yield "report.html", page
    yield from kept
    tables = report_tables(report.content, report.words)
    yield from ((f"{TABLES}/{table.name}.csv", csv_text(table)) for table in tables)
    if xlsx:
        yield "tables.xlsx", workbook(tables)
    yield from _trade_files(report)
    if report.content.result.stops:
        yield "stop_work.html", stop_html(report.content, report.words, report.paper)


def _trade_files(report: Report) -> Iterator[File]:
    """The page of each trade to look at, and to price in a table or a spreadsheet."""
    sheets = trade_sheets(report.content, report.pages, report.words)
    for scope, sheet in zip(report.pages, sheets, strict=True):
        yield f"{TRADES}/{scope.trade}.html", _trade_page(report, scope)
        yield f"{TRADES}/{scope.trade}.csv", csv_text(sheet)
        yield f"{TRADES}/{scope.trade}.xlsx", workbook([sheet])


def _trade_page(report: Report, scope: Scope) -> str:
    return trade_html(report.content, report.words, scope, report.extras.photos, report.paper)


def priced_files(report: Report) -> frozenset[str]:
    """Names of files into which people type prices; such a one is left alone."""
    trades = (f"{TRADES}/{scope.trade}" for scope in report.pages)
    both = (f"{name}.{ending}" for name in trades for ending in ("csv", "xlsx"))
    return frozenset((f"{TABLES}/bids.csv", *both))


def pages_to_print(report: Report) -> Iterator[tuple[str, str]]:
    """Names of PDF files, each with the page that it prints; the page at home is not for paper."""
    content, said, paper = report.content, report.words, report.paper
    yield "report.pdf", report_html(content, said, report.pages, report.extras, paper=paper)
    for scope in report.pages:
        yield f"{TRADES}/{scope.trade}.pdf", _trade_page(report, scope)
    if content.result.stops:
        yield "stop_work.pdf", stop_html(content, said, paper)


def printed_pages(report: Report) -> tuple[File, ...]:
    """The PDF files of a report; none where this computer has no browser that prints."""
    try:
        return tuple((name, pdf_of(page)) for name, page in pages_to_print(report))
    except PrintError:
        return ()


def packed_report(
    study: Study,
    house: Path,
    ticked: tuple[str, ...],
    said: Words,
    beside: Beside | None = None,
) -> tuple[bytes, bool]:
    """A report of a plan with all its files in one, for a page that hands it to the browser; nothing is kept here.

    Parameters
    ----------
    study : Study
        House, weather, prices and measures.
    house : Path
        House file, beside which its pictures lie.
    ticked : tuple of str
        The plan.
    said : Words
        Language and units.
    beside : callable, optional
        Makes the page that the homeowner keeps.

    Returns
    -------
    bytes, bool
        The files, and whether there are PDFs among them.

    Raises
    ------
    InputError
        When a picture cannot be shown.
    """
    content = report_content(study, ticked, Maker(made_on=date.today()))
    report = Report(
        study=study,
        content=content,
        words=said,
        pages=scopes(study, content.proposal.steps, content.result.cautions),
        extras=Extras(
            bills=bills_beside(study.billed) if study.billed else None, photos=pictures(house)
        ),
    )
    out = io.BytesIO()
    with (
        ThreadPoolExecutor(1) as printer,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed,
    ):
        # the browser prints on one core while the page at home is worked out on another
        printing = printer.submit(printed_pages, report)
        for name, text in report_files(report, xlsx=True, beside=beside):
            packed.writestr(name, text)
        printed = printing.result()
        for name, pdf in printed:
            packed.writestr(name, pdf)
    return out.getvalue(), bool(printed)
