"""Every word for people, by language, and its loader; nothing else of the program is known here.

``texts/LANGUAGE/PAGE.toml`` holds the sentences of one page by key, ``texts/LANGUAGE/data/`` what the
data calls things. A sentence may have blanks in braces. Where the data itself is written in English, only
other languages need an entry.
"""

import tomllib
from collections.abc import Iterator, Mapping
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


@cache
def data_words(language: str) -> Mapping[str, Mapping[str, Any]]:
    """What the data calls things in one language, by kind (``measure``, ``caution``, ``word`` ...) and key."""
    tables = [_toml(path) for path in sorted((FOLDER / language / "data").glob("*.toml"))]
    return MappingProxyType({kind: content for table in tables for kind, content in table.items()})


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
