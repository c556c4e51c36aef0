"""What cannot be in a house is refused with a way out; what is unlikely is in test_cross_checks."""

from dataclasses import replace

import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import with_numbers

HOUSES = {
    name: load_house(data_path("houses", f"{name}.toml"))
    for name in ("alder_street", "wren_cottage")
}
ALDER = HOUSES["alder_street"]


@pytest.mark.parametrize("name", HOUSES)
def test_example_houses_fit_together(name: str) -> None:
    assert check_house(HOUSES[name]) == ()


@pytest.mark.parametrize(
    ("key", "place"),
    [("attic_floor", "attic"), ("kneewalls", "kneewall_space"), ("first_floor", "basement")],
)
def test_surface_typed_the_wrong_way_round_is_refused(key: str, place: str) -> None:
    turned = with_numbers(
        ALDER, {f"surfaces.{key}.inside": place, f"surfaces.{key}.outside": "house"}
    )
    words = (
        rf"surfaces.{key}: it has inside = '{place}' and outside = 'house'.*"
        rf"Write inside = 'house' and outside = '{place}'"
    )
    with pytest.raises(HouseError, match=words):
        check_house(turned)


def test_windows_larger_than_their_wall_are_refused() -> None:
    large = with_numbers(ALDER, {"windows.south.area": 1750.0})
    with pytest.raises(
        HouseError, match=r"'house' add up to 1900 sq ft, more than its 1750 sq ft of wall"
    ):
        check_house(large)


def test_window_in_a_place_without_walls_is_refused() -> None:
    moved = replace(ALDER, windows=(*ALDER.windows[1:], replace(ALDER.windows[0], inside="attic")))
    with pytest.raises(
        HouseError, match=r"'attic' add up to 90 sq ft, more than its 0 sq ft of wall"
    ):
        check_house(moved)
