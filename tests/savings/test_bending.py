"""Bent sums learn a curve of a sum of measures that no few products tell; and say the same each time."""

import numpy as np

from retrofit_lab.savings.bending import bends_from
from retrofit_lab.savings.estimating import estimate_from

ROUNDS = ((1, 400),)


def plans(count: int, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).random((count, 12)) < 0.5


def truth(masks: np.ndarray) -> np.ndarray:
    """Heat that falls with every measure, made by a heater that does worse below a limit, and something plain."""
    heat = 60.0 - masks @ np.arange(1.0, 13.0) / 2.0
    return np.column_stack([heat + np.maximum(heat - 40.0, 0.0) ** 1.5, 7.0 - masks[:, 8]])


def test_a_curve_of_a_sum_is_learned_where_pairs_miss_it() -> None:
    known, asked = plans(1500), plans(300, seed=2)
    found = bends_from(known, truth(known), 12, ROUNDS)
    pairs = estimate_from(known, truth(known), 2, rounds=(66,))
    off, missed = (np.sqrt(np.mean((one.of(asked) - truth(asked)) ** 2)) for one in (found, pairs))
    assert off < 0.01 * np.ptp(truth(asked))
    assert missed > 4.0 * off


def test_the_same_sample_gives_the_same_guess() -> None:
    known = plans(200)
    first, second = (bends_from(known, truth(known), 6, ((2, 20), (1, 20))) for _ in range(2))
    assert np.array_equal(first.of(known), second.of(known))
