"""Holds, what must not be proposed, and the order of phases of fifteen houses, against what a rater wrote down before."""

import pytest
from came_out import bands, today
from comparing import STRICT, argued
from fifteen_houses import VARIANTS, differences, houses

KEYS = tuple(houses())
MOST_INSIDE = 0.75
"""Share of uses and savings that must lie in the rater's bands. [1] Judgment: bands of one rater hold about eight in ten."""
WHO = {"rater", "program", "both"}


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("variant", VARIANTS)
@pytest.mark.parametrize("compare", STRICT.values(), ids=STRICT)
def test_differs_from_a_rater_only_where_argued(key: str, variant: str, compare) -> None:
    assert [row for row in compare(key, variant) if row.name not in argued()] == []


def test_uses_and_savings_are_mostly_what_a_rater_expects() -> None:
    found = [one for key in KEYS for one in (*today(key), *bands(key))]
    assert len(found) > 100
    assert sum(one.inside for one in found) >= MOST_INSIDE * len(found)


def test_every_argument_is_whole_and_about_something() -> None:
    for entry in differences():
        assert ("at" in entry) != ("path" in entry)
        assert entry["who"] in WHO
        assert len(entry["why"]) > 30
    places = [place for entry in differences() for place in entry.get("at", ())]
    assert {house for house, *_ in argued()} <= set(KEYS)
    assert len(places) == len(argued())
