"""The starting house: every combination of answers is a whole house, and only what was answered counts as known."""

import itertools

import pytest

from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.file import house_from_table, house_to_table
from retrofit_lab.house.first_answers import default_answers, first_answers, questions, shape_of
from retrofit_lab.house.items import items, settled
from retrofit_lab.house.paths import numbers
from retrofit_lab.house.place import place_of
from retrofit_lab.house.starting import ANSWERED, starting_house
from retrofit_lab.house.usual import usual
from retrofit_lab.study.study import Study

OPTIONS = {row["key"]: row["options"] for row in questions() if row["kind"] == "choice"}


def answers(**changes: str) -> dict[str, str]:
    return {**default_answers(), "name": "Plum Lane", "climate": "greensboro_nc", **changes}


@pytest.mark.parametrize(
    ("foundation", "roof"), list(itertools.product(OPTIONS["foundation"], OPTIONS["roof"]))
)
def test_every_shell_with_every_heater_is_a_whole_house(foundation: str, roof: str) -> None:
    for place, heating in enumerate(OPTIONS["heating"]):
        plan = first_answers(
            answers(
                foundation=foundation,
                roof=roof,
                heating=heating,
                year_built=("1921", "1960", "1975", "1990", "2005", "2020")[place % 6],
                hot_water=OPTIONS["hot_water"][place % 5],
                cooling=OPTIONS["cooling"][place % 3],
                stories=OPTIONS["stories"][place % 2],
            )
        )
        house = starting_house(plan)
        assert [oddity.sentence for oddity in check_house(house)] == []
        assert house.assumed == {path for path, _ in numbers(house)} - ANSWERED
        assert house_from_table(house_to_table(house)) == house


def test_starting_house_has_bills_of_a_plausible_size() -> None:
    study = Study(starting_house(first_answers(answers())))
    assert 1000 < study.plan(()).before.cost < 6000
    assert len(study.offers) > 10


def test_geometry_of_a_plain_box_by_hand() -> None:
    shape = shape_of(first_answers(answers(length="40 ft", width="25 ft", stories="2")))
    assert (shape.footprint, shape.perimeter, shape.floor_area) == (1000.0, 130.0, 2000.0)
    assert shape.volume == 16000.0
    glass = usual("window_share", 1975.0, place_of("greensboro_nc")) * 2000.0
    assert shape.window_area == pytest.approx(glass)
    assert shape.wall_area == pytest.approx(130 * 9 * 2 - glass - 42)
    assert shape.stories == 2.0  # its basement is not heated: what leaks there is the sill


def test_footprint_in_any_unit() -> None:
    metric = first_answers(answers(length="12.192 m", width="28", ceiling="7 ft 6 in"))
    assert metric.length == pytest.approx(40.0)
    assert metric.width == 28.0
    assert metric.ceiling == 7.5


def test_every_wrong_answer_is_told_at_once() -> None:
    with pytest.raises(HouseError) as caught:
        first_answers(
            answers(
                name=" ", length="4 kg", width="900", year_built="75", roof="thatch", climate="x"
            )
        )
    lines = str(caught.value).splitlines()
    assert len(lines) == 6
    assert "Where the house is: there is no climate 'x'" in lines[0]
    assert "Name of the house: is not answered" in lines[1]
    assert any("Width of the footprint: 900 ft must be 8 to 300" in line for line in lines)
    assert any("year built is 75; must be 1600 to 2100" in line for line in lines)


def test_every_item_is_within_its_legal_and_typical_range_in_a_house_that_has_its_places() -> None:
    from retrofit_lab.house.checking import number_problem
    from retrofit_lab.house.paths import parameter_at

    assert len(items()) > 50
    for item in items().values():
        for path, value in numbers(item.record):
            rule = parameter_at(item.record, path)
            assert number_problem(path, float(value), rule) is None
            assert rule.typical_low <= float(value) <= rule.typical_high, f"{item.name}.{path}"


def test_part_without_its_place_lies_in_the_house_or_outdoors() -> None:
    floor = settled(items()["surfaces.attic_floor"].record, frozenset())
    assert (floor.inside, floor.outside) == ("house", "outdoors")
    assert settled(items()["lamps.outdoor_lamps"].record, frozenset()).place == "outdoors"
