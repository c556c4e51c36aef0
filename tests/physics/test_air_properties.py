import numpy as np
import pytest

from retrofit_lab.physics.air_properties import (
    air_density,
    air_density_ratio,
    air_heat_coefficient,
    air_viscosity,
)


def test_sea_level_is_the_reference() -> None:
    assert air_density_ratio(0.0) == 1.0


def test_air_thins_upward_and_with_warmth() -> None:
    heights = np.linspace(0.0, 12_000.0, 25)
    assert np.all(np.diff(air_density_ratio(heights)) < 0)
    assert np.all(np.diff(air_density(np.linspace(-20.0, 110.0, 25))) < 0)
    assert np.all(np.diff(air_viscosity(np.linspace(-20.0, 110.0, 25))) > 0)


def test_arrays_are_the_single_numbers() -> None:
    heights = np.array([0.0, 2500.0, 7000.0])
    alone = [air_density_ratio(height) for height in heights.tolist()]
    assert air_density_ratio(heights) == pytest.approx(alone)


def test_floats_stay_floats() -> None:
    values = [
        air_density_ratio(900.0),
        air_heat_coefficient(0.97),
        air_density(60.0, 900.0),
        air_viscosity(60.0),
    ]
    assert {type(value) for value in values} == {float}
