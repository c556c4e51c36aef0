"""Fair shares of more measures than can be listed in all sets, from sampled orders with a stated error."""

from collections.abc import Callable

import numpy as np

from retrofit_lab.base.values import BoolArray, FloatArray

ORDERS = 64
"""Orders drawn; each is used forwards and backwards."""


def sampled_share(
    worth: Callable[[BoolArray], FloatArray], count: int, orders: int = ORDERS, seed: int = 1
) -> tuple[FloatArray, float]:
    """Estimated fair shares.

    Parameters
    ----------
    worth : callable
        Worth of sets, (sets, count) -> (sets,).
    count : int
        Number of measures.
    orders : int
        Orders to draw, each with its reverse.
    seed : int
        Of the draw, so that the same question gets the same answer.

    Returns
    -------
    ndarray, shape (count,)
        Shares; they add to the worth of the full set less that of the empty one, whatever was drawn.
    float
        Largest standard error of a share.
    """
    rng = np.random.default_rng(seed)
    drawn = np.array([rng.permutation(count) for _ in range(orders)])
    both = np.stack([drawn, drawn[:, ::-1]], axis=1)
    place = np.argsort(both, axis=-1)
    sets = place[:, :, None, :] < np.arange(count + 1)[:, None]
    values = worth(sets.reshape(-1, count)).reshape(orders, 2, count + 1)
    added = np.take_along_axis(np.diff(values, axis=-1), place, axis=-1).mean(axis=1)
    error = added.std(axis=0, ddof=1) / np.sqrt(orders)
    return np.asarray(added.mean(axis=0)), float(error.max())
