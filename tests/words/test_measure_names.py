"""Each measure has one name wherever people read: catalogs, data, examples, notebooks, guide and code."""

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest
from catalog_sentences import ROOT, data_words

from retrofit_lab.measures.renamed import renamed

OLDER = tomllib.loads((Path(__file__).parent / "older_names.toml").read_text(encoding="utf-8"))
FOLDERS = ("retrofit_lab", "data", "notebooks")
PAGES = ("README.md", "DEVELOPERS.md")
READ = (".toml", ".csv", ".md", ".ipynb", ".py", ".js", ".html")
LARGEST = 600_000
"""Larger files are tables of numbers. [byte]"""
LITTLE = {"en": frozenset(["the", "a", "an", "your"]), "es": frozenset(["el", "la", "los", "las", "su"])}  # fmt: skip
LANGUAGES = tuple(OLDER)


@cache
def read() -> dict[str, str]:
    """Every text that someone can read, by file, with single spaces and no capitals."""
    files = [ROOT / name for name in PAGES]
    files += [
        path
        for folder in FOLDERS
        for path in sorted((ROOT / folder).rglob("*"))
        if path.suffix in READ and path.is_file() and path.stat().st_size < LARGEST
    ]
    return {
        str(path.relative_to(ROOT)): plain(path.read_text(encoding="utf-8", errors="replace"))
        for path in files
    }


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\\n", " ")).casefold()


def bare(text: str, language: str) -> str:
    """Words of a text without articles, plurals, hyphens and signs: what two forms of one name share."""
    words = re.findall(r"\w+", text.casefold())
    return " ".join(
        word[:-1] if word.endswith("s") and len(word) > 3 else word
        for word in words
        if word not in LITTLE[language]
    )


def whole(name: str, text: str) -> int:
    """How often a name is in a plain text, not as part of longer words."""
    return len(re.findall(rf"(?<!\w){re.escape(plain(name))}(?!\w)", text))


def older_names(text: str, language: str) -> list[tuple[str, str]]:
    """Older names in a plain text, by measure."""
    return [
        (key, name)
        for key, names in OLDER[language].items()
        for name in names
        if plain(name) in text and whole(name, text)
    ]


def other_forms(text: str, titles: dict[str, str], language: str) -> list[tuple[str, str]]:
    """Names of measures in a plain text with another hyphen, article or plural than theirs, by measure."""
    words = f" {bare(text, language)} "
    return [
        (key, title)
        for key, title in titles.items()
        if (found := words.count(f" {bare(title, language)} ")) and found != whole(title, text)
    ]


def titles(language: str) -> dict[str, str]:
    return {key: entry["title"] for key, entry in data_words(language)["measure"].items()}


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_older_name_is_left(language: str) -> None:
    found = [(file, *hit) for file, text in read().items() for hit in older_names(text, language)]
    assert not found, "\n".join(map(str, found))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_name_is_written_one_way(language: str) -> None:
    known = titles(language)
    found = [
        (file, *hit) for file, text in read().items() for hit in other_forms(text, known, language)
    ]
    assert not found, "\n".join(map(str, found))


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_two_measures_share_a_name(language: str) -> None:
    known = [bare(title, language) for title in titles(language).values()]
    assert len(known) > 80
    assert len(set(known)) == len(known)


@pytest.mark.parametrize("language", LANGUAGES)
def test_older_names_are_of_measures_and_none_is_todays(language: str) -> None:
    known = titles(language)
    retired = set(renamed())
    for key, names in OLDER[language].items():
        assert key in known or key in retired, key
        for name in names:
            assert not older_names(plain(known.get(key, "")), language), (key, name)


def test_another_name_would_be_found() -> None:
    assert older_names(plain("First: Foam the\nband joist, then"), "en")
    assert not older_names(plain("Foam the band joists"), "en")
    known = {"band_joist_boards": titles("en")["band_joist_boards"]}
    title = known["band_joist_boards"]
    assert not other_forms(plain(f"In your plan: {title}."), known, "en")
    assert other_forms(plain(f"In your plan: {title}s."), known, "en")
    assert other_forms(plain(title.replace("the ", "")), known, "en")
