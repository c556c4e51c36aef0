"""Smooth functions of which measures are in a plan, fitted to many plans: sums of measures, each bent by one curve.

What measures do to each other mostly goes by a few sums (heat lost, air let in, heat in a basement) on which the
bill depends in a curve. So a few dozen bent sums tell what thousands of products of measures would have to.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from retrofit_lab.base.values import BoolArray, FloatArray

SUMS = 64
"""Sums of measures that are bent."""
ROUNDS = ((4, 400), (1, 1600))
"""Rounds of the fit: one plan of how many it goes by, and steps at most."""
SMALL = 1e-7
"""What keeps weights small that tell nothing."""
SEED = 7

Narrow = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bends:
    """Bent sums of measures, and what each adds to every number of a plan.

    ``sums`` has shape (measures + 1, bends), the last row what each sum begins with; ``adds`` has shape
    (bends + 1, numbers), the last row what every plan has.
    """

    sums: FloatArray
    adds: FloatArray

    def of(self, masks: BoolArray) -> FloatArray:
        """Numbers of many plans. (plans, measures) -> (plans, numbers)"""
        along = masks.astype(np.float64) @ self.sums[:-1] + self.sums[-1]
        return np.asarray(bent(along) @ self.adds[:-1] + self.adds[-1])


def bent(along: FloatArray) -> FloatArray:
    """The curve: straight near 0, level far from it."""
    return np.asarray(along / np.sqrt(1.0 + along * along))


def bends_from(
    masks: BoolArray,
    numbers: FloatArray,
    sums: int = SUMS,
    rounds: Sequence[tuple[int, int]] = ROUNDS,
) -> Bends:
    """Bends that come nearest to the numbers of some plans, by least squares.

    Parameters
    ----------
    masks : ndarray of bool, shape (plans, measures)
        The sample.
    numbers : ndarray, shape (plans, numbers)
        What is known of it, each number on a scale on which errors of all weigh alike.
    sums : int
        How many sums of measures are bent.
    rounds : sequence of (int, int)
        One plan of how many each round of the fit goes by, and its steps at most.
    """
    middle = numbers.mean(axis=0)
    size = float(np.sqrt(np.square(numbers - middle).sum(axis=1).mean())) or 1.0
    fit = _Fit(_signs(masks), ((numbers - middle) / size).astype(np.float32), sums)
    found = fit.start()
    for every, steps in rounds:
        found = fit.nearer(found, every, steps)
    inner, outer = fit.parts(found)
    adds: FloatArray = outer.astype(np.float64) * size
    adds[-1] += middle
    return Bends(sums=_of_yes_and_no(inner.astype(np.float64)), adds=adds)


def _signs(masks: BoolArray) -> Narrow:
    """Plans as rows of 1 and -1, and a 1 for what every sum begins with."""
    signs = np.where(masks, 1.0, -1.0)
    return np.hstack([signs, np.ones((len(masks), 1))]).astype(np.float32)


def _of_yes_and_no(inner: FloatArray) -> FloatArray:
    """The same sums for rows of 1 and 0 in place of 1 and -1."""
    return np.vstack([2.0 * inner[:-1], inner[-1] - inner[:-1].sum(axis=0)])


class _Fit:
    """The sum of squares that is made small, in single precision: it is an estimate, and half as slow."""

    def __init__(self, plans: Narrow, aimed: Narrow, sums: int) -> None:
        self.plans, self.aimed = plans, aimed
        self.shapes = (plans.shape[1], sums), (sums + 1, aimed.shape[1])

    def start(self) -> FloatArray:
        """Small weights by chance, the same each time."""
        rng = np.random.default_rng(SEED)
        (into, sums), outer = self.shapes
        inner = rng.normal(0.0, into**-0.5, into * sums)
        return np.concatenate([inner, rng.normal(0.0, 0.3 * sums**-0.5, int(np.prod(outer)))])

    def parts(self, found: FloatArray) -> tuple[Narrow, Narrow]:
        """Weights into the bends, and out of them."""
        narrow, end = found.astype(np.float32), int(np.prod(self.shapes[0]))
        return narrow[:end].reshape(self.shapes[0]), narrow[end:].reshape(self.shapes[1])

    def nearer(self, found: FloatArray, every: int, steps: int) -> FloatArray:
        """Weights after some more steps."""
        from scipy.optimize import minimize  # noqa: PLC0415 - slow to import

        plans, aimed = self.plans[::every], self.aimed[::every]
        # its declared types know no function that gives value and slope together
        search: Callable[..., Any] = minimize
        best = search(
            lambda now: self._slope(now, plans, aimed),
            found,
            jac=True,
            method="L-BFGS-B",
            options={"maxiter": steps, "maxfun": 2 * steps, "maxcor": 20, "ftol": 0.0, "gtol": 0.0},
        )
        return np.asarray(best.x)

    def _slope(self, now: FloatArray, plans: Narrow, aimed: Narrow) -> tuple[float, FloatArray]:
        """Mean of the squares, and its slope in every weight."""
        inner, outer = self.parts(now)
        along = plans @ inner
        root = np.sqrt(1.0 + along * along)
        curve = along / root
        off = curve @ outer[:-1] + outer[-1] - aimed
        pull = (2.0 / len(plans)) * off
        back = (pull @ outer[:-1].T) / (root * root * root)
        slope = np.concatenate(
            [(plans.T @ back).ravel(), (curve.T @ pull).ravel(), pull.sum(axis=0)]
        )
        square = float(np.vdot(off, off)) / len(plans) + SMALL * float(now @ now)
        return square, slope.astype(np.float64) + 2.0 * SMALL * now
