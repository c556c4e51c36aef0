"""Heat between a basement or slab and the soil: a section of the ground solved by finite volumes.

The section runs from the middle of the floor outward and down; the strip is as wide as twice the area
over the perimeter, as EN ISO 13370 does for the characteristic dimension (memory), so the result counts
per length of perimeter. Two solutions are kept: the steady one, and the yearly wave of the outdoor
surface. Soil of clay or silt as in EN ISO 13370: 1.5 W/(m K), 3.0 MJ/(m3 K) (memory).
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

SOIL, HEAT = 1.5, 3.0e6
YEAR = 2 * np.pi / (365 * 86400)
SURFACE_FILM = 0.04
FAR = 25.0


@dataclass(frozen=True)
class Ground:
    """Per metre of perimeter [W/(m K)]: steady conductance, and complex response to wave outdoors and indoors."""

    steady: float
    wave_out: complex
    wave_in: complex


@cache
def ground_of(
    depth: float, half_width: float, wall_r: float, floor_r: float, soil: float = SOIL
) -> Ground:
    """Ground around a floor ``depth`` below grade, all in SI; resistances from room air to soil."""
    x, y = _edges(half_width, depth)
    steady, _ = _solve(x, y, depth, half_width, wall_r, floor_r, soil, 0.0)
    to_out, to_in = _solve(x, y, depth, half_width, wall_r, floor_r, soil, YEAR)
    return Ground(float(steady.real), complex(to_out), complex(to_in))


def _edges(half_width, depth):
    """Cell edges: fine near the corner and the surface, coarse far away."""
    out = half_width + _growing(0.05, FAR)
    inner = half_width - _growing(0.05, half_width)[::-1]
    x = np.unique(np.round(np.concatenate([[0.0], inner, out]), 6))
    down = depth + _growing(0.05, FAR)
    if depth > 0.15:
        half = _growing(0.04, depth / 2)
        y = np.concatenate([half, depth - half])
        y = np.unique(
            np.round(
                np.concatenate(
                    [[0.0], y, [depth]],
                ),
                6,
            )
        )
    else:
        y = np.unique([0.0, depth])
    return x, np.unique(np.round(np.concatenate([y, down]), 6))


def _growing(first, total, ratio=1.18):
    steps = first * ratio ** np.arange(200)
    edges = np.concatenate([[0.0], np.cumsum(steps)])
    count = int(np.searchsorted(edges, total)) or 1
    return edges[: count + 1] * total / edges[count]


def _solve(x, y, depth, half_width, wall_r, floor_r, soil, omega):
    """Heat into the soil per degree indoors, and from the surface per degree outdoors with the room at zero."""
    dx, dy = np.diff(x), np.diff(y)
    cx, cy = x[:-1] + dx / 2, y[:-1] + dy / 2
    solid = ~((cx[:, None] < half_width) & (cy[None, :] < depth))
    number = np.where(solid, np.cumsum(solid).reshape(solid.shape) - 1, -1)
    size = int(solid.sum())
    rows, cols, vals = [], [], []
    diagonal = np.zeros(size, complex)
    inside = np.zeros(size)
    outside = np.zeros(size)
    diagonal += (1j * omega * HEAT * (dx[:, None] * dy[None, :]))[solid]

    def join(a, b, g):
        for p, q in ((a, b), (b, a)):
            rows.append(p), cols.append(q), vals.append(-g)
            np.add.at(diagonal, p, g)

    both = solid[:-1] & solid[1:]
    g = dy[None, :] / ((dx[:-1] + dx[1:])[:, None] / 2 / soil) * np.ones_like(both, float)
    join(number[:-1][both], number[1:][both], g[both])
    both = solid[:, :-1] & solid[:, 1:]
    g = dx[:, None] / ((dy[:-1] + dy[1:])[None, :] / 2 / soil) * np.ones_like(both, float)
    join(number[:, :-1][both], number[:, 1:][both], g[both])
    i = int(np.searchsorted(cx, half_width))  # first column outside the wall
    j = int(np.searchsorted(cy, depth))  # first row under the floor
    if j > 0:
        g = dy[:j] / (wall_r + dx[i] / 2 / soil)
        np.add.at(inside, number[i, :j], g)
    g = dx[:i] / (floor_r + dy[j] / 2 / soil)
    np.add.at(inside, number[:i, j], g)
    g = dx[i:] / (SURFACE_FILM + dy[0] / 2 / soil)
    np.add.at(outside, number[i:, 0], g)
    diagonal += inside + outside
    index = np.arange(size)
    matrix = coo_matrix(
        (
            np.concatenate([*vals, diagonal]),
            (np.concatenate([*rows, index]), np.concatenate([*cols, index])),
        )
    ).tocsc()
    lu = splu(matrix)
    warm_in = lu.solve(inside.astype(complex))
    warm_out = lu.solve(outside.astype(complex))
    into_soil = inside.sum() - inside @ warm_in
    return (inside @ warm_out, into_soil) if omega else (into_soil, into_soil)


@dataclass(frozen=True)
class Lump:
    """Soil as one heat store between room and far soil, exact at rest and for the wave of a year. Per metre.

    ``near`` and ``far`` [W/(m K)], ``store`` [J/(m K)]; ``wave`` turns the outdoor wave into that of the far soil.
    """

    near: float
    far: float
    store: float
    wave: complex


@cache
def lump_of(ground: Ground) -> Lump:
    """The store that answers as the section does."""

    def far_at(r):
        return (1 / (1 / ground.wave_in - r)).real

    low, high = 0.0, 0.999 / ground.wave_in.real
    tries = np.linspace(low, min(high, 0.999 / ground.steady), 4001)
    misses = [far_at(r) - 1 / (1 / ground.steady - r) for r in tries]
    r = tries[int(np.argmin(np.abs(misses[1:]))) + 1]
    y = 1 / (1 / ground.wave_in - r)
    near, far, store = 1 / r, 1 / (1 / ground.steady - r), y.imag / YEAR
    wave = ground.wave_out * (near + far + 1j * YEAR * store) / (near * far)
    return Lump(near, far, store, wave)
