"""What the form refuses or finds unusual is told in Spanish: wrong numbers in every box, bills, places, first answers."""

import re
from datetime import date, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from kills import ANSWERS
from test_walk_words import ENGLISH, shown

from retrofit_lab.app.walk.content import whole_content
from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.record import BillQuestion
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.texts import LANGUAGES, Word, catalog, refusals, sentences
from retrofit_lab.texts.refusals import in_language, lines, told

WRONG = (
    "x", "", "-3", "1e9", "12 apples", "R-13", "U-0.3", "0.25", "20 C", "3 ton", "4,,5", "7 x", "3/0", "5 / 0 x 2",
    "9" * 90, "SSE", "1,5", "50 Pa at 0 Pa", "200 cfm at 0 Pa", "0", "(3 x", "120 %",
)  # fmt: skip
MOST_BYTES = 75_000
"""Larger files of bills say nothing that smaller ones do not."""
BILLS = Path(__file__).parents[1] / "data" / "bills"


def send(form: Walkthrough, **message) -> None:
    form._on_message(form, {"id": uuid4().hex, **message}, [])


def begun(folder: Path) -> Walkthrough:
    made = Walkthrough(folder, language="es")
    send(made, kind="begin", answers=ANSWERS, file="")
    return made


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    return begun(tmp_path)


@pytest.fixture(scope="module")
def refusing(tmp_path_factory: pytest.TempPathFactory) -> Walkthrough:
    """A form that only refuses, so that every test can have the same."""
    return begun(tmp_path_factory.mktemp("refusing"))


def english(texts) -> set[str]:
    """What is English; what a person typed, in quotes, is left out."""
    return {
        text for text in texts if ENGLISH.search(re.sub(r"'[^']*'|\"[^\"]*\"", "", text.lower()))
    }


def boxes(form: Walkthrough) -> list[str]:
    """A box of every number that the form asks; those of like parts refuse alike."""
    shown_at = whole_content(form.state, form.told)["stops"].values()
    records = [record for stop in shown_at for record in stop["records"]]
    paths = [field["path"] for r in records for field in (*r["fields"], *r["more"])]
    return list({_like(path): path for path in paths}.values())


def _like(path: str) -> str:
    """List and field of a number, without the key of its part."""
    return f"{path.partition('.')[0]} {path.rpartition('.')[2]}"


def test_wrong_numbers_in_every_box(refusing: Walkthrough) -> None:
    house, refused = refusing.state.house, set()
    for place, path in enumerate(boxes(refusing)):
        for text in WRONG[place % 3 :: 3]:
            try:
                with_answer(house, path, text)
            except InputError as error:
                refused.add(refusing.told.refusal(error))
    assert len(refused) > 400
    assert english(refused) == set()


def test_a_wrong_number_is_refused_in_the_form(refusing: Walkthrough) -> None:
    send(refusing, kind="answer", path="leakage.flow", text="lots")
    assert refusing.said["text"] == refusing.told.refusal(refusing.state.refused["leakage.flow"][1])
    assert "'lots' no es un número" in refusing.said["text"]


def test_what_is_unusual_or_does_not_fit(form: Walkthrough) -> None:
    answers = {
        "size.volume": "60000", "windows.south.area": "700", "leakage.flow": "9000", "surfaces.walls.area": "90",
        "surfaces.walls.r_label": "R-60", "fuel_heaters.furnace.capacity": "9000", "zones.whole.share": "0.4",
    }  # fmt: skip
    found: set[str] = set()
    for path, text in answers.items():
        send(form, kind="answer", path=path, text=text)
        found |= {entry["text"] for name in ("problems", "oddities") for entry in form.walk[name]}
        found |= {form.said["text"]} - {""}
    send(form, kind="choose", path="job.date", word="tomorrow")
    found |= {entry["text"] for entry in form.walk["problems"]}
    send(form, kind="add", list="surfaces", name="magic")
    found.add(form.said["text"])
    assert len(found) > 9
    assert english(found) == set()
    assert english(set(shown(form.walk["stop"]))) == set()


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([["2025-01-01", "2025-01-31", "electricity", "lots", "kWh", "9"]], "renglón 1: 'lots' no es un número"),
        ([["1 maybe", "2025-01-31", "electricity", "700", "kWh", "9"]], "no es una fecha"),
        ([["2025-01-01", "2025-01-31", "coal", "700", "kWh", "9"]], "no es un tipo de energía"),
        ([["2025-01-01", "2025-01-31", "electricity", "700", "apples", "9"]], "no es una unidad"),
        ([], "no hay recibos"),
    ],
)  # fmt: skip
def test_bills_that_cannot_be_read(
    refusing: Walkthrough, rows: list[list[str]], words: str
) -> None:
    send(refusing, kind="bills", rows=rows, answers={})
    assert refusing.said["wrong"]
    assert words in refusing.said["text"]
    assert english([refusing.said["text"]]) == set()


