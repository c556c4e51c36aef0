"""The record of a rater's finished jobs: a small table beside the folders of the jobs; nothing is worked out here."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from math import isfinite
from pathlib import Path

from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.house.checking import HouseError
from retrofit_lab.texts.refusals import told

RECORD = "finished_jobs.csv"
MOST_BYTES = 500_000
MOST_JOBS = 2_000
MOST_DOLLARS = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedJob:
    """A line of the record: the job's folder, the day of the check, and what was worked out and what came.

    ``usual`` is what usually comes about of the worked-out saving, ``error`` the standard error of what came.
    [dollars/year]
    """

    job: str
    checked: str
    worked_out: float
    usual: float
    came: float
    error: float


COLUMNS = tuple(field.name for field in fields(FinishedJob))
NUMBERS = COLUMNS[2:]


def record_beside(house_file: str | Path) -> Path:
    """Where the record stands that belongs to a house file: beside the folder of its job."""
    return Path(house_file).resolve().parent.parent / RECORD


def finished_jobs(path: Path) -> tuple[FinishedJob, ...]:
    """Jobs of a record; none where there is no file.

    Raises
    ------
    HouseError
        Naming the file, the row, the column and the value.
    """
    if not path.is_file():
        return ()
    try:
        text = path.read_bytes()[:MOST_BYTES].decode("utf-8-sig")
        rows = list(csv.DictReader(io.StringIO(text, newline="")))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise HouseError(told("finished_jobs.unread", path=path, why=error)) from error
    return tuple(_job(path, number, row) for number, row in enumerate(rows[:MOST_JOBS], 2))


def with_job(jobs: Sequence[FinishedJob], job: FinishedJob) -> tuple[FinishedJob, ...]:
    """Jobs with one more, in place of what was said of the same job before."""
    return (*(other for other in jobs if other.job != job.job), job)


def keep_jobs(path: Path, jobs: Sequence[FinishedJob]) -> None:
    """Write the record whole."""
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, COLUMNS)
    writer.writeheader()
    for job in jobs:
        row = asdict(job)
        writer.writerow({**row, **{name: f"{row[name]:.2f}" for name in NUMBERS}})
    write_whole(path, text.getvalue())


def _job(path: Path, number: int, row: Mapping[str, str | None]) -> FinishedJob:
    if set(COLUMNS) - row.keys():
        raise HouseError(told("finished_jobs.columns", path=path, known=", ".join(COLUMNS)))
    numbers = {name: _number(path, number, name, row[name]) for name in NUMBERS}
    return FinishedJob(job=row["job"] or "", checked=row["checked"] or "", **numbers)


def _number(path: Path, number: int, name: str, text: str | None) -> float:
    try:
        value = float(text or "")
    except ValueError:
        value = float("nan")
    if not isfinite(value) or abs(value) > MOST_DOLLARS:
        raise HouseError(
            told("finished_jobs.amount", path=path, number=number, name=name, text=text)
        )
    return value
