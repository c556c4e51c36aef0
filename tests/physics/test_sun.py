"""Sun on walls: cardinal walls come back, turned walls stay near their own clear day, gains behave."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.sun import (
    ORIENTATIONS,
    day_length,
    interior_shade_factor,
    on_wall,
    sun_direction,
    wall_irradiation,
    window_solar_gain,
)

AZIMUTH = dict(zip(ORIENTATIONS, (0.0, 90.0, 180.0, 270.0), strict=True))
HOURS = np.arange(0.0, 24.0, 0.1)


def clear_day(latitude: float, day: float):
    """Direction of the sun and beam, diffuse and horizontal sun of a clear day, simple air mass law."""
    direction = sun_direction(latitude, 0.0, 0.0, np.full_like(HOURS, day), HOURS)
    up = np.maximum(direction[0], 0.0)
    beam = np.where(up > 0, 320.0 * np.exp(-0.14 / np.maximum(up, 0.02)), 0.0)
    diffuse = 0.12 * beam
    return direction, beam, diffuse, beam * up + diffuse


def own_day(latitude: float, day: float, azimuth: float) -> float:
    """Sun on a wall of this azimuth, worked out for the wall itself and without the module's walls."""
    (up, east, north), beam, diffuse, horizontal = clear_day(latitude, day)
    toward = north * np.cos(np.radians(azimuth)) + east * np.sin(np.radians(azimuth))
    seen = np.where(up > 0, np.maximum(toward, 0.0), 0.0)
    return float((beam * seen + 0.5 * diffuse + 0.1 * horizontal).sum())


def cardinal_day(latitude: float, day: float) -> dict[str, np.ndarray]:
    sky = clear_day(latitude, day)
    return {name: np.full(12, on_wall(name, *sky).sum()) for name in ORIENTATIONS}


@pytest.mark.parametrize("latitude", [26.0, 36.0, 48.0, 60.0])
@pytest.mark.parametrize("day", [15.0, 45.0, 105.0, 166.0, 258.0, 349.0])
def test_turned_wall_is_near_its_own_clear_day(latitude: float, day: float) -> None:
    walls = cardinal_day(latitude, day)
    for azimuth in np.arange(22.5, 360.0, 22.5):
        sunny = 90.0 <= azimuth <= 270.0
        ours = wall_irradiation(walls, float(azimuth))[0]
        assert ours == pytest.approx(own_day(latitude, day, azimuth), rel=0.10 if sunny else 0.20)


@given(st.lists(st.floats(0.0, 2500.0), min_size=4, max_size=4), st.integers(-2, 2))
@settings(deadline=None)
def test_cardinal_walls_come_back(values: list[float], turns: int) -> None:
    walls = {name: np.full(12, v) for name, v in zip(ORIENTATIONS, values, strict=True)}
    for name, azimuth in AZIMUTH.items():
        ours = wall_irradiation(walls, azimuth + 360.0 * turns)
        assert ours == pytest.approx(walls[name], abs=1e-9)


@given(st.lists(st.floats(0.0, 2500.0), min_size=4, max_size=4), st.floats(0.0, 360.0))
@settings(deadline=None)
def test_turned_wall_never_falls_below_the_least_wall(values: list[float], facing: float) -> None:
    walls = {name: np.full(12, v) for name, v in zip(ORIENTATIONS, values, strict=True)}
    assert wall_irradiation(walls, facing).min() >= min(values) - 1e-9


@given(st.floats(0.0, 0.9), st.floats(0.0, 0.09))
@settings(deadline=None)
def test_clearer_glass_lets_more_in_whatever_the_curtains(shgc: float, more: float) -> None:
    one = window_solar_gain(20.0, shgc, 50.0, 1.0)
    assert window_solar_gain(20.0, shgc + more, 50.0, 1.0) >= one
    assert 0.0 < interior_shade_factor(shgc) < 1.0


def test_polar_night_and_day() -> None:
    assert day_length(80.0, np.array([355.0, 172.0])) == pytest.approx([0.0, 24.0])


@pytest.mark.parametrize("year", [2021, 2024])
def test_direction_agrees_with_reference_library(year: int) -> None:
    """Within half a degree: the library knows the year, our calendar has 365 days and drifts by up to one."""
    solarposition = pytest.importorskip("pvlib.solarposition")
    pandas = pytest.importorskip("pandas")
    times = pandas.date_range(f"{year}-01-01 00:30", periods=365 * 8, freq="3h", tz="Etc/GMT+5")
    theirs = solarposition.get_solarposition(times, 36.1, -79.95)
    height = np.radians(theirs["elevation"].to_numpy())
    azimuth = np.radians(theirs["azimuth"].to_numpy())
    hour = times.hour.to_numpy() + 0.5
    day = times.day_of_year.to_numpy(dtype=float)
    up, east, north = sun_direction(36.1, -79.95, -5.0, day, hour)
    half_degree = np.radians(0.5)
    assert up == pytest.approx(np.sin(height), abs=half_degree)
    assert east == pytest.approx(np.cos(height) * np.sin(azimuth), abs=half_degree)
    assert north == pytest.approx(np.cos(height) * np.cos(azimuth), abs=half_degree)