def test_what_is_odd_about_bills(form: Walkthrough) -> None:
    rows = [
        ["2025-01-01", "2025-01-31", "electricity", "700", "kWh", "90"],
        ["2025-03-10", "2025-03-31", "electricity", "-20", "kWh", "90"],
        ["2025-04-01", "2025-03-31", "electricity", "500", "kWh", "-9"],
        ["2025-04-02", "2025-12-31", "electricity", "0", "kWh", "9"],
    ]
    send(form, kind="bills", rows=rows, answers={})
    odd = [line for line in form.said["text"].splitlines() if line.startswith("renglón")]
    assert len(odd) >= 4
    assert english(odd) == set()


def test_what_was_read_and_what_is_asked_about_bills(form: Walkthrough) -> None:
    days = ("03/04/2024", "05/06/2024", "08/09/2024", "11/12/2024")
    rows = [["", day, "propane", "90,5", "liter", ""] for day in days]
    send(form, kind="bills", rows=rows, answers={})
    assert [word for _, word, _ in form.said["choices"]] == ["month-first", "day-first"]
    asked = [form.said["text"], *(words for *_, words in form.said["choices"])]
    send(form, kind="bills", rows=rows, answers={"dates": "day-first"})
    read = form.said["text"]
    assert "3 recibos de propano, 71.7 galones, del 2024-04-03 al 2024-12-11" in read
    assert "fechas leídas con el día antes del mes" in read
    assert english([*asked, *read.splitlines()]) == set()


@pytest.mark.parametrize(
    "name", sorted(path.name for path in BILLS.glob("*.csv") if path.stat().st_size < MOST_BYTES)
)
def test_what_was_read_of_a_file(name: str) -> None:
    """Every note and question of the messy files, whether they are read or not."""
    try:
        said = read_bills(BILLS / name).read
    except BillQuestion as question:
        said = (question, *(words for _, words in question.choices))
    except InputError:
        return  # what is refused while a file is opened is told on the command line
    told_back = [in_language(one, "es") for one in said]
    assert english([re.sub(r"^\S+\.csv|[\w ]+\.csv", "", one) for one in told_back]) == set()


