"""What a command takes from the folder of a job where nothing else was asked for; the files are found in house."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from retrofit_lab.house.agreed_plan import plan_keys
from retrofit_lab.house.file import load_house
from retrofit_lab.house.job_folder import JobFiles, job_files, leakage_in, plan_in


def with_job(options: argparse.Namespace) -> argparse.Namespace:
    """The same options with the house file in place of its folder, and with what else lies there.

    What was asked for in the command stands. An option that the command does not have is left out.

    Raises
    ------
    InputError
        When the folder holds no house or several, or a file in it cannot be read.
    """
    if not Path(options.house).is_dir():
        return options
    job = job_files(options.house)
    known = vars(options)
    found = {name: value for name, value in _found(job, known).items() if value}
    asked = {name: value for name, value in known.items() if value and name != "house"}
    return argparse.Namespace(**{**known, **found, **asked, "house": job.house})


def plan_named(text: str) -> tuple[str, ...]:
    """Keys of a plan that was named by the link of the page, by its file or by the keys; none for no text.

    Raises
    ------
    InputError
        When the text names no plan, or its file cannot be read.
    """
    text = text.strip()
    if not text:
        return ()
    return plan_in(Path(text)) if text.lower().endswith(".json") else plan_keys(text)


def _found(job: JobFiles, known: dict[str, Any]) -> dict[str, Any]:
    """What the folder has for the options that a command knows."""
    ways: dict[str, Callable[[], Any]] = {
        "bills": lambda: [] if load_house(job.house).bills else list(job.bills),
        "weather": lambda: job.bill_weather,
        "prices": lambda: job.prices,
        "plan": lambda: ",".join(_agreed(job)),
        "bids": lambda: list(job.bids),
        "bills_after": lambda: job.bills_after,
        "leakage_after": lambda: leakage_in(job.after) if job.after else "",
    }
    return {name: way() for name, way in ways.items() if name in known and not known[name]}


def _agreed(job: JobFiles) -> tuple[str, ...]:
    """The plan that was agreed on, by the record of the job or by the file that the page kept."""
    agreed = load_house(job.house).job.plan
    return agreed or (plan_in(job.plan) if job.plan else ())
