"""Ground losses against handbook tables, a law's table and the exact slab solution."""

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.below_grade import (
    floor_u,
    ground_temperature,
    iso_slab_u,
    slab_edge_factor,
    wall_u,
)

BOOK = "ASHRAE Handbook Fundamentals chapter 18, after Latta and Boileau 1969"
LAW = "WAC 51-11-0530"
WALLS = {
    0: [0.432, 0.331, 0.273, 0.235, 0.208, 0.187, 0.170, 0.157],
    5: [0.135, 0.121, 0.110, 0.101, 0.094, 0.088, 0.083, 0.078],
    10: [0.080, 0.075, 0.070, 0.066, 0.063, 0.060, 0.057, 0.055],
}
CHECKS = [
    *(
        Check("below grade", f"wall {z} ft deep, R-{r}", BOOK, "memory", u,
              lambda z=z, r=r: wall_u(float(z), 1.47 + r), 0.0006, "the table prints three decimals")
        for r, row in WALLS.items() for z, u in enumerate(row, start=1) if z in (1, 4, 8)
    ),
    *(
        Check("below grade", f"floor {w} ft wide, 7 ft deep", BOOK, "memory", u,
              lambda w=w: floor_u(7.0, float(w), 1.47), 0.0006, "the table prints three decimals")
        for w, u in {20: 0.032, 24: 0.030, 28: 0.028, 32: 0.026}.items()
    ),
    *(
        Check("below grade", f"wall R-10 outside, {z} ft", LAW, "read", u,
              lambda z=z: wall_u(z, 11.47), 0.08,
              "8 %: the handbook form lies 1 to 8 % above the law's table", True)
        for z, u in {2.0: 0.070, 3.5: 0.064, 7.0: 0.056}.items()
    ),
    *(
        Check("below grade", f"slab edge R-{r}, 2 ft vertical", "WAC 51-11C-61061", "read", f,
              lambda r=r: slab_edge_factor(float(r)), 1e-9, "the table itself")
        for r, f in {0: 0.73, 5: 0.58, 10: 0.54, 15: 0.52}.items()
    ),
    Check("below grade", "square slab of 12 m between 30 and 10 C",
          "exact half-space solution, 2,432.6 W (integrated independently)", "read", 2432.6,
          lambda: iso_slab_u(144.0, 48.0, 0.24, 1.9) * 144.0 * 20.0, 0.05,
          "ISO 13370 lies 3.1 % above the exact solution", True),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def test_deep_soil_is_at_the_yearly_mean_and_lags() -> None:
    assert ground_temperature(55.0, 22.0, 60.0) == pytest.approx([55.0] * 12, abs=0.05)
    shallow = ground_temperature(55.0, 22.0, 0.01)
    deeper = ground_temperature(55.0, 22.0, 6.0)
    assert shallow.min() < deeper.min() < 55.0
    assert deeper.argmin() > shallow.argmin()
