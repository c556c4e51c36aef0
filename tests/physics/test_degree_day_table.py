"""Days below a base are the rise of the degree-day curve, and a count of days where the base is on the grid."""

import numpy as np
import pytest

from retrofit_lab.physics.degree_days import STEP, degree_day_table

DAILY = np.random.default_rng(3).normal(55.0, 15.0, 365)
MONTH = np.repeat(np.arange(12), [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
TABLE = degree_day_table(DAILY, MONTH)


@pytest.mark.parametrize("base", [20.0, 48.0, 60.0, 75.0])
def test_days_below_lie_between_the_counts_round_the_base(base: float) -> None:
    days = TABLE.days_below(base)
    for month in range(12):
        of_month = DAILY[month == MONTH]
        low, high = (of_month < base - STEP).sum(), (of_month < base + STEP).sum()
        assert low - 1e-6 <= days[month] <= high + 1e-6


def test_days_below_are_the_rise_of_the_curve() -> None:
    base = 60.1
    rise = (TABLE.heating(base + 0.01) - TABLE.heating(base)) / 0.01
    assert TABLE.days_below(base) == pytest.approx(rise)


def test_beyond_the_grid_no_day_or_every_day() -> None:
    assert np.all(TABLE.days_below(-200.0) == 0)
    assert TABLE.days_below(300.0) == pytest.approx(TABLE.days)
    assert TABLE.days_below(np.full((3, 1), 300.0)).shape == (3, 12)
