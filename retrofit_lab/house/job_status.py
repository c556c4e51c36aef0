"""Moves a job along in its house file, alone with it for a moment; what a status means for people is said elsewhere."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from filelock import FileLock, Timeout

from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house
from retrofit_lab.house.intake import STATUSES
from retrofit_lab.house.keeping import keep_house
from retrofit_lab.texts.refusals import told

LOCK_SECONDS = 5.0
"""How long is waited for a form that writes the same file. [s]"""


def lock_path(house_file: Path) -> Path:
    """The file by which devices and commands hold a house file alone."""
    return house_file.with_name(f".{house_file.name}.lock")


def move_job(house_file: Path, status: str, plan: Sequence[str] = ()) -> House:
    """Set how far a job has come, and the plan that was agreed on; returns the house as it is in the file now.

    Raises
    ------
    HouseError
        When there is no such status, or the file cannot be read or written.
    """
    if status and status not in STATUSES:
        raise HouseError(told("job_status.word", status=status, known=", ".join(STATUSES)))
    try:
        with FileLock(lock_path(house_file), timeout=LOCK_SECONDS):
            house = load_house(house_file)
            job = replace(
                house.job, status=status or house.job.status, plan=tuple(plan) or house.job.plan
            )
            moved = replace(house, job=job)
            if moved != house:
                keep_house(moved, house_file)
            return moved
    except (OSError, Timeout) as error:
        raise HouseError(told("job_status.unwritten", file=house_file.name, why=error)) from error


def move_on(house_file: Path, status: str) -> None:
    """Move a job on to a status that it has not reached yet; a file that cannot be written stays as it is."""
    try:
        reached = STATUSES.index(load_house(house_file).job.status)
        if reached < STATUSES.index(status):
            move_job(house_file, status)
    except InputError:
        return
