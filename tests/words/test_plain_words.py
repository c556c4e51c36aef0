"""Every text for people is plain American, or as plain Spanish; whether it is true, the other tests ask."""

import re
import statistics
import string
import tomllib
from collections.abc import Iterable

import pytest
from catalog_sentences import (
    DATA,
    ENGLISH_ONLY,
    PAGES,
    data_words,
    every_text,
    homeowner_texts,
    of_catalogs,
    of_data,
    sentences,
)
from test_reading_age import counts, english_syllables, grade_level

from retrofit_lab import texts

QUAINT = (
    "paid back after", "paid back within", "with nothing ticked", "tick", "untick", "ticked", "on top of the others",
    "what could be done", "show first", "brings back", "in hardly any case", "in nearly every case",
    "parts of 100", "of every 100", "counted twice", "lost to overlap", "who saves what", "bit by bit",
    "; save up", "and with a loan", "in it, in working order", "not reached, or left out", "blower of the ducts",
    "sets on standby", "sets in standby", "a set that draws", "lamps", "taps", "the tap", "coolers", "a cooler that",
    "better cooler", "the cooler", "girth", "storey", "storeys", "dear", "dearer", "dearest", "heed", "reckoning",
    "mend", "mended", "mending", "round the", "round a", "lay back", "scattered batts", "foam the band joist",
    "the band joist", "seal wire and pipe holes", "heat-pump tank", "an efficient motor",
    "let the boiler run cooler", "draws its air from the room", "open flue in the rooms", "licensed people",
    "the maker", "the maker's", "their maker", "stands in", "what stands here", "hangs on", "take the last change back",
    "odd things", "what worked behind this page", "at first $", "come back each year", "because others are done",
    "somebody", "anybody", "this page does not", "worked out behind",
)  # fmt: skip
"""Phrases that no American rater or homeowner would say."""
BRITISH = (
    "grey", "colour", "litre", "litres", "aluminium", "neighbour", "neighbours", "depressurisation", "realise",
    "programme", "catalogue", "judgement", "centre", "metre", "metres", "vapour", "mould", "kerb", "whilst",
    "licence", "insulating tape's", "draughty", "draught", "tyre", "plough", "utilisation", "organise", "recognise",
)  # fmt: skip
EXPLAINED = ("rim joist (band joist)", "Cooler water", "cooler house", "cooler tank")
"""A trade name that is given once as another name of the thing; cooler as what something feels like."""
SLIPS = (
    "arden", "arda", "depresión", "colchas", "cable muerto", "cable esté muerto", "cerrar la casa", "aire malo",
    "hogar", "lámparas", "horno de calefacción", "vatios", "dormitorio", "dormitorios", "auditor", "cochera",
    "tu casa", "tus", "usted puedes", "vosotros", "puedes", "tienes", "quieres",
)  # fmt: skip
"""Spanish that a contractor in the United States would not say, or not to somebody he calls usted."""
ENGLISH = re.compile(r"\b(?:the|and|is|are|with|from|your|this|that|when|house)\b", re.IGNORECASE)
SOURCES = ("International Residential Code", "National Electrical Code")
"""Names of codes that Spanish readers know by their English name."""
NEITHER = ("page.page.language_name", "server.entry.other")
"""Names of languages, each in its own."""


def told(texts: Iterable[tuple[str, str]], phrases: Iterable[str]) -> list[str]:
    pattern = re.compile(
        "|".join(rf"(?<!\w){re.escape(phrase)}(?!\w)" for phrase in phrases), re.IGNORECASE
    )
    found = []
    for path, text in texts:
        plain = text
        for name in EXPLAINED:
            plain = plain.replace(name, "")
        found += [f"{path}: {hit.group()!r} in {text!r}" for hit in pattern.finditer(plain)]
    return found


@pytest.mark.parametrize(("language", "phrases"), [("en", QUAINT), ("en", BRITISH), ("es", SLIPS)])
def test_no_quaint_phrase(language: str, phrases: tuple[str, ...]) -> None:
    found = told(every_text(language), phrases)
    assert not found, "\n".join(found)


def test_every_phrase_would_be_found() -> None:
    for phrase in (*QUAINT, *BRITISH, *SLIPS):
        assert told([("here", f"Say {phrase}, now.")], (phrase,)), phrase


