"""Words of the lessons and of scenario sheets: every language has every sentence with the same blanks, said as people of the trade say it."""

import re
import string
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from test_page_words import A_SENTENCE, NOT_SAID, NOT_SAID_IN_SPANISH, texts_in

from retrofit_lab import classroom
from retrofit_lab.app import lesson
from retrofit_lab.classroom.lessons import lessons
from retrofit_lab.texts import LANGUAGES, catalog

CLASSROOM = Path(classroom.__file__).parent
OURS = [
    *sorted(Path(lesson.__file__).parent.glob("*.py")),
    *sorted(CLASSROOM.glob("*lesson*.py")),
    *(CLASSROOM / f"{name}.py" for name in ("scenario_questions", "scenario_texts", "faults")),
]
OF_FILES = ("command.py", "marking_files.py")
"""Modules that tell what is wrong on the command line, in English."""


SHEETS = ".scenario"


def flat(texts: Any, before: str = "") -> Iterator[tuple[str, str]]:
    """Every sentence with its full key, through lists of lists."""
    if isinstance(texts, str):
        yield before, texts
        return
    items = texts.items() if hasattr(texts, "items") else enumerate(texts)
    for key, inside in items:
        yield from flat(inside, f"{before}.{key}")


def said(language: str) -> dict[str, str]:
    return dict(flat(catalog(language, "lessons"))) | dict(
        flat(catalog(language, "scenario"), SHEETS)
    )


def blanks(text: str) -> set[tuple[str, str | None]]:
    """Blanks with how their numbers are written, so that no language rounds otherwise."""
    return {(name, form) for _, name, form, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_sentence_is_there_with_its_blanks(language: str) -> None:
    own, other = said(LANGUAGES[0]), said(language)
    assert own.keys() == other.keys()
    for key, text in own.items():
        assert blanks(text) == blanks(other[key]), key
        assert bool(other[key].strip()) == bool(text.strip()), key


def test_spanish_is_no_copy() -> None:
    own, other = said("en"), said("es")
    same = {key for key, text in own.items() if text == other[key] and A_SENTENCE.search(text)}
    assert same == set()


def test_words_are_those_of_the_trade() -> None:
    for key, text in said("en").items():
        for phrase in (*NOT_SAID, "program", "line of its own"):
            if phrase == "program" and key.startswith(".draft"):
                continue  # a weatherization program, not ours
            assert not re.search(rf"\b{re.escape(phrase)}\b", text.lower()), (key, phrase)
    for key, text in said("es").items():
        for phrase in NOT_SAID_IN_SPANISH:
            assert phrase not in f" {text.lower()} ", (key, phrase)


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_is_called_safe(language: str) -> None:
    for key, text in said(language).items():
        assert not re.search(
            r"\b(is|are) safe\b|(es|está|son|están) segur[oa]s?\b(?! es)", text.lower()
        ), key


@pytest.mark.parametrize("language", LANGUAGES)
def test_lessons_on_what_can_hurt_carry_cautions(language: str) -> None:
    texts = catalog(language, "lessons")
    for key in ("air", "bills", "draft", "moisture", "zones", "ducts", "balance", "infrared"):
        assert texts[key]["caution"], key
    assert len(texts["draft"]["caution"]) >= 3


def test_every_lesson_has_its_words_and_no_words_are_left_over() -> None:
    shared = {"page", "said", "sheet", "mark", "unit", "words"}
    assert set(catalog("en", "lessons")) == shared | {one.key for one in lessons()}


def test_every_key_that_the_code_names_is_there() -> None:
    known = said("en")
    code = "".join(path.read_text(encoding="utf-8") for path in OURS)
    for key in re.findall(r'say\(\s*"([a-z_]+(?:\.[a-z_]+)+)"', code):
        assert known.keys() & {f".{key}", f"{SHEETS}.{key}"}, key
    named = set(re.findall(r'"([a-z_]+)"', code)) | set(
        re.findall(r"(?:said|page)\.([a-z_]+)", code)
    )
    marks = set(catalog("en", "lessons")["mark"])
    marking = (Path(classroom.__file__).parent / "marking.py").read_text(encoding="utf-8")
    for key in catalog("en", "lessons")["said"]:
        assert key in named or f"overlap_{key.removeprefix('overlap_')}" == key, key
    assert {key for key in marks if f'"{key}"' not in marking + code} == set()


@pytest.mark.parametrize("path", OURS, ids=lambda path: path.name)
def test_no_sentence_stands_in_the_code(path: Path) -> None:
    if path.name in OF_FILES:
        return
    found = {text for text in texts_in(path) if A_SENTENCE.search(text)}
    errors = {
        text for text in found if re.search(r"lesson|house|^Leave|^there is no|Choose one of", text)
    }
    assert found - errors == set()
