"""Random houses for property tests: a few answers at random, then some numbers moved within their usual ranges."""

from collections.abc import Sequence

from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers, questions
from retrofit_lab.house.paths import numbers, parameter_at, with_numbers
from retrofit_lab.house.starting import starting_house

OPTIONS = {row["key"]: row["options"] for row in questions() if row["kind"] == "choice"}
SITES = [row["key"] for row in read_rows("climates", "sites.csv")]
MOST_MOVED = 12
TOGETHER = ("share", "floor_area", "volume", "stories")
"""Numbers that must fit others of the same house; they stay as the answers made them. So do prices."""


def plans() -> st.SearchStrategy[FirstAnswers]:
    """Answers as people might give them, for every climate and system."""
    choice = {key: st.sampled_from(options) for key, options in OPTIONS.items()}
    return st.builds(
        FirstAnswers,
        name=st.just("Random House"),
        climate=st.sampled_from(SITES),
        year_built=st.integers(1880, 2024).map(float),
        length=st.integers(24, 48).map(float),
        width=st.integers(20, 34).map(float),
        ceiling=st.integers(7, 9).map(float),
        bedrooms=st.integers(1, 5).map(float),
        occupants=st.integers(1, 6).map(float),
        **{**choice, "stories": choice["stories"].map(float)},
    )


@st.composite
def houses(draw: st.DrawFn, *, anything_legal: bool = False) -> House:
    """A random house with some of its numbers anywhere in their usual ranges, as far as they fit together.

    With ``anything_legal`` they are anywhere in what is accepted at all.
    """
    house = starting_house(draw(plans()))
    unit = st.floats(0.0, 1.0)
    moves = draw(st.lists(st.tuples(unit, unit), max_size=MOST_MOVED))
    return moved(house, moves, anything_legal=anything_legal)


def moved(
    house: House, moves: Sequence[tuple[float, float]], *, anything_legal: bool = False
) -> House:
    """House with numbers moved: each move picks one by its place in the list and sets its place in the range."""
    paths = [path for path, _ in numbers(house) if _may_move(path)]
    for which, where in moves:
        path = paths[min(int(which * len(paths)), len(paths) - 1)]
        rule = parameter_at(house, path)
        low, high = rule.typical_low, rule.typical_high
        if anything_legal:
            low, high = rule.legal_low, rule.legal_high
        value = low + where * (high - low)
        other = with_numbers(house, {path: value})
        try:
            check_house(other)
        except HouseError:
            continue
        house = other
    return house


def _may_move(path: str) -> bool:
    return path.rpartition(".")[2] not in TOGETHER and not path.startswith("prices.")
