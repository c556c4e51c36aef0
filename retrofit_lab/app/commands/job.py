"""The ``job`` subcommand: what lies in the folder of a job, how far it has come, and the next step."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from retrofit_lab.app.shared.job_options import plan_named
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house
from retrofit_lab.house.intake import STATUSES
from retrofit_lab.house.job_folder import JobFiles, job_files
from retrofit_lab.house.job_status import move_job
from retrofit_lab.measures.renamed import known_keys
from retrofit_lab.texts.english_only import sentence

NEXT = {
    "draft": sentence("commands_job.walk_house"),
    "walked": sentence("commands_job.sit_down"),
    "at the table": sentence("commands_job.agree"),
    "agreed": sentence("commands_job.write_report"),
    "out for bids": sentence("commands_job.put_bids"),
    "done": sentence("commands_job.year_later"),
    "checked": sentence("commands_job.nothing_left"),
}
"""What comes after each status; a test holds that none is left out."""
PARTS = (
    ("house", "house"), ("bills", "bills"),
    ("bill_weather", sentence("commands_job.weather_bills")),
    ("prices", "prices"),
    ("photos", "pictures"), ("tests", "tests"), ("plan", "plan"), ("notes", "notes"), ("bids", "bids"),
    ("bills_after", sentence("commands_job.bills_after")), ("after", sentence("commands_job.check_after")),
)  # fmt: skip


def add_job(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    job = commands.add_parser("job", help=sentence("commands_job.show_how"))
    job.add_argument("house", type=Path, help=sentence("commands_job.folder_job"))
    job.add_argument(
        "--status", default="", choices=STATUSES, help=sentence("commands_job.set_how")
    )
    job.add_argument(
        "--plan",
        default="",
        help=sentence("commands_job.plan_was"),
    )
    job.set_defaults(run=_run)


def _run(options: argparse.Namespace) -> int:
    files = job_files(options.house)
    keys = known_keys(plan_named(options.plan))
    moving = bool(options.status or keys)
    house = move_job(files.house, options.status, keys) if moving else load_house(files.house)
    sys.stdout.write("\n".join([*_told(files, house)]) + "\n")
    return 0


def _told(files: JobFiles, house: House) -> Iterator[str]:
    yield f"{house.name}: {house.job.status}"
    for name, title in PARTS:
        found = getattr(files, name)
        paths = found if isinstance(found, tuple) else (found,) if found else ()
        if paths:
            yield f"  {title}: {', '.join(path.name for path in paths)}"
    if house.job.plan:
        yield f"  agreed plan: {', '.join(house.job.plan)}"
    yield f"Next: {NEXT[house.job.status].format(folder=files.folder)}"
