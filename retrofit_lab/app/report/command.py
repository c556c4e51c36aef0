"""The ``report`` subcommand: what can be asked of it; the files are written elsewhere."""

import argparse
from datetime import UTC, datetime
from pathlib import Path

from retrofit_lab.app.report.files import Beside
from retrofit_lab.app.report.html import LETTER, PAPERS
from retrofit_lab.app.report.writing import (
    ReportOptions,
    write_report,
)
from retrofit_lab.app.shared.bill_options import add_bill_options, bill_files
from retrofit_lab.app.shared.job_options import plan_named, with_job
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.job_status import move_on
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.proposals.content import Maker
from retrofit_lab.texts import LANGUAGES


def add_report(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]", beside: Beside
) -> None:
    """Add the subcommand to the command; ``beside`` writes the page that the homeowner keeps."""
    report = commands.add_parser("report", help="write the report of a house")
    report.add_argument(
        "house",
        nargs="?",
        type=Path,
        default=data_path("houses", "alder_street.toml"),
        help="house file, or the folder of a job; an example by default",
    )
    report.add_argument(
        "--plan",
        default="",
        help="what to recommend: measures joined by commas, or the link or file of a plan from the page; by "
        "default the agreed plan of the job, or what a rater would propose",
    )
    report.add_argument(
        "--out", type=Path, help="folder to write to; report by default, in the folder of a job"
    )
    report.add_argument(
        "--language", default="en", choices=LANGUAGES, help="language of the report"
    )
    report.add_argument("--units", default=SYSTEMS[0], choices=SYSTEMS, help="units of the numbers")
    report.add_argument("--pdf", action="store_true", help="write a PDF too, with the browser")
    report.add_argument("--paper", default=LETTER, choices=PAPERS, help="paper of the PDF")
    report.add_argument("--xlsx", action="store_true", help="write the tables as a spreadsheet too")
    _add_what_came(report)
    add_bill_options(report)
    report.add_argument("--prices", type=Path, help="your own prices, rebates and terms of money")
    report.add_argument("--by", default="", help="who hands over the report")
    report.add_argument("--interest", default="", help="what that person earns from the work")
    report.add_argument(
        "--no-page",
        action="store_true",
        help="leave out the page that the homeowner keeps, which takes longest",
    )
    report.set_defaults(run=_run, beside=beside)


def _add_what_came(report: argparse.ArgumentParser) -> None:
    """What came back since the plan was made: bids, and what was found after the work."""
    report.add_argument(
        "--bids",
        type=Path,
        action="append",
        default=[],
        metavar="FILE",
        help="bids of contractors: pages of trades with prices filled in (CSV or .xlsx), or bids.csv; repeat it",
    )
    report.add_argument("--bills-after", type=Path, help="bills of the year after the work")
    report.add_argument(
        "--leakage-after",
        default="",
        help="second blower-door reading, such as '1900 cfm' (at 50 Pa) or '2400 cfm at 42 Pa'",
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
