"""Every word for people, by language, and its loader; nothing else of the program is known here.

``texts/LANGUAGE/PAGE.toml`` holds the sentences of one page by key, ``texts/LANGUAGE/data/`` what the
data calls things. A sentence may have blanks in braces. Where the data itself is written in English, only
other languages need an entry.
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

FOLDER = Path(__file__).parent
LANGUAGES = ("en", "es")
"""The first is the language that the data is written in."""


@cache
def catalog(language: str, page: str) -> Mapping[str, Any]:
    """Sentences of one page in one language, by key.

    Raises
    ------
    FileNotFoundError
        When there is no such page or language; a slip of the program, not of a person.
    """
    return _toml(FOLDER / language / f"{page}.toml")


def found(texts: Mapping[str, Any], key: str) -> str:
    """Sentence of a key such as ``"fit.agrees"``."""
    said: Any = texts
    for name in key.split("."):
        said = said[name]
    return str(said)


@cache
def data_words(language: str) -> Mapping[str, Mapping[str, Any]]:
    """What the data calls things in one language, by kind (``measure``, ``caution``, ``word`` ...) and key."""
    tables = [_toml(path) for path in sorted((FOLDER / language / "data").glob("*.toml"))]
    return MappingProxyType({kind: content for table in tables for kind, content in table.items()})


@dataclass(frozen=True, slots=True)
class Word:
    """What the data calls one thing: kind and key of its entry in other languages, and the data's own word for it.

    ``of`` names the part of the entry that is meant, where it has several, such as ``label``.
    """

    kind: str
    key: str
    own: str
    of: str = ""

    def __str__(self) -> str:
        """The data's own word."""
        return self.own

    def said(self, language: str) -> str:
        """The word in a language; the data's own where that language has no other."""
        found = data_words(language).get(self.kind, {}).get(self.key, self.own)
        return str(found.get(self.of, self.own) if isinstance(found, Mapping) else found)


def told(language: str, table: str, key: str, values: Mapping[str, Any]) -> str:
    """Sentence of the data's words, with a capital, its blanks filled by texts or by `Word` in the same language."""
    filled = {
        name: value.said(language) if isinstance(value, Word) else value
        for name, value in values.items()
    }
    text = str(data_words(language)[table][key]).format(**filled)
    return text[:1].upper() + text[1:]


def sentences(texts: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    """Every sentence of a catalog with its full key."""
    for key, said in texts.items():
        if isinstance(said, Mapping):
            yield from sentences(said, f"{before}{key}.")
        elif isinstance(said, list):
            yield from ((f"{before}{key}.{place}", str(one)) for place, one in enumerate(said))
        else:
            yield f"{before}{key}", str(said)


def _toml(path: Path) -> Mapping[str, Any]:
    return MappingProxyType(tomllib.loads(path.read_text(encoding="utf-8")))
