"""The ventilation standard's credit for leaks: its table of heights, and its weather factors at known places."""

import pytest

from retrofit_lab.climate.locating import find_climate
from retrofit_lab.physics.ventilation import infiltration_credit

HEIGHTS = {1.0: 1.00, 1.5: 1.18, 2.0: 1.32, 2.5: 1.44, 3.0: 1.55}
"""Height factors by stories, ASHRAE 62.2-2013 as printed in archived standard work specifications (read)."""
WEATHER_FACTORS = {
    "Boston, MA": 0.66, "Chicago, IL": 0.60, "Minneapolis, MN": 0.63, "Miami, FL": 0.39,
    "Phoenix, AZ": 0.43, "Seattle, WA": 0.56, "Denver, CO": 0.57, "Greensboro, NC": 0.43,
    "Atlanta, GA": 0.46, "Los Angeles, CA": 0.42, "Burlington, VT": 0.60,
}  # fmt: skip
"""Weather and shielding factors of ASHRAE 62.2 (memory), written down before ours were worked out; the shelter
class of the reference house was chosen with them in view."""


@pytest.mark.parametrize(("stories", "printed"), HEIGHTS.items())
def test_height_factor_as_printed(stories: float, printed: float) -> None:
    assert infiltration_credit(1000.0, 0.5, stories) / 26.0 == pytest.approx(printed, abs=0.006)


@pytest.mark.parametrize(("place", "printed"), WEATHER_FACTORS.items())
def test_weather_factor_of_places(place: str, printed: float) -> None:
    """Within 0.1: remembered to a few hundredths, another airport perhaps, and our wind is a mean of the month."""
    assert find_climate(place).leak_weather == pytest.approx(printed, abs=0.1)


def test_windier_and_colder_places_count_more() -> None:
    factors = [find_climate(p).leak_weather for p in ("Boston, MA", "Greensboro, NC", "Miami, FL")]
    assert factors == sorted(factors, reverse=True)
