"""The guess for plans learns what a sample shows: single measures, pairs, threes; and says nothing of its own."""

import numpy as np
import pytest

from retrofit_lab.savings.estimating import estimate_from


def plans(count: int, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).random((count, 9)) < 0.5


def truth(masks: np.ndarray) -> np.ndarray:
    x = masks.astype(float)
    first = 100.0 - 8.0 * x[:, 0] - 5.0 * x[:, 1] + 4.0 * x[:, 0] * x[:, 1]
    return np.column_stack([first + 3.0 * x[:, 2] * x[:, 3] * x[:, 4], 7.0 - x[:, 8]])


def test_products_of_two_and_three_are_found() -> None:
    found = estimate_from(plans(600), truth(plans(600)), 2, rounds=(12, 12))
    assert {(0, 1), (2, 3, 4)} <= set(found.terms)
    other = plans(200, seed=2)
    assert found.of(other) == pytest.approx(truth(other), abs=0.1)


def test_without_rounds_only_single_measures_count() -> None:
    found = estimate_from(plans(600), truth(plans(600)), 2, rounds=())
    assert max(len(term) for term in found.terms) == 1
    assert np.abs(found.of(plans(200, seed=2)) - truth(plans(200, seed=2))).max() > 1.0


def test_products_are_chosen_for_the_leading_numbers_and_fitted_for_all() -> None:
    numbers = truth(plans(600))[:, ::-1]
    found = estimate_from(plans(600), numbers, 1, rounds=(2,))
    assert found.weights.shape == (len(found.terms), 2)
    assert found.of(plans(50, seed=3))[:, 0] == pytest.approx(
        7.0 - plans(50, seed=3)[:, 8], abs=0.02
    )
