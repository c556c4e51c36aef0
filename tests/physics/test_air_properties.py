import numpy as np
import pytest

from retrofit_lab.physics.air_properties import (
    air_density_ratio,
)


def test_sea_level_is_the_reference() -> None:
    assert air_density_ratio(0.0) == 1.0


def test_arrays_are_the_single_numbers() -> None:
    heights = np.array([0.0, 2500.0, 7000.0])
    alone = [air_density_ratio(height) for height in heights.tolist()]
    assert air_density_ratio(heights) == pytest.approx(alone)
