"""The report is written in plain words: its reading age by published formulas, in both languages."""

import re
import tomllib
import unicodedata
from collections.abc import Callable, Iterator

import pytest
from checks import Check, assert_check

from retrofit_lab.texts import FOLDER, LANGUAGES

KINCAID = "Kincaid, Fishburne, Rogers and Chissom 1975, grade level"
FLESCH = "Flesch 1948, reading ease"
HUERTA = "Fernandez Huerta 1959, reading ease for Spanish"
PLATYPUS = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
HARDEST_GRADE = 7.0
"""Grade that a whole report may ask of its reader: about 12 years of age. (judgment)"""
LEAST_SPANISH_EASE = 65.0
"""Ease from which Spanish text counts as normal or easier on the scale of the formula. (memory)"""


def grade_level(words: float, sentences: float, syllables: float) -> float:
    return 0.39 * words / sentences + 11.8 * syllables / words - 15.59


def reading_ease(words: float, sentences: float, syllables: float) -> float:
    return 206.835 - 1.015 * words / sentences - 84.6 * syllables / words


def spanish_ease(words: float, sentences: float, syllables: float) -> float:
    return 206.84 - 60.0 * syllables / words - 1.02 * words / sentences


def english_syllables(word: str) -> int:
    """Vowel groups without silent endings; a rule of thumb, checked word by word below."""
    word = re.sub(
        r"(?<=[^aeiouy])(?:e|(?<![sxzcg])(?<!sh)(?<!ch)es|(?<![td])ed)$", "", word.lower()
    )
    word = re.sub(r"(?<=[^aeiouyl])l$", "el", word)
    parted = len(re.findall(r"ia|io(?!u|n)|eo(?!p)|iu", word))
    return max(len(re.findall(r"[aeiouy]+", word)) + parted, 1)


def spanish_syllables(word: str) -> int:
    """Vowel groups; two strong vowels, or a weak one with an accent beside another, part."""
    word = re.sub(r"qu(?=[eéií])|gu(?=[eéií])", "g", word.lower())
    groups = re.findall(r"[aáeéiíoóuúü]+", re.sub(r"y(?![aáeéiíoóuúü])", "i", word))
    parts = sum(len(re.findall(r"(?<=[aáeéoóíú])[aáeéoóíú]|(?<=[aeo])[íú]", g)) for g in groups)
    return max(len(groups) + parts, 1)


def counts(text: str, syllables: Callable[[str], int]) -> tuple[int, int, int]:
    """Words, sentences and syllables; numbers count as one word of one syllable."""
    sentences = [part for part in re.split(r"[.!?]+(?:\s|$)", text) if re.search(r"\w", part)]
    words = re.findall(r"[^\W_]+(?:['’-][^\W_]+)*", text)
    total = sum(1 if re.search(r"\d", word) else syllables(word) for word in words)
    return len(words), len(sentences), total


def check(
    name: str, source: str, expected: float, ours: Callable[[], float], tolerance: float, why: str
) -> Check:
    return Check(
        topic="reading age", name=name, source=source, mark="memory",
        expected=expected, ours=ours, tolerance=tolerance, why=why,
    )  # fmt: skip


FORMULA = [
    check("lowest grade: one-syllable sentences", KINCAID, -3.40, lambda: grade_level(1, 1, 1), 0.005, "printed to two places"),
    check("highest ease: one-syllable sentences", FLESCH, 121.22, lambda: reading_ease(1, 1, 1), 0.005, "printed to two places"),
    check("words of the platypus sentence", FLESCH, 13, lambda: counts(PLATYPUS, english_syllables)[0], 0, "a count"),
    check("platypus sentence, with the 24 syllables that are published for it", FLESCH, 37.5, lambda: reading_ease(13, 1, 24), 0.05, "printed to one place"),
    check("Spanish ease of two-syllable words, ten a sentence", HUERTA, 76.64, lambda: spanish_ease(10, 1, 20), 0.005, "worked by hand"),
]  # fmt: skip


@pytest.mark.parametrize("row", FORMULA, ids=str)
def test_published_formula(row: Check) -> None:
    assert_check(row)


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("insulation", 4), ("house", 1), ("measure", 2), ("saves", 1), ("little", 2), ("needed", 2),
        ("sealed", 1), ("water", 2), ("energy", 3), ("joist", 1), ("radiator", 4), ("people", 2),
        ("table", 2), ("places", 2), ("platypus", 3), ("reptilian", 4), ("heated", 2), ("prices", 2), ("pipe", 1),
    ],
)  # fmt: skip
def test_english_syllables(word: str, count: int) -> None:
    assert english_syllables(word) == count


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("casa", 2), ("aislamiento", 4), ("energía", 4), ("agua", 2), ("ático", 3), ("lea", 2),
        ("que", 1), ("aire", 2), ("país", 2), ("guía", 2), ("muy", 1), ("ahorro", 3),
    ],
)  # fmt: skip
def test_spanish_syllables(word: str, count: int) -> None:
    assert spanish_syllables(word) == count


def leaves(value) -> Iterator[str]:
    if isinstance(value, dict):
        for item in value.values():
            yield from leaves(item)
    else:
        yield from value if isinstance(value, list) else [value]


def whole_sentences(text: str) -> bool:
    return text.rstrip().endswith((".", "?", "!")) and " " in text.strip()


def running_text(language: str) -> list[str]:
    """Sentences of the report and of what it quotes from the data; headings and cells are left out."""
    files = [FOLDER / language / "report.toml", *(FOLDER / language / "data").glob("*.toml")]
    found = []
    for file in files:
        texts = filter(whole_sentences, leaves(tomllib.loads(file.read_text(encoding="utf-8"))))
        found += [unicodedata.normalize("NFC", re.sub(r"\{\w+\}", "10", text)) for text in texts]
    return found


def test_english_report_can_be_read_by_twelve_year_olds() -> None:
    from retrofit_lab.measures.catalog import catalog
    from retrofit_lab.safety.cautions import cautions

    texts = running_text("en")
    texts += [measure.why for measure in catalog()]
    texts += [caution.text for caution in cautions().values()]
    total = counts(" ".join(texts), english_syllables)
    assert total[0] > 5000
    grade = grade_level(*total)
    print(f"grade {grade:.1f} over {total[0]} words; ease {reading_ease(*total):.0f}")
    assert grade <= HARDEST_GRADE


def test_own_english_sentences_are_plain_one_by_one() -> None:
    texts = tomllib.loads((FOLDER / "en" / "report.toml").read_text(encoding="utf-8"))
    hard = {}
    for section in texts:
        sentences = [text for text in leaves(texts[section]) if whole_sentences(text)]
        if sentences:
            text = re.sub(r"\{\w+\}", "10", " ".join(sentences))
            hard[section] = grade_level(*counts(text, english_syllables))
    assert {name: grade for name, grade in hard.items() if grade > HARDEST_GRADE + 2} == {}


def test_spanish_report_is_of_normal_ease_or_better() -> None:
    total = counts(" ".join(running_text("es")), spanish_syllables)
    assert total[0] > 5000
    print(f"ease {spanish_ease(*total):.0f} over {total[0]} words")
    assert spanish_ease(*total) >= LEAST_SPANISH_EASE


def test_both_languages_say_about_as_much() -> None:
    lengths = {language: len(running_text(language)) for language in LANGUAGES}
    assert lengths["es"] > lengths["en"]
