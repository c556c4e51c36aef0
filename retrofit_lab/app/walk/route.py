"""The stops of the walk, from ``data/route.toml``, and which parts of a house belong to each; no texts of its own."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any

from retrofit_lab.base.records import shipped_table
from retrofit_lab.house.description import House
from retrofit_lab.house.items import Item, item_named
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import may_stay_open, number_at, number_fields
from retrofit_lab.measures.fitted_measures import Offer
from retrofit_lab.measures.look_for import Finding, finding_named
from retrofit_lab.measures.selecting import select

HIDDEN = ("key", "observations", "assumed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One place where the walk stops: what to look for, how to measure, why, and what is written down.

    ``findings`` are keys of ``data/findings.toml``, ``parts`` selectors, ``adds`` names of ready-made
    parts, ``house_fields`` words of the house itself that are asked here.
    """

    key: str
    part: str
    title: str
    look: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    why: str
    care: str = ""
    parts: tuple[str, ...]
    house_fields: tuple[str, ...] = ()
    adds: tuple[str, ...] = ()
    observations: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a ready-made part can be added: the list of this house, and whose list it is."""

    list_path: str
    item: Item
    owner: str


@cache
def _table() -> Mapping[str, Any]:
    return shipped_table("route.toml")


@cache
def stops() -> tuple[Stop, ...]:
    """All stops in the order of the walk; observations that none of them names are asked at the first."""
    made = tuple(Stop(**_tupled(row)) for row in _table()["stop"])
    named = {word for stop in made for word in stop.observations}
    left = tuple(word for word in observation_names() if word not in named)
    first = {f.name: getattr(made[0], f.name) for f in fields(made[0])}
    first["observations"] = (*made[0].observations, *left)
    return (Stop(**first), *made[1:])


def _tupled(row: Mapping[str, Any]) -> dict[str, Any]:
    return {key: tuple(value) if isinstance(value, list) else value for key, value in row.items()}


def stop_named(key: str) -> Stop | None:
    """Stop of a key, or None."""
    return next((stop for stop in stops() if stop.key == key), None)


def records_at(house: House, stop: Stop) -> tuple[str, ...]:
    """Paths of the parts of a house that are written down at a stop; the house itself has an empty one."""
    found: dict[str, None] = {"": None} if stop.house_fields else {}
    for text in stop.parts:
        found.update(dict.fromkeys(select(house, text)))
    return tuple(found)


def main_fields(house: House, record_path: str, stop: Stop) -> tuple[str, ...]:
    """Fields of a part that are asked first."""
    if not record_path:
        return stop.house_fields
    record: Any = number_at(house, record_path)
    present = {f.name for f in fields(record)}
    first = _table()["fields"]
    of_kind = first.get(f"{record.section}.{getattr(record, 'kind', '')}")
    return tuple(name for name in of_kind or first.get(record.section, ()) if name in present)


def more_fields(house: House, record_path: str, stop: Stop) -> tuple[str, ...]:
    """Numbers and words of a part that are asked only under "More"."""
    if not record_path:
        return ()
    record: Any = number_at(house, record_path)
    first = (*main_fields(house, record_path, stop), *HIDDEN)
    kinds = {f.name: f for f in fields(record) if f.name not in first}
    numeric = number_fields(type(record))
    return tuple(n for n in kinds if n in numeric or isinstance(getattr(record, n), str))


def asked(house: House, stop: Stop) -> Iterator[str]:
    """Paths of the numbers that count for the progress at a stop: those asked first that the model needs."""
    for record_path in records_at(house, stop):
        if not record_path:
            continue
        kind = type(number_at(house, record_path))
        counted = set(number_fields(kind)) - may_stay_open(kind)
        for name in main_fields(house, record_path, stop):
            if name in counted:
                yield f"{record_path}.{name}"


def adding_places(house: House, stop: Stop) -> Iterator[Place]:
    """What can be added at a stop, and to which list."""
    for name in stop.adds:
        item = item_named(name)
        if "*" not in item.to:
            yield Place(item.to, item, "")
            continue
        outer, _, inner = item.to.partition(".*.")
        for owner in getattr(house, outer):
            yield Place(f"{outer}.{owner.key}.{inner}", item, owner.label)


def called_for(house: House, stop: Stop, offers: Iterable[Offer]) -> tuple[Offer, ...]:
    """Measures that a finding of a stop calls for, or that change something that is written down there."""
    records = {path for path in records_at(house, stop) if path}
    named = {key for name in stop.findings for key in finding_named(name).measures}
    return tuple(
        offer
        for offer in offers
        if offer.key in named
        or any(change.path.rpartition(".")[0] in records for change in offer.changes)
    )


def is_here(house: House, finding: Finding) -> bool:
    """Whether the house has what a finding is about; otherwise one still looks whether it is there."""
    return any(select(house, text.rpartition(".")[0]) for text in finding.fills)


def stop_of(house: House, path: str) -> str:
    """Key of the stop where a number, part or list is written down; the first one when it is nowhere."""
    found = {record: stop.key for stop in stops() for record in records_at(house, stop) if record}
    owners = [record for record in found if f"{path}.".startswith(f"{record}.")]
    inside = [record for record in found if record.startswith(f"{path}.")]
    best = max(owners, key=len, default=None) or next(iter(inside), None)
    return found[best] if best else stops()[0].key


def titles() -> Mapping[str, str]:
    """Names of single parts."""
    return _table()["titles"]  # type: ignore[no-any-return]


def field_label(section: str, name: str) -> str:
    """Name of a field that holds a word."""
    labels = _table()["labels"]
    return str(labels.get(f"{section}.{name}") or labels.get(name) or name.replace("_", " "))


def word_label(name: str, word: str) -> str:
    """What a word of a choice means in plain English."""
    words = _table()["words"]
    return str(words.get(f"{name}.{word}") or words.get(word) or word.replace("_", " "))
