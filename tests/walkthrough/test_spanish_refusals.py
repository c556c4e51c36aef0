"""What the form refuses or finds unusual is told in Spanish: wrong numbers in every box, bills, places, first answers."""

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from kills import ANSWERS
from test_walk_words import ENGLISH, shown

from retrofit_lab.app.walk.route import stops
from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.texts import LANGUAGES, Word, catalog, refusals, sentences
from retrofit_lab.texts.refusals import in_language, lines, told

WRONG = (
    "x", "", "-3", "1e9", "12 apples", "R-13", "U-0.3", "0.25", "20 C", "3 ton", "4,,5", "7 x", "3/0", "5 / 0 x 2",
    "9" * 90, "SSE", "1,5", "50 Pa at 0 Pa", "200 cfm at 0 Pa", "0", "(3 x", "120 %",
)  # fmt: skip
ROOM = "retrofit_lab"


def send(form: Walkthrough, **message) -> None:
    form._on_message(form, message, [])


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    made = Walkthrough(tmp_path, language="es")
    send(made, kind="begin", answers=ANSWERS, file="")
    return made


def english(texts) -> set[str]:
    """What is English; what a person typed, in quotes, is left out."""
    return {
        text for text in texts if ENGLISH.search(re.sub(r"'[^']*'|\"[^\"]*\"", "", text.lower()))
    }


def test_wrong_numbers_in_every_box(form: Walkthrough) -> None:
    refused = set()
    for stop in stops():
        send(form, kind="go", stop=stop.key)
        paths = [f["path"] for r in form.walk["stop"]["records"] for f in (*r["fields"], *r["more"])]  # fmt: skip
        for place, path in enumerate(paths):
            for text in WRONG[place % 3 :: 3]:
                form.state.answer(path, text)
                if path in form.state.refused:
                    refused.add(form.told.refusal(form.state.refused[path][1]))
                    form.state.refused = {}
                else:
                    form.state.step_back()
    assert len(refused) > 150
    assert english(refused) == set()


def test_what_is_unusual_or_does_not_fit(form: Walkthrough) -> None:
    answers = {
        "size.volume": "60000", "windows.south.area": "700", "leakage.flow": "9000", "surfaces.walls.area": "90",
        "surfaces.walls.r_label": "R-60", "fuel_heaters.furnace.capacity": "9000", "zones.whole.share": "0.4",
    }  # fmt: skip
    found: set[str] = set()
    for path, text in answers.items():
        send(form, kind="answer", path=path, text=text, id=path)
        found |= {entry["text"] for name in ("problems", "oddities") for entry in form.walk[name]}
        found |= {form.said["text"]} - {""}
    send(form, kind="choose", path="job.date", word="tomorrow", id="d")
    found |= {entry["text"] for entry in form.walk["problems"]}
    send(form, kind="add", list="surfaces", name="magic", id="m")
    found.add(form.said["text"])
    assert len(found) > 9
    assert english(found) == set()
    assert english(set(shown(form.walk["stop"]))) == set()


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([["2025-01-01", "2025-01-31", "electricity", "lots", "kWh", "9"]], "renglón 1: 'lots' no es un número"),
        ([["1 maybe", "2025-01-31", "electricity", "700", "kWh", "9"]], "no es una fecha"),
        ([["2025-01-01", "2025-01-31", "coal", "700", "kWh", "9"]], "no es un combustible"),
        ([["2025-01-01", "2025-01-31", "electricity", "700", "apples", "9"]], "no es una unidad"),
        ([], "no hay recibos"),
    ],
)  # fmt: skip
def test_bills_that_cannot_be_read(form: Walkthrough, rows: list[list[str]], words: str) -> None:
    send(form, kind="bills", rows=rows, answers={}, id="b")
    assert form.said["wrong"]
    assert words in form.said["text"]
    assert english([form.said["text"]]) == set()


def test_what_is_odd_about_bills(form: Walkthrough) -> None:
    rows = [
        ["2025-01-01", "2025-01-31", "electricity", "700", "kWh", "90"],
        ["2025-03-10", "2025-03-31", "electricity", "-20", "kWh", "90"],
        ["2025-04-01", "2025-03-31", "electricity", "500", "kWh", "-9"],
        ["2025-04-02", "2025-12-31", "electricity", "0", "kWh", "9"],
    ]
    send(form, kind="bills", rows=rows, answers={}, id="b")
    odd = [line for line in form.said["text"].splitlines() if line.startswith("renglón")]
    assert len(odd) >= 4
    assert english(odd) == set()


