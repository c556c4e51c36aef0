"""Every sentence of the program that a person can read, in the order in which it is met; no judgment of it.

    python tests/words/catalog_sentences.py [en|es] [--homeowner]

prints them for reading aloud."""

import argparse
import csv
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
DATA = ROOT / "data"
TEXTS = ROOT / "retrofit_lab" / "texts"

MET = (
    "page",
    "steps",
    "walk",
    "refusals",
    "report",
    "lessons",
    "class",
    "scenario",
    "server",
    "lab",
)
THERE = sorted(path.stem for path in (TEXTS / "en").glob("*.toml"))
PAGES = tuple(dict.fromkeys([*(page for page in MET if page in THERE), *THERE]))
"""Every catalog, in the order in which a job meets them."""
ENGLISH_ONLY = "english_only"
"""What the command line, the program's own files and calls from code say; it has no other language."""
ENGLISH_DATA = (
    *(f"measures/{path.name}" for path in sorted((DATA / "measures").glob("*.toml"))),
    "reasons.toml", "cautions.toml", "hazards.toml", "findings.toml", "route.toml", "starting_items.toml",
    "lessons.toml",
)  # fmt: skip
ENGLISH_TABLES = {
    "parameters.csv": ("label", "way_out"),
    "observations.csv": ("name",),
    "test_limits.csv": ("source",),
    "leak_sites.csv": ("name",),
}
"""Tables of the data and their columns that people read: what numbers are called, hints, words of the walk."""
FOR_PEOPLE = frozenset(
    [
        "title",
        "in_short",
        "why",
        "materials",
        "done",
        "less",
        "more",
        "text",
        "release",
        "settled_by",
        "limit",
        "look",
        "how",
        "place",
        "question",
        "answer",
        "aim",
        "lead",
        "words",
        "sentence",
        "remark",
        "label",
        "short",
        "explained",
        "note",
        "part",
        "care",
        "measure",
        "hint",
    ]
)
"""Fields of the data files that people read; the others are keys, numbers and sources."""
WHOLE_TABLES = ("reasons.otherwise.", "reasons.fan.", "reasons.same.")
FORM_TABLES = ("route.titles.", "route.labels.", "route.words.")
"""Tables of the data in which every entry is a text for people, whatever its field; the second are of the walk."""
OF_HOMEOWNERS = frozenset(["title", "in_short", "why", "less", "more", "text", "release"])


def _leaves(found: Any, path: str, field: str = "") -> Iterator[tuple[str, str, str]]:
    if isinstance(found, str):
        yield path, field, found
    elif isinstance(found, dict):
        for key, value in found.items():
            yield from _leaves(value, f"{path}.{key}", key)
    elif isinstance(found, list):
        for place, value in enumerate(found):
            name = value.get("key", place) if isinstance(value, dict) else place
            yield from _leaves(value, f"{path}[{name}]", field)


def of_catalogs(language: str, pages=PAGES) -> Iterator[tuple[str, str]]:
    """Where it stands and the text, of the catalogs of one language."""
    for page in pages:
        file = TEXTS / language / f"{page}.toml"
        if file.exists():
            for path, _, text in _leaves(tomllib.loads(file.read_text(encoding="utf-8")), page):
                yield path, text


def of_data(language: str, fields=FOR_PEOPLE) -> Iterator[tuple[str, str]]:
    """Where it stands and the text, of what the data files tell people in one language."""
    whole = WHOLE_TABLES if fields is OF_HOMEOWNERS else (*WHOLE_TABLES, *FORM_TABLES)
    if language == "en":
        yield from of_tables()
        files = [DATA / name for name in ENGLISH_DATA if (DATA / name).exists()]
        files += sorted((TEXTS / "en" / "data").glob("*.toml"))
    else:
        files = sorted((TEXTS / language / "data").glob("*.toml"))
    for file in files:
        own = file.is_relative_to(TEXTS)
        for path, field, text in _leaves(
            tomllib.loads(file.read_text(encoding="utf-8")), file.stem
        ):
            if own or field in fields or path.startswith(whole):
                yield path, text


def of_tables() -> Iterator[tuple[str, str]]:
    """Where it stands and the text, of the tables of the data."""
    for name, columns in ENGLISH_TABLES.items():
        lines = (DATA / name).read_text(encoding="utf-8").splitlines()
        rows = csv.DictReader(line for line in lines if not line.startswith("#"))
        for number, row in enumerate(rows):
            for column in columns:
                if row[column]:
                    yield f"{name.partition('.')[0]}[{number}].{column}", row[column]


def data_words(language: str) -> dict[str, dict[str, Any]]:
    """Entries of the data by kind and key: of its own files in English, of the words beside the catalogs in others."""
    if language != "en":
        files = sorted((TEXTS / language / "data").glob("*.toml"))
        return {kind: entries for file in files for kind, entries in _toml(file).items()}
    rows = [_toml(DATA / name) for name in ENGLISH_DATA if (DATA / name).exists()]
    found: dict[str, dict[str, Any]] = {}
    for table in rows:
        for kind in ("measure", "caution", "hazard", "finding", "stop"):
            found.setdefault(kind, {}).update({row["key"]: row for row in table.get(kind, [])})
    return found


def _toml(file: Path) -> dict[str, Any]:
    return tomllib.loads(file.read_text(encoding="utf-8"))


def every_text(language: str) -> Iterator[tuple[str, str]]:
    """All of it: catalogs first, then data."""
    yield from of_catalogs(language)
    yield from of_data(language)


def homeowner_texts() -> Iterator[tuple[str, str]]:
    """What an English-speaking homeowner reads: page and report without their parts for others, steps, reasons, cautions."""
    for path, text in of_catalogs("en", ("page", "steps", "report")):
        if not path.startswith(FOR_THE_RATER):
            yield path, text
    for path, text in of_data("en", OF_HOMEOWNERS):
        if not path.startswith(FOR_THE_RATER):
            yield path, text


FOR_THE_RATER = (
    "page.panel.numbers",
    "page.panel.bills",
    "page.panel.shares",
    "page.file",
    "report.trade",
    "parameters[",
    "test_limits[",
)
"""Parts of the page that are "For the rater" or tell of files, pages for contractors, labels and sources of the data."""


def sentences(text: str) -> list[str]:
    """Whole sentences of a text, blanks filled by a short word; labels and fragments are none."""
    plain = re.sub(r"\{[^{}]*\}", "it", text)
    return [
        part
        for part in re.split(r"(?<=[.?!])\s+", plain)
        if re.search(r"[.?!]$", part) and part.count(" ") >= 2
    ]


def main(arguments: list[str]) -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("language", nargs="?", default="en", choices=("en", "es"))
    parser.add_argument("--homeowner", action="store_true", help="only what a homeowner reads")
    asked = parser.parse_args(arguments)
    for path, text in homeowner_texts() if asked.homeowner else every_text(asked.language):
        print(f"{path}\n    {text}")


if __name__ == "__main__":
    main(sys.argv[1:])
