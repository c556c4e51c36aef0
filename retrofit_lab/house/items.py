"""Ready-made parts of a house with usual numbers, from ``data/starting_items.toml``; no house is made here."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from typing import Any, get_args, get_type_hints

from retrofit_lab.base.records import shipped_table
from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import INSIDE, OUTDOORS, House
from retrofit_lab.house.file import record_from_table
from retrofit_lab.texts.refusals import told

PLACE_FIELDS = ("inside", "place")


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A part that can be added: the list it belongs to, what it is called, and the record itself."""

    to: str
    title: str
    record: Any

    @property
    def name(self) -> str:
        """Name of the item among all, such as ``surfaces.walls``."""
        return f"{self.to}.{self.record.key}"


@cache
def starting_tables() -> Mapping[str, Any]:
    """Questions, vintages and items as the data file has them."""
    return shipped_table("starting_items.toml")


@cache
def items() -> Mapping[str, Item]:
    """All ready-made parts by name."""
    made = (
        Item(to=row["to"], title=row["title"], record=_record(row))
        for row in starting_tables()["item"]
    )
    return {item.name: item for item in made}


def item_named(name: str) -> Item:
    """Ready-made part of a name.

    Raises
    ------
    InputError
        When there is none.
    """
    try:
        return items()[name]
    except KeyError:
        raise InputError(told("edit.no_item", name=name)) from None


def settled(record: Any, places: frozenset[str]) -> Any:
    """Record whose places exist: where a house has no attic, its part lies in the house or outdoors."""
    changes: dict[str, str] = {}
    for f in fields(record):
        value = getattr(record, f.name)
        if not isinstance(value, str):
            continue
        if f.name in PLACE_FIELDS and value not in places | {INSIDE}:
            changes[f.name] = OUTDOORS if f.name == "place" and value == OUTDOORS else INSIDE
        if f.name == "outside" and value not in places | {INSIDE, OUTDOORS}:
            changes[f.name] = OUTDOORS
    return replace(record, **changes) if changes else record


def list_kind(to: str) -> type:
    """Record type of the list at a path, such as ``leakage.sites`` or ``zones.main.periods``."""
    kind: Any = House
    for name in to.split("."):
        if is_dataclass(kind) and name in {f.name for f in fields(kind)}:
            hint = get_type_hints(kind)[name]
            kind = get_args(hint)[0] if get_args(hint) else hint
    return kind  # type: ignore[no-any-return]


def items_for(list_path: str) -> Iterator[Item]:
    """Ready-made parts that fit a list of a house."""
    kind = list_kind(list_path)
    return (item for item in items().values() if type(item.record) is kind)


def _record(row: Mapping[str, Any]) -> Any:
    return record_from_table(list_kind(row["to"].replace(".*", "")), row["values"])
