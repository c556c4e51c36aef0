"""Sentences for people stand in the catalogs, none in the code; English alone is said only where it is read alone."""

import ast
import re
import string
from collections.abc import Iterator
from pathlib import Path

from catalog_sentences import ENGLISH_ONLY, ROOT

from retrofit_lab.texts import LANGUAGES, catalog, sentences

CODE = ROOT / "retrofit_lab"
SENTENCE = re.compile(r"[A-Za-z'{}]+(?:,? [A-Za-z0-9'{}()]+){3,}[^.?!]*[.?!]\s*$")
"""Four words at least, and the mark that ends them."""
WORDS = re.compile(r"(?:\b[A-Za-z][a-z']+\b[ ,;:]+){3,}|[a-z]{2,} [a-z'{}]{2,}.*[.?!]$")
"""Three words in a row, or two and a mark that ends them."""
LABELS = (
    "house/starting.py", "house/starting_systems.py", "house/first_answers.py", "house/estimating.py",
    "house/job_folder.py", "study/lab.py", "classroom/invented.py", "model/sizing.py", "physics/design_day.py",
    "measures/in_this_house.py", "measures/catalog.py", "app/page/plan_file.py",
    "bills/fitting/end_use.py", "bills/fitting/house_fit.py", "bills/fitting/other_load.py",
    "climate/stations.py", "climate/locating.py",
)  # fmt: skip
"""Words of the data, which the catalogs of the data translate: parts, choices, sources, headings of files."""
SLIPS = (
    "__init__.py", "base/records.py", "base/shipped_files.py", "base/units.py", "base/values.py", "bills/fitting/events.py",
    "classroom/working.py", "house/usual.py", "physics/below_grade.py", "physics/rating_by_age.py",
)  # fmt: skip
"""What only a slip in the program or its own files meets."""
MARKUP = ("app/home/writing.py", "app/serve/server_pages.py", "app/shared/si_text.py")
"""Styles and patterns that look like words."""
ENGLISH = (
    "command.py", "app/commands/", "app/home/writing.py", "app/lesson/command.py", "app/lesson/marking_files.py",
    "app/report/command.py", "app/serve/", "app/shared/bill_options.py", "app/shared/output_file.py",
    "app/shared/results_file.py", "app/shared/words.py", "app/walk/command.py", "base/parameters.py", "base/records.py", "bills/fitting/",
    "classroom/scenario.py", "classroom/faults.py", "climate/month_hours.py", "measures/", "portfolio/",
    "savings/combinations.py", "uncertainty/", "texts/english_only.py",
)  # fmt: skip
"""Who may say what has no other language: the command line, the program's own files, calls from code."""


def texts_of(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Texts of a source with blanks as {}, by line; docstrings are none."""
    skipped: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            skipped.add(id(node.value))
        if isinstance(node, ast.JoinedStr):
            skipped |= {id(part) for part in node.values}
            yield (
                node.lineno,
                "".join(
                    str(part.value) if isinstance(part, ast.Constant) else "{}"
                    for part in node.values
                ),
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, "" if id(node) in skipped else node.value


def found(pattern: re.Pattern[str], source: str) -> list[tuple[int, str]]:
    return [(line, text) for line, text in texts_of(ast.parse(source)) if pattern.search(text)]


def said_in_code(pattern: re.Pattern[str]) -> dict[str, list[tuple[int, str]]]:
    said = {
        str(path.relative_to(CODE).as_posix()): found(pattern, path.read_text(encoding="utf-8"))
        for path in sorted(Path(CODE).rglob("*.py"))
    }
    return {file: lines for file, lines in said.items() if lines}


def test_no_sentence_for_people_stands_outside_the_catalogs() -> None:
    assert not said_in_code(SENTENCE)


def test_what_looks_like_words_in_the_code_is_a_label_a_slip_or_markup() -> None:
    said = said_in_code(WORDS)
    allowed = {*LABELS, *SLIPS, *MARKUP}
    assert not (said.keys() - allowed), {file: said[file] for file in said.keys() - allowed}
    assert not (allowed - said.keys()), allowed - said.keys()


def test_a_sentence_in_the_code_would_be_found() -> None:
    source = '"""What is in here, and not."""\nx = f"The house {y} is not warm."\nz = "a key"\n'
    assert found(SENTENCE, source) == [(2, "The house {} is not warm.")]
    assert found(WORDS, 'help="open the page of a house"') == [(1, "open the page of a house")]


def english_calls() -> Iterator[tuple[str, str, set[str]]]:
    """File, key and blanks of every sentence that is said in English alone."""
    for path in sorted(Path(CODE).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Name)
                and node.func.id == "sentence"
            ):
                assert isinstance(node.args[0], ast.Constant)
                blanks = {str(keyword.arg) for keyword in node.keywords}
                yield path.relative_to(CODE).as_posix(), str(node.args[0].value), blanks


def test_english_alone_is_said_only_where_no_other_language_is() -> None:
    calls = list(english_calls())
    texts = dict(sentences(catalog("en", ENGLISH_ONLY)))
    assert {key for _, key, _ in calls} == texts.keys()
    for file, key, blanks in calls:
        assert file.startswith(ENGLISH), (file, key)
        wanted = {name for _, name, _, _ in string.Formatter().parse(texts[key]) if name}
        assert blanks == wanted, (file, key)


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
    read = list(scripts())
    assert len(read) > 20
    starting = {
        sentence
        for language in LANGUAGES
        for text in catalog(language, "server")["starting"].values()
        for sentence in said_by(text)
    }
    left = {
        str(path.relative_to(CODE)): own
        for path, source in read
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
