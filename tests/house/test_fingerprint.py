"""The mark of a house follows its numbers and kinds, and nothing that says who lives there."""

import pytest
from examples import example

from retrofit_lab.house.file import house_from_table, house_to_table
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.house.paths import with_numbers

ALDER = example("alder_street").as_found


@pytest.mark.parametrize(
    "changes",
    [
        {"name": "Somebody, 12 Long Lane"},
        {"note": "the key is under the mat"},
        {"bills": "bills.csv"},
        {"surfaces.walls.label": "Walls with ivy"},
    ],
)
def test_words_do_not_change_it(changes: dict[str, str]) -> None:
    assert fingerprint(with_numbers(ALDER, changes)) == fingerprint(ALDER)


@pytest.mark.parametrize(
    "changes",
    [
        {"surfaces.walls.area": 1751.0},
        {"leakage.flow": 2649.0},
        {"surfaces.walls.fill": "cellulose"},
        {"site.climate": "miami_fl"},
        {"prices.electricity.price": 0.16},
    ],
)
def test_numbers_and_kinds_do(changes: dict[str, object]) -> None:
    assert fingerprint(with_numbers(ALDER, changes)) != fingerprint(ALDER)


def test_it_is_short_and_says_nothing() -> None:
    mark = fingerprint(ALDER)
    assert len(mark) == 16
    assert int(mark, 16) >= 0


def test_saved_and_read_again_it_is_the_same() -> None:
    again = house_from_table(house_to_table(ALDER))
    assert fingerprint(again) == fingerprint(ALDER)
