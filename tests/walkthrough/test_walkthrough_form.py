"""The form without a browser: what it takes, refuses, warns of, keeps, and what a hostile page may send."""

import json
from pathlib import Path

import pytest

from retrofit_lab.app.shared.surroundings import FOLDER_VARIABLE, HOUSE_VARIABLE
from retrofit_lab.app.walk import acts
from retrofit_lab.app.walk.route import stops
from retrofit_lab.app.walk.widget import ACTS, Walkthrough, show
from retrofit_lab.app.walk.wording import walk_words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import default_answers
from retrofit_lab.house.keeping import versions_of
from retrofit_lab.house.paths import number_at, numbers, parameter_at
from retrofit_lab.study.study import Study

ENGLISH = walk_words("en")
ANSWERS = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc"}


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    made = Walkthrough(tmp_path)
    send(made, kind="begin", answers=ANSWERS, file="")
    return made


def send(form: Walkthrough, **message) -> str:
    form._on_message(form, message, [])
    return form.said["text"]


def go(form: Walkthrough, stop: str) -> dict:
    send(form, kind="go", stop=stop)
    return form.walk["stop"]


def field(form: Walkthrough, path: str) -> dict:
    for record in form.walk["stop"]["records"]:
        for found in (*record["fields"], *record["more"]):
            if found["path"] == path:
                return found
    raise AssertionError(f"{path} is not shown")


def test_from_nothing_to_a_file_that_the_model_takes(form: Walkthrough, tmp_path: Path) -> None:
    assert form.said["text"] == ENGLISH.say("said.began", file="plum_lane.toml")
    go(form, "blower_door")
    assert send(form, kind="answer", path="leakage.flow", text="1850 cfm at 50 Pa") == ""
    assert form.walk["standing"].startswith("saved at ")
    house = load_house(tmp_path / "plum_lane.toml")
    assert house.leakage.flow == 1850.0
    assert "leakage.flow" not in house.assumed
    assert "surfaces.walls.r_label" in house.assumed
    assert Study(house).plan(()).before.cost > 500
    assert [path.name for path in versions_of(tmp_path / "plum_lane.toml")] == ["plum_lane.1.toml"]


def test_unanswered_shows_its_default_and_its_range(form: Walkthrough) -> None:
    go(form, "rooms")
    shown = field(form, "surfaces.walls.r_label")
    assert shown["value"] == ""
    assert shown["estimate"] == "Not answered; using R-11; likely R-8.36 to R-13.6."
    send(form, kind="answer", path="surfaces.walls.r_label", text="13")
    shown = field(form, "surfaces.walls.r_label")
    assert (shown["value"], shown["estimate"]) == ("R-13", "")
    send(form, kind="answer", path="surfaces.walls.r_label", text="")
    assert field(form, "surfaces.walls.r_label")["value"] == ""


def test_progress_counts_answers(form: Walkthrough) -> None:
    before = form.walk["progress"]
    stop = go(form, "rooms")
    entry = next(e for e in form.walk["route"] if e["here"])
    assert entry["progress"].startswith("0 of ")
    for record in stop["records"]:
        send(form, kind="confirm", path=record["path"])
    entry = next(e for e in form.walk["route"] if e["here"])
    assert entry["done"]
    assert form.walk["progress"] != before
    assert field(form, "surfaces.walls.r_label")["value"] == "R-11"


def test_illegal_is_refused_with_the_sentence_and_kept_beside_the_house(form: Walkthrough) -> None:
    go(form, "rooms")
    said = send(form, kind="answer", path="surfaces.walls.area", text="-12 ft2")
    assert said == "area is -12 sq ft; must be 0.2 to 20000. Enter the net area without windows."
    shown = field(form, "surfaces.walls.area")
    assert (shown["typed"], shown["refused"]) == ("-12 ft2", said)
    assert next(e for e in form.walk["route"] if e["here"])["wrong"]
    send(form, kind="answer", path="surfaces.walls.area", text="1200")
    assert field(form, "surfaces.walls.area")["refused"] == ""


def test_unusual_is_said_at_once_and_taken(form: Walkthrough) -> None:
    go(form, "rooms")
    send(form, kind="answer", path="surfaces.walls.cavity_depth", text="3 1/2 in")
    send(form, kind="answer", path="surfaces.walls.r_label", text="R-30")
    assert field(form, "surfaces.walls.r_label")["odd"] == (
        "R-30 does not fit in 3.5 in. Check the label and the depth."
    )
    go(form, "blower_door")
    send(form, kind="answer", path="leakage.flow", text="120")
    assert (
        "air changes an hour at 50 Pa. Nearly all houses built about"
        in field(form, "leakage.flow")["odd"]
    )
    assert {entry["stop"] for entry in form.walk["oddities"]} == {"rooms", "blower_door"}


