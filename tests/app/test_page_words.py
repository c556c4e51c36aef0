"""Words of the page: every language has every sentence with the same blanks, said as people of the trade say it."""

import ast
import re
import string
from pathlib import Path

import pytest

from retrofit_lab.app import page
from retrofit_lab.texts import LANGUAGES, catalog, sentences

OURS = sorted(Path(page.__file__).parent.glob("*.py"))
NOT_SAID = (
    "paid back after", "untick", "ticked", "by itself", "on top of", "counted twice", "parts of 100",
    "bit by bit", "in working order", "hardly any case", "nearly every case", "come back", "somebody",
    "standby sets", "lamps", "taps", "heed", "reckoning", "this page does not", "colour", "centre", "neighbour",
)  # fmt: skip
NOT_SAID_IN_SPANISH = (
    "colchas",
    "cable muerto",
    "aire malo",
    "depresión",
    "hogar",
    "vosotros",
    " tu ",
    "arden",
)
A_SENTENCE = re.compile(r"[A-Za-zñáéíóú]+ [a-zñáéíóú]+ [a-zñáéíóú]+")


def said(language: str) -> dict[str, str]:
    return dict(sentences(catalog(language, "page")))


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_sentence_is_there_with_its_blanks(language: str) -> None:
    own, other = said(LANGUAGES[0]), said(language)
    assert own.keys() == other.keys()
    for key, text in own.items():
        assert blanks(text) == blanks(other[key]), key
        assert bool(other[key].strip()) == bool(text.strip()), key


def test_words_are_those_of_the_trade() -> None:
    for key, text in said("en").items():
        for phrase in NOT_SAID:
            assert not re.search(rf"\b{re.escape(phrase)}\b", text.lower()), (key, phrase)
    for key, text in said("es").items():
        for phrase in NOT_SAID_IN_SPANISH:
            assert phrase not in f" {text.lower()} ", (key, phrase)


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_is_called_safe(language: str) -> None:
    for key, text in said(language).items():
        rest = text.lower().replace("nothing on this page says that something is safe", "")
        assert not re.search(
            r"\b(is|are) safe\b|(es|está|son|están) segur[oa]s?\b(?! es)",
            rest.replace("qué tan seguro es", ""),
        ), key


def keys_named(path: Path) -> set[str]:
    return set(
        re.findall(r'\.(?:say|all)\(\s*"([a-z_]+(?:\.[a-z_]+)+)"', path.read_text(encoding="utf-8"))
    )


@pytest.mark.parametrize("path", OURS, ids=lambda path: path.name)
def test_every_key_that_the_code_names_is_there(path: Path) -> None:
    known = said("en")
    for key in keys_named(path):
        assert key in known or f"{key}.0" in known, key


def texts_in(path: Path) -> set[str]:
    """Texts of a module but for docstrings and the keys of records."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    left_out = {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
    left_out |= {id(key) for n in ast.walk(tree) if isinstance(n, ast.Dict) for key in n.keys}
    nodes = (n for n in ast.walk(tree) if isinstance(n, ast.Constant) and id(n) not in left_out)
    return {node.value for node in nodes if isinstance(node.value, str)}


FILE_WORDS = {"saves, dollars a year", "retrofit-lab choice"}
"""Keys of a saved file, which no language changes."""


@pytest.mark.parametrize("path", OURS, ids=lambda path: path.name)
def test_no_sentence_stands_in_the_code(path: Path) -> None:
    found = {text for text in texts_in(path) if A_SENTENCE.search(text)}
    assert found - FILE_WORDS == set()