def grade(sentence: str) -> float:
    """School grade at which a sentence is read. (Kincaid and others, 1975, as the reading age of the report.)"""
    return grade_level(*counts(sentence, english_syllables))


def test_a_homeowner_reads_it_with_ease() -> None:
    grades = {
        (path, sentence): grade(sentence)
        for path, text in homeowner_texts()
        if not path.endswith(".title")
        for sentence in sentences(text)
    }
    assert len(grades) > 500
    assert statistics.median(grades.values()) <= 8.0
    hard = [
        f"{value:.1f} {path}: {sentence}"
        for (path, sentence), value in grades.items()
        if value > 12.0
    ]
    assert not hard, "\n".join(sorted(hard))


def blanks(text: str) -> list[str]:
    return sorted(name for _, name, _, _ in string.Formatter().parse(text) if name is not None)


@pytest.mark.parametrize("page", [page for page in PAGES if page != ENGLISH_ONLY])
def test_every_sentence_of_a_page_has_its_spanish_with_the_same_blanks(page: str) -> None:
    english, spanish = dict(of_catalogs("en", (page,))), dict(of_catalogs("es", (page,)))
    assert english.keys() == spanish.keys()
    for path, text in english.items():
        assert blanks(text) == blanks(spanish[path]), path


KINDS = {
    "measure": ("title", "in_short", "why", "materials", "done"),
    "caution": ("title", "text"),
    "hazard": ("title", "release", "settled_by"),
    "finding": ("title", "look", "how", "why"),
    "stop": ("part", "title", "why"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_text_of_the_data_has_its_spanish_with_the_same_numbers(kind: str) -> None:
    english, spanish = data_words("en")[kind], data_words("es")[kind]
    apart = sorted(english.keys() ^ spanish.keys())
    assert not apart, f"{kind} {apart}: in one language only; write the entry in texts/es/data"
    for key, entry in english.items():
        for field in KINDS[kind]:
            said = spanish[key][field]
            assert said.strip(), (key, field)
            if "°F" in entry[field]:
                assert "°F" in said, (key, field)
            assert len(set(numbers(said)) ^ set(numbers(entry[field]))) <= 0, (key, field, said)


def numbers(text: str) -> list[str]:
    return re.findall(r"\d+(?:[.,/]\d+)*", text)


def test_no_english_is_left_in_spanish() -> None:
    left = [
        (path, text)
        for path, text in (*of_catalogs("es"), *of_data("es"))
        if path not in NEITHER
        and ENGLISH.search(re.sub(r"\{[^{}]*\}", "", text))
        and not any(name in text for name in SOURCES)
    ]
    assert not left, left


LONGEST_IN_SHORT = 8


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_measure_is_explained_in_a_few_words(language: str) -> None:
    measures = data_words(language)["measure"]
    told = {key: entry["in_short"] for key, entry in measures.items()}
    assert len(told) > 80
    for key, said in told.items():
        assert 3 <= len(said.split()) <= LONGEST_IN_SHORT, (key, said)
        assert said[0].islower(), (key, said)
        assert said[-1].isalpha(), (key, said)
        assert said.casefold() != measures[key]["title"].casefold(), key
    assert len(set(told.values())) == len(told)


def test_everything_unusual_has_its_spanish_and_no_other_blanks() -> None:
    for table in ("seen", "look_for", "odd"):
        english, spanish = data_words_of("en", table), data_words_of("es", table)
        assert english.keys() == spanish.keys()
        for key, text in english.items():
            assert {*blanks(text), "fuel"} == {*blanks(spanish[key]), "fuel"}, key


def test_every_answer_before_the_walk_has_its_words_in_both_languages() -> None:
    asked = tomllib.loads((DATA / "starting_items.toml").read_text(encoding="utf-8"))["question"]
    words = {option for row in asked for option in row.get("options", []) if not option.isdigit()}
    assert len(words) > 30
    for language in ("en", "es"):
        assert data_words_of(language, "option").keys() == words, language


def test_every_example_house_has_its_note_in_spanish() -> None:
    houses = [
        tomllib.loads(path.read_text(encoding="utf-8")) for path in (DATA / "houses").glob("*.toml")
    ]
    assert {house["note"] for house in houses} == data_words_of("es", "house_note").keys()


def data_words_of(language: str, table: str) -> dict[str, str]:
    return dict(texts.data_words(language)[table])
