"""The ``report`` subcommand: what can be asked of it; the files are written elsewhere."""

import argparse
from datetime import UTC, datetime
from pathlib import Path

from retrofit_lab.app.report.files import Beside
from retrofit_lab.app.report.html import LETTER, PAPERS
from retrofit_lab.app.report.writing import ReportOptions, write_report
from retrofit_lab.app.shared.bill_options import add_bill_options, bill_files
from retrofit_lab.app.shared.job_options import plan_named, with_job
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.job_status import move_on
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.proposals.content import Maker
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.english_only import sentence


def add_report(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]", beside: Beside
) -> None:
    """Add the subcommand to the command; ``beside`` writes the page that the homeowner keeps."""
    report = commands.add_parser("report", help=sentence("report_command.write_report"))
    report.add_argument(
        "house",
        nargs="?",
        type=Path,
        default=data_path("houses", "alder_street.toml"),
        help=sentence("report_command.house_file"),
    )
    report.add_argument("--plan", default="", help=sentence("report_command.what_recommend"))
    report.add_argument("--out", type=Path, help=sentence("report_command.folder_write"))
    report.add_argument(
        "--language",
        default="en",
        choices=LANGUAGES,
        help=sentence("report_command.language_report"),
    )
    report.add_argument(
        "--units",
        default=SYSTEMS[0],
        choices=SYSTEMS,
        help=sentence("report_command.units_numbers"),
    )
    report.add_argument("--pdf", action="store_true", help=sentence("report_command.write_pdf"))
    report.add_argument(
        "--paper", default=LETTER, choices=PAPERS, help=sentence("report_command.paper_pdf")
    )
    report.add_argument("--xlsx", action="store_true", help=sentence("report_command.write_tables"))
    _add_what_came(report)
    add_bill_options(report)
    report.add_argument("--prices", type=Path, help=sentence("report_command.your_own"))
    report.add_argument("--by", default="", help=sentence("report_command.who_hands"))
    report.add_argument("--interest", default="", help=sentence("report_command.what_person"))
    report.add_argument("--no-page", action="store_true", help=sentence("report_command.leave_out"))
    report.set_defaults(run=_run, beside=beside)


def _add_what_came(report: argparse.ArgumentParser) -> None:
    """What came back since the plan was made: bids, and what was found after the work."""
    report.add_argument(
        "--bids",
        type=Path,
        action="append",
        default=[],
        metavar="FILE",
        help=sentence("report_command.bids_contractors"),
    )
    report.add_argument("--bills-after", type=Path, help=sentence("report_command.bills_year"))
    report.add_argument(
        "--leakage-after", default="", help=sentence("report_command.second_blower")
    )


def _run(options: argparse.Namespace) -> int:
    folder = options.house if options.house.is_dir() else None
    options = with_job(options)
    today = datetime.now(tz=UTC).astimezone().date()
    written = write_report(
        ReportOptions(
            house=options.house,
            out=options.out or (folder / "report" if folder else Path("report")),
            job=folder,
            paper=options.paper,
            maker=Maker(made_on=today, by=options.by, interest=options.interest),
            ticked=todays_keys(plan_named(options.plan)),
            language=options.language,
            system=options.units,
            pdf=options.pdf,
            xlsx=options.xlsx,
            bids=tuple(options.bids),
            bills=bill_files(options),
            prices=options.prices,
            bills_after=options.bills_after,
            leakage_after=options.leakage_after,
        ),
        beside=None if options.no_page else options.beside,
    )
    if folder:
        _move_on(options)
    for path in written:
        print(path)  # noqa: T201 - the command's output
    return 0


def _move_on(options: argparse.Namespace) -> None:
    """A job with bids is out for bids at least; one with a check after the work is checked."""
    if options.bids:
        move_on(options.house, "out for bids")
    if options.bills_after or options.leakage_after:
        move_on(options.house, "checked")
