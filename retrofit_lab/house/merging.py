"""Brings two descriptions of one house together field by field, from what both came from; no file is read."""

from dataclasses import fields, is_dataclass, replace
from typing import Any


def merged(base: Any, ours: Any, theirs: Any) -> Any:
    """Our changes since ``base`` on top of theirs; where both changed the same, ours stands.

    Taking a change back is the same with what it made as ``base`` and what was before as ``ours``.

    Parameters
    ----------
    base, ours, theirs : House or any part of one
        Records are brought together field by field, lists of parts with keys part by part.
    """
    if ours in (base, theirs) or theirs == base:
        return theirs if ours == base else ours
    if is_dataclass(base) and type(base) is type(ours) is type(theirs):
        return _record(base, ours, theirs)
    if isinstance(base, frozenset):
        return (theirs | (ours - base)) - (base - ours)
    return _lists(base, ours, theirs) if isinstance(base, tuple) else ours


def _record(base: Any, ours: Any, theirs: Any) -> Any:
    names = [field.name for field in fields(base) if field.init]
    found = {n: merged(*(getattr(one, n) for one in (base, ours, theirs))) for n in names}
    return replace(theirs, **found)


def _lists(
    base: tuple[Any, ...], ours: tuple[Any, ...], theirs: tuple[Any, ...]
) -> tuple[Any, ...]:
    if all(map(_has_keys, (base, ours, theirs))):
        return _parts(base, ours, theirs)
    plain = not any(is_dataclass(one) for one in (*base, *ours, *theirs))
    return _words(base, ours, theirs) if plain else ours


def _has_keys(parts: tuple[Any, ...]) -> bool:
    return all(hasattr(part, "key") for part in parts)


def _parts(
    base: tuple[Any, ...], ours: tuple[Any, ...], theirs: tuple[Any, ...]
) -> tuple[Any, ...]:
    """Parts by their keys: what we removed is gone, what we added comes last, the rest is brought together."""
    was, mine = ({part.key: part for part in parts} for parts in (base, ours))
    kept = [part for part in theirs if part.key in mine or part.key not in was]
    both = [_part(part, was, mine) for part in kept]
    have = {part.key for part in theirs}
    added = [part for part in ours if part.key not in have and part != was.get(part.key)]
    return (*both, *added)


def _part(part: Any, was: dict[str, Any], mine: dict[str, Any]) -> Any:
    return merged(was.get(part.key), mine[part.key], part) if part.key in mine else part


def _words(
    base: tuple[Any, ...], ours: tuple[Any, ...], theirs: tuple[Any, ...]
) -> tuple[Any, ...]:
    gone = set(base) - set(ours)
    return (
        *(word for word in theirs if word not in gone),
        *(word for word in ours if word not in base and word not in theirs),
    )


def changed_paths(before: Any, after: Any, path: str = "") -> tuple[str, ...]:
    """Paths of the fields in which two houses differ; a part that came or went is named as a whole."""
    if before == after:
        return ()
    if is_dataclass(before) and type(before) is type(after):
        names = [field.name for field in fields(before)]
        found = [
            changed_paths(getattr(before, n), getattr(after, n), f"{path}.{n}".strip("."))
            for n in names
        ]
        return tuple(one for part in found for one in part)
    if isinstance(before, tuple) and isinstance(after, tuple) and _has_keys((*before, *after)):
        was, now = ({part.key: part for part in parts} for parts in (before, after))
        keys = list(dict.fromkeys((*was, *now)))
        found = [changed_paths(was.get(k), now.get(k), f"{path}.{k}".strip(".")) for k in keys]
        return tuple(one for part in found for one in part)
    return (path,)
