"""The drawing of a house: parts that it has, arrows that grow with the heat, words, and text that stays text."""

import itertools
import json
import re

import pytest
from examples import example

from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.told import told
from retrofit_lab.app.shared.section_drawing import arrow, arrows, drawn_parts, section_drawing
from retrofit_lab.app.shared.section_layout import anchors, layout_of
from retrofit_lab.app.shared.svg import node
from retrofit_lab.app.shared.wording import as_rounded, dollars, shown_after
from retrofit_lab.house.parts import PARTS
from retrofit_lab.house.section import Section
from retrofit_lab.proposals.dollars_by_part import dollars_by_part
from retrofit_lab.proposals.in_real_houses import RealHouses

SHAPES = [
    Section(
        stories=stories,
        below=below,
        attic=attic,
        knee_walls=knee,
        garage=garage,
        ducts=ducts,
        tank=tank,
    )
    for stories, below, (attic, knee), garage, (ducts, tank) in itertools.product(
        (1, 2, 3),
        ("basement", "heated basement", "crawlspace", "slab", ""),
        ((True, False), (True, True), (False, False)),
        (True, False),
        (("", ""), ("attic", "house"), ("basement", "basement"), ("house", "garage")),
    )
]
TEN = ["band_joist_foam", "attic_insulation", "duct_mastic"]


def corners(text: str) -> list[tuple[float, float]]:
    return [tuple(map(float, pair.split(","))) for pair in text.split()]


def test_every_shape_of_house_stays_inside_its_frame() -> None:
    for section in SHAPES:
        drawing = section_drawing(section, {p: p for p in drawn_parts(section, PARTS)})
        _, top, width, height = map(float, drawing["attributes"]["viewBox"].split())
        shares = dict.fromkeys(PARTS, 30.0)
        for part, pair in arrows(section, shares, shares).items():
            for text in pair.values():
                for x, y in corners(text):
                    assert 0 <= x <= width, (section, part)
                    assert top <= y <= top + height, (section, part)
        for anchor in anchors(layout_of(section)).values():
            assert top + 10 <= anchor.label[1] <= top + height - 8


def test_parts_that_a_house_lacks_are_not_drawn() -> None:
    bare = Section(
        stories=1, below="slab", attic=True, knee_walls=False, garage=False, ducts="", tank=""
    )
    assert set(PARTS) - set(drawn_parts(bare, PARTS)) == {
        "garage",
        "knee_walls",
        "ducts",
        "hot_water",
    }


def test_arrow_is_as_wide_as_its_share() -> None:
    anchor = anchors(layout_of(SHAPES[0]))["walls"]

    def width(share: float) -> float:
        shaft = corners(arrow(anchor, share, 0.0))
        return abs(shaft[0][1] - shaft[-1][1])

    assert width(20.0) == pytest.approx(2 * width(10.0), abs=0.25)  # corners are rounded to tenths
    assert arrow(anchor, 0.0, 0.0) == ""
    assert arrow(anchor, -3.0, 0.0) == ""


@pytest.mark.parametrize("name", ["alder_street", "wren_cottage"])
def test_every_line_of_the_page_belongs_to_a_drawn_part(name: str) -> None:
    drawing = HouseDrawing(told(example(name), "en", "us"))
    for key, parts in drawing.parts.items():
        assert set(parts) & set(drawing.shown), key


def drawn(ticked: list[str], system: str = "us") -> dict:
    study = example("alder_street")
    result = study.plan(ticked)
    drawing = HouseDrawing(told(study, "en", system))
    return drawing.content(result, RealHouses(study).of_plan(result))


def test_house_counts_the_whole_bill_in_dollars() -> None:
    study = example("alder_street")
    paid = dollars_by_part(study, (), study.plan(()).before)
    assert sum(paid.parts.values()) + paid.fixed == pytest.approx(paid.whole)
    assert paid.parts["hot_water"] == pytest.approx(study.plan(()).before.cost_by_use["hot_water"])
    losses = study.energies.season_losses(())
    assert paid.parts["walls"] / paid.parts["attic"] == pytest.approx(
        float(losses.by_part["walls"] / losses.by_part["attic"])
    )
    before = drawn([])["dollars"]
    shown = int(before["parts"]["hot_water"]["numbers"][1:])
    assert shown == pytest.approx(paid.parts["hot_water"], abs=15.0)
    assert before["rows"][-1][1] == dollars(paid.whole)


def test_heating_is_told_as_one_use_and_by_where_it_leaves() -> None:
    """The largest bill of a cold house is no surface; a house in the hot South pays more for something else."""
    rows = {name: written for name, written, _ in drawn([])["dollars"]["rows"]}
    said = drawn([])["dollars"]["sentence"]
    heating = int(re.search(r"for heating \(\$([\d,]+)\)", said)[1].replace(",", ""))
    leaving = (
        "the walls",
        "the windows",
        "air leaks",
        "the outside doors",
        "the knee walls",
        "the ducts",
    )
    known = sum(int(rows[name][1:].replace(",", "")) for name in leaving)
    assert known < heating < int(rows["All together"][1:].replace(",", ""))
    assert f"through the walls ({rows['the walls']})" in said
    hot = example("mesquite_way")
    result = hot.plan(())
    told_there = HouseDrawing(told(hot, "en", "us")).content(
        result, RealHouses(hot).of_plan(result)
    )
    assert re.match(
        r"You pay most for light.*cooling.*and heating", told_there["dollars"]["sentence"]
    )


def test_saving_in_the_drawing_is_what_comes_about_in_real_houses() -> None:
    study = example("alder_street")
    result = study.plan(TEN)
    expected = RealHouses(study).of_plan(result)
    after = drawn(TEN)["dollars"]
    left = as_rounded(shown_after(result.before.cost, expected.left))
    assert after["rows"][-1][2] == left
    assert f"you pay {left} a year instead" in after["sentence"]
    assert re.match(r"\$\d+ \N{RIGHTWARDS ARROW} \$\d+", after["parts"]["attic"]["numbers"])
    assert drawn([])["dollars"]["parts"]["attic"]["after"] == ""
    # bulbs that save light bring no dollars to the walls
    lamps = drawn(["led_lamps"])["dollars"]["parts"]
    now, then = lamps["plugs"]["numbers"].split(" \N{RIGHTWARDS ARROW} ")
    assert then < now or len(then) < len(now)


def test_heat_on_request_says_what_its_arrows_show() -> None:
    study = example("alder_street")
    now, then = study.energies.season_losses(()), study.energies.season_losses(TEN)
    before, after = drawn([])["heat"], drawn(TEN)["heat"]
    walls = 100 * now.by_part["walls"] / now.total
    assert f"{walls:.0f}% of your heat leaves through the walls" in before["sentence"]
    less = 100 * (1 - then.total / now.total)
    assert f"you lose {less:.0f}% less heat" in after["sentence"]
    assert len(after["rows"]) == 10
    assert all(len(row) == len(after["columns"]) for row in after["rows"])
    assert "million Btu" in after["rows"][0][3]
    assert "kWh" in drawn(TEN, "si")["heat"]["rows"][0][3]
    json.dumps(after)


def test_nodes_name_their_attributes_as_the_standard_does() -> None:
    drawn = node("rect", x=1.0, stroke_width="2", class_="part", data_part="attic")
    assert drawn["attributes"] == {
        "x": "1",
        "stroke-width": "2",
        "class": "part",
        "data-part": "attic",
    }
