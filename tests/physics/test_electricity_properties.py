"""What must hold for lights, sensors, standby and the seasons of lighting."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.electricity import (
    dark_hours,
    lighting_season_at,
)

hours = st.floats(0.1, 24.0)
watts = st.floats(0.0, 2000.0)
properties = settings(deadline=None, max_examples=100)


@given(st.floats(10.0, 66.0))
@properties
def test_winter_is_darker_on_both_sides_of_the_equator(latitude) -> None:
    north, south = dark_hours(latitude), dark_hours(-latitude)
    assert north.argmax() in (0, 11)
    assert south.argmax() in (5, 6)


def test_no_seasons_at_the_equator_or_where_all_is_steady() -> None:
    assert lighting_season_at(0.0) == pytest.approx(np.ones(12), abs=0.01)
    assert lighting_season_at(50.0, 1.0) == pytest.approx(np.ones(12))
