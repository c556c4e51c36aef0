"""Use of gains by a house with mass: limits, directions, and a house followed hour by hour."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.annual_balance import evened_out, need_after_gains, need_of_spread

heat = st.floats(1e3, 1e8)
hours = st.floats(0.5, 200.0)
properties = settings(deadline=None, max_examples=200)


@given(heat, st.floats(0.0, 1e8), hours)
@properties
def test_need_lies_between_all_gains_used_and_none(loss, gains, constant) -> None:
    need = need_after_gains(loss, gains, constant)
    assert max(loss - gains, 0.0) - 1e-6 * loss <= need <= loss * (1 + 1e-9)


@given(heat, st.floats(0.0, 1e8), st.floats(0.0, 1e7), hours)
@properties
def test_more_gains_never_raise_the_need(loss, gains, more, constant) -> None:
    before = need_after_gains(loss, gains, constant)
    assert need_after_gains(loss, gains + more, constant) <= before * (1 + 1e-9)


@given(heat, st.floats(0.0, 1e8), hours, st.floats(1.0, 5.0))
@properties
def test_more_mass_never_raises_the_need(loss, gains, constant, times) -> None:
    before = need_after_gains(loss, gains, constant)
    assert need_after_gains(loss, gains, constant * times) <= before * (1 + 1e-9)


def test_endless_mass_uses_every_gain_and_no_loss_needs_nothing() -> None:
    assert need_after_gains(100.0, 40.0, 1e9) == pytest.approx(60.0)
    assert need_after_gains(100.0, 140.0, 1e9) == pytest.approx(0.0, abs=1e-6)
    assert need_after_gains(0.0, 50.0, 15.0) == pytest.approx(0.0, abs=1e-6)
    assert need_after_gains(100.0, -20.0, 15.0) == pytest.approx(120.0)


def test_no_jump_where_gains_equal_the_loss() -> None:
    near = [need_after_gains(100.0, 100.0 + d, 20.0) for d in (-1e-3, -1e-9, 0.0, 1e-9, 1e-3)]
    assert near == pytest.approx([100.0 / (2.0 + 20.0 / 15.0)] * 5, rel=1e-4)


def test_arrays_equal_floats() -> None:
    rng = np.random.default_rng(5)
    loss, gains, constant = (rng.uniform(0, most, (4, 3, 12)) for most in (1e7, 1e7, 60.0))
    gains[0] -= 5e6
    many = need_after_gains(loss, gains, constant)
    for i in np.ndindex(4, 3, 12):
        one = need_after_gains(float(loss[i]), float(gains[i]), float(constant[i]))
        assert isinstance(one, float)
        assert many[i] == pytest.approx(one, rel=1e-12, abs=1e-6)


@pytest.mark.parametrize("mass", [4_000.0, 9_600.0, 24_000.0])
@pytest.mark.parametrize("glass", [60.0, 180.0, 500.0])
def test_january_followed_hour_by_hour(mass: float, glass: float) -> None:
    """Sunny and dull days, warm and cold ones, sun by day only: the factor is within 4 % of the loss."""
    rng = np.random.default_rng(11)
    conductance, inside, room = 500.0, 2_500.0, 70.0
    day = np.repeat(np.arange(62), 24)
    hour = np.tile(np.arange(24), 62)
    outdoor = 35.0 + 8.0 * rng.standard_normal(62)[day] - 8.0 * np.cos((hour - 3) / 24 * 2 * np.pi)
    noon = np.maximum(np.sin((hour - 7.5) / 9.0 * np.pi), 0.0) * (hour > 7) * (hour < 17)
    sun = glass * 0.5 * rng.uniform(20.0, 230.0, 62)[day] * noon
    air = wall = room
    store, link = 0.2 * mass, 4.0 * 1920.0
    used = 0.0
    for out, ray in zip(outdoor, sun, strict=True):
        for _ in range(4):
            own = 0.8 * mass / 0.25 + link
            drive = 0.8 * mass / 0.25 * wall + 0.5 * (inside + ray)
            k = store / 0.25 + conductance + link - link**2 / own
            b = store / 0.25 * air + conductance * out + 0.5 * (inside + ray) + link * drive / own
            air = min(max(b / k, room), 78.0)
            used += 0.25 * max(k * air - b, 0.0)
            wall = (drive + link * air) / own
    loss = float(np.sum(conductance * (room - outdoor)))
    gains = float(np.sum(inside + sun))
    ours = need_after_gains(loss, gains, mass / conductance)
    assert ours == pytest.approx(used, abs=0.04 * loss)
    if glass > 400 and mass < 10_000:
        assert loss - gains < used - 0.03 * loss, "all gains used would be far too kind"


@pytest.mark.parametrize("mean", [-150.0, -50.0, 0.0, 50.0, 150.0])
def test_need_of_a_spread_is_near_that_of_a_normal_one(mean: float) -> None:
    """Against the same by a million draws: within 4 % of a standard deviation."""
    drawn = np.random.default_rng(5).normal(mean, 100.0, 1_000_000)
    exact = float(np.maximum(drawn, 0.0).mean())
    assert need_of_spread(mean, 100.0) == pytest.approx(exact, abs=4.0)


@given(st.floats(-1e5, 1e5), st.floats(1.0, 1e5))
@properties
def test_need_of_a_spread_lies_above_both_limits(mean: float, deviation: float) -> None:
    need = need_of_spread(mean, deviation)
    assert need >= max(mean, 0.0)
    assert need <= max(mean, 0.0) + 0.4 * deviation
    assert need_of_spread(mean, 1.1 * deviation) >= need


@pytest.mark.parametrize(("constant", "near"), [(6.0, 0.13), (12.0, 0.13), (24.0, 0.2)])
def test_mass_evens_out_what_a_store_that_may_not_fall_does(constant: float, near: float) -> None:
    """A sine of a day about balance: amplitude that leaves as much need without mass, in small steps."""
    steps, room, need = 1440, 0.0, 0.0
    for _ in range(8):
        need = 0.0
        for step in range(steps):
            free = room + 24.0 / steps / constant * (-room - np.sin(2.0 * np.pi * step / steps))
            need += max(-free, 0.0) * constant / 24.0
            room = max(free, 0.0)
    assert evened_out(constant, 24.0) ** 0.5 == pytest.approx(need * np.pi, rel=near)
