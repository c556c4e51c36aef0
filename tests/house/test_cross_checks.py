"""Numbers that do not fit together speak up, each with both numbers; starting houses of any answers do not."""

import re
from dataclasses import replace

import pytest
from examples import example

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.items import item_named
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.model.plausible import unlikely_use
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.study import Study

YEARS = (1925, 1955, 1975, 1985, 2000, 2020)


def house(**changes: str):
    answers = {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc"}
    return starting_house(first_answers({**answers, **changes}))


def numbers_in(text: str) -> list[str]:
    return sorted(re.findall(r"\b\d[\d,.]*\b", text))


def told(changed, path: str) -> list[str]:
    return [oddity.sentence for oddity in check_house(changed) if oddity.path == path]


@pytest.mark.parametrize(
    ("changes", "path", "both"),
    [
        ({"size.volume": 5600.0}, "size.volume", ("5,600", "1,120", "5.0 ft")),
        ({"surfaces.attic_floor.area": 300.0}, "surfaces", ("308 sq ft", "1,120 sq ft")),
        ({"surfaces.walls.area": 180.0}, "surfaces", ("363 sq ft", "1,071 sq ft")),
        ({"surfaces.walls.area": 4000.0}, "surfaces", ("4,183 sq ft", "1,071 sq ft")),
        ({"windows.south.area": 600.0}, "windows", ("1,120 sq ft", "62%")),
        ({"leakage.flow": 5200.0}, "leakage.flow", ("34.8 air changes", "built about 1975")),
        ({"leakage.flow": 310.0}, "leakage.flow", ("2.1 air changes", "built about 1975")),
    ],
)
def test_both_numbers_are_told(changes, path: str, both) -> None:
    usual = house()
    assert check_house(usual) == ()
    sentences = told(with_numbers(usual, changes), path)
    assert len(sentences) == 1
    for part in both:
        assert part in sentences[0]
    spanish = [
        one.said("es") for one in check_house(with_numbers(usual, changes)) if one.path == path
    ]
    assert numbers_in(spanish[0]) == numbers_in(sentences[0].partition(": ")[2])


def test_leakage_is_held_against_houses_of_the_age() -> None:
    old = house(year_built="1925")
    flow = old.leakage.flow
    assert told(old, "leakage.flow") == []
    young = house(year_built="2020")
    assert told(replace(young, leakage=replace(young.leakage, flow=flow)), "leakage.flow")


@pytest.mark.parametrize("site", [row["key"] for row in read_rows("climates", "sites.csv")][:4])
@pytest.mark.parametrize("heating", ["gas furnace", "heat pump", "electric heaters"])
def test_use_of_typical_houses_lies_among_those_of_the_survey(site: str, heating: str) -> None:
    for year in YEARS:
        typical = house(climate=site, year_built=str(year), heating=heating, cooling="central")
        study = Study(typical, measures=())
        assert [o.sentence for o in unlikely_use(year_energy(typical, study.climate))] == []


def test_use_far_from_the_survey_is_told_in_the_study() -> None:
    usual = house()
    changes = {
        "surfaces.attic_floor.r_label": 0.0,
        "leakage.flow": 4000.0,
        "zones.whole.heating_setpoint": 80.0,
        "zones.whole.periods.night.heating_setpoint": 80.0,
    }
    study = Study(with_numbers(usual, changes), measures=())
    sentence = next(o.sentence for o in study.case.oddities if o.path == "size.floor_area")
    assert "1,120" in sentence
    assert "21 to 76" in sentence


def test_example_houses_have_nothing_that_does_not_fit() -> None:
    for name in ("alder_street", "wren_cottage"):
        paths = {oddity.path for oddity in example(name).case.oddities}
        assert not paths & {"size.volume", "surfaces", "windows", "leakage.flow"}


FAULTS = (
    "band_joist_foam", "attic_hatch", "wall_fill", "duct_mastic", "duct_insulation", "relay_attic_batts",
    "pipe_insulation", "crawl_floor_insulation", "led_lamps", "attic_insulation", "new_windows",
)  # fmt: skip
"""Measures for what a careful builder leaves behind nowhere."""


@pytest.mark.parametrize(
    "foundation", ["basement, not heated", "crawl space", "slab on the ground"]
)
def test_house_built_to_todays_code_has_no_faults_that_nobody_saw(foundation: str) -> None:
    def payback(year: str) -> dict[str, float]:
        study = Study(house(year_built=year, foundation=foundation, cooling="central"))
        rows = study.plan(()).measures
        return {k: rows[k].cost.likely / max(rows[k].alone, 1e-9) for k in FAULTS if k in rows}

    new, old = payback("2022"), payback("1935")
    assert min(new.values()) > 8.0
    assert min(old.values()) < 8.0
    assert "wall_fill" in old
    assert not {"wall_fill", "relay_attic_batts", "pipe_insulation", "led_lamps"} & new.keys()


def test_a_home_between_others_may_have_neither_ceiling_nor_floor() -> None:
    slab = house(foundation="slab on the ground")
    upper = tuple(s for s in slab.surfaces if s.kind not in ("ceiling", "hatch"))
    assert told(replace(slab, surfaces=upper), "surfaces")
    assert not told(replace(slab, surfaces=upper, underground=()), "surfaces")


def test_a_garage_without_walls_of_its_own_is_told() -> None:
    plain = house()
    garage = item_named("buffers.garage").record
    wall = item_named("surfaces.garage_wall").record
    beside = replace(plain, buffers=(*plain.buffers, garage), surfaces=(*plain.surfaces, wall))
    assert ["Garage" in sentence for sentence in told(beside, "buffers.garage")] == [True]
    shell = replace(wall, key="garage_shell", inside="garage", outside="outdoors")
    assert not told(replace(beside, surfaces=(*beside.surfaces, shell)), "buffers.garage")
