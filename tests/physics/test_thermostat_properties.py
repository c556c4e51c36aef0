import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from retrofit_lab.physics.thermostat import (
    MASS_LINK,
    SlowRecovery,
    air_drop,
    hours_above_setting,
    mass_temperature,
    recovery_heat,
    setback_period,
    slow_recovery,
    with_holidays,
)

settings_low = st.floats(45, 70)
hours = st.floats(0.5, 24)
floating = st.floats(-30, 85)
constants = st.floats(0.5, 400)


@given(settings_low, hours, floating, constants)
@settings(deadline=None)
def test_a_setback_never_warms(low: float, time: float, free: float, tau: float) -> None:
    mean, end = setback_period(70.0, low, time, free, tau)
    assert low - 1e-9 <= end <= mean + 1e-9
    assert mean <= 70.0 + 1e-9


@given(settings_low, hours, floating, constants, st.floats(0.01, 15))
@settings(deadline=None)
def test_every_driver_acts_one_way(
    low: float, time: float, free: float, tau: float, more: float
) -> None:
    mean, _ = setback_period(70.0, low, time, free, tau)
    slack = 1e-7
    assert setback_period(70.0, low - more, time, free, tau)[0] <= mean + slack
    assert setback_period(70.0, low, time, free - more, tau)[0] <= mean + slack
    assert setback_period(70.0, low, time + more, free, tau)[0] <= mean + slack
    assert setback_period(70.0, low, time, free, tau + more)[0] >= mean - slack


@given(settings_low, hours, floating, constants)
@settings(deadline=None)
def test_cooling_is_the_mirror_image(low: float, time: float, free: float, tau: float) -> None:
    warm = setback_period(-70.0, -low, time, -free, tau, cooling=True)
    cold = setback_period(70.0, low, time, free, tau)
    assert warm == pytest.approx((-cold[0], -cold[1]))


@given(st.lists(st.tuples(floating, constants), min_size=1, max_size=12), settings_low, hours)
@settings(deadline=None, max_examples=40)
def test_months_and_stacks_are_the_single_numbers(months, low: float, time: float) -> None:
    free, tau = (np.array(part) for part in zip(*months, strict=True))
    lows = np.array([[low], [70.0], [73.0]])
    mean, end = setback_period(70.0, lows, time, free, tau)
    assert mean.shape == end.shape == (3, len(months))
    for i in range(3):
        for j in range(len(months)):
            alone = setback_period(70.0, lows[i, 0].item(), time, free[j].item(), tau[j].item())
            assert (mean[i, j], end[i, j]) == pytest.approx(alone, rel=1e-9)


def test_no_change_of_setting_changes_nothing() -> None:
    assert setback_period(70.0, 70.0, 8.0, 20.0, 15.0) == (70.0, 70.0)


def test_a_house_that_needs_no_heat_does_not_feel_the_setting() -> None:
    assert setback_period(70.0, 60.0, 8.0, 74.0, 15.0) == pytest.approx((70.0, 70.0))


def test_a_warmer_setting_is_reached_at_once() -> None:
    assert setback_period(66.0, 70.0, 8.0, 30.0, 15.0) == pytest.approx((70.0, 70.0))


def test_a_floating_temperature_above_the_setting_holds_it_up() -> None:
    mean, end = setback_period(70.0, 60.0, 500.0, 65.0, 5.0)
    assert end == pytest.approx(65.0)
    assert 65.0 < mean < 65.1


@pytest.mark.parametrize("tau", [0.0, 1e-12])
def test_no_mass_follows_the_setting(tau: float) -> None:
    assert setback_period(70.0, 62.0, 8.0, 20.0, tau) == pytest.approx((62.0, 62.0))


@pytest.mark.parametrize("tau", [1e12, math.inf])
def test_endless_mass_keeps_its_temperature(tau: float) -> None:
    assert setback_period(70.0, 62.0, 8.0, 20.0, tau) == pytest.approx((70.0, 70.0))


def test_a_period_of_no_hours_is_harmless() -> None:
    mean, end = setback_period(70.0, 62.0, 0.0, 20.0, 15.0)
    assert end == pytest.approx(70.0)
    assert math.isfinite(mean)


def test_year_is_a_weighted_mean() -> None:
    assert with_holidays(68.0, 55.0, 0.0) == 68.0
    assert 55.0 < with_holidays(68.0, 55.0, 4.0) < 68.0


def slow(heat: float, spare: float, time: float, **more: float) -> SlowRecovery:
    usual = {"lag": 1.0, "heat_capacity": 10_000.0, "droop": 1.0, "spare_then": spare}
    return slow_recovery(heat, spare_first=spare, hours=time, **{**usual, **more})


