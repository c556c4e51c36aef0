"""Blowers: power, filters and heat."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.fan import (
    efficiency_at_flow,
    fan_energy,
    fan_heat,
    fan_power,
    fan_temperature_rise,
    flow_with_resistance,
    power_with_resistance,
)


@given(st.floats(100, 2000), st.floats(10, 300), st.floats(0.05, 0.6))
@settings(deadline=None)
def test_power_is_work_against_pressure(flow, pressure, efficiency) -> None:
    cubic_metres = flow * 0.3048**3 / 60.0
    assert fan_power(flow, pressure, efficiency) == pytest.approx(
        cubic_metres * pressure / efficiency, rel=1e-5
    )


@given(st.floats(0, 120))
@settings(deadline=None)
def test_a_filter_in_the_way_costs_flow_or_power_by_kind_of_motor(added) -> None:
    assert flow_with_resistance(1000.0, added, 1.0) == 1000.0
    assert flow_with_resistance(1000.0, added, 0.0) <= 1000.0
    assert power_with_resistance(400.0, 125.0, added, 1.0) >= 400.0
    assert power_with_resistance(400.0, 125.0, added, 0.0) <= 400.0


def test_a_motor_that_holds_the_flow_follows_the_fan_equation() -> None:
    before, after = fan_power(1000.0, 125.0, 0.2), fan_power(1000.0, 170.0, 0.2)
    assert power_with_resistance(before, 125.0, 45.0, 1.0) == pytest.approx(after)


def test_taking_a_filter_out_again_undoes_it() -> None:
    assert flow_with_resistance(1000.0, 0.0, 0.0) == 1000.0
    assert flow_with_resistance(1000.0, -40.0, 0.0) > 1000.0
    assert efficiency_at_flow(1.0) == 1.0


def test_a_clean_filter_never_saves_much_heating_energy() -> None:
    """Furnace: only the blower changes; 45 Pa less is worth under 0.6 % of its heat, whatever the motor."""
    for constant in (0.0, 1.0):
        power = power_with_resistance(450.0, 204.0, -45.0, constant)
        heat_saved = abs(fan_heat(450.0) - fan_heat(power))
        assert heat_saved / 60_000.0 < 0.006


def test_a_blower_running_gives_all_its_power_to_the_air() -> None:
    assert fan_temperature_rise(365.0, 1000.0) * 1.08 * 1000.0 == pytest.approx(fan_heat(365.0))
    hours = fan_energy(60e6, 60_000.0, 500.0) * 1000.0 / 500.0
    assert hours == pytest.approx(1_000.0)


def test_one_broadcast_equals_single_calls() -> None:
    flows = np.array([600.0, 1000.0, 1400.0])[:, None]
    pressures = np.linspace(100, 220, 12)
    together = fan_power(flows, pressures, 0.2)
    assert together.shape == (3, 12)
    assert together[1, 4] == fan_power(1000.0, float(pressures[4]), 0.2)
    assert type(fan_power(1000.0, 125.0, 0.2)) is float
