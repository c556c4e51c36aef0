"""Fuel heaters, air conditioners and dehumidifiers: limits, order, and heat that is accounted for."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.air_conditioner import (
    cooling_capacity,
    eer_from_seer,
    latent_load_infiltration,
    latent_removed,
    sensible_heat_ratio,
    site_seer,
)
from retrofit_lab.physics.dehumidifier import dehumidifier_heat, dehumidifier_input
from retrofit_lab.physics.fuel_heater import (
    IDLE_LOSS_GAS,
    IDLE_LOSS_OIL_BOILER,
    TEST_SIZE_RATIO,
    aged_efficiency,
    fuel_input,
    jacket_loss,
    mean_load_share,
    oversize_factor,
    run_hours,
)

SIZE = st.floats(1.0, 5.0)


@given(SIZE, st.floats(0.0, 0.2))
@settings(deadline=None)
def test_a_larger_heater_never_does_better(ratio, idle) -> None:
    assert oversize_factor(ratio * 1.2, idle) <= oversize_factor(ratio, idle) + 1e-12
    assert oversize_factor(ratio, 0.0) == 1.0


@given(SIZE)
@settings(deadline=None)
def test_oversize_factor_is_the_fuel_of_running_and_idling(ratio) -> None:
    """Fuel of one hour of mean load, once at the test's size and once at this: input while on, loss while off."""

    def fuel(size: float) -> float:
        on = mean_load_share(size)
        return size * (on + (1 - on) * IDLE_LOSS_OIL_BOILER)

    expected = fuel(TEST_SIZE_RATIO) / fuel(ratio)
    assert oversize_factor(ratio, IDLE_LOSS_OIL_BOILER) == pytest.approx(expected, rel=1e-12)


def test_boilers_pay_more_for_their_size_than_furnaces() -> None:
    assert oversize_factor(3.0, IDLE_LOSS_OIL_BOILER) < oversize_factor(3.0, IDLE_LOSS_GAS) < 1.0


def test_wear_lowers_efficiency_year_by_year() -> None:
    years = np.arange(30.0)
    worn = aged_efficiency(0.8, years)
    assert worn[0] == 0.8
    assert (np.diff(worn) < 0).all()
    assert aged_efficiency(0.8, 10.0, 0.0) == 0.8


def test_fuel_of_a_load_is_made_and_lost() -> None:
    fuel = fuel_input(80e6, 0.8)
    assert fuel * 0.8 + fuel * 0.2 == pytest.approx(fuel)
    assert jacket_loss(fuel, 0.08) == pytest.approx(8e6)
    assert run_hours(80e6, 80_000.0) == pytest.approx(1_000.0)


def test_fuel_of_floats_is_a_float_and_of_arrays_an_array() -> None:
    assert type(fuel_input(80e6, 0.8)) is float
    efficiency = np.array([0.6, 0.8, 1.0])[:, None]
    fuel = fuel_input(np.full(12, 1e6), efficiency)
    assert fuel.shape == (3, 12)
    assert fuel[1, 5] == fuel_input(1e6, 0.8)


@given(st.floats(60, 115), st.floats(8, 20))
@settings(deadline=None)
def test_hotter_outdoors_cools_less_for_more(temperature, seer) -> None:
    assert site_seer(seer, temperature + 5.0) < site_seer(seer, temperature)
    assert cooling_capacity(36_000.0, temperature + 5.0) < cooling_capacity(36_000.0, temperature)
    assert eer_from_seer(seer) < seer


def test_ratings_hold_at_their_own_temperature() -> None:
    assert site_seer(13.0, 82.0) == 13.0
    assert cooling_capacity(36_000.0, 95.0) == 36_000.0


@given(st.floats(0, 1e7), st.floats(0, 1e7), st.floats(0.5, 1.0))
@settings(deadline=None)
def test_no_more_moisture_is_taken_out_than_there_is(sensible, latent, ratio) -> None:
    removed = latent_removed(sensible, latent, ratio)
    assert type(removed) is float
    assert 0.0 <= removed <= latent
    assert latent_removed(sensible, latent, 1.0) == 0.0
    assert latent_removed(np.array([sensible]), latent, ratio)[0] == removed


def test_a_cooler_keeps_to_its_sensible_heat_ratio_in_damp_air() -> None:
    removed = latent_removed(30_000.0, 1e9, 0.75)
    assert sensible_heat_ratio(30_000.0, removed) == pytest.approx(0.75)


def test_dry_outdoor_air_is_no_moisture_load() -> None:
    assert latent_load_infiltration(100.0, 0.006, 0.010) < 0
    assert latent_load_infiltration(100.0, 0.010, 0.010) == 0


def test_a_dehumidifier_warms_the_room_by_more_than_it_takes() -> None:
    water = 30.0
    taken = dehumidifier_input(water, 1.6)
    assert dehumidifier_heat(water, taken) > taken * 3412.14
    assert dehumidifier_input(water, 3.2) == pytest.approx(taken / 2)
