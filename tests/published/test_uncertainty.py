"""Shares of variance and drawn distributions against closed forms and libraries."""

import numpy as np
import pytest
from checks import Check, assert_check
from scipy.stats import norm, qmc, triang

from retrofit_lab.uncertainty.narrowing import variance_shares
from retrofit_lab.uncertainty.realizing import realized_kinds
from retrofit_lab.uncertainty.triangle import Triangle

PLACES = qmc.Sobol(3, rng=np.random.default_rng(1)).random_base2(13)


def ishigami(place: np.ndarray) -> np.ndarray:
    """Standard test function of sensitivity analysis with a = 7 and b = 0.1."""
    x, y, z = (np.pi * (2.0 * place - 1.0)).T
    return np.sin(x) + 7.0 * np.sin(y) ** 2 + 0.1 * z**4 * np.sin(x)


def share_of(i: int):
    return lambda: variance_shares(PLACES, ishigami(PLACES))[i]


def product_deviation() -> float:
    """Spread of 100 +- 10 times 2 +- 0.1, from normal draws of both."""
    first, second = norm.ppf(np.clip(PLACES[:, :2], 1e-9, 1 - 1e-9)).T
    return float(((100.0 + 10.0 * first) * (2.0 + 0.1 * second)).std())


CLOSED = "closed form of the Ishigami function"
RUN = "SALib 1.6.0, 8,192 base samples"
NOISE = "sampling noise of both at 8,192 points"
ENVELOPE = realized_kinds()[-1].plain
SKEWED = Triangle(low=1.2, likely=1.9, high=3.2)
CHECKS = [
    *(Check("uncertainty", f"first-order share of input {i + 1}", CLOSED, "memory", expected, share_of(i), 0.01,
            NOISE) for i, expected in enumerate([0.313905, 0.442411, 0.0])),
    *(Check("uncertainty", f"triangle 1.2, 1.9, 3.2 at {share:.0%}", "scipy.stats.triang", "read",
            float(triang.ppf(share, 0.35, 1.2, 2.0)), lambda share=share: SKEWED.at(np.array([share]))[0], 1e-12,
            "same definition") for share in (0.1, 0.35, 0.5, 0.9)),
    Check("uncertainty", "mean of the share that comes about", "mean of the corners of a triangle", "memory", 0.7,
          lambda: ENVELOPE.at(PLACES[:, 0]).mean(), 1e-4, "sampling noise of even draws"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
