"""Words of the form: every language has every sentence, no sentence is in the code, no English is left in Spanish."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from test_page_words import A_SENTENCE, NOT_SAID_IN_SPANISH, blanks, texts_in

from retrofit_lab.app import walk
from retrofit_lab.app.walk.route import stops
from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.first_answers import default_answers
from retrofit_lab.texts import LANGUAGES, catalog, sentences

OURS = sorted(Path(walk.__file__).parent.glob("*.py"))
KEYS = {
    "word",
    "key",
    "list",
    "name",
    "kind",
    "path",
    "stop",
    "before",
    "after",
    "file",
    "here",
    "value",
}
"""What is no text for people, or what a person typed."""
ENGLISH = re.compile(r"\b(?:the|of|and|is|are|with|from|for|not|your|this|it|year|house)\b")
ERRORS_OF_THE_STATE = {"state.py", "command.py"}
"""What is refused, and the command line, are told in English, as everywhere in the program."""


def said(language: str) -> dict[str, str]:
    return dict(sentences(catalog(language, "walk")))


def shown(content: Any) -> Iterator[str]:
    """Every text for people in what the form is sent."""
    if isinstance(content, dict):
        for key, value in content.items():
            if key not in KEYS or not isinstance(value, str):
                yield from shown(value)
    elif isinstance(content, list | tuple):
        for value in content:
            yield from shown(value)
    elif isinstance(content, str):
        yield content


STARTS = (
    {"roof": "rooms with knee walls", "foundation": "crawl space", "cooling": "central"},
    {"heating": "oil boiler", "foundation": "slab on the ground", "cooling": "window units"},
    {
        "heating": "heat pump",
        "roof": "sloped or flat ceiling, no attic",
        "hot_water": "gas tankless",
    },
)


@pytest.fixture(scope="module", params=LANGUAGES)
def texts(request, tmp_path_factory) -> tuple[str, set[str]]:
    """All that the form shows of some starting houses, at every stop, in one language.

    What weather is taken is told in English, as by the command line.
    """
    folder, language = tmp_path_factory.mktemp("words"), request.param
    form = Walkthrough(folder, language=language)
    found = set(shown(form.door))
    for place, changed in enumerate(STARTS):
        answers = {**default_answers(), "name": "Plum Lane", "climate": "miami_fl", **changed}
        message = {"kind": "begin", "answers": answers, "file": f"house_{place}"}
        form._on_message(form, message, [])
        for stop in stops():
            form._on_message(form, {"kind": "go", "stop": stop.key}, [])
            found |= set(shown(form.walk))
    weather = {text for text in found if ", Florida." in text}
    return language, found - weather


def test_no_english_is_left_on_the_form_in_another_language(texts) -> None:
    language, found = texts
    english = {text for text in found if ENGLISH.search(text.lower())}
    assert len(found) > 400
    assert (len(english) > 200) if language == "en" else english == set()


def test_the_language_is_changed_while_a_house_is_open(tmp_path: Path) -> None:
    form = Walkthrough(data_path("houses"), data_path("houses", "wren_cottage.toml"))
    form._on_message(form, {"kind": "go", "stop": "attic"}, [])
    form.set_state({"language": "es"})
    assert form.walk["stop"]["title"] == "Ático"
    assert form.door["texts"]["undo"] == "Deshacer"
    assert form.walk["stop"]["key"] == "attic"
    for hostile in ("xx", 7, None, {"a": 1}):
        form.set_state({"language": hostile})
        assert form.walk["stop"]["title"] == "Attic"
        assert form.door["language"] == "en"


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_sentence_is_there_with_its_blanks(language: str) -> None:
    own, other = said(LANGUAGES[0]), said(language)
    assert own.keys() == other.keys()
    for key, text in own.items():
        assert blanks(text) == blanks(other[key]), key
        assert other[key].strip(), key


def test_stations_are_told_in_the_language_of_the_form(tmp_path: Path) -> None:
    form = Walkthrough(tmp_path, language="es")
    form._on_message(form, {"kind": "places", "text": "55401"}, [])
    told = [form.places["told"], *(row["text"] for row in form.places["rows"])]
    assert all("grados-día" in text or "se corrigen" in text for text in told)
    assert not [text for text in told if re.search(r"miles away|heating and|elevation", text)]
    own, other = (dict(sentences(catalog(language, "weather"))) for language in LANGUAGES)
    assert {key: blanks(text) for key, text in own.items()} == {
        key: blanks(text) for key, text in other.items()
    }


def test_spanish_is_that_of_the_trade() -> None:
    for key, text in said("es").items():
        for phrase in NOT_SAID_IN_SPANISH:
            assert phrase not in f" {text.lower()} ", (key, phrase)


@pytest.mark.parametrize("path", OURS, ids=lambda path: path.name)
def test_no_sentence_stands_in_the_code(path: Path) -> None:
    if path.name not in ERRORS_OF_THE_STATE:
        found = {text for text in texts_in(path) if A_SENTENCE.search(text)}
        assert found == set()


def test_every_sentence_is_used_and_every_one_used_is_there() -> None:
    source = "".join(path.read_text(encoding="utf-8") for path in OURS)
    used = set(re.findall(r'"((?:form|said|stop|place|next)\.\w+)"', source)) | set(
        re.findall(r"'((?:form|said|stop|place|next)\.\w+)'", source)
    )
    known = {
        key for key in said("en") if key.split(".")[0] in ("form", "said", "stop", "place", "next")
    }
    assert used == known
