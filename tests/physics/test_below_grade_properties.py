"""Ground losses against their integrals, against soil stepped through time, and in their limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import solve_banded

from retrofit_lab.physics.below_grade import (
    SOIL_CONDUCTIVITY,
    SOIL_DIFFUSIVITY,
    floor_u,
    ground_temperature,
    slab_edge_factor,
    wall_u,
)
from retrofit_lab.physics.months import DAYS_PER_YEAR, MID_MONTH
from retrofit_lab.values import InputError

resistance = st.floats(0.5, 40.0)
depth = st.floats(0.1, 12.0)
more = st.floats(0.0, 30.0)
SMALL = 1 + 1e-9
NEARLY = 1.01
"""The standard's forms for poor and good floors part by under 1 % where one follows the other."""
properties = settings(deadline=None, max_examples=80)


@given(depth, resistance, st.floats(0.3, 1.4))
@properties
def test_wall_is_the_mean_over_quarter_circles(height, r_wall, soil) -> None:
    def local_u(z: float) -> float:
        return 1.0 / (r_wall + np.pi * z / (2.0 * soil))

    mean, _ = quad(local_u, 0.0, height)
    assert wall_u(height, r_wall, soil) == pytest.approx(mean / height, rel=1e-6)


@pytest.mark.parametrize(("length", "width"), [(24.0, 24.0), (40.0, 24.0), (60.0, 20.0)])
@pytest.mark.parametrize("z", [2.0, 5.5, 7.0])
def test_floor_loses_toward_all_four_walls(z: float, length: float, width: float) -> None:
    """Every spot sends heat along half circles under each of the four walls; the standard's fit is near their sum."""
    across = (np.arange(160) + 0.5) / 160
    x, y = np.meshgrid(across * length, across * width)
    away = (x, length - x, y, width - y)
    ways = sum(SOIL_CONDUCTIVITY / (np.pi * (d + z / 2.0)) for d in away)
    mean = float(np.mean(1.0 / (1.5 + 1.0 / ways)))
    assert floor_u(z, length, width, 1.5) == pytest.approx(mean, rel=0.08)


@given(depth, st.floats(10.0, 60.0), resistance, more, more)
@properties
def test_insulation_and_depth_never_raise_u(z, width, r, added, deeper) -> None:
    assert wall_u(z, r + added) <= wall_u(z, r) * SMALL
    assert wall_u(z + deeper, r) <= wall_u(z, r) * SMALL
    assert floor_u(z, 1.5 * width, width, r + added) <= floor_u(z, 1.5 * width, width, r) * NEARLY
    assert floor_u(z + deeper, 1.5 * width, width, r) <= floor_u(z, 1.5 * width, width, r) * NEARLY


@pytest.mark.parametrize("placement", ["vertical_2_ft", "vertical_4_ft", "horizontal_4_ft"])
def test_slab_edge_falls_with_insulation_and_stops(placement: str) -> None:
    factors = slab_edge_factor(np.linspace(0.0, 15.0, 31), placement)
    assert (np.diff(factors) < 0).all()
    assert slab_edge_factor(40.0, placement) == slab_edge_factor(15.0, placement)


def test_unknown_slab_insulation_is_refused() -> None:
    with pytest.raises(InputError, match=r"'diagonal'.*vertical_2_ft"):
        slab_edge_factor(5.0, "diagonal")


def stepped_soil(depth: float) -> np.ndarray:
    """Soil temperature at mid-months by implicit steps of a day, surface 50 - 20 cos; shares no code."""
    cell, cells = 0.25, 400
    ratio = SOIL_DIFFUSIVITY / cell**2
    bands = np.zeros((3, cells))
    bands[0, 1:] = bands[2, :-1] = -ratio
    bands[1] = 1.0 + 2.0 * ratio
    bands[1, -1] = 1.0 + ratio
    bands[1, 0], bands[0, 1] = 1.0, 0.0
    soil = np.full(cells, 50.0)
    day_values = []
    for day in range(1, 12 * 365 + 1):
        soil[0] = 50.0 - 20.0 * np.cos(2.0 * np.pi * (day - 18.0) / 365.0)
        soil = solve_banded((1, 1), bands, soil)
        if day > 11 * 365:
            day_values.append(np.interp(depth, cell * np.arange(cells), soil))
    return np.interp(MID_MONTH, np.arange(1, 366), day_values)


@pytest.mark.parametrize("depth", [1.0, 3.5, 7.0])
def test_wave_in_the_soil_agrees_with_soil_stepped_through_years(depth: float) -> None:
    assert ground_temperature(50.0, 20.0, depth) == pytest.approx(stepped_soil(depth), abs=0.25)


@given(st.floats(30.0, 75.0), st.floats(1.0, 40.0), st.floats(0.0, 30.0))
@properties
def test_soil_keeps_the_yearly_mean_and_swings_less_than_the_surface(mean, swing, z) -> None:
    soil = ground_temperature(mean, swing, z)
    assert np.abs(soil - mean).max() <= swing * np.exp(-z / 8.4) + 1e-6
    assert soil.mean() == pytest.approx(mean, abs=0.02 * swing)


def test_soil_lags() -> None:
    assert ground_temperature(55.0, 22.0, 0.0).argmin() == 0
    assert ground_temperature(55.0, 22.0, 7.0).argmin() in (1, 2)
    assert DAYS_PER_YEAR == 365.0
