"""Estimates follow corrections: what nobody answered is worked out again, what was answered stays."""

from dataclasses import replace

import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import Basics
from retrofit_lab.house.editing import with_answer, with_item, with_word, without_item
from retrofit_lab.house.estimating import first_answers_of, with_estimates
from retrofit_lab.house.file import house_from_table, house_to_table, load_house
from retrofit_lab.house.first_answers import default_answers, first_answers, questions
from retrofit_lab.house.items import item_named
from retrofit_lab.house.paths import number_at, numbers
from retrofit_lab.house.starting import starting_house

OPTIONS = {row["key"]: row["options"] for row in questions() if row["kind"] == "choice"}
FOUNDATIONS, HEATINGS = OPTIONS["foundation"], OPTIONS["heating"]


def started(**changes: str):
    answers = {"name": "Plum Lane", "climate": "greensboro_nc", "year_built": "1920"}
    return starting_house(first_answers({**default_answers(), **answers, **changes}))


@pytest.mark.parametrize("place", range(12))
def test_nothing_moves_where_nothing_was_corrected(place: int) -> None:
    house = started(
        foundation=FOUNDATIONS[place % 4],
        heating=HEATINGS[place % len(HEATINGS)],
        roof=OPTIONS["roof"][place % 3],
        stories=OPTIONS["stories"][place % 2],
        cooling=OPTIONS["cooling"][place % 3],
        hot_water=OPTIONS["hot_water"][place % 6],
        kind=OPTIONS["kind"][place % 2],
        insulation=OPTIONS["insulation"][place % 5],
        duct_place=OPTIONS["duct_place"][place % 4],
        year_built=str(1900 + 10 * place),
    )
    again = with_estimates(house)
    for path, value in numbers(house):
        assert number_at(again, path) == pytest.approx(value, rel=1e-9), path


def test_year_and_area_bring_walls_attic_and_leaks_after_them() -> None:
    old = started()
    new = with_answer(old, "site.year_built", "1995")
    large = with_answer(new, "size.floor_area", f"{2 * old.size.floor_area} ft2")
    walls, before = (number_at(house, "surfaces.walls") for house in (large, old))
    assert walls.missing_fraction == 0.0 < before.missing_fraction
    assert walls.area > 1.3 * before.area
    assert number_at(large, "surfaces.attic_floor").area == pytest.approx(
        2.0 * (number_at(old, "surfaces.attic_floor").area + 8.0) - 8.0
    )
    assert large.size.volume == pytest.approx(2.0 * old.size.volume)
    assert large.leakage.flow / large.size.volume < 0.7 * old.leakage.flow / old.size.volume
    expected = started(year_built="1995", length=f"{40 * 2**0.5} ft", width=f"{28 * 2**0.5} ft")
    for path, value in numbers(expected):
        assert number_at(large, path) == pytest.approx(value, rel=1e-6), path


def test_answered_numbers_stay() -> None:
    house = with_answer(started(), "surfaces.walls.r_label", "R-13")
    house = with_answer(house, "leakage.flow", "1850 cfm at 50 Pa")
    house = with_answer(house, "site.year_built", "1995")
    assert number_at(house, "surfaces.walls.r_label") == 13.0
    assert house.leakage.flow == 1850.0
    assert number_at(house, "surfaces.attic_floor.r_label") > started().surfaces[2].r_label


def test_answer_taken_back_becomes_the_estimate_of_the_house_again() -> None:
    house = started()
    usual = number_at(house, "surfaces.attic_floor.r_label")
    answered = with_answer(house, "surfaces.attic_floor.r_label", "R-49")
    back = with_answer(answered, "surfaces.attic_floor.r_label", "")
    assert number_at(back, "surfaces.attic_floor.r_label") == usual


def test_place_brings_its_own_stock() -> None:
    warm = with_word(started(), "site.climate", "miami_fl")
    cold = with_word(started(), "site.climate", "sand_point_ak")
    assert number_at(warm, "surfaces.walls.missing_fraction") > number_at(
        cold, "surfaces.walls.missing_fraction"
    )


def test_fuel_of_the_heater_brings_its_efficiency() -> None:
    house = with_word(started(), "fuel_heaters.furnace.fuel", "heating_oil")
    oil = started(heating="oil furnace")
    assert house.fuel_heaters[0].efficiency == oil.fuel_heaters[0].efficiency
    made = with_word(house, "fuel_heaters.furnace.made", "1975")
    later = with_answer(made, "site.year_built", "1990")
    assert later.fuel_heaters[0].efficiency == made.fuel_heaters[0].efficiency


def test_part_that_was_made_another_keeps_its_numbers() -> None:
    house = with_word(started(), "surfaces.walls.fill", "cellulose")
    later = with_answer(house, "site.year_built", "1995")
    assert number_at(later, "surfaces.walls.r_label") == number_at(house, "surfaces.walls.r_label")


def test_crawl_space_in_place_of_a_basement_is_seen() -> None:
    house = started(foundation="slab on the ground")
    house, _ = with_item(house, "buffers", item_named("buffers.crawlspace"))
    assert first_answers_of(house).foundation == "crawl space"
    assert house.buffers[-1].volume == pytest.approx(2.5 * 1120.0)
    gone = without_item(house, "buffers.crawlspace")
    assert first_answers_of(gone).foundation == "slab on the ground"


def test_corrected_house_is_whole_and_goes_through_a_file() -> None:
    house = with_answer(started(), "size.floor_area", "2400 ft2")
    assert check_house(house) == ()
    assert house_from_table(house_to_table(house)) == house


def test_house_described_by_hand_is_left_alone() -> None:
    house = load_house(data_path("houses", "alder_street.toml"))
    assert house.basics == Basics()
    assert with_estimates(house) == house
    assert "basics" not in house_to_table(house)
    older = with_answer(house, "site.year_built", "1910")
    assert replace(older, site=house.site, assumed=house.assumed) == house


def test_word_of_the_people_can_be_corrected_and_a_wrong_one_changes_nothing() -> None:
    house = started()
    well = with_word(house, "basics.insulation", "well insulated")
    assert number_at(well, "leakage.flow") < house.leakage.flow
    odd = with_word(house, "basics.insulation", "like a sieve")
    assert odd.leakage == house.leakage
    with pytest.raises(InputError, match="'like a sieve' is unknown; use one of not known"):
        first_answers_of(odd)
