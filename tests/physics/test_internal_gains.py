"""Heat of people follows their number and their hours."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.internal_gains import people_gain, people_latent_gain


@given(st.floats(0.0, 12.0), st.floats(0.0, 24.0))
@settings(deadline=None)
def test_heat_of_people_is_in_proportion(people: float, hours: float) -> None:
    for gain in (people_gain, people_latent_gain):
        assert gain(2.0 * people, hours) == pytest.approx(2.0 * gain(people, hours))
        assert gain(people, 12.0) == pytest.approx(0.5 * gain(people, 24.0))


def test_nobody_at_home_gives_no_heat() -> None:
    assert people_gain(0.0) == people_latent_gain(0.0) == people_gain(4.0, 0.0) == 0.0
