"""The fifteen examples can be used as they are; what is odd in them is odd on purpose and said so."""

import pytest
from fifteen_houses import (
    CLEAN,
    HAZARDS,
    clean_house,
    differences,
    expected,
    houses,
    study_of,
    with_hazards,
)

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.file import house_from_table, house_to_table
from retrofit_lab.house.observations import observation_names

KEYS = tuple(houses())
LONGEST_FILE = 14_000
TWICE = 2


def test_there_are_fifteen() -> None:
    assert len(KEYS) == 15
    assert set(KEYS) <= {path.stem for path in data_path("houses").glob("*.toml")}


@pytest.mark.parametrize("key", KEYS)
def test_file_is_short_and_comes_back_the_same(key: str) -> None:
    assert data_path("houses", f"{key}.toml").stat().st_size < LONGEST_FILE
    house = clean_house(key)
    assert house_from_table(house_to_table(house)) == house


@pytest.mark.parametrize("key", KEYS)
def test_nothing_is_odd_that_is_not_explained(key: str) -> None:
    explained = {d["path"] for d in differences() if d.get("house") == key}
    assert {oddity.path for oddity in study_of(key, CLEAN).case.oddities} <= explained


@pytest.mark.parametrize("key", KEYS)
def test_hazards_are_recorded_and_nothing_says_that_they_are_settled(key: str) -> None:
    words = houses()[key][HAZARDS]["words"]
    house = with_hazards(key)
    assert set(words) <= set(house.observations) <= set(observation_names())
    assert not set(words) & set(clean_house(key).observations)


def test_every_kind_of_hazard_comes_twice() -> None:
    found = [word for entry in expected()["house"] for word in entry[HAZARDS]["words"]]
    kinds = {
        ("gas_smell",), ("spillage_seen", "spillage_marks"), ("co_above_limit",), ("no_co_alarm",),
        ("unvented_heater",), ("live_knob_and_tube",), ("vermiculite", "asbestos_suspected"),
        ("standing_water",), ("bad_wiring",), ("recessed_lights_unrated",),
    }  # fmt: skip
    for kind in kinds:
        assert sum(found.count(word) for word in kind) >= TWICE, kind
