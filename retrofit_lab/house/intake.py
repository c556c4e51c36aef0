"""What is known before the walk, as frozen records: who, where, when, what is wrong, what is wanted; no checks.

All of it may stay open. Nothing here changes a result; the job travels with the house in its file.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from retrofit_lab.base.values import MaybeValue

Choices = Mapping[str, tuple[str, ...]]
STATUSES = ("draft", "walked", "at the table", "agreed", "out for bids", "done", "checked")
"""How far a job has come, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """What the people of the house suffer from in one room; ``label`` is the room, ``note`` their own words."""

    section: ClassVar[str] = "complaint"
    choices: ClassVar[Choices] = MappingProxyType(
        {
            "kind": (
                "cold", "hot", "drafty", "stuffy", "damp", "dry", "mold", "smell", "dust", "noise",
                "ice dams", "bills", "other",
            )
        }
    )  # fmt: skip
    key: str
    label: str
    kind: str = "other"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The job: whose house it is, who rates it, how far it has come, and what the owner wants.

    ``date`` is that of the walk, as in 2026-11-28; ``plan`` holds the keys of the measures that were agreed
    on; ``move_year`` is the year in which the owner means to move out.
    """

    section: ClassVar[str] = "job"
    choices: ClassVar[Choices] = MappingProxyType({"status": STATUSES})
    client: str = ""
    address: str = ""
    date: str = ""
    rater: str = ""
    credential: str = ""
    company: str = ""
    contact: str = ""
    status: str = "draft"
    plan: tuple[str, ...] = ()
    goals: str = ""
    health: str = ""
    budget: MaybeValue = None
    move_year: MaybeValue = None
    complaints: tuple[Complaint, ...] = ()


NO_JOB = Job()
"""A job of which nothing was said."""
