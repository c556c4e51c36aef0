"""Load factors of a design day against printed values, and their signs."""

import pytest

from retrofit_lab.physics.design_day import (
    SURFACE_FACTORS,
    DesignDay,
    strongest_sun,
    surface_difference,
    window_load,
)

CLEAR_GLASS = 0.87
"""Share of straight sun that the single clear glass of the printed gains lets in. [1] (handbook, memory)"""
DAY = DesignDay(difference=15.0, daily_range=20.0, latitude=40.0)


@pytest.mark.parametrize(("latitude", "printed"), [(32.0, 216.0), (40.0, 216.0), (48.0, 215.0)])
def test_strongest_sun_on_east_glass_is_the_printed_gain(latitude: float, printed: float) -> None:
    """Solar heat gain factors of 21 July, half-hour apart from the table's hours: ASHRAE handbook (memory)."""
    assert CLEAR_GLASS * strongest_sun(latitude, 90.0) == pytest.approx(printed, rel=0.02)


def test_sun_of_july_is_high_in_the_south_and_the_same_on_either_side_of_noon() -> None:
    assert strongest_sun(26.0, 180.0) < 0.5 * strongest_sun(26.0, 90.0)
    assert strongest_sun(48.0, 180.0) > 2.0 * strongest_sun(26.0, 180.0)
    for facing in (20.0, 90.0, 135.0):
        assert strongest_sun(40.0, facing) == pytest.approx(strongest_sun(40.0, -facing))


def test_hotter_days_and_darker_roofs_ask_for_more_and_cool_nights_for_less() -> None:
    hotter = DesignDay(difference=25.0, daily_range=20.0, latitude=40.0)
    even = DesignDay(difference=15.0, daily_range=10.0, latitude=40.0)
    for kind in SURFACE_FACTORS:
        found = surface_difference(DAY, kind, 0.8)
        assert 0.0 <= found < surface_difference(hotter, kind, 0.8)
        assert found < surface_difference(even, kind, 0.8)
    assert surface_difference(DAY, "roof", 0.3) < surface_difference(DAY, "roof", 0.9)


def test_windows_by_hand() -> None:
    """Glass of 10 ft2 to the west, U-0.5, SHGC 0.4: (15 - 0.46 x 20) x 5 and the sun behind curtains."""
    sun = 10.0 * strongest_sun(40.0, 270.0) * 0.56 * 0.4 * (0.92 - 0.21 * 0.4)
    assert window_load(DAY, 5.0, 10.0, 0.4, 270.0) == pytest.approx(5.0 * 5.8 + sun)
    west = window_load(DAY, 5.0, 10.0, 0.4, 270.0)
    assert window_load(DAY, 5.0, 10.0, 0.4, -90.0) == pytest.approx(west)
    round_the_compass = window_load(DAY, 5.0, 10.0, 0.4, 360.0)
    assert window_load(DAY, 5.0, 10.0, 0.4, 0.0) == pytest.approx(round_the_compass)