def test_what_does_not_fit_together_waits_and_is_not_saved(
    form: Walkthrough, tmp_path: Path
) -> None:
    go(form, "thermostat")
    send(form, kind="add", list="zones", name="zones.zone")
    send(form, kind="answer", path="zones.zone.share", text="0.4")
    assert form.walk["problems"][0]["stop"] == "thermostat"
    before = (tmp_path / "plum_lane.toml").read_bytes()
    assert "the shares add up to 1.4; must add up to 1" in form.walk["problems"][0]["text"]
    assert form.walk["standing"] == "kept, not in the file yet"
    assert (tmp_path / "plum_lane.toml").read_bytes() == before
    send(form, kind="answer", path="zones.whole.share", text="60 %")
    assert form.walk["problems"] == []
    assert not form.said["wrong"]
    assert form.walk["standing"].startswith("saved at ")
    assert load_house(tmp_path / "plum_lane.toml").zones[0].share == 0.6


def test_parts_come_and_go_and_the_last_change_is_taken_back(form: Walkthrough) -> None:
    stop = go(form, "plugs")
    count = len(stop["records"])
    add = next(a for a in stop["adds"] if "dehumidifier" in a["text"])
    send(form, kind="add", list=add["list"], name=add["name"])
    assert len(form.walk["stop"]["records"]) == count + 1
    assert form.said["text"] == ENGLISH.say("said.added", part="Dehumidifier")
    send(form, kind="back")
    assert len(form.walk["stop"]["records"]) == count
    send(form, kind="remove", path="standby.standby")
    assert len(form.walk["stop"]["records"]) == count - 1
    send(form, kind="back")
    assert send(form, kind="back") == ENGLISH.say("said.nothing_back")


def test_place_with_neighbors_stays(form: Walkthrough) -> None:
    go(form, "attic")
    said = send(form, kind="remove", path="buffers.attic")
    assert "Attic floor" in said
    assert form.said["wrong"]


def test_finding_brings_its_caution_and_measures_at_once(form: Walkthrough) -> None:
    stop = go(form, "attic")
    assert any(measure.startswith("Insulate the attic") for measure in stop["measures"])
    assert stop["cautions"] == []
    send(form, kind="observe", word="vermiculite", seen=True)
    stop = form.walk["stop"]
    assert any("asbestos" in (c["title"] + c["text"]).lower() for c in stop["cautions"])
    assert next(o for o in stop["observations"] if o["word"] == "vermiculite")["seen"]


def test_choice_of_a_place_is_told_by_its_own_name(form: Walkthrough) -> None:
    go(form, "ducts")
    shown = field(form, "ducts.supply_place")
    assert {"word": "basement", "text": "Basement"} in shown["options"]
    send(form, kind="choose", path="ducts.supply_place", word="attic")
    assert field(form, "ducts.supply_place")["value"] == "attic"
    send(form, kind="choose", path="ducts.supply_place", word="moon")
    assert "'moon' is unknown" in field(form, "ducts.supply_place")["refused"]


def typed(form: Walkthrough, text: str) -> dict:
    turn = form.turn
    form._on_message(form, {"kind": "places", "text": text}, [])
    assert form.turn == turn
    assert form.places["asked"] == text
    return form.places


def test_typing_a_place_shows_matches_with_distance_elevation_and_degree_days(
    form: Walkthrough,
) -> None:
    assert form.door["questions"][0]["kind"] == "place"
    first, second, third = typed(form, "55401")["rows"]
    assert first["word"] == "55401"
    assert "7 miles away, 4 ft lower, 7,730 heating and 750 cooling" in first["text"]
    assert "used if you choose no other" in first["text"]
    assert second["word"].startswith("55401 like ")
    assert third["word"].startswith("55401 like ")
    assert "3.5 °F for each 1,000 ft" in form.places["told"]
    named = typed(form, "minneap")
    assert "833 ft above sea level, 7,720 heating" in named["rows"][0]["text"]
    assert named["told"] == "2 weather stations. Down arrow to choose."
    for row in (*named["rows"], first, second):
        assert send(form, kind="choose", path="site.climate", word=row["word"]) == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ""), ("m", ""), ("554", "a ZIP code has five digits"), ("00901", "hourly typical year"),
        ("zzzz", "No weather station has that name"), ("<b>x</b>", "No weather station"), ("9" * 9000, "no place"),
    ],
)  # fmt: skip
def test_typing_what_fits_nothing(form: Walkthrough, text: str, words: str) -> None:
    form._on_message(form, {"kind": "places", "text": text}, [])
    assert form.places["rows"] == []
    assert words in form.places["told"]


