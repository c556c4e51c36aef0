"""Makes the records of the shipped catalogs from their TOML files, each slip told in a sentence.

A library for this would be imported by every start of the model and tell its own sentences; the types of our
records are few.
"""

import tomllib
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from typing import Any, TypeVar, cast, get_args, get_origin, get_type_hints

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence

Record = TypeVar("Record")

_CALLED = {
    str: "a text in quotes",
    float: "a number",
    int: "a whole number",
    bool: "true or false",
}


class RecordError(InputError):
    """An entry of a catalog that cannot be used."""


@cache
def shipped_table(*parts: str) -> Mapping[str, Any]:
    """Content of a TOML file of the data folder. Not to be written to.

    Raises
    ------
    RecordError
        When it is no TOML; names the file and the line.
    """
    try:
        return tomllib.loads(data_path(*parts).read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise RecordError(f"data/{'/'.join(parts)}: {error}. Correct that line.") from error


def records(kind: type[Record], name: str, *parts: str) -> tuple[Record, ...]:
    """Every ``[[name]]`` entry of a file of the data folder as a record.

    Parameters
    ----------
    kind : type
        Frozen dataclass whose fields are texts, numbers, lists of them, tables, or further records.
    name : str
        Name of the entries, such as ``"measure"``.
    parts : str
        Path of the file below the data folder.

    Raises
    ------
    RecordError
        When an entry lacks a field, has an unknown one or one of another type, or a key stands twice; names
        file, entry, field and value.
    """
    where = f"data/{'/'.join(parts)}"
    entries = shipped_table(*parts).get(name)
    if not isinstance(entries, list):
        raise RecordError(sentence("base_records.write_each", where=where, name=name))
    keys = [entry.get("key") for entry in entries]
    for key in keys:
        if key is not None and keys.count(key) > 1:
            raise RecordError(
                sentence("base_records.appears_twice", where=where, name=name, key=key)
            )
    return tuple(
        record(kind, entry, f"{where}, {name} '{entry.get('key', '?')}'") for entry in entries
    )


def record(kind: type[Record], table: Mapping[str, Any], where: str) -> Record:
    """One record from a table.

    Raises
    ------
    RecordError
        See `records`; ``where`` stands before the sentence.
    """
    known = {field.name: field for field in fields(kind)}  # type: ignore[arg-type]
    for name in table:
        if name not in known:
            raise RecordError(
                sentence(
                    "base_records.no_field", where=where, name=name, known=known_names(name, known)
                )
            )
    lacking = [name for name, field in known.items() if name not in table and _is_asked(field)]
    if lacking:
        raise RecordError(sentence("base_records.missing_compare", where=where, lacking=lacking[0]))
    types = _types(cast("Hashable", kind))
    return kind(
        **{name: _value(types[name], value, f"{where}: {name}") for name, value in table.items()}
    )


def known_keys(name: str, *parts: str) -> list[str]:
    """Keys of the ``[[name]]`` entries of a file of the data folder."""
    return [entry["key"] for entry in shipped_table(*parts)[name]]


def check_word(word: str, known: Iterable[str], where: str) -> None:
    """Refuse a word that is not in a vocabulary.

    Raises
    ------
    RecordError
        Naming where it stands, the word and what there is.
    """
    problem = word_problem(word, known)
    if problem:
        raise RecordError(f"{where} {problem}")


def word_problem(word: str, known: Iterable[str]) -> str:
    """Sentence on a word that is not in a vocabulary; empty where it is."""
    names = list(filter(None, known))
    fine = not word or word in names
    return (
        "" if fine else sentence("base_records.unknown", word=word, known=known_names(word, names))
    )


def _is_asked(field: "Field[Any]") -> bool:
    return field.default is MISSING and field.default_factory is MISSING


@cache
def _types(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)


def _value(kind: Any, value: Any, where: str) -> Any:
    if is_dataclass(kind) and isinstance(value, Mapping):
        return record(kind, value, where)  # type: ignore[arg-type]
    if get_origin(kind) is tuple and isinstance(value, list):
        return tuple(_value(get_args(kind)[0], item, where) for item in value)
    if get_origin(kind) is frozenset and isinstance(value, list):
        return frozenset(_value(get_args(kind)[0], item, where) for item in value)
    if _fits(kind, value):
        return value
    raise RecordError(
        sentence("base_records.wrong_kind", where=where, value=repr(value), kind=_called(kind))
    )


def _fits(kind: Any, value: Any) -> bool:
    if kind is Any:
        return True
    if get_origin(kind) in {tuple, frozenset}:
        return isinstance(value, get_origin(kind))
    if get_origin(kind) in {Mapping, dict}:
        return isinstance(value, Mapping)
    if isinstance(value, bool) or kind is bool:
        return isinstance(value, bool) and kind is bool
    return any(
        isinstance(value, (int, float) if one is float else one)
        for one in (get_args(kind) or (kind,))
        if isinstance(one, type)
    )


def _called(kind: Any) -> str:
    if get_origin(kind) in {tuple, frozenset}:
        return "a list in brackets"
    return _CALLED.get(kind, "a table in braces" if is_dataclass(kind) else "of another type")
