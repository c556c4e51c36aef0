"""Furnace fans: electricity for heat made, and heat of the electricity."""

import numpy as np
import pytest

from retrofit_lab.physics.fan import fan_energy, fan_heat


def test_a_fan_that_runs_gives_all_its_power_to_the_air() -> None:
    assert fan_heat(1000.0) == pytest.approx(3412.14)
    hours = fan_energy(60e6, 60_000.0, 500.0) * 1000.0 / 500.0
    assert hours == pytest.approx(1_000.0)


def test_one_broadcast_equals_single_calls() -> None:
    heat, watts = np.linspace(0, 12e6, 12), np.array([200.0, 450.0])[:, None]
    together = fan_energy(heat, 40_000.0, watts)
    for row, power in enumerate((200.0, 450.0)):
        for month in range(12):
            assert together[row, month] == fan_energy(float(heat[month]), 40_000.0, power)
