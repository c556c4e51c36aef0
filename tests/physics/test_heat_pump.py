"""Heat pumps: the usual curve, part load, the label given back, and heat conserved group by group."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.heat_pump import (
    BTU_PER_KWH,
    CAPACITY_SHARE,
    COP_SHARE,
    CURVE_TEMPERATURE,
    Ratings,
    capacity_share,
    cop_share,
    cycling_factor,
    heat_pump_months,
    ratings_from_hspf,
)

HOURS = np.tile(np.array([20.0, 80.0, 150.0, 200.0, 180.0, 100.0]), (12, 1))
TEMPERATURE = np.arange(12.0)[:, None] + np.array([-18.0, 0.0, 12.0, 27.0, 40.0, 51.0])


def test_curves_run_through_their_points_and_hold_beyond_their_ends() -> None:
    for temperature, output, cop in zip(CURVE_TEMPERATURE, CAPACITY_SHARE, COP_SHARE, strict=True):
        assert capacity_share(temperature) == pytest.approx(output)
        assert cop_share(temperature) == pytest.approx(cop)
    assert capacity_share(-60.0) == capacity_share(-15.0)
    assert capacity_share(90.0) == capacity_share(62.0)


def test_frost_lowers_output_between_17_and_47() -> None:
    assert capacity_share(35.0) < 0.4 * capacity_share(17.0) + 0.6 * capacity_share(47.0)


@given(st.floats(-40, 80))
@settings(deadline=None)
def test_warmer_outdoors_never_gives_less(temperature) -> None:
    assert capacity_share(temperature + 5.0) >= capacity_share(temperature) - 1e-12
    assert cop_share(temperature + 5.0) >= cop_share(temperature) - 1e-12


def test_part_load_runs_from_cycling_loss_to_none() -> None:
    assert cycling_factor(1.0) == 1.0
    assert cycling_factor(0.0) == 0.75
    assert cycling_factor(0.3, 0.0) == 1.0


LOAD = st.just(0.0) | st.floats(1.0, 80_000)
"""No load or a real one: a load of 1e-320 Btu/h vanishes in the arithmetic and says nothing of heat."""


def by_hand(load, ratings, allowed, month):
    """One group after the other, in plain arithmetic: electricity [kWh], backup [Btu] and run time [h]."""
    electricity = backup = run = 0.0
    for hours, temperature in zip(HOURS[month], TEMPERATURE[month], strict=True):
        output = ratings.capacity_47 * float(
            np.interp(temperature, CURVE_TEMPERATURE, CAPACITY_SHARE)
        )
        made = min(load, output)
        efficiency = ratings.cop_47 * float(np.interp(temperature, CURVE_TEMPERATURE, COP_SHARE))
        efficiency *= 1 - 0.25 * (1 - made / output)
        electricity += allowed * hours * made / efficiency / BTU_PER_KWH
        backup += hours * (load - allowed * made)
        run += allowed * hours * made / output
    return electricity, backup, run


@given(LOAD, st.floats(8_000, 60_000), st.floats(2.0, 4.5), st.floats(0.0, 1.0))
@settings(deadline=None, max_examples=60)
def test_month_equals_the_hand_calculation(load, size, cop_47, allowed) -> None:
    ratings = Ratings(capacity_47=size, cop_47=cop_47)
    ours = heat_pump_months(np.full((12, 6), load), HOURS, TEMPERATURE, ratings, allowed=allowed)
    for month in (0, 11):
        electricity, backup, run = by_hand(load, ratings, allowed, month)
        assert ours.compressor[month] == pytest.approx(electricity, rel=1e-9)
        assert ours.backup[month] == pytest.approx(backup, rel=1e-9, abs=1e-6)
        assert ours.run_hours[month] == pytest.approx(run, rel=1e-9)


def test_a_huge_unit_needs_no_backup_and_a_small_one_does() -> None:
    ample = Ratings(capacity_47=1e6, cop_47=3.0)
    small = Ratings(capacity_47=20_000.0, cop_47=3.0)
    assert heat_pump_months(
        np.full((12, 6), 10_000.0), HOURS, TEMPERATURE, ample
    ).backup == pytest.approx(np.zeros(12), abs=1e-6)
    assert (
        heat_pump_months(np.full((12, 6), 40_000.0), HOURS, TEMPERATURE, small).backup > 0
    ).all()


def test_where_the_compressor_may_not_run_everything_is_backup() -> None:
    ratings = Ratings(capacity_47=30_000.0, cop_47=3.0)
    rate = np.full((12, 6), 10_000.0)
    ours = heat_pump_months(rate, HOURS, TEMPERATURE, ratings, allowed=0.0)
    assert ours.compressor == pytest.approx(np.zeros(12))
    assert ours.run_hours == pytest.approx(np.zeros(12))
    assert ours.backup == pytest.approx((rate * HOURS).sum(axis=1))


def test_load_is_not_written_over() -> None:
    rate = np.full((12, 6), 30_000.0)
    heat_pump_months(rate, HOURS, TEMPERATURE, ratings_from_hspf(8.0, 30_000.0))
    assert (rate == 30_000.0).all()


def test_every_rating_and_load_may_differ_by_plan() -> None:
    shape = (3, 1, 1)
    sizes, cops = np.array([20_000.0, 30_000.0, 50_000.0]), np.array([2.5, 3.0, 3.5])
    loads, allowed = np.array([5_000.0, 25_000.0, 60_000.0]), np.array([1.0, 0.7, 0.0])
    many = Ratings(capacity_47=sizes.reshape(shape), cop_47=cops.reshape(shape))
    rate = np.ones((3, 12, 6)) * loads.reshape(shape)
    together = heat_pump_months(rate, HOURS, TEMPERATURE, many, allowed=allowed.reshape(shape))
    for i in range(3):
        one = Ratings(capacity_47=float(sizes[i]), cop_47=float(cops[i]))
        single = heat_pump_months(rate[i], HOURS, TEMPERATURE, one, allowed=float(allowed[i]))
        assert together.compressor[i] == pytest.approx(single.compressor)
        assert together.backup[i] == pytest.approx(single.backup, abs=1e-6)
        assert together.run_hours[i] == pytest.approx(single.run_hours)
