"""Heat pumps: curves through rated points, part load, balance point, and heat conserved bin by bin."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.physics.heat_pump import (
    BTU_PER_KWH,
    CAPACITY_SHARE,
    CURVE_TEMPERATURE,
    RATING_BINS,
    Ratings,
    balance_point,
    bin_rating,
    capacity,
    capacity_share,
    compressor_heat,
    cop,
    cycling_factor,
    heat_pump_bins,
    ratings_from_hspf,
    ratings_from_points,
)

OTHER_REGIONS = {
    "I": [0.291, 0.239, 0.194, 0.129, 0.081, 0.041, 0.019, 0.005, 0.001],
    "V": [0.106, 0.092, 0.086, 0.076, 0.078, 0.087, 0.102, 0.094, 0.074, 0.055, 0.047, 0.038,
          0.029, 0.018, 0.010, 0.005, 0.002, 0.001],
}  # fmt: skip
"""Heating hours of the mildest and a cold region. 10 CFR 430 subpart B appendix M (memory)"""
HOURS = np.tile(np.array([20.0, 80.0, 150.0, 200.0, 180.0, 100.0]), (12, 1))
TEMPERATURE = np.arange(12.0)[:, None] + np.array([-18.0, 0.0, 12.0, 27.0, 40.0, 51.0])


def test_curve_runs_through_the_rated_points() -> None:
    points = {"capacity_47": 36_000.0, "capacity_17": 26_000.0, "capacity_5": 22_000.0}
    for temperature, output in ((47.0, 36_000.0), (17.0, 26_000.0), (5.0, 22_000.0)):
        assert capacity(temperature, **points) == pytest.approx(output)
    coefficients = {"cop_47": 3.6, "cop_17": 2.5, "cop_5": 2.0}
    for temperature, value in ((47.0, 3.6), (17.0, 2.5), (5.0, 2.0)):
        assert cop(temperature, **coefficients) == pytest.approx(value)


def test_without_rated_points_it_is_the_usual_curve() -> None:
    for temperature, share in zip(CURVE_TEMPERATURE, CAPACITY_SHARE, strict=True):
        assert capacity_share(temperature) == pytest.approx(share)
    usual = Ratings(capacity_47=30_000.0, cop_47=3.0)
    assert usual.capacity_17 == pytest.approx(0.62 * 30_000.0)
    assert usual.cop_17 == pytest.approx(0.69 * 3.0)


def test_frost_lowers_output_between_17_and_47() -> None:
    assert capacity_share(35.0) < 0.4 * capacity_share(17.0) + 0.6 * capacity_share(47.0)


def test_beyond_its_ends_the_curve_holds() -> None:
    assert capacity_share(-60.0) == capacity_share(-15.0)
    assert capacity_share(90.0) == capacity_share(62.0)


def test_below_cutout_the_compressor_makes_nothing() -> None:
    numbers = {"capacity_47": 36_000.0, "capacity_17": 22_000.0, "cutout": 10.0}
    assert capacity(9.9, **numbers) == 0.0
    assert capacity(10.0, **numbers) > 0.0
    assert type(capacity(10.0, **numbers)) is float


@given(st.floats(-40, 80), st.floats(0.4, 0.95))
@settings(deadline=None)
def test_warmer_outdoors_never_gives_less(temperature, share) -> None:
    assert capacity_share(temperature + 5.0, share) >= capacity_share(temperature, share) - 1e-12


def test_part_load_runs_from_cycling_loss_to_none() -> None:
    assert cycling_factor(1.0) == 1.0
    assert cycling_factor(0.0) == 0.75
    assert cycling_factor(0.3, 0.0) == 1.0


@given(st.floats(50, 70), st.floats(100, 2000), st.floats(5_000, 90_000), st.floats(0.4, 0.9))
@settings(deadline=None)
def test_at_the_balance_point_output_is_the_load(base, slope, size, share) -> None:
    ratings = Ratings(capacity_47=size, cop_47=3.0, capacity_share_17=share)
    balance = balance_point(base, slope, ratings)
    output = size * ratings.capacity_curve(balance)
    assert output == pytest.approx(slope * (base - balance), rel=1e-9, abs=1e-6)


def test_balance_point_of_many_units_equals_one_by_one() -> None:
    sizes = np.array([15_000.0, 36_000.0, 90_000.0])
    together = balance_point(62.0, 700.0, Ratings(capacity_47=sizes, cop_47=3.0))
    single = [
        balance_point(62.0, 700.0, Ratings(capacity_47=s, cop_47=3.0)) for s in sizes.tolist()
    ]
    assert together == pytest.approx(np.array(single))
    assert all(type(value) is float for value in single)


LOAD = st.just(0.0) | st.floats(1.0, 80_000)
"""No load or a real one: a load of 1e-320 Btu/h vanishes in the arithmetic and says nothing of heat."""


@given(
    LOAD, st.floats(1_000, 90_000), st.floats(-30, 40), st.floats(0, 0.3),
    st.floats(0.4, 0.9),
)  # fmt: skip
@settings(deadline=None)
def test_compressor_and_backup_make_the_load(load, size, cutout, loss, share) -> None:
    rate = np.full((12, 6), load)
    ratings = Ratings(capacity_47=size, cop_47=3.0, capacity_share_17=share)
    bins = (rate, HOURS, TEMPERATURE, ratings)
    compressor, backup = heat_pump_bins(*bins, cutout=cutout, cycling_loss=loss)
    made = compressor_heat(*bins, cutout=cutout)
    assert made + backup == pytest.approx((rate * HOURS).sum(axis=-1), rel=1e-9, abs=1e-9)
    assert (backup >= 0).all()
    assert (compressor >= 0).all()
    best = 3.0 * ratings.cop_curve(62.0)
    assert (compressor * BTU_PER_KWH * best >= made * (1 - 1e-9)).all()


def by_hand(load, ratings, cutout):
    """One bin after the other, in plain arithmetic: electricity [kWh] and backup [Btu] of month 0."""
    electricity = backup = 0.0
    for hours, temperature in zip(HOURS[0], TEMPERATURE[0], strict=True):
        output = capacity(
            float(temperature),
            capacity_47=ratings.capacity_47,
            capacity_17=ratings.capacity_17,
            cutout=cutout,
        )
        made = min(load, output)
        if made > 0:
            efficiency = cop(float(temperature), cop_47=ratings.cop_47, cop_17=ratings.cop_17)
            efficiency *= 1 - 0.25 * (1 - made / output)
            electricity += hours * made / efficiency / BTU_PER_KWH
        backup += hours * (load - made)
    return electricity, backup


@given(
    st.floats(100, 60_000), st.floats(8_000, 60_000), st.floats(2.0, 4.5), st.floats(0.45, 0.9),
    st.floats(-20, 30),
)  # fmt: skip
@settings(deadline=None, max_examples=60)
def test_month_equals_the_hand_calculation(load, size, cop_47, share_17, cutout) -> None:
    cop_17 = 0.7 * cop_47
    ratings = ratings_from_points(
        capacity_47=size, cop_47=cop_47, capacity_17=share_17 * size, cop_17=cop_17
    )
    ours = heat_pump_bins(np.full((12, 6), load), HOURS, TEMPERATURE, ratings, cutout=cutout)
    electricity, backup = by_hand(load, ratings, cutout)
    assert ours[0][0] == pytest.approx(electricity, rel=1e-9)
    assert ours[1][0] == pytest.approx(backup, rel=1e-9, abs=1e-6)


def test_load_is_not_written_over() -> None:
    rate = np.full((12, 6), 30_000.0)
    heat_pump_bins(rate, HOURS, TEMPERATURE, ratings_from_hspf(8.0, 30_000.0), cutout=0.0)
    assert (rate == 30_000.0).all()


def test_every_rating_may_differ_by_stack() -> None:
    shape = (3, 1, 1)
    sizes = np.array([20_000.0, 30_000.0, 50_000.0])
    shares, cop_shares = np.array([0.5, 0.62, 0.8]), np.array([0.6, 0.69, 0.8])
    cutouts = np.array([-20.0, 0.0, 30.0])
    rate = np.full((3, 12, 6), 25_000.0)
    many = Ratings(
        capacity_47=sizes.reshape(shape),
        cop_47=3.2,
        capacity_share_17=shares.reshape(shape),
        cop_share_17=cop_shares.reshape(shape),
    )
    together = heat_pump_bins(rate, HOURS, TEMPERATURE, many, cutout=cutouts.reshape(shape))
    for i in range(3):
        one = Ratings(
            capacity_47=float(sizes[i]),
            cop_47=3.2,
            capacity_share_17=float(shares[i]),
            cop_share_17=float(cop_shares[i]),
        )
        single = heat_pump_bins(rate[i], HOURS, TEMPERATURE, one, cutout=float(cutouts[i]))
        assert together[0][i] == pytest.approx(single[0])
        assert together[1][i] == pytest.approx(single[1])


@pytest.mark.parametrize("hspf", [6.0, 7.4, 8.2, 9.5, 12.0])
def test_label_comes_back_without_cycling_loss_too(hspf: float) -> None:
    ratings = ratings_from_hspf(hspf, 36_000.0, cycling_loss=0.05)
    output = 36_000.0 * ratings.capacity_curve(RATING_BINS)
    power = output / (BTU_PER_KWH / 1000.0) / (ratings.cop_47 * ratings.cop_curve(RATING_BINS))
    assert bin_rating(output, power, 36_000.0, cycling_loss=0.05) == pytest.approx(hspf, abs=1e-9)


def test_the_same_unit_does_worse_where_it_is_colder() -> None:
    ratings = ratings_from_hspf(8.2, 36_000.0)
    rated = {}
    for region, shares in OTHER_REGIONS.items():
        hours = np.array(shares)
        assert hours.sum() == pytest.approx(1.0)
        bins = 62.0 - 5.0 * np.arange(len(hours))
        output = 36_000.0 * ratings.capacity_curve(bins)
        power = output / (BTU_PER_KWH / 1000.0) / (ratings.cop_47 * ratings.cop_curve(bins))
        rated[region] = bin_rating(output, power, 36_000.0, temperature=bins, hours=hours)
    assert rated["V"] < 8.2 < rated["I"]
