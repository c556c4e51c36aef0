"""Nothing that was answered is lost: crashes at any moment, two devices, hands in the file, full disks, pictures."""

import base64
import io
import json
import random
from dataclasses import replace
from pathlib import Path

import pytest
from kills import ANSWERS, FILE, Killing
from PIL import Image

from retrofit_lab.app.walk.route import stops
from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.journal import entries, journal_path
from retrofit_lab.house.photos import load_photos


def send(form: Walkthrough, **message) -> str:
    form._on_message(form, message, [])
    return form.said["text"]


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    made = Walkthrough(tmp_path)
    send(made, kind="begin", answers=ANSWERS, file="")
    return made


def test_each_answer_is_in_the_file_at_once(form: Walkthrough, tmp_path: Path) -> None:
    send(form, kind="answer", path="leakage.flow", text="1850 cfm at 50 Pa", id="a1")
    assert load_house(tmp_path / FILE).leakage.flow == 1850.0
    assert form.said["done"] == ["a1"]
    assert [entry.act["path"] for entry in entries(tmp_path / FILE)] == ["leakage.flow"]


def test_what_arrives_twice_is_done_once(form: Walkthrough, tmp_path: Path) -> None:
    message = {"kind": "add", "list": "zones", "name": "zones.zone", "id": "b1"}
    for _ in range(3):
        send(form, **message)
        assert form.said["done"] == ["b1"]
    assert len(form.state.house.zones) == 2
    again = Walkthrough(tmp_path, tmp_path / FILE)
    send(again, **message)
    assert len(again.state.house.zones) == 2


def test_answers_that_do_not_fit_together_outlive_the_session(
    form: Walkthrough, tmp_path: Path
) -> None:
    send(form, kind="add", list="zones", name="zones.zone", id="c1")
    send(form, kind="answer", path="zones.zone.share", text="0.4", id="c2")
    send(form, kind="answer", path="size.bedrooms", text="5", id="c3")
    send(form, kind="answer", path="size.occupants", text="7", id="c4")
    send(form, kind="back", id="c5")
    assert load_house(tmp_path / FILE).zones[-1].share == 0.0
    assert form.walk["standing"] == "kept, not in the file yet"
    again = Walkthrough(tmp_path, tmp_path / FILE)
    assert again.state.house == form.state.house
    send(again, kind="answer", path="zones.whole.share", text="0.6", id="c6")
    assert load_house(tmp_path / FILE) == again.state.house


def test_two_devices_on_one_house(form: Walkthrough, tmp_path: Path) -> None:
    other = Walkthrough(tmp_path, tmp_path / FILE)
    send(form, kind="answer", path="leakage.flow", text="1850", id="d1")
    send(other, kind="answer", path="surfaces.walls.r_label", text="R-13", id="d2")
    send(form, kind="answer", path="size.bedrooms", text="4", id="d3")
    house = load_house(tmp_path / FILE)
    found = (house.leakage.flow, house.surfaces[0].r_label, house.size.bedrooms)
    assert found == (1850.0, 13.0, 4.0)
    other._on_message(other, {"kind": "look"}, [])
    assert other.state.house == house
    assert other.walk["elsewhere"].startswith("Also answered on another device or in the file: ")
    send(form, kind="back", id="d4")
    assert load_house(tmp_path / FILE).surfaces[0].r_label == 13.0
    assert load_house(tmp_path / FILE).size.bedrooms != 4.0
    send(form, kind="forward", id="d5")
    assert load_house(tmp_path / FILE) == house


def test_a_hand_in_the_file_is_noticed_and_kept(form: Walkthrough, tmp_path: Path) -> None:
    by_hand = with_answer(load_house(tmp_path / FILE), "size.volume", "12345 ft3")
    save_house(replace(by_hand, note="by hand"), tmp_path / FILE)
    send(form, kind="answer", path="size.bedrooms", text="4", id="e1")
    house = load_house(tmp_path / FILE)
    assert (house.size.volume, house.note, house.size.bedrooms) == (12345.0, "by hand", 4.0)