def test_the_field_says_which_weather_is_taken(form: Walkthrough) -> None:
    send(form, kind="choose", path="site.climate", word="80435")
    hint = field(form, "site.climate")["hint"]
    assert "Leadville/Lake County, CO, 32 miles away" in hint
    assert "3.5 °F for each 1,000 ft" in hint


def test_a_house_begun_at_a_zip_code(tmp_path: Path) -> None:
    made = Walkthrough(tmp_path)
    send(made, kind="begin", answers={**ANSWERS, "climate": "55401"}, file="")
    assert load_house(tmp_path / "plum_lane.toml").site.climate == "55401"
    send(made, kind="begin", answers={**ANSWERS, "climate": "Springfield"}, file="other")
    assert 'Write "Springfield, IL"' in made.said["text"]


def test_weather_must_exist(form: Walkthrough) -> None:
    send(form, kind="choose", path="site.climate", word="atlantis")
    assert "atlantis" in field(form, "site.climate")["refused"]
    send(form, kind="choose", path="site.climate", word="miami_fl")
    assert field(form, "site.climate")["value"] == "miami_fl"


def test_damaged_file_gives_its_sentence_and_leaves_what_is_open(
    form: Walkthrough, tmp_path: Path
) -> None:
    (tmp_path / "hurt.toml").write_text("format = 'x'", encoding="utf-8")
    said = send(form, kind="open", file="hurt.toml")
    assert said.startswith("hurt.toml: format is 'x'")
    assert form.walk["file"] == "plum_lane.toml"
    assert send(form, kind="open", file="gone.toml").startswith("gone.toml: there is no such file")
    assert "Which file?" in send(form, kind="open", file=" ")


def test_name_that_is_taken_is_refused(form: Walkthrough) -> None:
    assert "already exists" in send(form, kind="begin", answers=ANSWERS, file="plum_lane.toml")
    assert "already exists" in send(form, kind="begin", answers=ANSWERS, file="../plum lane")
    assert send(form, kind="begin", answers={**ANSWERS, "width": "4 kg"}, file="other").startswith(
        "Width"
    )
    assert send(form, kind="begin", answers=ANSWERS, file="../../other") == ENGLISH.say(
        "said.began", file="other.toml"
    )


def test_photo_is_attached_to_its_stop_and_taken_off(form: Walkthrough, tmp_path: Path) -> None:
    (tmp_path / "rim.jpg").write_bytes(b"picture")
    go(form, "band_joist")
    assert form.walk["stop"]["pictures"] == ["rim.jpg"]
    send(form, kind="attach", file="rim.jpg", note="North side")
    assert form.walk["stop"]["photos"] == [
        {"place": 0, "file": "rim.jpg", "note": "North side", "picture": ""}
    ]
    assert go(form, "attic")["photos"] == []
    assert "not a picture" in send(form, kind="attach", file="/etc/passwd", note="")
    again = Walkthrough(tmp_path, tmp_path / "plum_lane.toml")
    assert go(again, "band_joist")["photos"][0]["file"] == "rim.jpg"
    send(again, kind="detach", place=0)
    assert again.walk["stop"]["photos"] == []
    send(again, kind="detach", place=7)


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_examples_open_and_every_stop_shows(name: str, tmp_path: Path) -> None:
    form = Walkthrough(data_path("houses"), data_path("houses", f"{name}.toml"))
    assert not form.said["wrong"]
    for stop in stops():
        shown = go(form, stop.key)
        assert shown["title"] == stop.title
        assert len(json.dumps(form.walk)) < 100_000


