"""What must hold for lamps, sensors, standby and the seasons of lighting."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.electricity import (
    appliance_energy,
    dark_hours,
    heat_inside,
    lamp_energy,
    lighting_season,
    lighting_season_at,
    running_energy,
    sensor_factor,
    standby_cut,
    standby_energy,
)

hours = st.floats(0.1, 24.0)
watts = st.floats(0.0, 2000.0)
properties = settings(deadline=None, max_examples=100)


@given(watts, hours)
@properties
def test_year_is_the_sum_of_its_months(power, burning) -> None:
    months = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    by_month = sum(lamp_energy(power, 3.0, burning, float(days)) for days in months)
    assert by_month == pytest.approx(lamp_energy(power, 3.0, burning))


@given(hours, hours, st.floats(0.0, 40.0), st.floats(1.0, 60.0))
@properties
def test_sensor_never_lights_lamps_longer(burning, needed, visits, hold) -> None:
    factor = sensor_factor(burning, needed, visits, hold)
    assert 0.0 < factor <= 1.0
    assert sensor_factor(burning, needed, visits, hold + 5.0) >= factor


def test_sensor_uses_power_itself() -> None:
    plain = sensor_factor(5.0, 1.0, 2.0, 10.0)
    assert sensor_factor(5.0, 1.0, 2.0, 10.0, 0.01) == pytest.approx(plain + 0.01 * 24.0 / 5.0)


@given(watts, st.floats(0.0, 60.0), st.floats(0.0, 24.0), st.floats(0.0, 1.0))
@properties
def test_strip_saves_no_more_than_the_idle_hours_use(on, idle, in_use, strip) -> None:
    use, saved = standby_cut(on, idle, in_use, strip)
    assert 0.0 <= saved <= standby_energy(idle, 24.0 - in_use) * (1 + 1e-12)
    assert saved <= use * (1 + 1e-12)


@given(st.floats(0.0, 90.0), st.floats(1.0, 60.0))
@properties
def test_longer_reading_of_the_same_set_gives_the_same_year(measured, days) -> None:
    once = appliance_energy(measured, days)
    assert appliance_energy(2.0 * measured, 2.0 * days) == pytest.approx(once)


@given(watts, st.floats(0.0, 1.0))
@properties
def test_heat_inside_is_never_more_than_the_electricity(power, share) -> None:
    energy = running_energy(power, 24.0)
    assert heat_inside(energy, share) <= heat_inside(energy, 1.0)


@given(st.floats(-66.0, 66.0), st.floats(0.0, 1.0))
@properties
def test_seasons_add_to_a_year(latitude, steady) -> None:
    factors = lighting_season_at(latitude, steady)
    assert factors.sum() == pytest.approx(12.0)
    assert factors.min() >= 0.0
    assert lighting_season().sum() == pytest.approx(12.0)


@given(st.floats(10.0, 66.0))
@properties
def test_winter_is_darker_on_both_sides_of_the_equator(latitude) -> None:
    north, south = dark_hours(latitude), dark_hours(-latitude)
    assert north.argmax() in (0, 11)
    assert south.argmax() in (5, 6)


def test_plain_season_is_near_that_of_temperate_latitudes() -> None:
    assert lighting_season() == pytest.approx(lighting_season_at(40.0), abs=0.1)


def test_no_seasons_at_the_equator_or_where_all_is_steady() -> None:
    assert lighting_season_at(0.0) == pytest.approx(np.ones(12), abs=0.01)
    assert lighting_season_at(50.0, 1.0) == pytest.approx(np.ones(12))
