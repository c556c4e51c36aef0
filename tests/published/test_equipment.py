"""Heat pumps and coolers against the rating procedure, unit identities and limiting cases."""

import numpy as np
import pytest
from checks import Check, assert_check

from retrofit_lab.physics.air_conditioner import seasonal_input
from retrofit_lab.physics.heat_pump import (
    RATING_BINS,
    RATING_HOURS,
    Ratings,
    bin_rating,
    capacity_share,
    cop_share,
    heat_pump_bins,
    ratings_from_hspf,
)

RULE = "10 CFR 430 subpart B appendix M, region IV"
POINTS = ([17.0, 47.0], [21_000.0, 36_000.0], [2_500.0, 3_000.0])


def line(values: list[float]) -> np.ndarray:
    slope = (values[1] - values[0]) / 30.0
    return values[0] + slope * (RATING_BINS - 17.0)


def rated_again(hspf: float) -> float:
    """The seasonal rating of the unit that `ratings_from_hspf` makes of a label."""
    ratings = ratings_from_hspf(hspf, 36_000.0)
    output = 36_000.0 * capacity_share(RATING_BINS)
    power = output / 3.41214 / (ratings.cop_47 * cop_share(RATING_BINS))
    return bin_rating(output, power, 36_000.0)


CHECKS = [
    Check("equipment", "rating of 36,000 Btu/h at 47 F and 21,000 at 17 F", RULE, "memory", 8.408,
          lambda: bin_rating(line(POINTS[1]), line(POINTS[2]), 35_000.0), 0.005,
          "a consistency case worked out independently, no defrost"),
    Check("equipment", "backup heat alone", RULE, "memory", 3.41214,
          lambda: bin_rating(np.zeros(15), np.zeros(15), 35_000.0), 1e-5, "1 Wh is 3.412 Btu"),
    Check("equipment", "rating hours add to one", RULE, "memory", 1.0,
          lambda: float(RATING_HOURS.sum()), 1e-9, "exact"),
    *(
        Check("equipment", f"label of {hspf} comes back", RULE, "memory", hspf,
              lambda hspf=hspf: rated_again(hspf), 1e-9, "closed form")
        for hspf in (6.8, 7.7, 8.2, 10.0)
    ),
    Check("equipment", "HSPF 7.7 as a coefficient of performance", "encyclopedia article on HSPF", "read",
          2.25, lambda: 0.29307111 * 7.7, 0.01, "printed to hundredths"),
    Check("equipment", "120 MMBtu from 15,000 kWh", "encyclopedia article on HSPF", "read", 15_000.0,
          lambda: seasonal_input(120e6, 8.0), 1e-6, "exact"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


HOURS = np.full((12, 6), 120.0)
TEMPERATURE = np.tile(np.array([-10.0, 5.0, 20.0, 35.0, 50.0, 60.0]), (12, 1))


def bins(load: float, capacity: float, cutout: float = -40.0):
    rate = np.full((12, 6), load)
    ratings = Ratings(capacity_47=capacity, cop_47=3.0)
    return heat_pump_bins(rate, HOURS, TEMPERATURE, ratings, cutout=cutout)


def test_huge_heat_pump_needs_no_backup_and_small_one_does() -> None:
    assert bins(10_000.0, 1e6)[1] == pytest.approx(np.zeros(12))
    assert (bins(40_000.0, 20_000.0)[1] > 0).all()


def test_below_cutout_everything_is_backup() -> None:
    compressor, backup = bins(10_000.0, 30_000.0, cutout=99.0)
    assert compressor == pytest.approx(np.zeros(12))
    assert backup == pytest.approx(np.full(12, 10_000.0 * 6 * 120))


def test_many_loads_at_once_equal_one_by_one() -> None:
    loads = np.array([5_000.0, 20_000.0, 50_000.0])
    rate = np.ones((3, 12, 6)) * loads[:, None, None]
    together = heat_pump_bins(
        rate, HOURS, TEMPERATURE, Ratings(capacity_47=30_000.0, cop_47=3.0), cutout=0.0
    )
    for place, load in enumerate(loads):
        single = bins(float(load), 30_000.0, 0.0)
        assert together[0][place] == pytest.approx(single[0])
        assert together[1][place] == pytest.approx(single[1])
