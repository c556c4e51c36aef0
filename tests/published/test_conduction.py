"""Conduction against published assemblies, gaps, squeezed batts and a reference library."""

import pytest
from checks import Check, assert_check

from retrofit_lab.physics.conduction import (
    AIR_FILM,
    compressed_resistance,
    framed_u,
    installed_resistance,
    isothermal_planes_u,
    loose_fill_resistance,
)

FILMS = AIR_FILM["outdoor"] + AIR_FILM["indoor_up"]
ASHRAE_A223 = {
    0: 1.282, 1: 0.562, 2: 0.360, 5: 0.173, 10: 0.093, 13: 0.073, 19: 0.051, 30: 0.032, 38: None,
    40: 0.025, 60: 0.016,
}  # fmt: skip
A22 = "ANSI/ASHRAE/IES 90.1-2016 Appendix A, A2.2 and Table A2.2.3"
WOOD = "ASHRAE 90.1-2007 Table A3.4 for wood-framed walls"


def wall(r_cavity: float) -> float:
    """The table's 2x4 wall: 25 % framing of R-4.38, layers .08 + .56 + .56, films .17 and .68."""
    return framed_u(
        r_cavity=r_cavity, r_framing=4.38, framing_fraction=0.25, r_continuous=1.20, r_films=0.85
    )


CHECKS = [
    *(
        Check(
            "conduction", f"insulation entirely above deck, R-{r}", A22, "read", u,
            lambda r=r: framed_u(r_cavity=0.0, r_framing=0.0, framing_fraction=0.0,
                                 r_continuous=float(r), r_films=FILMS),
            0.0005, "the table prints three decimals",
        )
        for r, u in ASHRAE_A223.items() if u is not None
    ),
    *(
        Check("conduction", f"2x4 wall, cavity R-{r}", WOOD, "memory", u, lambda r=r: wall(r), 0.0005,
              "the table prints three decimals; the 2x6 rows hold headers and are not claimed")
        for r, u in {0.91: 0.292, 11.0: 0.096, 13.0: 0.089, 15.0: 0.083}.items()
    ),
    Check("conduction", "R-38 with 0.5 % gaps", "Fine Homebuilding, Winter 2009, as quoted", "read", 32.0,
          lambda: installed_resistance(38.0, 0.005), 0.5, "printed as R-32; gap of R-1 inferred"),
    Check("conduction", "R-38 with 2 % gaps", "Fine Homebuilding, Winter 2009, as quoted", "read", 22.0,
          lambda: installed_resistance(38.0, 0.02), 0.5, "printed as R-22; gap of R-1 inferred"),
    Check("conduction", "half R-10 and half R-50", "Energy Vanguard on poor installation", "read", 17.0,
          lambda: installed_resistance(50.0, 0.5, 10.0), 0.5, "printed as R-17"),
    Check("conduction", "R-19 batt in 5.5 in", "JLC, compressed fiberglass batts", "read", 18.0,
          lambda: compressed_resistance(19.0, 6.25, 5.5), 1.0, "table in whole numbers"),
    Check("conduction", "R-19 batt in 3.5 in", "JLC, compressed fiberglass batts", "read", 13.5,
          lambda: compressed_resistance(19.0, 6.25, 3.5), 1.6,
          "sources say 13 (Nisson) and 14 (Harley); the half-loss rule gives 14.8"),
    Check("conduction", "R-38 batt in 9.25 in", "JLC, compressed fiberglass batts", "read", 33.0,
          lambda: compressed_resistance(38.0, 12.0, 9.25), 1.0, "table in whole numbers"),
    Check("conduction", "loose fiberglass loss at 73 F difference", "Wilkes and Childs, ORNL 1992, abstract",
          "read", 0.425, lambda: 1 - loose_fill_resistance(19.0, 73.0) / 19.0, 0.075,
          "35 to 50 % lower at 70 to 76 F: the band is the tolerance"),
    Check("conduction", "limit: no insulation at all", "arithmetic", "common practice, no source",
          1 / FILMS, lambda: framed_u(r_cavity=0.0, r_framing=0.0, framing_fraction=0.0,
                                      r_continuous=0.0, r_films=FILMS), 1e-12, "limiting case"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


def test_isothermal_planes_lie_above_parallel_paths() -> None:
    upper = isothermal_planes_u(2.05, (0.75, 13.0), (0.25, 4.38))
    assert upper == pytest.approx(0.0929, abs=5e-5)
    assert upper >= wall(13.0)


def test_material_numbers_agree_with_reference_library() -> None:
    conduction = pytest.importorskip("ht.conduction")
    assert conduction.k_to_R_value(0.043, SI=False) == pytest.approx(3.354, abs=0.001)
