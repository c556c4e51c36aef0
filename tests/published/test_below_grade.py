"""Ground losses against handbook tables, a law's tables and the exact slab solution.

A fit to whole heated basements, 10.67/(R + 8) per foot of wall (Los Alamos, as quoted on nesea.org), lies a fifth
below ours for bare walls and goes to zero with their insulation, floor and all; it is not held here.
"""

import numpy as np
import pytest
from checks import Check, assert_check
from scipy.optimize import brentq
from scipy.special import erf, erfc
from soil import strip_u

from retrofit_lab.physics.below_grade import (
    floor_u,
    floor_wave_u,
    frost_depth,
    inner_wave_u,
    insulated_edge_share,
    slab_edge_factor,
    wall_u,
    wall_wave_u,
)

BOOK = "ASHRAE Handbook Fundamentals chapter 18, after Latta and Boileau 1969"
OLD_BOOK = "older editions of the ASHRAE Handbook, bare wall foot by foot"
PERIODIC = "EN ISO 13370:2007 Annex A, periodic transfer"
LAW = "WAC 51-11-0530"
SLAB_LAW = "WAC 51-11C-61061"
FLOOR_LAW = "WAC 51-11R-40211, Table R402.1.2, slabs below grade"
WALLS = {
    0: [0.432, 0.331, 0.273, 0.235, 0.208, 0.187, 0.170, 0.157],
    5: [0.135, 0.121, 0.110, 0.101, 0.094, 0.088, 0.083, 0.078],
    10: [0.080, 0.075, 0.070, 0.066, 0.063, 0.060, 0.057, 0.055],
}
FOOT_BY_FOOT = [0.410, 0.222, 0.155, 0.119, 0.096, 0.079, 0.069]
BARE = 1.47  # concrete and inside film


def foot_of_wall(number: int) -> float:
    """U-value of one foot of a bare wall, counted from grade."""
    above = (number - 1) * wall_u(number - 1.0, BARE) if number > 1 else 0.0
    return number * wall_u(float(number), BARE) - above


def floor_per_foot(depth: float) -> float:
    """Loss of the floor of a 24 x 36 ft basement per foot of its 120 ft of wall."""
    return floor_u(depth, 36.0, 24.0, BARE) * 24.0 * 36.0 / 120.0


def half_against_whole() -> float:
    """Saving of R-10 on the upper half of a 7 ft wall against R-5 on all of it."""
    bare = wall_u(7.0, BARE)
    half = 0.5 * (wall_u(3.5, BARE) - wall_u(3.5, BARE + 10.0))
    return half / (bare - wall_u(7.0, BARE + 5.0))


NEUMANN = "two-phase solution of Neumann, solved by scipy for loam of .8 Btu/(h ft F), 30 and 2,160 Btu/ft3"


def frozen_to(index: float, days: float, mean: float) -> float:
    """Depth of frost in ground that is as warm as the year, alike frozen and thawed. [ft]"""
    below, above = index / days, mean - 32.0
    stefan = 30.0 * below / 2160.0

    def miss(front: float) -> float:
        cold = np.exp(-(front**2)) / erf(front)
        return (
            cold
            - above / below * np.exp(-(front**2)) / erfc(front)
            - front * np.sqrt(np.pi) / stefan
        )

    return 2.0 * brentq(miss, 1e-6, 3.0) * np.sqrt(0.8 / 30.0 * 24.0 * days)


