"""The cut through a house follows its data: what lies below, above and beside, and how many stories."""

from dataclasses import replace

import pytest
from examples import example

from retrofit_lab.house.first_answers import default_answers, first_answers, questions
from retrofit_lab.house.section import footprint, section_of
from retrofit_lab.house.starting import starting_house

ALDER, WREN = example("alder_street").as_found, example("wren_cottage").as_found

BELOW = {
    "basement, not heated": "basement", "basement, heated": "heated basement",
    "crawl space": "crawlspace", "slab on the ground": "slab",
}  # fmt: skip
OPTIONS = {row["key"]: row["options"] for row in questions() if row["kind"] == "choice"}


def started(**changes: str):
    answers = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc", **changes}
    return starting_house(first_answers(answers))


@pytest.mark.parametrize("foundation", OPTIONS["foundation"])
@pytest.mark.parametrize("stories", OPTIONS["stories"])
def test_every_starting_house_is_drawn_as_it_was_answered(foundation: str, stories: str) -> None:
    section = section_of(started(foundation=foundation, stories=stories))
    assert section.stories == round(float(stories))
    assert section.below == BELOW[foundation]


def test_example_houses() -> None:
    alder, wren = section_of(ALDER), section_of(WREN)
    assert (alder.stories, alder.below, alder.knee_walls, alder.tank) == (
        2,
        "basement",
        True,
        "basement",
    )
    assert (wren.stories, wren.below, wren.knee_walls, wren.tank) == (
        1,
        "crawlspace",
        False,
        "house",
    )
    assert alder.ducts == "basement"
    assert not alder.garage


def test_without_ducted_equipment_there_are_no_ducts() -> None:
    assert section_of(replace(ALDER, heat_pumps=(), air_conditioners=())).ducts == ""


def test_footprint_is_the_largest_level() -> None:
    assert footprint(ALDER) == pytest.approx(960.0)
    bare = replace(ALDER, surfaces=(), underground=())
    assert footprint(bare) == ALDER.size.floor_area
