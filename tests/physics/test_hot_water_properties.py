"""What must hold for any tank, pipe and tap: balances, directions and limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.hot_water import (
    heat_pump_tank_cop,
    heat_taken,
    hot_fraction,
    mains_temperature,
    pipe_loss_coefficient,
    standby_coefficient,
    with_wrap,
)

cold = st.floats(33.0, 80.0)
rise = st.floats(5.0, 90.0)
r_value = st.floats(1.0, 40.0)
SMALL = 1 + 1e-9
properties = settings(deadline=None, max_examples=100)


@given(cold, rise, st.floats(0.05, 1.0))
@properties
def test_mixing_keeps_the_heat(mains, over, part) -> None:
    hot, mixed = mains + over, mains + over * part
    share = hot_fraction(mixed, mains, hot)
    assert share * hot + (1.0 - share) * mains == pytest.approx(mixed)


@given(st.floats(-50.0, 200.0), cold, st.floats(0.0, 200.0))
@properties
def test_share_of_hot_water_is_a_share(mixed, mains, hot) -> None:
    assert 0.0 <= hot_fraction(mixed, mains, hot) <= 1.0


@given(r_value, st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.floats(0.0, 1.0))
@properties
def test_thicker_wrap_never_harms(r_tank, r_wrap, thicker, covered) -> None:
    wrapped = with_wrap(r_tank, r_wrap, covered)
    assert wrapped * SMALL >= r_tank
    assert with_wrap(r_tank, r_wrap + thicker, covered) * SMALL >= wrapped
    assert wrapped <= (r_tank + r_wrap) * SMALL


@given(st.floats(10.0, 120.0), r_value)
@properties
def test_tank_has_the_surface_of_its_volume(volume, r_tank) -> None:
    """Between a sphere, the least surface there is, and a tank twice as wide in surface."""
    cubic_feet = volume / 7.4805
    sphere = (36.0 * np.pi * cubic_feet**2) ** (1.0 / 3.0)
    area = standby_coefficient(volume, r_tank) * r_tank
    assert sphere < area < 1.5 * sphere


@given(st.floats(0.4, 2.0), st.floats(0.25, 3.0), st.floats(0.01, 1.0))
@properties
def test_more_foam_never_raises_pipe_loss(diameter, foam, thicker) -> None:
    loss = pipe_loss_coefficient(diameter, foam)
    assert pipe_loss_coefficient(diameter, foam + thicker) < loss
    assert loss < pipe_loss_coefficient(diameter, 0.0)


@given(st.floats(1.5, 4.5), st.floats(40.0, 90.0), st.floats(110.0, 150.0), st.floats(0.1, 20.0))
@properties
def test_heat_pump_tank_likes_warm_air_and_cool_water(rated, ambient, setpoint, more) -> None:
    cop = heat_pump_tank_cop(rated, ambient, setpoint)
    assert cop >= 1.0
    assert heat_pump_tank_cop(rated, ambient + more, setpoint) >= cop
    assert heat_pump_tank_cop(rated, ambient, setpoint + more) <= cop


@given(st.floats(0.0, 6e4), st.floats(1.0, 5.0))
@properties
def test_heat_of_the_room_and_electricity_make_the_hot_water(heat, cop) -> None:
    assert heat_taken(heat, cop) + heat / cop == pytest.approx(heat)


def test_cold_room_leaves_the_work_to_the_element() -> None:
    assert heat_pump_tank_cop(3.5, 39.0, 125.0) == 1.0
    assert heat_taken(1000.0, 1.0) == 0.0


def test_heat_pump_tank_loses_about_a_percent_a_degree() -> None:
    """The size of the slope is judgment; this pins what the description says."""
    slope = heat_pump_tank_cop(3.5, 57.5, 125.0) / heat_pump_tank_cop(3.5, 67.5, 125.0)
    assert 0.88 < slope < 0.93


@given(st.floats(35.0, 75.0), st.floats(1.0, 35.0))
@properties
def test_mains_lag_the_air_and_swing_less(mean, swing) -> None:
    mains = mains_temperature(mean, swing)
    assert mains.min() >= 33.0
    assert np.ptp(mains) < 2.0 * swing
    assert mains.argmax() in (6, 7, 8)
