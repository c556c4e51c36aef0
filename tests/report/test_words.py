"""Texts of the report: every language has every key with the same blanks, and the data's words are all translated."""

import re
import string
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from retrofit_lab.app import report
from retrofit_lab.app.shared.systems import (
    SI_UNITS,
    SYSTEMS,
    fuel_shown,
    quantity_shown,
)
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.records import shipped_table
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.units import SPELLING, for_people
from retrofit_lab.base.values import InputError
from retrofit_lab.measures.catalog import catalog, vocabulary
from retrofit_lab.measures.own_prices import OWN_SOURCE
from retrofit_lab.model.year import END_USES
from retrofit_lab.safety.cautions import cautions
from retrofit_lab.savings.explaining import sentences
from retrofit_lab.texts import FOLDER, LANGUAGES

OTHERS = [language for language in LANGUAGES if language != "en"]


def leaves(table, prefix: str = "") -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from leaves(value, f"{prefix}{key}.")
        else:
            items = value if isinstance(value, list) else [value]
            yield from ((f"{prefix}{key}.{place}", text) for place, text in enumerate(items))


def texts(language: str) -> dict[str, str]:
    return dict(
        leaves(tomllib.loads((FOLDER / language / "report.toml").read_text(encoding="utf-8")))
    )


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", OTHERS)
def test_no_sentence_is_missing_and_blanks_are_the_same(language: str) -> None:
    own, other = texts("en"), texts(language)
    assert own.keys() == other.keys()
    for key, text in own.items():
        assert blanks(text) == blanks(other[key]), key
        assert other[key].strip()


def words_of_the_data() -> set[str]:
    """Every word and sentence of the data that a report can show."""
    found = {for_people(spelling) for spelling in SPELLING.values() if spelling}
    found |= {word for fuel in fuels().values() for word in (fuel.unit, fuel.price_source)}
    for measure in catalog():
        found |= {
            for_people(measure.cost.unit),
            measure.cost.source,
            measure.life.source,
            measure.life.mark,
        }
    for caution in cautions().values():
        found |= {caution.source, caution.mark}
    found.add(OWN_SOURCE)
    found |= {spelling for _, spelling in SI_UNITS.values()}
    found |= {fuel_shown(fuel, system).spelling for fuel in fuels() for system in SYSTEMS}
    units = {measure.cost.unit for measure in catalog()}
    found |= {quantity_shown(unit, system).spelling for unit in units for system in SYSTEMS}
    found |= set(sentences())
    found |= set(shipped_table("reasons.toml")["fan"].values())
    return found


def test_reasons_of_overlap_are_found_by_their_tags() -> None:
    assert len([text for text in words_of_the_data() if text.endswith(".") and " " in text]) >= 12


@pytest.mark.parametrize("language", OTHERS)
def test_the_datas_words_are_all_translated(language: str) -> None:
    data = words(language).names.data
    wanted = {
        "measure": {m.key for m in catalog()},
        "caution": set(cautions()),
        "parameter": set(parameters()),
        "observation": {row["key"] for row in read_rows("observations.csv")},
        "word": words_of_the_data(),
    }
    for kind, keys in wanted.items():
        lacking = sorted(keys - data[kind].keys())
        assert not lacking, f"texts/{language}/data has no [{kind}] entry for {lacking}"
    for kind, fields in (
        ("measure", ("title", "in_short", "why", "materials", "done")),
        ("caution", ("title", "text")),
    ):
        for key, entry in data[kind].items():
            assert all(entry[field].strip() for field in fields), key


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_keeps_the_numbers(language: str) -> None:
    said = words(language)
    for measure in catalog():
        assert numbers(measure.title) == numbers(said.names.title(measure)), measure.key
    for caution in cautions().values():
        assert numbers(caution.text) == numbers(said.names.caution(caution)[1]), caution.key


def numbers(text: str) -> list[str]:
    return sorted(re.findall(r"\d[\d.,/]*\d|\d", text))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_measure_says_what_it_needs_and_when_it_is_done(language: str) -> None:
    said = words(language)
    for measure in catalog():
        assert said.names.materials(measure).endswith("."), measure.key
        assert said.names.done_when(measure).endswith("."), measure.key


def test_every_trade_has_its_texts() -> None:
    for trade in vocabulary("trade"):
        assert words("en").say(f"trade.{trade}")
        assert words("en").say(f"trade_before.{trade}")
        assert words("en").say(f"trade_after.{trade}")


def test_every_end_use_and_doer_has_a_name() -> None:
    for language in LANGUAGES:
        said = words(language)
        for use in END_USES:
            assert said.say(f"use.{use}")
        for fuel in fuels():
            assert said.say(f"fuel.{fuel}")
        for measure in catalog():
            assert said.say(f"doer.{measure.doer}")
        sections = {name.partition(".")[0] for name in parameters()}
        unnamed = {"site", "size", "ducts", "hotwater", "leakage", "price"}
        for section in sections & unnamed:
            assert said.say(f"section.{section}")


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_text_says_that_something_is_safe(language: str) -> None:
    bad = ("is safe", "are safe", "no danger at", "harmless", "es seguro", "es segura", "inofensiv")
    everything = dict(texts(language))
    for path in (FOLDER / language / "data").glob("*.toml"):
        everything |= dict(leaves(tomllib.loads(path.read_text(encoding="utf-8"))))
    for key, text in everything.items():
        if key.startswith(("safety.lead", "safety.none")):
            continue
        assert not [word for word in bad if word in text.lower()], key


def test_unknown_language_is_refused() -> None:
    with pytest.raises(InputError, match="there are no words in 'fr'; languages are en"):
        words("fr")


def test_money_spans_and_days_are_written_as_people_say_them() -> None:
    said = words("en")
    assert said.years(float("inf")) == "never"
    assert said.years(0.2) == "within months"
    assert said.years(12.4) == "about 12 years"
    assert said.quantity(13.0, "ft2*hour*delta_degF/Btu") == "R-13"
    assert said.quantity(1920.0, "ft2") == "1,920 sq ft"
    assert said.quantity(1978.0, "year") == "1978"
    assert said.listed(["a"]) == "“a”"
    assert said.listed(["a", "b", "c"]) == "“a”, “b” and “c”"


def test_no_sentence_of_the_report_is_left_unused() -> None:
    folder = Path(report.__file__).parent
    shared = (folder.parent / "shared" / name for name in ("words.py", "carbon_wording.py"))
    files = [*shared, *folder.glob("*.py"), *folder.glob("templates/*")]
    source = "".join(path.read_text(encoding="utf-8") for path in files)
    by_key = (
        "doer",
        "part",
        "fuel",
        "use",
        "section",
        "recommended",
        "considered",
        "trade",
        "trade_before",
        "trade_after",
        "tables",
        "several",
    )
    for key in texts("en"):
        section, name, *_ = key.split(".")
        if section not in by_key:
            assert f"{section}.{name}" in source or f'"{name}"' in source, key
