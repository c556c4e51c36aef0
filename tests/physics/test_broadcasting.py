"""Arrays of stacks and draws give what a loop over plain floats gives, and plain floats stay plain floats."""

from collections.abc import Callable

import numpy as np
import pytest

from retrofit_lab.physics import (
    below_grade,
    conduction,
    electricity,
    hot_water,
    internal_gains,
    sun,
)

R, SHARE, HOURS, TEMPERATURE = (0.5, 60.0), (0.05, 0.9), (0.5, 24.0), (60.0, 150.0)
Ranges = dict[str, tuple[float, float]]
CASES: list[tuple[Callable[..., object], Ranges]] = [
    (conduction.mean_along, {"x": (-0.5, 40.0)}),
    (conduction.covered_framing, {"r_framing": R, "r_fill": R, "thickness": (0.0, 20.0)}),
    (
        conduction.compressed_resistance,
        {"r_label": R, "label_thickness": (2.0, 14.0), "cavity_depth": (1.0, 16.0)},
    ),
    (
        conduction.loose_fill_resistance,
        {"r_label": R, "temperature_difference": (-20.0, 100.0)},
    ),
    (
        conduction.framed_u,
        {
            "r_cavity": R,
            "r_framing": R,
            "framing_fraction": SHARE,
            "r_continuous": R,
            "r_films": (0.5, 2.0),
            "missing_fraction": SHARE,
            "gap_fraction": SHARE,
            "r_gap": (0.5, 3.0),
        },
    ),
    (conduction.eave_taper_u, {"r_edge": R, "r_full": R, "r_around": (0.5, 3.0)}),
    (below_grade.wall_u, {"depth": (4.0, 9.0), "r_wall": R}),
    (
        below_grade.floor_u,
        {"depth": (0.0, 9.0), "length": (10.0, 60.0), "width": (10.0, 60.0), "r_floor": R},
    ),
    (below_grade.wall_wave_u, {"depth": (4.0, 9.0), "r_wall": R}),
    (below_grade.insulated_edge_share, {"r_insulation": (0.0, 20.0)}),
    (
        below_grade.floor_wave_u,
        {"depth": (0.0, 9.0), "length": (10.0, 80.0), "width": (10.0, 80.0), "r_floor": R},
    ),
    (below_grade.slab_edge_factor, {"r_insulation": (0.0, 20.0)}),
    (hot_water.hot_fraction, {"mixed": TEMPERATURE, "cold": (40.0, 80.0), "hot": TEMPERATURE}),
    (hot_water.draw_energy, {"gallons": (0.0, 90.0), "temperature_rise": (0.0, 100.0)}),
    (hot_water.with_wrap, {"r_tank": R, "r_wrap": (0.0, 20.0)}),
    (hot_water.standby_coefficient, {"volume": (10.0, 120.0), "r_tank": R}),
    (
        hot_water.heat_pump_tank_cop,
        {"rated_cop": (2.0, 4.5), "ambient": (20.0, 100.0), "setpoint": (110.0, 150.0)},
    ),
    (hot_water.heat_taken, {"heat": (1e3, 6e4), "cop": (1.0, 4.5)}),
    (hot_water.pipe_loss_coefficient, {"diameter": (0.5, 2.0), "insulation": (0.0, 2.0)}),
    (internal_gains.people_gain, {"people": (0.0, 9.0), "hours_at_home": HOURS}),
    (internal_gains.people_latent_gain, {"people": (0.0, 9.0), "hours_at_home": HOURS}),
    (sun.interior_shade_factor, {"shgc": (0.1, 0.9)}),
    (
        sun.window_solar_gain,
        {"area": (1.0, 300.0), "shgc": SHARE, "irradiation": (0.0, 90.0), "shading": SHARE},
    ),
]
MONTHLY: list[tuple[Callable[..., np.ndarray], Ranges]] = [
    (
        below_grade.ground_temperature,
        {"annual_mean": (30.0, 75.0), "annual_amplitude": (1.0, 40.0), "share": SHARE},
    ),
    (
        hot_water.mains_temperature,
        {"annual_mean": (30.0, 75.0), "annual_amplitude": (1.0, 40.0)},
    ),
    (electricity.dark_hours, {"latitude": (-70.0, 70.0)}),
    (electricity.lighting_season_at, {"latitude": (-70.0, 70.0), "steady_share": SHARE}),
    (
        lambda facing: sun.wall_irradiation(SUN, facing),
        {"facing": (-360.0, 720.0)},
    ),
]
SUN = {
    name: np.linspace(150.0, 900.0, 12) * factor
    for name, factor in zip(sun.ORIENTATIONS, (0.3, 0.8, 1.3, 0.7), strict=True)
}
SHAPE = (4, 3, 1)


def drawn(ranges: Ranges) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(7)
    return {name: rng.uniform(*bounds, SHAPE) for name, bounds in ranges.items()}


def one(many: dict[str, np.ndarray], index: tuple[int, ...]) -> dict[str, float]:
    return {name: float(values[index]) for name, values in many.items()}


def named(case: tuple[Callable[..., object], Ranges]) -> str:
    return f"{case[0].__module__.rsplit('.')[-1]}.{case[0].__name__}"


@pytest.mark.parametrize("case", CASES, ids=named)
def test_array_equals_loop_and_floats_stay_floats(case: tuple[Callable, Ranges]) -> None:
    function, ranges = case
    many = drawn(ranges)
    together = function(**many)
    assert together.shape == SHAPE
    for index in np.ndindex(SHAPE):
        alone = function(**one(many, index))
        assert type(alone) is float
        assert together[index] == pytest.approx(alone, rel=1e-12)


@pytest.mark.parametrize("case", CASES, ids=named)
def test_one_varied_argument_is_enough(case: tuple[Callable, Ranges]) -> None:
    """A stack axis on any single argument spreads to the result."""
    function, ranges = case
    many = drawn(ranges)
    middle = one(many, (0, 0, 0))
    for name in ranges:
        assert np.shape(function(**{**middle, name: many[name]})) == SHAPE, name


@pytest.mark.parametrize("case", MONTHLY, ids=named)
def test_monthly_array_equals_loop(case: tuple[Callable, Ranges]) -> None:
    function, ranges = case
    many = drawn(ranges)
    together = function(**many)
    assert together.shape == (*SHAPE[:-1], 12)
    for index in np.ndindex(SHAPE):
        alone = function(**one(many, index))
        assert alone.shape == (12,)
        assert together[index[:-1]] == pytest.approx(alone, rel=1e-12)
