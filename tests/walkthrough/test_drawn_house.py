"""The drawing of the house on the walk shows what of each part is known, and leads to what is open."""

from pathlib import Path

import pytest
from kills import ANSWERS

from retrofit_lab.app.walk.widget import Walkthrough


def send(form: Walkthrough, **message) -> None:
    form._on_message(form, message, [])


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    made = Walkthrough(tmp_path)
    send(made, kind="begin", answers=ANSWERS, file="")
    return made


def test_a_part_fills_as_it_is_answered(form: Walkthrough) -> None:
    before = form.drawn["parts"]["walls"]
    assert (before["known"], before["stop"]) == ("none", "rooms")
    assert before["mark"] == "\N{WHITE CIRCLE}"
    assert before["numbers"].startswith("0 of ")
    send(form, kind="answer", path="surfaces.walls.r_label", text="R-13", id="a1")
    part = form.drawn["parts"]["walls"]
    assert part["known"] == "some"
    assert part["mark"] == "\N{CIRCLE WITH LEFT HALF BLACK}"
    assert part["numbers"].startswith("1 of ")
    send(form, kind="back", id="a2")
    assert form.drawn["parts"]["walls"] == before


def test_what_is_open_comes_first_and_all_is_told(form: Walkthrough) -> None:
    area, shading = "windows.south.area", "windows.south.shading"
    assert form.drawn["parts"]["windows"]["path"] == area
    send(form, kind="answer", path=area, text="40", id="b1")
    assert form.drawn["parts"]["windows"]["path"] not in (area, shading)
    send(form, kind="go", stop="windows")
    for record in form.walk["stop"]["records"]:
        send(form, kind="confirm", path=record["path"], id=f"c-{record['path']}")
    assert form.drawn["parts"]["windows"]["known"] == "all"


def test_parts_that_the_house_lacks_are_not_drawn_and_words_follow_the_language(
    form: Walkthrough,
) -> None:
    assert not {"garage", "knee_walls"} & set(form.drawn["parts"])
    form.set_state({"language": "es"})
    assert form.drawn["title"] == "La casa hasta ahora"
    assert " de " in form.drawn["parts"]["air"]["numbers"]
