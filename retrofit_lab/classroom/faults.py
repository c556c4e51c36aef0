"""Faults that an invented house may hide: where each fits and what it changes; what is said of them is elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np

from retrofit_lab.base.records import shipped_table
from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.texts.english_only import sentence

FIRST = "*"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One kind of fault, as the data file has it; ``scale`` and ``unit`` say how its number is told.

    ``parts`` are those of the bills that it moves; without any, only the blower door tells it.
    """

    key: str
    path: str
    op: str
    low: float
    high: float
    parts: tuple[str, ...] = ()
    scale: float = 1.0
    unit: str = ""
    season: str = ""
    also: Mapping[str, float] = field(default_factory=dict)
    also_same: tuple[str, ...] = ()
    only: Mapping[str, str] = field(default_factory=dict)
    not_in: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenFault:
    """A fault in one house: the numbers that it changes, and how much it costs a year. [dollars/year]"""

    fault: Fault
    was: float
    now: float
    changes: Mapping[str, float]
    cost: float = 0.0


@cache
def scenario_tables() -> Mapping[str, Any]:
    """Content of the data file."""
    return shipped_table("scenarios.toml")


@cache
def faults() -> tuple[Fault, ...]:
    """All faults in the order of the file."""
    rows: list[dict[str, Any]] = scenario_tables()["fault"]
    return tuple(
        Fault(**row | {name: tuple(row.get(name, ())) for name in ("also_same", "parts")})
        for row in rows
    )


def fits(fault: Fault, house: House, seasons: tuple[str, ...]) -> bool:
    """Whether a house can have a fault: its number is there, the words are right, and it costs something there."""
    if fault.season and fault.season not in seasons:
        return False
    try:
        words = {path: _word(house, path) for path in (*fault.only, *fault.not_in)}
        number_at(house, settled_path(house, fault.path))
    except InputError:
        return False
    right = all(words[path] == word for path, word in fault.only.items())
    return right and all(words[path] != word for path, word in fault.not_in.items())


def hidden(fault: Fault, house: House, chance: np.random.Generator) -> HiddenFault:
    """The fault in a house, as large as chance will have it."""
    path = settled_path(house, fault.path)
    was = float(number_at(house, path))
    drawn = float(chance.uniform(fault.low, fault.high))
    now = _rounded({"to": drawn, "plus": was + drawn, "times": was * drawn}[fault.op])
    changes = {settled_path(house, also): value for also, value in fault.also.items()}
    changes |= {settled_path(house, also): now for also in fault.also_same}
    return HiddenFault(fault=fault, was=was, now=now, changes={path: now, **changes})


def with_fault(house: House, item: HiddenFault) -> House:
    """The house with a fault in it."""
    return with_numbers(house, item.changes)


def settled_path(house: House, path: str) -> str:
    """A path in which every star has become the key of the first item there.

    Raises
    ------
    InputError
        When a list is empty.
    """
    record: Any = house
    names: list[str] = []
    for name in path.split("."):
        if name == FIRST and not record:
            raise InputError(sentence("classroom_faults.item_house", path=path))
        names.append(record[0].key if name == FIRST else name)
        record = record[0] if name == FIRST else _child(record, name)
    return ".".join(names)


def _child(record: Any, name: str) -> Any:
    if isinstance(record, tuple):
        found = next((item for item in record if item.key == name), None)
        if found is None:
            raise InputError(sentence("classroom_faults.no_part", name=name))
        return found
    return getattr(record, name)


def _word(house: House, path: str) -> str:
    return str(number_at(house, path))


def _rounded(value: float) -> float:
    """Three figures, so that the sheet tells what the model holds."""
    return float(f"{value:.3g}")
