"""Fair shares against published games and exact closed forms."""

import itertools

import numpy as np
import pytest
from checks import Check, assert_check, outside
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.savings.attribution import (
    alone,
    dividends,
    fair_share,
    interaction,
    last,
    lost_to_overlap,
)
from retrofit_lab.savings.combinations import all_plans
from retrofit_lab.savings.orders import sampled_share


def game(worth: dict[tuple[int, ...], float], n: int) -> np.ndarray:
    """All sets of n players numbered by bits, from a table of coalitions counted from 1."""
    values = np.zeros(2**n)
    for members, value in worth.items():
        values[sum(1 << (m - 1) for m in members)] = value
    return values


GLOVES = game({(1, 3): 1, (2, 3): 1, (1, 2, 3): 1}, 3)
UNANIMOUS = game({(1, 3): 1, (1, 2, 3): 1}, 3)
DUMMY = game({(1,): 2, (1, 2): 2, (1, 3): 2, (2, 3): 6, (1, 2, 3): 8}, 3)


def multiplied(*shares: float) -> np.ndarray:
    """Savings of independent shares of one load, in hundredths."""
    keep = np.where(all_plans(len(shares)), 1.0 - np.array(shares), 1.0).prod(axis=1)
    return 100.0 * (1.0 - keep)


THREE = multiplied(0.20, 0.15, 0.10)
LECTURE = "lecture text on cooperative games, wiskundeoptiu.nl"
ALGEBRA = "inclusion and exclusion of independent shares"
NO = "common practice, no source"


def share(values: np.ndarray, player: int):
    return lambda: fair_share(values)[player - 1]


CHECKS = [
    *(Check("fair shares", f"glove game, player {p}", "encyclopedia article on the value", "read", v,
            share(GLOVES, p), 1e-12, "exact") for p, v in {1: 1 / 6, 2: 1 / 6, 3: 2 / 3}.items()),
    *(Check("fair shares", f"unanimity on 1 and 3, player {p}", LECTURE, "read", v,
            share(UNANIMOUS, p), 1e-12, "exact") for p, v in {1: 0.5, 2: 0.0, 3: 0.5}.items()),
    *(Check("fair shares", f"dummy game, player {p}", LECTURE, "read", v,
            share(DUMMY, p), 1e-12, "exact") for p, v in {1: 2.0, 2: 3.0, 3: 3.0}.items()),
    *(Check("fair shares", f"20, 15 and 10 % of one load, share {p}", ALGEBRA, NO, v,
            share(THREE, p), 0.0051, "printed to hundredths") for p, v in {1: 17.60, 2: 12.85, 3: 8.35}.items()),
    Check("fair shares", "10 % measure done last", ALGEBRA, NO, 6.8, lambda: last(THREE)[2], 1e-12, "exact"),
    Check("fair shares", "10 % measure alone", ALGEBRA, NO, 10.0, lambda: alone(THREE)[2], 1e-12, "exact"),
    Check("fair shares", "two measures of 30 and 25 %", ALGEBRA, NO, 26.25,
          share(multiplied(0.30, 0.25), 1), 1e-12, "s(1 - q/2)"),
    Check("fair shares", "dividend of the pair 20 and 15 %", ALGEBRA, NO, -3.0,
          lambda: dividends(THREE)[3], 1e-12, "exact"),
    Check("fair shares", "dividend of all three", ALGEBRA, NO, 0.3, lambda: dividends(THREE)[7], 1e-12, "exact"),
    Check("fair shares", "lost to overlap", ALGEBRA, NO, 6.2, lambda: lost_to_overlap(THREE), 1e-12, "exact"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


@outside("all orders counted")
@given(st.integers(1, 6), st.integers(0, 2**31))
@settings(deadline=None, max_examples=40)
def test_orders_and_sets_agree_and_sum(n: int, seed: int) -> None:
    values = np.random.default_rng(seed).normal(size=(2**n, 2))
    by_orders = np.zeros((n, 2))
    orders = list(itertools.permutations(range(n)))
    for order in orders:
        number = 0
        for i in order:
            by_orders[i] += values[number | (1 << i)] - values[number]
            number |= 1 << i
    shares = fair_share(values)
    assert shares == pytest.approx(by_orders / len(orders), abs=1e-9)
    assert shares.sum(axis=0) == pytest.approx(values[-1] - values[0], abs=1e-9)


def test_interaction_is_negative_for_substitutes_and_symmetric() -> None:
    pairs = interaction(THREE)
    assert pairs == pytest.approx(pairs.T)
    assert (pairs[np.triu_indices(3, 1)] < 0).all()


def test_sampled_orders_stay_within_their_error_and_sum() -> None:
    shares = (0.2, 0.15, 0.1, 0.3, 0.05, 0.12)
    values = multiplied(*shares)
    exact = fair_share(values)

    def worth(sets: np.ndarray) -> np.ndarray:
        return values[sets @ (1 << np.arange(len(shares)))]

    found, error = sampled_share(worth, len(shares))
    assert found.sum() == pytest.approx(values[-1])
    assert np.abs(found - exact).max() < 5 * error
    assert error > 0
