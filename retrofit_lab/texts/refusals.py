"""Sentences that lower rooms say by key and values, in the data's language, and the same in another one.

A `Sentence` is plain text wherever text is wanted; whoever shows it in another language asks `in_language`.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import reduce
from typing import Any

from retrofit_lab.texts import LANGUAGES, Word, catalog, found

PAGE = "refusals"


class Names(tuple[Any, ...]):
    """Names with commas between them."""

    __slots__ = ()

    def __str__(self) -> str:
        """The names in the data's language."""
        return ", ".join(map(str, self))


class Sentence(str):
    """A sentence in the data's language that knows its key and what fills its blanks."""

    __slots__ = ("key", "values")
    key: str
    values: Mapping[str, Any]


class Lines(str):
    """Several sentences, one a line."""

    __slots__ = ("parts",)
    parts: tuple[str, ...]


def told(key: str, /, **values: object) -> Sentence:
    """Sentence of a key in the data's language, with its blanks filled.

    Parameters
    ----------
    **values : object
        Text, numbers as they are shown, words of the data, lists of names, other sentences or errors that hold one.

    Examples
    --------
    >>> str(told("units.not_a_number", text="abc", example="13.0 ft"))
    "'abc' is not a number with a unit; write for example '13.0 ft'"
    """
    kept = {name: _kept(value) for name, value in values.items()}
    shown = {name: str(value) for name, value in kept.items()}
    made = Sentence(_at(LANGUAGES[0], key).format(**shown))
    made.key, made.values = key, kept
    return made


def word(own: str) -> Word:
    """A word of the data, such as a unit, that other languages may have their own for."""
    return Word("word", own, own)


def lines(parts: Iterable[str]) -> Lines:
    """Sentences one below the other, each still known by itself."""
    kept = tuple(parts)
    made = Lines("\n".join(kept))
    made.parts = kept
    return made


def chain(parts: Sequence[str]) -> Sentence:
    """Sentences one after the other with semicolons between them, each still known by itself."""
    return reduce(lambda before, part: told("read.both", before=before, part=part), parts)  # type: ignore[return-value]


def lines_of(said: object) -> tuple[str, ...]:
    """Sentences of an error or of a text, one for each line."""
    said = _kept(said)
    if isinstance(said, Lines):
        return said.parts
    return (said,) if isinstance(said, Sentence) else tuple(str(said).splitlines())


def in_language(said: object, language: str) -> str:
    """What an error, a sentence or a name says in a language; what is only text stays as it is."""
    said = _kept(said)
    if isinstance(said, Word):
        return said.said(language)
    if isinstance(said, Names):
        return ", ".join(in_language(part, language) for part in said)
    if isinstance(said, Lines):
        return "\n".join(in_language(part, language) for part in said.parts)
    if isinstance(said, Sentence):
        values = {name: in_language(value, language) for name, value in said.values.items()}
        return _at(language, said.key).format(**values)
    return str(said)


def _kept(value: object) -> Any:
    """What an error was raised with, so that its sentence is not lost, and lists as names."""
    if isinstance(value, Exception):
        return value.args[0] if value.args else ""
    return Names(value) if isinstance(value, list | tuple) else value


def _at(language: str, key: str) -> str:
    return found(catalog(language, PAGE), key)
