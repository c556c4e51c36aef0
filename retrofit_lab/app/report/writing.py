"""Makes a report and writes its files; each appears whole or not at all."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

from retrofit_lab.app.report.files import Beside, Report, pages_to_print, priced_files, report_files
from retrofit_lab.app.report.html import LETTER, Extras
from retrofit_lab.app.report.pictures import pictures
from retrofit_lab.app.report.view_bills import After
from retrofit_lab.app.shared.output_file import write_output
from retrofit_lab.app.shared.pdf import print_pdf
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.house.file import load_house
from retrofit_lab.house.finished_jobs import finished_jobs, keep_jobs, record_beside, with_job
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.proposals.after_work import finished_job, reading_after
from retrofit_lab.proposals.bids import BidTable, compare_bids, has_bids, read_all_bids
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
from retrofit_lab.texts.refusals import told


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportOptions:
    """What a report is made of; without ``ticked`` the plan agreed on, or the best of what something speaks for.

    ``bills`` are files in place of what the house names, with the daily temperatures of their days;
    ``prices`` one in place of the catalog; ``bills_after`` and ``leakage_after``, a reading as it was typed,
    are what was found after the work. Where ``job`` is the folder of a job, what came goes into the record of
    finished jobs beside it.
    """

    house: Path
    out: Path
    maker: Maker
    job: Path | None = None
    ticked: tuple[str, ...] = ()
    language: str = "en"
    system: str = "us"
    paper: str = LETTER
    pdf: bool = False
    xlsx: bool = False
    bids: tuple[Path, ...] = ()
    bills: BillFiles = BillFiles()  # noqa: RUF009 - frozen
    prices: Path | None = None
    bills_after: Path | None = None
    leakage_after: str = ""


def write_report(options: ReportOptions, beside: Beside | None = None) -> list[Path]:
    """Write the report's files, and beside them the page that the homeowner keeps where something makes it.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        When something cannot be read, written or printed.
    """
    report, folder = make_report(options), _folder(options.out)
    with ThreadPoolExecutor(1) as printer:
        # the browser prints on one core while the page at home is worked out on another
        printing = printer.submit(_print, report, folder) if options.pdf else None
        written = _write(report, folder, options, beside)
        written += printing.result() if printing else []
    return written + _keep_record(report, options)


def _write(
    report: Report, folder: Path, options: ReportOptions, beside: Beside | None
) -> list[Path]:
    """Every file but what is printed; those into which someone typed prices are left alone."""
    written = []
    for name, content in report_files(report, xlsx=options.xlsx, beside=beside):
        path = folder / name
        if not (name in priced_files(report) and has_bids(path)):
            _folder(path.parent)
            written.append(write_output(path, content))
    return written


def _print(report: Report, folder: Path) -> list[Path]:
    """The PDF files."""
    written = []
    for name, html in pages_to_print(report):
        pdf = folder / name
        _folder(pdf.parent)
        print_pdf(html, pdf)
        written.append(pdf)
    return written


def make_report(options: ReportOptions) -> Report:
    """Work a report out; nothing is written."""
    read = _read_after(options)
    study = open_study(options.house, bills=_bills_before(options), prices=_text(options.prices))
    content = report_content(study, options.ticked or _proposed(study), options.maker)
    return Report(
        study=study,
        content=content,
        words=words(options.language, options.system),
        paper=options.paper,
        pages=scopes(study, content.proposal.steps, content.result.cautions),
        extras=_extras(options, study, content, read),
    )


def _proposed(study: Study) -> tuple[str, ...]:
    """The plan agreed on or, where there is none, that of what something speaks for and nothing holds."""
    agreed = study.as_found.job.plan
    return todays_keys(agreed) if agreed else rater_plan(Advice(study), sure=False).ticked


def _keep_record(report: Report, options: ReportOptions) -> list[Path]:
    """What the job saved, in the record of finished jobs; nothing before its bills tell."""
    if options.job is None:
        return []
    rows, name = report.extras.after.rows, options.job.resolve().name
    made_on = report.content.maker.made_on
    job = finished_job(report.study, report.content.result, rows, name, made_on)
    if job is None:
        return []
    path = record_beside(options.house)
    try:
        keep_jobs(path, with_job(finished_jobs(path), job))
    except OSError as error:
        raise InputError(told("report_files.unwritten", path=path, why=error)) from error
    return [path]


def _bills_before(options: ReportOptions) -> BillFiles:
    """Bills of the house as found; where only later bills are given, the temperatures are for those alone."""
    if options.bills_after and not options.bills.paths and not load_house(options.house).bills:
        return replace(options.bills, weather="")
    return options.bills


def _text(path: Path | None) -> str:
    return str(path) if path else ""


def _read_after(options: ReportOptions) -> float | None:
    """The second blower-door reading, looked at before anything is worked out. [cfm at 50 Pa]"""
    if not options.leakage_after:
        return None
    return reading_after(options.leakage_after, float(load_house(options.house).leakage.exponent))


def _extras(
    options: ReportOptions, study: Study, content: ReportContent, read: float | None
) -> Extras:
    return Extras(
        bids=_bids(options, study, content),
        bills=bills_beside(study.billed) if study.billed else None,
        after=_after(options, study, content, read),
        photos=pictures(options.house),
    )


def _bids(options: ReportOptions, study: Study, content: ReportContent) -> BidTable | None:
    """Bids that came, for the chosen measures and what stands beside them; None where none did."""
    beside = (step.key for step in content.proposal.beside)
    offered = read_all_bids(options.bids, (*content.result.ticked, *beside))
    if not offered:
        return None
    return compare_bids(study, content.proposal, content.order.steps, offered)


def _after(
    options: ReportOptions, study: Study, content: ReportContent, read: float | None
) -> After:
    if options.bills_after is None:
        return After(leakage=read)
    folder = options.house.parent
    weather = weather_of_bills(study.as_found, folder, options.bills.weather)
    before = splits(study.billed.bills, weather) if study.billed else {}
    later = splits(read_bills(options.bills_after), weather)
    return After(
        leakage=read,
        rows=what_came(before, later, content.result),
        measured_days=bool(options.bills.weather),
    )


def _folder(path: Path) -> Path:
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(told("report_files.folder", path=path, why=error)) from error
    return path
