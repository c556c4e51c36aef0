"""Fuel heaters and air conditioners: limits, order, and heat and moisture that are accounted for."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.air_conditioner import (
    DRY_COIL_HUMIDITY,
    LATENT_COEFFICIENT,
    MOST_LATENT_SHARE,
    RATED_HUMIDITY,
    RATED_LATENT_SHARE,
    cooling_capacity,
    latent_load,
    latent_share,
    room_humidity,
    site_seer,
)
from retrofit_lab.physics.fuel_heater import (
    fuel_input,
    pilot_input,
    run_hours,
)


def test_fuel_of_a_load_is_made_and_lost() -> None:
    fuel = fuel_input(80e6, 0.8)
    assert fuel * 0.8 + fuel * 0.2 == pytest.approx(fuel)
    assert run_hours(80e6, 80_000.0) == pytest.approx(1_000.0)
    assert pilot_input(1_000.0, 24.0) == 24_000.0


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


def test_ratings_hold_at_their_own_temperature() -> None:
    assert site_seer(13.0, 82.0) == 13.0
    assert cooling_capacity(36_000.0, 95.0) == 36_000.0


def test_dry_outdoor_air_is_no_moisture_load() -> None:
    assert latent_load(100.0, 0.006 - 0.010, 1.0) < 0
    assert latent_load(100.0, 0.0, 1.0) == 0
    assert latent_load(100.0, 0.004, 0.8) == pytest.approx(0.8 * latent_load(100.0, 0.004, 1.0))


def test_damper_air_leaves_a_larger_share_of_water_on_the_coil() -> None:
    air = np.linspace(0.002, 0.030, 60)
    share = latent_share(air)
    assert (np.diff(share) >= 0).all()
    assert share[0] == 0.0
    assert share[-1] == MOST_LATENT_SHARE
    assert latent_share(RATED_HUMIDITY) == pytest.approx(RATED_LATENT_SHARE)
    assert latent_share(DRY_COIL_HUMIDITY) == 0.0


LEAK = st.floats(0.0, 0.4)


@given(
    st.floats(0.010, 0.020), st.floats(10, 400), st.floats(0, 1500), st.floats(500, 30_000), LEAK, LEAK,
)  # fmt: skip
@settings(deadline=None)
def test_moisture_that_comes_in_is_what_the_coil_takes_out(
    outdoor, airflow, people, running, supply, back
) -> None:
    """One hour followed round: rooms, return with its leak, coil, supply with its leak, rooms."""
    exchange, flow = LATENT_COEFFICIENT * airflow, LATENT_COEFFICIENT * 1000.0 * running / 30_000.0
    rooms = room_humidity(
        outdoor=outdoor, exchange=exchange, people=people, running=running, supply_leakage=supply,
        return_leakage=back, flow_exchange=flow,
    )  # fmt: skip
    mixed = rooms + back * (outdoor - rooms)
    line = (mixed - DRY_COIL_HUMIDITY) / (RATED_HUMIDITY - DRY_COIL_HUMIDITY)
    taken = running * RATED_LATENT_SHARE * line
    supplied = mixed - taken / flow
    dried = (1 - supply) * flow * (rooms - supplied)
    assert dried == pytest.approx(exchange * (outdoor - rooms) + people, rel=1e-6, abs=1e-6)


def test_return_leaks_in_damp_air_make_the_rooms_damper() -> None:
    numbers = {"outdoor": 0.018, "exchange": 5e5, "people": 600.0, "running": 15_000.0,
               "supply_leakage": 0.05, "flow_exchange": 2.4e6}  # fmt: skip
    tight, leaky = (room_humidity(**numbers, return_leakage=leak) for leak in (0.0, 0.15))
    assert 0.008 < tight < leaky < 0.018
