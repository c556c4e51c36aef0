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

NEXT = {
    "draft": "Walk the house: retrofit-lab walk {folder}",
    "walked": "Sit down with the owner: retrofit-lab serve {folder}",
    "at the table": "Agree on a plan: retrofit-lab job {folder} --status agreed --plan KEY,KEY",
    "agreed": "Write the report and ask for bids: retrofit-lab report {folder}",
    "out for bids": "Put the bids into bids.csv and write the report again: retrofit-lab report {folder}",
    "done": "A year later put the bills into bills_after.csv: retrofit-lab report {folder}",
    "checked": "Nothing is left to do.",
}
"""What comes after each status; a test holds that none is left out."""
PARTS = (
    ("house", "house"), ("bills", "bills"), ("bill_weather", "weather of the bills"), ("prices", "prices"),
    ("photos", "pictures"), ("tests", "tests"), ("plan", "plan"), ("notes", "notes"), ("bids", "bids"),
    ("bills_after", "bills after the work"), ("after", "check after the work"),
)  # fmt: skip


def add_job(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the subcommand to the command."""
    job = commands.add_parser("job", help="show how far a job has come, or move it along")
    job.add_argument("house", type=Path, help="folder of the job, or its house file")
    job.add_argument("--status", default="", choices=STATUSES, help="set how far the job has come")
    job.add_argument(
        "--plan",
        default="",
        help="plan that was agreed on: the link or file of the page, or keys joined by commas",
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
