"""Names every number of a house by a path such as ``surfaces.attic_floor.r_label``; reads and replaces by path."""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from functools import cache, lru_cache
from typing import Any, TypeAlias, TypeVar, cast, get_args, get_type_hints

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.parameters import Parameter, parameters
from retrofit_lab.base.values import InputError, MaybeValue, Value
from retrofit_lab.texts.refusals import told

Record = TypeVar("Record")
_Branches: TypeAlias = dict[str, Any]


class PathError(InputError):
    """A path that leads nowhere."""


def number_fields(kind: Any) -> tuple[str, ...]:
    """Names of the numeric fields of a record type, in order."""
    return _number_fields(kind)


@cache
def _number_fields(kind: Hashable) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind) if f.type in (Value, MaybeValue))  # type: ignore[arg-type]


def may_stay_open(kind: Any) -> frozenset[str]:
    """Names of the numeric fields of a record type that nothing stands in for while no one gives them."""
    return _may_stay_open(kind)


@cache
def _may_stay_open(kind: Hashable) -> frozenset[str]:
    return frozenset(f.name for f in fields(kind) if f.type == MaybeValue)  # type: ignore[arg-type]


def field_names(kind: Any) -> tuple[str, ...]:
    """Names of all fields of a record type, in order."""
    return _field_names(kind)


@cache
def _field_names(kind: Hashable) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))  # type: ignore[arg-type]


def fields_below(kind: Any) -> frozenset[str]:
    """Names of all fields of a record type and of the records inside it."""
    return _fields_below(kind)


@cache
def _fields_below(kind: Hashable) -> frozenset[str]:
    found = set(_field_names(kind))
    for hint in get_type_hints(kind).values():
        inner = [one for one in (hint, *get_args(hint)) if is_dataclass(one)]
        found |= {name for one in inner for name in _fields_below(cast("Hashable", one))}
    return frozenset(found)


def numbers(record: Any, prefix: str = "") -> Iterator[tuple[str, Value]]:
    """Every number below a record with its path; those that stay open are left out."""
    for name in (f.name for f in fields(record)):
        value = getattr(record, name)
        path = f"{prefix}{name}"
        if name in number_fields(type(record)):
            if value is not None:
                yield path, value
        elif is_dataclass(value):
            yield from numbers(value, f"{path}.")
        elif isinstance(value, tuple):
            for item in value:
                if is_dataclass(item):
                    yield from numbers(item, f"{path}.{_key(item)}.")


def records(record: Any, path: str) -> tuple[Any, ...]:
    """Items of a list inside a record, such as ``leakage.sites`` or ``zones.main.periods``."""
    for name in path.split("."):
        record = _child(record, name)
    return record if isinstance(record, tuple) else (record,)


def number_at(record: Any, path: str) -> Value:
    """The number that stands at a path.

    Raises
    ------
    PathError
        When there is no such path; with the nearest names.
    """
    for name in path.split("."):
        record = _child(record, name)
    return record  # type: ignore[no-any-return]


def parameter_at(record: Any, path: str) -> Parameter:
    """Declaration of the number at a path."""
    parent, _, name = path.rpartition(".")
    owner: Any = number_at(record, parent) if parent else record
    return parameters()[f"{owner.section}.{name}"]


def with_numbers(record: Record, changes: Mapping[str, Any]) -> Record:
    """Copy of a record with some of its numbers or words replaced, by path.

    Raises
    ------
    PathError
        When there is no such path; with the nearest names.
    """
    changed: Record = _changed(record, _branches(tuple(changes)), changes)
    return changed


@lru_cache(maxsize=64)
def _branches(paths: tuple[str, ...]) -> _Branches:
    """Paths by their first parts, the whole path at each end: the same ones are asked for again and again."""
    found: _Branches = {}
    for path in paths:
        *front, last = path.split(".")
        branch = found
        for name in front:
            branch = branch.setdefault(name, {})
        branch[last] = path
    return found


def _changed(record: Any, branches: _Branches, changes: Mapping[str, Any]) -> Any:
    found = {}
    for name, branch in branches.items():
        if name not in field_names(type(record)):
            raise _nothing_there(record, name)
        if isinstance(branch, str):
            found[name] = changes[branch]
            continue
        child = getattr(record, name)
        change = _items_with if isinstance(child, tuple) else _changed
        found[name] = change(child, branch, changes)
    return replace(record, **found)


def _items_with(
    items: tuple[Any, ...], branches: _Branches, changes: Mapping[str, Any]
) -> tuple[Any, ...]:
    missing = branches.keys() - {item.key for item in items}
    if missing:
        raise _no_item(items, min(missing))
    return tuple(
        _changed(item, branches[item.key], changes) if item.key in branches else item
        for item in items
    )


def _child(record: Any, name: str) -> Any:
    if isinstance(record, tuple):
        for item in record:
            if item.key == name:
                return item
        raise _no_item(record, name)
    try:
        return getattr(record, name)
    except AttributeError:
        raise _nothing_there(record, name) from None


def _no_item(items: tuple[Any, ...], name: str) -> PathError:
    return PathError(told("paths.no_item", name=name, known=known_names(name, map(_key, items))))


def _nothing_there(record: Any, name: str) -> PathError:
    if not is_dataclass(record):
        return PathError(told("paths.below", name=name))
    where = getattr(record, "section", "") or type(record).__name__.lower()
    return PathError(
        told(
            "paths.no_field",
            name=name,
            where=where,
            known=known_names(name, field_names(type(record))),
        )
    )


def _key(item: Any) -> str:
    return str(item.key)
