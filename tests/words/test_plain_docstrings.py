"""Docstrings, comments and pages for developers are plain American; names of the code are its own."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from catalog_sentences import ROOT
from test_plain_words import BRITISH, told

PAGES = ("README.md", "DEVELOPERS.md", "notebooks/COMMANDS.md", "notebooks/classroom/GUIDE.md")
QUAINT = (
    "hangs on", "round a", "round the", "coolers", "the cooler", "heat-pump tank", "dearest", "dearer", "nought",
    "somebody", "anybody", "storey", "storeys", "the tap", "taps", "girth", "reckoning", "heed", "who saves what",
    "on top of the others", "lost to overlap", "the maker", "their maker", "open flue in the rooms", "licensed people",
    "sets on standby", "bit by bit", "counted twice", "blower of the ducts", "behind this page",
)  # fmt: skip
"""Phrases of the catalogs' list that a docstring has no other use for."""
SOURCES = ("python", "javascript")
DOCSTRING = re.compile(r'"""(.*?)"""', re.DOTALL)
COMMENT = re.compile(r"(?:^|\s)#(?!:)(.*)$", re.MULTILINE)
SCRIPT_COMMENT = re.compile(r"/\*(.*?)\*/|(?:^|\s)//([^\n]*)", re.DOTALL)


def said_in(source: str, kind: str) -> Iterator[str]:
    """Comments and docstrings of a source; lines that run are none."""
    if kind == "javascript":
        yield from ("".join(found) for found in SCRIPT_COMMENT.findall(source))
        return
    for text in DOCSTRING.findall(source):
        yield from (
            line for line in text.splitlines() if not line.lstrip().startswith((">>>", "..."))
        )
    yield from COMMENT.findall(DOCSTRING.sub("", source))


def texts(kind: str) -> Iterator[tuple[str, str]]:
    ending = {"python": "*.py", "javascript": "*.js"}[kind]
    for path in sorted((ROOT / "retrofit_lab").rglob(ending)):
        if path.name.endswith(".min.js"):
            continue
        for text in said_in(path.read_text(encoding="utf-8"), kind):
            yield str(path.relative_to(ROOT)), text


@pytest.mark.parametrize("kind", SOURCES)
def test_docstrings_and_comments_are_plain(kind: str) -> None:
    found = told(texts(kind), (*QUAINT, *BRITISH))
    assert not found, "\n".join(found)


@pytest.mark.parametrize("page", PAGES)
def test_pages_for_developers_are_plain(page: str) -> None:
    lines = Path(ROOT / page).read_text(encoding="utf-8").splitlines()
    found = told(((f"{page}:{n}", line) for n, line in enumerate(lines, 1)), (*QUAINT, *BRITISH))
    assert not found, "\n".join(found)


def test_a_slip_would_be_found() -> None:
    source = '"""It hangs on the house."""\nx = 1  # grey\nsaid = "# no comment of the dearest"\n'
    found = told((("here", text) for text in said_in(source, "python")), (*QUAINT, *BRITISH))
    assert len(found) >= 2
    script = "/** Round the house. */\nlet a = 1; // the dearest\n"
    assert len(told((("here", t) for t in said_in(script, "javascript")), QUAINT)) == 2