@given(st.floats(0, 20_000), st.floats(40, 75), st.floats(0, 60_000), st.floats(0, 6))
@settings(deadline=None)
def test_backup_makes_at_most_the_recovery(
    capacity: float, end: float, spare: float, time: float
) -> None:
    heat = recovery_heat(capacity, end, 70.0)
    backup = slow(heat, spare, time).backup
    assert 0 <= backup <= heat
    assert slow(heat, spare + 1.0, time).backup <= backup * (1 + 1e-9)
    assert slow(heat, 0.0, time, droop=0.0).backup == pytest.approx(heat, rel=1e-6, abs=1e-3)


@pytest.mark.parametrize(
    ("first", "then", "wait"), [(4e3, 9e3, 3.0), (9e3, 9e3, 1.0), (2e3, 3e3, 2.0), (3e4, 3e4, 3.0)]
)
def test_slow_recovery_is_that_of_air_and_walls_followed_in_small_steps(first, then, wait) -> None:
    """50,000 Btu into walls of 10,000 Btu/F that follow the air with a lag of 1.1 h; backup keeps the air 1 F short."""
    store, lag, droop, step = 10_000.0, 1.1, 1.0, 1e-3
    behind, backup, late, clock = 5.0, 0.0, 0.0, 0.0
    while True:
        spare = first if clock < wait else then
        air = behind - spare * lag / store
        if air <= 0.0:
            break
        flow = spare
        if clock >= wait and air > droop:
            flow, air = (behind - droop) * store / lag, droop
        backup += (flow - spare) * step
        behind -= flow / store * step
        late += air * step
        clock += step
    found = slow(50_000.0, first, wait, lag=lag, spare_then=then)
    assert found.backup == pytest.approx(backup, rel=0.01, abs=50.0)
    assert found.late == pytest.approx(late, rel=0.06)


@given(st.floats(0, 30), st.floats(1, 40), st.floats(2, 60))
def test_rooms_above_their_setting_drift_down_to_it(
    excess: float, below: float, tau: float
) -> None:
    time = hours_above_setting(excess, below, tau)
    assert (below + excess) * math.exp(-time / tau) == pytest.approx(below)


@given(st.floats(0.5, 10), st.floats(1, 24), st.floats(10, 60))
@settings(deadline=None)
def test_the_bound_is_never_passed_by_a_house_with_mass(
    degrees: float, time: float, difference: float
) -> None:
    free = 70.0 - difference
    setback = max(70.0 - degrees, free)
    mean, _ = setback_period(70.0, setback, time, free, 20.0)
    saved = time / 24.0 * (70.0 - mean) / difference
    assert saved <= degrees * time / 24.0 / difference + 1e-9  # a house without mass


def test_floats_stay_floats() -> None:
    values = [
        *setback_period(70.0, 62.0, 8.0, 30.0, 20.0),
        recovery_heat(9000.0, 63.0, 70.0),
    ]
    assert {type(value) for value in values} == {float}


@given(settings_low, hours, floating, constants, st.floats(0.0, 0.5))
@settings(deadline=None)
def test_air_that_falls_first_stays_between_the_settings(
    low: float, time: float, free: float, tau: float, drop: float
) -> None:
    mean, end = setback_period(70.0, low, time, free, tau, drop=drop)
    assert low - 1e-9 <= end <= mean + 1e-9
    assert mean <= 70.0 + 1e-9
    assert mass_temperature(end, low, free, drop) >= end - 1e-9


@pytest.mark.parametrize("low", [66.0, 62.0, 50.0])
@pytest.mark.parametrize("conductance", [300.0, 700.0])
@pytest.mark.parametrize("per_area", [3.5, 7.0])
def test_night_of_a_house_of_air_and_walls(low: float, conductance: float, per_area: float) -> None:
    """Two stores, a fifth of the mass in the air, stepped through eight hours by SciPy, then recovery."""
    area, free, link = 1900.0, 25.0, MASS_LINK * 1900.0
    air_store, wall_store = 0.2 * per_area * area, 0.8 * per_area * area

    def drift(_, t):
        heat = conductance * (free - t[0]) + link * (t[1] - t[0])
        held = max(-heat, 0.0) if t[0] <= low else 0.0
        return [(heat + held) / air_store, link * (t[0] - t[1]) / wall_store]

    found = solve_ivp(drift, (0.0, 8.0), [70.0, 70.0], max_step=0.02)
    step = np.diff(found.t)
    mean = float(np.sum(0.5 * (found.y[0][1:] + found.y[0][:-1]) * step) / 8.0)
    drop = air_drop(conductance, area)
    tau = per_area * area / conductance
    ours, end = setback_period(70.0, low, 8.0, free, tau, drop=drop)
    assert 70.0 - ours == pytest.approx(70.0 - mean, rel=0.12)
    walls = mass_temperature(end, low, free, drop)
    recovery = recovery_heat(per_area * area, walls, 70.0)
    stored = wall_store * (70.0 - found.y[1][-1]) + air_store * (70.0 - found.y[0][-1])
    assert recovery == pytest.approx(stored, rel=0.2)