@pytest.mark.parametrize(
    "place", ["", "9", "00000", "00901", "Nowhere", "Springfield", "Portland, XX", "Austin, MN"]
)
def test_places(form: Walkthrough, place: str) -> None:
    send(form, kind="choose", path="site.climate", word=place, id="p")
    send(form, kind="places", text=place)
    assert english([form.said["text"], form.places["told"]]) == set()


def test_weather_that_is_taken(form: Walkthrough, tmp_path: Path) -> None:
    year = [
        date(2025, 1, 1) + timedelta(days=n) for n in range(365) if n not in (5, *range(40, 60))
    ]
    days = [f"{day},{30 + day.month * 4 + day.day % 7}" for day in year]
    (tmp_path / "own.csv").write_text("\n".join(["date,mean", *days]), encoding="utf-8")
    send(form, kind="go", stop="house")
    for place in ("80435", "55401 at 900 ft", "own.csv like 55401"):
        send(form, kind="choose", path="site.climate", word=place, id=place)
        assert form.state.house.site.climate == place, form.said["text"]
        hints = {f["hint"] for r in form.walk["stop"]["records"] for f in r["fields"]}
        assert english(hints) == set()


def test_first_answers(tmp_path: Path) -> None:
    made = Walkthrough(tmp_path, language="es")
    wrong = {
        "length": "x",
        "width": "900 ft",
        "year_built": "1200",
        "roof": "flat",
        "ceiling": "",
        "name": "A",
    }
    send(made, kind="begin", answers={**ANSWERS, **wrong}, file="")
    assert len(made.said["text"].splitlines()) == 5
    assert english(made.said["text"].splitlines()) == set()


def test_a_picture_that_is_none(form: Walkthrough) -> None:
    for picture in (None, "x", "data:image/png;base64,AAAA"):
        send(form, kind="picture", picture=picture, name="x.png", note="", id=str(picture))
        assert form.said["wrong"]
        assert english([form.said["text"]]) == set()


def test_every_language_has_every_sentence_with_its_blanks() -> None:
    own, other = (dict(sentences(catalog(language, refusals.PAGE))) for language in LANGUAGES)
    assert own.keys() == other.keys()
    for key, text in own.items():
        blanks = [set(re.findall(r"\{(\w+)\}", one)) for one in (text, other[key])]
        assert blanks[1] <= blanks[0], key


def test_every_sentence_is_raised_somewhere() -> None:
    folder = Path(refusals.__file__).parents[1]
    source = "".join(path.read_text(encoding="utf-8") for path in folder.rglob("*.py"))
    keys = dict(sentences(catalog("en", refusals.PAGE)))
    made = {"number.range_here", "number.like_u_here", "place.same_level"}
    unused = {
        key for key in keys if f'"{key}"' not in source and key.partition(".")[2] not in source
    }
    assert unused - made == set()


def test_a_sentence_keeps_its_values_through_errors_and_lines() -> None:
    why = ValueError(told("typed.zero", text="3/0"))
    both = lines([told("number.of", label=Word("word", "yes", "yes"), why=why), "plain"])
    assert str(both).splitlines() == ["yes: '3/0' divides by zero; write another number.", "plain"]
    assert in_language(both, "es").splitlines()[1] == "plain"
    assert "divide entre cero" in in_language(both, "es")
    assert in_language(ValueError(both), "en") == both


def test_decimal_commas_are_read_in_spanish_alone(form: Walkthrough, tmp_path: Path) -> None:
    send(form, kind="answer", path="surfaces.walls.r_label", text="R-3,5", id="c1")
    assert form.state.house.surfaces[0].r_label == 3.5
    send(form, kind="answer", path="size.floor_area", text="1,200", id="c2")
    assert form.state.house.size.floor_area == 1200.0
    other = Walkthrough(tmp_path, form.state.path)
    assert other.state.house == form.state.house
    send(other, kind="answer", path="surfaces.walls.r_label", text="R-4,5", id="c3")
    assert other.state.house.surfaces[0].r_label == 3.5