CHECKS = [
    *(
        Check("below grade", f"wall {z} ft deep, R-{r}", BOOK, "memory", u,
              lambda z=z, r=r: wall_u(float(z), BARE + r), 0.0006,
              "the table prints three decimals; it is the mean from grade down, not the last foot")
        for r, row in WALLS.items() for z, u in enumerate(row, start=1)
    ),
    *(
        Check("below grade", f"bare wall, foot number {foot}", OLD_BOOK, "memory", u,
              lambda foot=foot: foot_of_wall(foot), 0.06,
              "the older column lies 1 to 5 % below the later formula: sources disagree, ours is the later",
              True)
        for foot, u in enumerate(FOOT_BY_FOOT, start=1)
    ),
    *(
        Check("below grade", f"floor {z} ft deep, per foot of wall", FLOOR_LAW, "read", f,
              lambda z=z: floor_per_foot(z), 0.15,
              "size of the floor and soil are not printed; ours for 24 x 36 ft lies 2 to 14 % above. The handbook's "
              "older form, half of this, counts the nearest wall alone", True)
        for z, f in {2.0: 0.59, 3.5: 0.56, 7.0: 0.50}.items()
    ),
    *(
        Check("below grade", f"wall R-{r} outside, {z} ft", LAW, "read", u,
              lambda z=z, r=r: wall_u(z, BARE + r), 0.08,
              "the handbook form lies 1 to 8 % above the law's table: 8 %", True)
        for r, row in {10.0: [0.070, 0.064, 0.056], 12.0: [0.061, 0.057, 0.050]}.items()
        for z, u in zip([2.0, 3.5, 7.0], row, strict=True)
    ),
    Check("below grade", "R-10 on the upper half against R-5 on the whole wall",
          "Solar Age magazine as reprinted by inspectapedia.com", "read", 1.0, half_against_whole, 0.1,
          "'about the same' saving; ours 6 % more"),
    *(
        Check("below grade", f"slab edge R-{r}, {placement.replace('_', ' ')}", SLAB_LAW, "read", f,
              lambda r=r, placement=placement: slab_edge_factor(float(r), placement), 1e-9,
              "the table itself")
        for placement, row in {"vertical_2_ft": [0.73, 0.58, 0.54, 0.52],
                               "vertical_4_ft": [0.73, 0.54, 0.48, 0.45],
                               "horizontal_4_ft": [0.73, 0.67, 0.64, 0.63]}.items()
        for r, f in zip([0, 5, 10, 15], row, strict=True)
    ),
    Check("below grade", "square slab of 12 m between 30 and 10 C",
          "exact half-space solution, 2,432.6 W (integrated independently)", "read", 2432.6,
          lambda: floor_u(0.0, 12.0, 12.0, 0.0, soil_conductivity=1.9, wall_thickness=0.24) * 144.0 * 20.0, 0.05,
          "ISO 13370 lies 3.1 % above the exact solution", True),
    *(
        Check("below grade", f"swing passed by a bare slab, floor R-{r} [Btu/(h F) per foot of edge]", PERIODIC, "memory",
              expected, lambda r=r: floor_wave_u(0.0, 40.0, 40.0, r) * 10.0, 0.1,
              "by hand for clay of 1.5 W/(m K) and 2.2 m, walls of .2 m; ours for its own soil", True)
        for r, expected in {1.5: 0.494, 5.0: 0.287}.items()
    ),
    *(
        Check("below grade", f"swing passed by a wall of R-{r}, 7 ft deep [Btu/(h F) per foot]", PERIODIC, "memory",
              expected, lambda r=r: wall_wave_u(7.0, r) * 7.0, 0.1,
              "by hand for clay of 1.5 W/(m K) and 2.2 m; ours for its own soil", True)
        for r, expected in {1.47: 0.755, 11.47: 0.217}.items()
    ),
    Check("below grade", "R-10 two feet down the edge of a slab against none", "EN ISO 13370 Annex B, vertical edge", "memory",
          0.755, lambda: insulated_edge_share(10.0), 0.05, "by hand for a slab of 30 x 40 ft; the law's factors say .74", True),
    *(
        Check("below grade", f"frost of {index:g} F days in {days:g} days over ground of {mean:g} F [ft]", NEUMANN, "memory",
              frozen_to(index, days, mean), lambda case=(index, days, mean): frost_depth(*case), 0.05,
              "ours has its first terms; over warmer ground they are 6 to 8 % deep", True)
        for index, days, mean in ((300.0, 60.0, 32.0), (300.0, 60.0, 40.0), (1800.0, 120.0, 36.0))
    ),
    Check("below grade", "floors between the standard's two equations, where they meet", "ISO 13370, equations 8 and 9 by hand", "memory",
          0.8 / 10.0 / 1.457, lambda: floor_u(0.0, 20.0, 20.0, (10.001 - 8 / 12) / 0.8), 0.002,
          "a floor 20 by 20 ft, its path as long as it is wide", True),
    *(
        Check("below grade", f"swing inside through R-{r} into the ground", PERIODIC, "memory", expected,
              lambda r=r: inner_wave_u(0.0, r), 0.001, "by hand for a diffusivity of .6 ft2/day, 8.349 ft", True)
        for r, expected in {1.5: np.sqrt(2 / ((1 + 8.3487 / 1.2) ** 2 + 1)) / 1.5, 5.0: np.sqrt(2 / ((1 + 8.3487 / 4.0) ** 2 + 1)) / 5.0}.items()
    ),
    Check("below grade", "limit: a wall that barely enters the ground", "arithmetic",
          "common practice, no source", 1 / BARE, lambda: wall_u(1e-9, BARE), 1e-6, "only the wall resists"),
    Check("below grade", "limit: soil that conducts without end", "arithmetic",
          "common practice, no source", 1 / BARE, lambda: wall_u(7.0, BARE, 1e12), 1e-6,
          "only the wall resists"),
    Check("below grade", "limit: a floor deep below", "arithmetic", "common practice, no source", 0.0,
          lambda: floor_wave_u(200.0, 40.0, 40.0, 1.5), 1e-6, "no swing deep down"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def test_strip_of_soil_by_finite_differences_is_what_the_rows_of_slabs_have() -> None:
    assert strip_u(15.81, 8 / 12, 1.5) == pytest.approx(0.1041, abs=0.0002)
