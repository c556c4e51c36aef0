"""Duct leaks: readings, sealing, seals over the years, and the pressure of the house."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.duct_leakage import (
    CLOTH_TAPE_HALF_LIFE,
    MASTIC_HALF_LIFE,
    house_pressure,
    leakage_fraction,
    mean_persistence,
    persistence_after,
    sealed_leakage,
    unbalanced_flow,
)


@given(st.floats(0, 600), st.floats(0, 1), st.floats(0, 1))
@settings(deadline=None)
def test_sides_add_to_the_reading(reading, supply, outside) -> None:
    parts = [
        leakage_fraction(reading, 1000.0, side_share=side, outside_share=outside)
        for side in (supply, 1 - supply)
    ]
    assert sum(parts) * 1000.0 == pytest.approx(reading * outside, abs=1e-9)


@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
@settings(deadline=None)
def test_sealing_never_makes_leaks_worse_and_never_negative(before, sealed, persistence) -> None:
    after = sealed_leakage(before, sealed, persistence)
    assert -1e-15 <= after <= before


def test_a_failed_seal_leaks_as_before() -> None:
    assert sealed_leakage(0.2, 0.8, 0.0) == 0.2
    assert sealed_leakage(0.2, 0.8, 1.0) == pytest.approx(0.04)


def test_tape_lets_go_long_before_mastic() -> None:
    assert persistence_after(0.0, CLOTH_TAPE_HALF_LIFE) == 1.0
    assert persistence_after(CLOTH_TAPE_HALF_LIFE, CLOTH_TAPE_HALF_LIFE) == pytest.approx(0.5)
    assert mean_persistence(15.0, CLOTH_TAPE_HALF_LIFE) < 0.35
    assert mean_persistence(15.0, MASTIC_HALF_LIFE) > 0.9


@given(st.floats(0.5, 40), st.floats(0.5, 100))
@settings(deadline=None)
def test_mean_is_the_mean_of_the_years(life, half_life) -> None:
    years = (np.arange(20_000) + 0.5) / 20_000 * life
    assert mean_persistence(life, half_life) == pytest.approx(
        persistence_after(years, half_life).mean(), rel=1e-6
    )


def test_supply_leaks_suck_the_house_empty_and_return_leaks_blow_it_up() -> None:
    assert unbalanced_flow(0.15, 0.05, 1000.0) == pytest.approx(100.0)
    assert unbalanced_flow(0.1, 0.1, 1000.0) == 0.0
    assert house_pressure(100.0, 1500.0) < 0 < house_pressure(-100.0, 1500.0)
    assert house_pressure(0.0, 1500.0) == 0.0
    assert house_pressure(1500.0, 1500.0) == pytest.approx(-50.0)


def test_a_tighter_house_is_sucked_emptier() -> None:
    pressures = house_pressure(100.0, np.array([3000.0, 1500.0, 700.0]))
    assert (np.diff(pressures) < 0).all()