DAMAGES = {
    "format": lambda text: text.replace("format = ", "form = "),
    "version": lambda text: text.replace("version = 1", "version = 7"),
    "line": lambda text: text.replace("[site]", "[site"),
    "text": lambda text: text.replace('name = "', 'name = "\\q'),
    "cut": lambda text: text[: len(text) // 2],
    "letter": lambda text: text.replace("version = 1", "version = 1\x01"),
    "mark": lambda text: text.replace("version = 1", "version 1"),
    "twice": lambda text: f"{text}\n[site]\n",
    "key": lambda text: text.replace("[size]", '[size]\ncolor = "red"'),
    "number": lambda text: text.replace("floor_area = ", "floor_area = true\nother = "),
    "unit": lambda text: text.replace("floor_area = ", 'floor_area = "12 apples"\nother = '),
    "table": lambda text: text.replace("[size]", "size = 3\n[other]"),
    "list": lambda text: text.replace("[[surfaces]]", "[[surface]]"),
    "range": lambda text: text.replace("floor_area = ", 'floor_area = "-4 ft2"\nother = '),
    "assumed": lambda text: text.replace("assumed = [", 'assumed = ["magic", '),
    "empty": lambda _: "",
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_house_file(refusing: Walkthrough, damage: str) -> None:
    path = refusing.state.folder / "harmed.toml"
    save_house(refusing.state.house, path)
    whole = path.read_text(encoding="utf-8")
    path.write_text(DAMAGES[damage](whole), encoding="utf-8")
    with pytest.raises(InputError):
        load_house(path)
    send(refusing, kind="open", file="harmed.toml")
    assert refusing.said["wrong"]
    assert refusing.said["text"].startswith("harmed.toml: ")
    assert english(without_keys(refusing.said["text"])) == set()


def without_keys(text: str) -> list[str]:
    """Lines without the keys of a file, which are the same in every language."""
    return [re.sub(r"conocen .*|[a-z_]+(\.[a-z_]+)+", "", line) for line in text.splitlines()]


OWN = {
    "rows": "date,mean\n",
    "columns": "when,how\n2025-01-01,30\n",
    "number": "date,mean\n2025-01-01,cold\n",
    "date": "date,mean\nsoon,30\n",
    "twice": "date,mean\n2025-01-01,30\n2025-01-01,31\n",
    "span": "date,mean\n1801-01-01,30\n2025-01-01,31\n",
    "few": "date,mean\n2025-01-01,30\n2025-01-02,31\n",
    "turned": "date,tmin,tmax\n2025-01-01,50,30\n",
    "month": "month,mean\nsoon,30\n",
    "month twice": "month,mean\n1,30\n1,31\n",
    "month empty": "month,mean\n1,\n",
    "months": "month,mean\n1,30\n",
    "beyond": "month,mean\n" + "".join(f"{month},300\n" for month in range(1, 13)),
    "celsius": "month,mean\n" + "".join(f"{month},{month % 7 + 12}\n" for month in range(1, 13)),
    "typical year": "LOCATION,x\nDATA PERIODS\n1,2\n",
    "fields": "Source,x\nNSRDB,y\nz\n1\n",
}


@pytest.mark.parametrize("harm", OWN)
def test_a_weather_file_that_cannot_be_used(refusing: Walkthrough, harm: str) -> None:
    (refusing.state.folder / "own.csv").write_text(OWN[harm], encoding="utf-8")
    like = "" if harm in ("typical year", "fields") else " like 27401"
    send(refusing, kind="choose", path="site.climate", word=f"own.csv{like}")
    assert refusing.said["text"].startswith("own.csv"), refusing.said["text"]
    assert english([refusing.said["text"]]) == set()


@pytest.mark.parametrize(
    "place", ["", "9", "00000", "00901", "Nowhere", "Springfield", "Portland, XX", "Austin, MN"]
)
def test_places(refusing: Walkthrough, place: str) -> None:
    send(refusing, kind="choose", path="site.climate", word=place)
    send(refusing, kind="places", text=place)
    assert english([refusing.said["text"], refusing.places["told"]]) == set()


def test_weather_that_is_taken(form: Walkthrough, tmp_path: Path) -> None:
    year = [
        date(2025, 1, 1) + timedelta(days=n) for n in range(365) if n not in (5, *range(40, 60))
    ]
    days = [f"{day},{30 + day.month * 4 + day.day % 7}" for day in year]
    (tmp_path / "own.csv").write_text("\n".join(["date,mean", *days]), encoding="utf-8")
    send(form, kind="go", stop="house")
    for place in ("80435", "55401 at 900 ft", "own.csv like 55401"):
        send(form, kind="choose", path="site.climate", word=place)
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


def test_a_picture_that_is_none(refusing: Walkthrough) -> None:
    for picture in (None, "x", "data:image/png;base64,AAAA"):
        send(refusing, kind="picture", picture=picture, name="x.png", note="")
        assert refusing.said["wrong"]
        assert english([refusing.said["text"]]) == set()


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
    made |= {
        key for key in keys if re.match(r"left_out\.|tariff\.way_out_|read\.(sent_)?bills?$", key)
    }
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
    send(form, kind="answer", path="surfaces.walls.r_label", text="R-3,5")
    assert form.state.house.surfaces[0].r_label == 3.5
    send(form, kind="answer", path="size.floor_area", text="1,200")
    assert form.state.house.size.floor_area == 1200.0
    other = Walkthrough(tmp_path, form.state.path)
    assert other.state.house == form.state.house
    send(other, kind="answer", path="surfaces.walls.r_label", text="R-4,5")
    assert other.state.house.surfaces[0].r_label == 3.5
