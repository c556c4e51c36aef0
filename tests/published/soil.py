"""Heat through the soil under a strip of slab, by finite differences; no formula of any standard."""

import numpy as np
from scipy.sparse import coo_matrix, diags
from scipy.sparse.linalg import spsolve

CONDUCTIVITY, GROUND_FILM = 0.8, 0.17
"""Of the soil [Btu/(h ft F)], and outdoors over it. [h ft2 F/Btu]"""


def _lines(first: float, end: float) -> np.ndarray:
    """Distances that grow from a tenth of a foot on. [ft]"""
    steps = 0.1 * 1.08 ** np.arange(200)
    lines = first + np.concatenate([[0.0], np.cumsum(steps)])
    return lines[lines < end]


def strip_u(width: float, wall: float, r_floor: float, reach: float = 120.0) -> float:
    """U-value of the floor of an endless strip to outdoors; walls let nothing through downward. [Btu/(h ft2 F)]

    Parameters
    ----------
    width, wall, reach : float
        Of the floor between the walls, of a wall, and how far the soil is followed. [ft]
    r_floor : float
        Floor and inside film. [h ft2 F/Btu]
    """
    half = width / 2
    under = half - _lines(0.0, half)[::-1]
    x = np.concatenate([[0.0], under[under > 0.0], half + np.linspace(0, wall, 9)[1:], half + wall + _lines(0.0, reach)[1:]])  # fmt: skip
    z = _lines(0.0, reach)
    middle, wide, deep = (x[1:] + x[:-1]) / 2, np.diff(x), np.diff(z)
    place = np.arange(len(wide) * len(deep)).reshape(len(wide), len(deep))
    across = CONDUCTIVITY * deep / ((wide[1:] + wide[:-1]) / 2)[:, None]
    down = CONDUCTIVITY * wide[:, None] / ((deep[1:] + deep[:-1]) / 2)
    pairs = [(place[:-1], place[1:], across), (place[:, :-1], place[:, 1:], down)]
    one, other, passed = (np.concatenate([p[k].ravel() for p in pairs]) for k in range(3))
    above = np.where(middle < half, r_floor, GROUND_FILM) + deep[0] / 2 / CONDUCTIVITY
    up = np.where((middle > half) & (middle < half + wall), 0.0, wide / above)
    own = np.bincount(one, passed, place.size) + np.bincount(other, passed, place.size)
    own[place[:, 0]] += up
    warmed = np.zeros(place.size)
    warmed[place[:, 0]] = np.where(middle < half, up, 0.0)
    joined = coo_matrix((-passed, (one, other)), shape=(place.size, place.size))
    soil = spsolve((joined + joined.T + diags(own)).tocsc(), warmed)
    floor = middle < half
    return float((up[floor] * (1.0 - soil[place[floor, 0]])).sum() / half)
