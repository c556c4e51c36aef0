"""Parts of a sum are rounded so that what is shown adds up to what is shown, and none is far from what it is."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrofit_lab.app.shared.wording import adding_up, as_rounded, dollars, rounded

amounts = st.lists(st.floats(-300.0, 9_000.0), min_size=1, max_size=14)


def read(text: str) -> int:
    """A person's reading of an amount."""
    return int(re.sub(r"[$,]", "", text))


@given(amounts)
def test_shown_parts_add_up_to_the_shown_whole(parts: list[float]) -> None:
    whole = sum(parts)
    shown = [as_rounded(part) for part in adding_up(parts, rounded(whole))]
    if any(rounded(part) for part in parts):
        assert sum(map(read, shown)) == read(dollars(whole))


@given(amounts)
def test_no_part_is_moved_far(parts: list[float]) -> None:
    """At most a step and a half of its own; the largest takes what is left, less than a step of the whole."""
    shown, largest = adding_up(parts, rounded(sum(parts))), max(map(abs, parts))
    for part, one in zip(parts, shown, strict=True):
        step = 1 if abs(part) < 100 else 10
        assert abs(one - part) <= 1.5 * step + 1e-6 or abs(part) >= largest - 10.0


@pytest.mark.parametrize(
    ("parts", "whole", "expected"),
    [
        ([37.4, 61.2, 123.9, 311.1], 533.6, [38, 62, 120, 310]),
        ([1233.0, 244.0, 1073.0], 2550.0, [1230, 250, 1070]),
        ([3.2, 154.0, 154.0], 311.2, [2, 158, 150]),
        ([0.2, 0.3], 0.5, [0, 0]),
        ([150.0, -80.0], 70.0, [150, -80]),
    ],
)
def test_what_is_shown_is_near_what_it_is(
    parts: list[float], whole: float, expected: list[int]
) -> None:
    assert adding_up(parts, rounded(whole)) == expected


def test_money_is_written_as_people_say_it() -> None:
    assert [dollars(x) for x in (3.4, 97.0, 123.0, 12_345.0, -38.6)] == [
        "$3", "$97", "$120", "$12,300", "-$39",
    ]  # fmt: skip
