"""The table of ratings by age: every row within bounds, years without gaps, and the look-up."""

import itertools

import pytest

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.physics.rating_by_age import rating_by_age

ROWS = read_rows("equipment_by_age.csv")
KINDS = sorted({row["kind"] for row in ROWS})
BOUNDS = {"AFUE": (0.4, 0.99), "HSPF": (3.412, 14.0), "SEER": (4.0, 26.0), "EER": (4.0, 16.0)}
UNITS = {"AFUE": "1", "HSPF": "Btu/Wh", "SEER": "Btu/Wh", "EER": "Btu/Wh"}
MARKS = {"read", "memory", "common practice, no source"}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['kind']} {row['year_from']}")
def test_row(row) -> None:
    least, most = BOUNDS[row["rating"]]
    assert least <= float(row["low"]) <= float(row["likely"]) <= float(row["high"]) <= most
    assert 1900 <= int(row["year_from"]) <= int(row["year_to"])
    assert row["unit"] == UNITS[row["rating"]]
    assert row["source"]
    assert row["mark"] in MARKS


@pytest.mark.parametrize("kind", KINDS)
def test_years_follow_and_newer_is_never_worse(kind: str) -> None:
    mine = [row for row in ROWS if row["kind"] == kind]
    assert len({row["rating"] for row in mine}) == 1
    for older, newer in itertools.pairwise(mine):
        assert int(newer["year_from"]) == int(older["year_to"]) + 1
        assert float(newer["likely"]) >= float(older["likely"])


def test_minimum_ratings_appear_in_their_year() -> None:
    for kind, year, least in (
        ("gas_furnace", 1992, 0.78),
        ("air_conditioner", 2006, 13.0),
        ("heat_pump", 2006, 7.7),
    ):
        assert rating_by_age(kind, year, ROWS).low == least
        assert rating_by_age(kind, year - 1, ROWS).low < least


def test_years_outside_take_the_nearest_row() -> None:
    assert rating_by_age("gas_furnace", 1850, ROWS) == rating_by_age("gas_furnace", 1950, ROWS)
    assert rating_by_age("gas_furnace", 2090, ROWS) == rating_by_age("gas_furnace", 2040, ROWS)


def test_unknown_kind_names_the_known_ones() -> None:
    with pytest.raises(InputError, match=r"no equipment 'stove'.*gas_furnace"):
        rating_by_age("stove", 1990, ROWS)
