"""Sentences for people stand in the catalogs; what is still English in the code is listed here, file by file."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from catalog_sentences import ROOT

from retrofit_lab.texts import LANGUAGES, catalog

CODE = ROOT / "retrofit_lab"
SENTENCE = re.compile(r"[A-Za-z'{}]+(?:,? [A-Za-z0-9'{}()]+){3,}[^.?!]*[.?!]\s*$")
"""Four words at least, and the mark that ends them."""
COMMANDS = (
    "command.py", "app/commands/", "app/lesson/command.py", "app/lesson/marking_files.py", "app/report/pictures.py",
    "app/report/writing.py", "app/walk/command.py", "app/serve/", "app/home/writing.py", "app/shared/pdf.py",
    "app/shared/results_file.py", "portfolio/", "classroom/", "study/opening.py",
)  # fmt: skip
"""Told by the command line alone, which is English."""
FILES = (
    "base/", "bills/fitting/period_weather.py", "house/", "measures/", "money/", "proposals/bids.py",
    "proposals/after_work.py",
)  # fmt: skip
"""Refusals of files that a person wrote for the command line: houses, prices, bids, tariffs, tables of weather."""
CALLS = ("bills/fitting/", "savings/", "uncertainty/")
"""Refusals that only a call from other code meets."""
MOST = 175
"""There were 163 when this was written; the number is to fall."""


def sentences(source: str) -> Iterator[tuple[int, str]]:
    """Sentences among the texts of a source, by line; docstrings are none."""
    tree = ast.parse(source)
    skipped: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            skipped.add(id(node.value))
        if isinstance(node, ast.JoinedStr):
            skipped |= {id(part) for part in node.values}
            text = "".join(
                str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = "" if id(node) in skipped else node.value
        else:
            continue
        if SENTENCE.search(text):
            yield node.lineno, text


def found() -> dict[str, list[tuple[int, str]]]:
    said = {
        str(path.relative_to(CODE).as_posix()): list(sentences(path.read_text(encoding="utf-8")))
        for path in sorted(Path(CODE).rglob("*.py"))
    }
    return {file: lines for file, lines in said.items() if lines}


def test_no_sentence_for_people_stands_outside_the_catalogs() -> None:
    said = found()
    allowed = (*COMMANDS, *FILES, *CALLS)
    left = {file: lines for file, lines in said.items() if not file.startswith(allowed)}
    assert not left, left
    assert sum(map(len, said.values())) <= MOST
    unused = [start for start in allowed if not any(file.startswith(start) for file in said)]
    assert not unused, unused


def test_a_sentence_in_the_code_would_be_found() -> None:
    source = '"""What is in here, and not."""\nx = f"The house {y} is not warm."\nz = "a key"\n'
    assert list(sentences(source)) == [(2, "The house {} is not warm.")]


COMMENTS = re.compile(
    r"/\*.*?\*/|<!--.*?-->|\{#.*?#\}|^\s*//.*?$|\s//\s.*?$", re.DOTALL | re.MULTILINE
)
SAID = re.compile(r"[A-Z¿¡Á-Ú][\w']*(?:,? [\w']+){2,}[.?!]")
"""A capital, three words at least, and the mark that ends them."""
STARTING = CODE / "app" / "serve" / "share" / "voila" / "templates" / "retrofit_lab"


def said_by(source: str) -> list[str]:
    """Sentences of a script or a template; comments are none."""
    return SAID.findall(COMMENTS.sub("", source))


def scripts() -> Iterator[tuple[Path, str]]:
    for path in sorted(CODE.rglob("*")):
        if path.suffix in {".js", ".html", ".j2"} and "plotly" not in path.name:
            yield path, path.read_text(encoding="utf-8")


def test_no_script_or_template_says_a_sentence_of_its_own() -> None:
    found = list(scripts())
    assert len(found) > 20
    starting = {
        sentence
        for language in LANGUAGES
        for text in catalog(language, "server")["starting"].values()
        for sentence in said_by(text)
    }
    left = {
        str(path.relative_to(CODE)): own
        for path, source in found
        if (own := [one for one in said_by(source) if one not in starting])
    }
    assert not left, left


def test_what_is_said_before_any_text_can_be_asked_for_is_that_of_the_catalogs() -> None:
    script = (STARTING / "static" / "starting.js").read_text(encoding="utf-8")
    page = (STARTING / "index.html.j2").read_text(encoding="utf-8")
    for language in LANGUAGES:
        words = catalog(language, "server")["starting"]
        row = ", ".join(f'"{words[key]}"' for key in ("working", "again", "failed", "skip"))
        assert f"[{row}]" in script
        assert words["script"] in page
    english = catalog(LANGUAGES[0], "server")["starting"]
    assert f">{english['working']}<" in page
    assert f">{english['skip']}<" in page


def test_a_sentence_in_a_script_would_be_found() -> None:
    assert said_by('// No one reads this.\nsay("The house is not warm.");') == [
        "The house is not warm."
    ]