@pytest.mark.parametrize(
    "message",
    [
        {}, {"kind": "no_such"}, {"kind": 7}, {"kind": "answer"}, {"kind": "answer", "path": 5, "text": "1"},
        {"kind": "answer", "path": "surfaces.walls.__class__", "text": "1"},
        {"kind": "answer", "path": "size.volume", "text": "x" * 9000},
        {"kind": "choose", "path": "assumed", "word": "x"}, {"kind": "choose", "path": "site.choices", "word": "x"},
        {"kind": "add", "list": "assumed", "name": "surfaces.walls"}, {"kind": "add", "list": "lamps", "name": "?"},
        {"kind": "remove", "path": "site"}, {"kind": "remove", "path": ""}, {"kind": "go", "stop": "moon"},
        {"kind": "observe", "word": "moon", "seen": True}, {"kind": "begin", "answers": [1]},
        {"kind": "attach", "file": "x.jpg", "note": {"a": 1}}, {"kind": "detach", "place": "x"},
        {"kind": "confirm", "path": "nowhere"},
    ],
)  # fmt: skip
def test_hostile_messages_change_nothing(form: Walkthrough, message: dict) -> None:
    house = form.state.house
    send(form, **message)
    assert form.state.house == house
    assert "Traceback" not in form.said["text"]
    assert form.said["text"] != ENGLISH.say("said.failed")


def test_wrong_part_for_a_list_is_refused(form: Walkthrough) -> None:
    house = form.state.house
    send(form, kind="add", list="lamps", name="surfaces.walls")
    assert form.said["wrong"]
    assert form.state.house == house


def test_without_a_house_every_act_says_so(tmp_path: Path) -> None:
    form = Walkthrough(tmp_path)
    assert form.walk == {}
    for kind in set(ACTS) - {"begin", "open", "go", "back", "forward", "detach"}:
        send(
            form,
            kind=kind,
            path="name",
            text="x",
            word="x",
            file="x.jpg",
            list="lamps",
            name="lamps.lamps",
            folder="x",
        )
        assert form.said["wrong"], kind
        assert form.said["text"] != ENGLISH.say("said.failed"), kind


def test_failure_is_one_sentence(form: Walkthrough, monkeypatch) -> None:
    def broken(*_arguments):
        raise RuntimeError("inside details")

    monkeypatch.setattr(acts, "answer", broken)
    send(form, kind="answer", path="size.volume", text="9000")
    assert form.said["text"] == ENGLISH.say("said.failed")
    assert "inside details" not in json.dumps(form.walk)


def test_typed_markup_stays_text(form: Walkthrough) -> None:
    attack = "<img src=x onerror=alert(1)>"
    send(form, kind="choose", path="name", word=attack)
    assert form.walk["name"] == attack
    text = Walkthrough._esm
    assert "class PlaceBox" in text
    assert "innerHTML" not in text
    assert "insertAdjacentHTML" not in text


def test_show_opens_what_the_command_named(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    monkeypatch.setenv(HOUSE_VARIABLE, "")
    assert show().walk == {}
    monkeypatch.setenv(HOUSE_VARIABLE, str(data_path("houses", "wren_cottage.toml")))
    assert show().walk["name"] == "Wren Cottage"


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_every_number_can_be_typed_as_it_is_shown(name: str) -> None:
    house = load_house(data_path("houses", f"{name}.toml"))
    for path, value in numbers(house):
        shown = ENGLISH.quantity(float(value), parameter_at(house, path).unit)
        again = float(number_at(with_answer(house, path, shown), path))
        assert again == pytest.approx(float(value), rel=1e-4, abs=1e-4), path


def test_shows_where_the_house_stands_and_what_to_ask_next(form: Walkthrough) -> None:
    send(form, kind="ahead")
    bill, loss, plan, gain = form.ahead["lines"]
    cost = Study(form.state.open_house).plan(()).before.cost
    assert f"${round(cost, -1):,.0f}" in bill
    assert "Btu/h" in loss
    assert "8 of 10" in plan
    assert "over its life it nets $" in gain
    order = [stop.key for stop in stops()]
    asked = [group["stop"] for group in form.ahead["stops"]]
    assert asked == sorted(asked, key=order.index)
    assert not form.ahead["enough"]
    first = form.ahead["stops"][0]
    go(form, first["stop"])
    assert field(form, first["fields"][0]["path"])["estimate"]
    form.set_state({"language": "es"})
    assert form.ahead["head"].startswith("Pregunte ahora")


def test_nothing_is_shown_ahead_of_a_house_that_does_not_fit(form: Walkthrough) -> None:
    send(form, kind="add", list="zones", name="zones.zone")
    send(form, kind="answer", path="zones.zone.share", text="0.4")
    send(form, kind="ahead")
    assert form.ahead == {}
