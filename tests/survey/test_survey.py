"""The level of starting houses: homes of a survey that no number was chosen by, built again from their facts."""

from functools import cache

import pytest
from homes import homes
from ratios import FEWEST, Rebuilt, classes, rebuild, sums, uses
from rebuilding import rebuilt

from retrofit_lab.house.place import Place


@cache
def shown() -> list[Rebuilt]:
    return rebuild(home for home in homes() if home.shown)


@pytest.mark.slow
def test_use_of_real_homes_is_met_in_sum_by_class_and_by_end_use() -> None:
    outside = {
        line.name: round(line.ratio, 3)
        for line in (*sums(shown()), *uses(shown()), *classes(shown()))
        if not line.holds
    }
    assert outside == {}


@pytest.mark.slow
def test_the_classes_that_are_held_hold_most_homes() -> None:
    held = [line for line in classes(shown()) if line.count >= FEWEST]
    assert len(held) >= 24
    assert sum(line.count for line in sums(shown())[:1]) == len(shown()) == 1133


def test_what_was_measured_does_not_enter_a_home() -> None:
    """Only which fuels come into the house is a fact; how much of them is what the model is asked for."""
    home = homes()[11]
    place = Place(home.heating_degree_days, home.cooling_degree_days)
    doubled = {fuel: 2.0 * value for fuel, value in home.used.items()}
    other = type(home)(**{**_fields(home), "used": doubled, "end_uses": {}})
    assert rebuilt(other, place) == rebuilt(home, place)


def _fields(home) -> dict:
    return {name: getattr(home, name) for name in home.__slots__}
