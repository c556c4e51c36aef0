import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.physics.leak_sites import (
    REST,
    neutral_level,
    shares_left,
    site_shares,
    wall_part,
)

ROWS = read_rows("leak_sites.csv")
areas = st.dictionaries(st.sampled_from("abcdef"), st.floats(0, 60), max_size=6)


@given(areas, st.floats(0, 1))
@settings(deadline=None)
def test_sites_share_all_of_the_leakage(sites, rest: float) -> None:
    shares = site_shares(sites, rest)
    assert sum(shares.values()) == pytest.approx(1.0, abs=1e-9)
    assert all(share >= -1e-12 for share in shares.values())


def test_no_site_leaves_all_to_the_rest() -> None:
    assert site_shares({}) == {REST: 1.0}
    assert site_shares({"hatch": 0.0})[REST] == 1.0


@given(areas, st.floats(0, 1), st.floats(0, 1))
@settings(deadline=None)
def test_sealing_takes_only_the_share_of_the_site(sites, rest: float, done: float) -> None:
    shares = site_shares(sites, rest)
    left = shares_left(shares, dict.fromkeys(sites, done))
    assert sum(left.values()) == pytest.approx(1.0 - done * (1.0 - shares[REST]), abs=1e-9)
    assert left[REST] == shares[REST]


def test_sealing_twice_takes_no_more_than_was_there() -> None:
    shares = site_shares({"hatch": 4.6, "band": 24.0})
    whole = shares_left(shares, {"hatch": 1.0})
    assert whole["hatch"] == 0.0
    assert shares_left(whole, {"hatch": 1.0}) == whole


def test_larger_sites_take_larger_shares_over_stacks() -> None:
    count = np.array([[0.0], [4.0], [8.0]])
    shares = site_shares({"lights": 1.6 * count, "hatch": 4.6})
    assert np.all(np.diff(shares["lights"][:, 0]) > 0)
    assert sum(shares.values()) == pytest.approx(np.ones((3, 1)))


@given(st.floats(0, 0.5), st.floats(0, 0.5), st.floats(0.5, 1.0))
@settings(deadline=None)
def test_level_is_between_floor_and_ceiling_and_nearer_to_the_leakier(low, high, n) -> None:
    level = neutral_level(low + high, high - low, n)
    assert 0.0 <= level <= 1.0
    assert (level - 0.5) * (high - low) >= -1e-15  # on the side of the leakier end
    assert wall_part(level, n, 1.0) <= wall_part(level, n, 0.0) + 0.5 * level


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["key"])
def test_leak_site_row(row) -> None:
    low, likely, high = (float(row[f"{name}_in2"]) for name in ("low", "likely", "high"))
    largest = {"each": 40.0, "ft": 0.6, "ft2": 0.3}[row["unit"]]
    assert 0 < low < likely < high <= largest
    assert row["level"] in {"low", "middle", "high"}
    assert row["place"]
    assert row["source"]


def test_leak_sites_are_named_once() -> None:
    keys = [row["key"] for row in ROWS]
    assert len(set(keys)) == len(keys)
