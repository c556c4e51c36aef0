"""Ground losses against their integrals, by the year's swing, and in their limits."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from retrofit_lab.base.values import InputError
from retrofit_lab.physics.below_grade import (
    SOIL_CONDUCTIVITY,
    floor_u,
    floor_wave_u,
    ground_temperature,
    insulated_edge_share,
    slab_edge_factor,
    wall_u,
    wall_wave_u,
)

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


@given(st.floats(4.0, 12.0), st.floats(20.0, 80.0), st.floats(20.0, 80.0), resistance)
@properties
def test_ground_passes_less_of_the_swing_than_of_the_mean(height, length, width, r_value) -> None:
    assert 0.0 < wall_wave_u(height, r_value) < wall_u(height, r_value)
    assert (
        0.0 < floor_wave_u(height, length, width, r_value) < floor_u(height, length, width, r_value)
    )


@given(depth, resistance, more)
@properties
def test_deep_floors_and_insulation_feel_less_of_the_swing(height, r_value, added) -> None:
    floor = floor_wave_u(height, 40.0, 24.0, r_value)
    assert floor_wave_u(height + added, 40.0, 24.0, r_value) <= floor * SMALL
    assert floor_wave_u(height, 40.0, 24.0, r_value + added) <= floor * SMALL
    assert wall_wave_u(height, r_value + added) <= wall_wave_u(height, r_value) * SMALL


def test_an_insulated_edge_loses_less_and_a_bare_one_all() -> None:
    shares = [float(insulated_edge_share(r)) for r in (0.0, 2.0, 5.0, 10.0)]
    assert shares[0] == 1.0
    assert shares == sorted(shares, reverse=True)


@given(st.floats(30.0, 75.0), st.floats(1.0, 40.0), st.floats(0.0, 1.0))
@properties
def test_soil_keeps_the_yearly_mean_and_swings_by_what_is_passed(mean, swing, share) -> None:
    soil = ground_temperature(mean, swing, share)
    assert np.abs(soil - mean).max() <= swing * share + 1e-6
    assert soil.mean() == pytest.approx(mean, abs=0.02 * swing)


def test_soil_lags_the_air_by_a_month() -> None:
    """The surface is coldest on January 18, so February is, and August is warmest."""
    soil = ground_temperature(55.0, 22.0, 0.6)
    assert (soil.argmin(), soil.argmax()) == (1, 7)