def test_disk_that_refuses_is_told_and_the_answer_stays_with_the_browser(
    form: Walkthrough, tmp_path: Path, monkeypatch
) -> None:
    from retrofit_lab.app.walk import state

    def full(*_arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(state, "note", full)
    said = send(form, kind="answer", path="size.bedrooms", text="4", id="f1")
    assert "No space left on device" in said
    assert form.said["done"] == []
    assert form.said["unwritten"]
    monkeypatch.undo()
    send(form, kind="answer", path="size.bedrooms", text="4", id="f1")
    assert form.said["done"] == ["f1"]
    assert load_house(tmp_path / FILE).size.bedrooms == 4.0
    (tmp_path / "stick").mkdir()
    send(form, kind="elsewhere", folder=str(tmp_path / "stick"))
    assert load_house(tmp_path / "stick" / FILE).size.bedrooms == 4.0


def test_a_stick_that_is_gone_is_told_at_once(form: Walkthrough, tmp_path: Path) -> None:
    (tmp_path / FILE).rename(tmp_path / "away")
    send(form, kind="look")
    assert form.said["wrong"]
    assert form.said["unwritten"]
    (tmp_path / "away").rename(tmp_path / FILE)
    send(form, kind="look")
    send(form, kind="answer", path="size.bedrooms", text="5", id="s1")
    assert not form.said["unwritten"]
    assert load_house(tmp_path / FILE).size.bedrooms == 5.0


def test_every_stop_is_sent_once_for_a_browser_that_goes_on_alone(form: Walkthrough) -> None:
    send(form, kind="whole")
    assert list(form.whole["stops"]) == [stop.key for stop in stops()]
    for key, stop in form.whole["stops"].items():
        send(form, kind="go", stop=key)
        assert stop["records"] == form.walk["stop"]["records"]
    assert len(json.dumps(form.whole)) < 600_000


def test_damaged_file_under_an_open_form_is_told(form: Walkthrough, tmp_path: Path) -> None:
    (tmp_path / FILE).write_text("format = 'x'", encoding="utf-8")
    assert "format is 'x'" in send(form, kind="answer", path="size.bedrooms", text="4", id="g1")
    assert (tmp_path / FILE).read_text(encoding="utf-8") == "format = 'x'"


def test_killed_at_any_moment_nothing_is_lost(form: Walkthrough, tmp_path: Path) -> None:
    """What a browser would send again is sent again; whatever the process had taken is there without that."""
    killing = Killing(tmp_path, random.Random(7))
    for turn in range(8):
        killing.turn(turn)
    killing.look()
    assert killing.checked > 8


def test_line_that_a_crash_cut_short_is_left_out(form: Walkthrough, tmp_path: Path) -> None:
    send(form, kind="answer", path="size.bedrooms", text="4", id="h1")
    with journal_path(tmp_path / FILE).open("ab") as file:
        file.write(b'{"id": "half')
    again = Walkthrough(tmp_path, tmp_path / FILE)
    send(again, kind="answer", path="size.bedrooms", text="5", id="h2")
    assert [entry.id for entry in entries(tmp_path / FILE)] == ["h1", "h2"]


def picture(kind: str, **options) -> str:
    image = Image.new("RGB", (3000, 1000), "red")
    held = io.BytesIO()
    image.save(held, kind, **options)
    return f"data:image/x;base64,{base64.b64encode(held.getvalue()).decode()}"


def turned_with_place() -> str:
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825)[1] = "N"
    return picture("JPEG", exif=exif)


def test_picture_from_a_phone_is_turned_small_and_without_its_place(
    form: Walkthrough, tmp_path: Path
) -> None:
    send(form, kind="go", stop="attic")
    send(form, kind="picture", picture=turned_with_place(), name="IMG_1.jpg", note="Hatch", id="p1")
    (photo,) = load_photos(tmp_path / FILE)
    assert (photo.stop, photo.note) == ("attic", "Hatch")
    with Image.open(tmp_path / photo.file) as image:
        assert image.size == (533, 1600)
        assert not image.getexif()
    shown = form.walk["stop"]["photos"][0]["picture"]
    assert shown.startswith("data:image/jpeg;base64,")
    assert len(shown) < 20_000
    assert "base64" not in journal_path(tmp_path / FILE).read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "HEIF"])
def test_other_kinds_of_pictures(form: Walkthrough, tmp_path: Path, kind: str) -> None:
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    send(form, kind="picture", picture=picture(kind), name="x", note="", id="q1")
    assert not form.said["wrong"], form.said["text"]
    assert (tmp_path / load_photos(tmp_path / FILE)[0].file).suffix == ".jpg"


@pytest.mark.parametrize(
    "data", [None, 7, "", "no picture", "data:image/png;base64,AAAA", "x" * 12_000_000]
)
def test_what_is_no_picture_is_refused(form: Walkthrough, tmp_path: Path, data) -> None:
    send(form, kind="picture", picture=data, name="x", note="", id="r1")
    assert form.said["wrong"]
    assert not load_photos(tmp_path / FILE)
