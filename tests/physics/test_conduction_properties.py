"""What must hold for any assembly: bounds, directions and limits of conduction."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.physics.conduction import (
    BEST_PER_INCH,
    FILL_PER_INCH,
    LUMBER_DEPTHS,
    WOOD_PER_INCH,
    compressed_resistance,
    covered_framing,
    eave_taper_u,
    framed_u,
    framing_resistance,
    inside_film,
    loose_fill_resistance,
    outdoor_film,
)

resistance = st.floats(0.05, 80.0)
more = st.floats(0.0, 60.0)
share = st.floats(0.0, 0.95)
depth = st.floats(1.0, 16.0)
SMALL = 1 + 1e-12
properties = settings(deadline=None, max_examples=100)


def framed(r_cavity: float, r_framing: float, r_continuous: float, framing: float, missing: float):
    return framed_u(
        r_cavity=r_cavity,
        r_framing=r_framing,
        framing_fraction=framing,
        r_continuous=r_continuous,
        r_films=0.85,
        missing_fraction=missing,
    )


@given(resistance, resistance, resistance, share, share, more)
@properties
def test_more_insulation_never_raises_u(cavity, framing, around, fraction, missing, added) -> None:
    before = framed(cavity, framing, around, fraction, missing)
    assert framed(cavity + added, framing, around, fraction, missing) <= before * SMALL
    assert framed(cavity, framing + added, around, fraction, missing) <= before * SMALL
    assert framed(cavity, framing, around + added, fraction, missing) <= before * SMALL


@given(st.floats(0.0, 80.0), resistance, resistance, share, share, share)
@properties
def test_more_empty_bays_never_lower_u(cavity, framing, around, fraction, missing, extra) -> None:
    worse = missing + (1.0 - missing) * extra
    assert framed(cavity, framing, around, fraction, worse) * SMALL >= framed(
        cavity, framing, around, fraction, missing
    )


@given(resistance, resistance, resistance, share, share, share, st.floats(0.2, 5.0))
@properties
def test_each_way_goes_through_the_whole_assembly(
    cavity, wood, around, f, empty, gaps, gap
) -> None:
    """The sum over all ways written out: share of each over its own total resistance."""
    ways = [
        (f, wood),
        ((1 - f) * empty, min(0.91, cavity)),
        ((1 - f) * (1 - empty) * gaps, min(gap, cavity)),
        ((1 - f) * (1 - empty) * (1 - gaps), cavity),
    ]
    assert sum(part for part, _ in ways) == pytest.approx(1.0)
    u = framed_u(
        r_cavity=cavity,
        r_framing=wood,
        framing_fraction=f,
        r_continuous=around,
        r_films=0.85,
        missing_fraction=empty,
        gap_fraction=gaps,
        r_gap=gap,
    )
    assert u == pytest.approx(sum(part / (r + around + 0.85) for part, r in ways), rel=1e-12)
    assert u * SMALL >= framed(cavity, wood, around, f, empty), "gaps never help"


@given(st.floats(1.0, 60.0), st.floats(2.2, 4.0), st.sampled_from(LUMBER_DEPTHS), more)
@properties
def test_fill_deeper_than_the_joists_lies_over_them(r_fill, per_inch, joist, added) -> None:
    wood = joist * WOOD_PER_INCH

    def over(r: float) -> float:
        return covered_framing(wood, r, r / per_inch)

    assert over(r_fill) == pytest.approx(wood + max(r_fill - joist * per_inch, 0.0))
    assert over(r_fill + added) * SMALL >= over(r_fill) >= wood
    assert covered_framing(wood, 0.0, 0.0) == wood


@given(st.floats(0.0, 60.0), st.sampled_from(list(BEST_PER_INCH)))
@properties
def test_framing_holds_its_fill(r_fill, fill) -> None:
    depth = framing_resistance(r_fill, fill) / WOOD_PER_INCH
    assert depth in LUMBER_DEPTHS
    if depth < LUMBER_DEPTHS[-1]:
        assert depth * BEST_PER_INCH[fill] >= r_fill


def test_resistance_an_inch_stands_in_the_table_of_materials() -> None:
    rows = {row["key"]: row for row in read_rows("materials.csv")}
    usual = {
        "batt": "fiberglass_batt",
        "loose_fiberglass": "fiberglass_loose",
        "board": "xps_board",
    }
    usual |= {"cellulose": "cellulose_loose", "foam": "spray_foam_open"}
    best = {
        "batt": "fiberglass_batt",
        "loose_fiberglass": "fiberglass_dense",
        "board": "polyiso_board",
    }
    best |= {"cellulose": "cellulose_dense", "foam": "spray_foam_closed"}
    for fill, key in usual.items():
        assert FILL_PER_INCH[fill] == float(rows[key]["r_per_inch_h_ft2_F_per_Btu"])
    for fill, key in best.items():
        assert BEST_PER_INCH[fill] == float(rows[key]["high_h_ft2_F_per_Btu"])


@given(resistance, depth, depth, st.floats(0.0, 4.0))
@properties
def test_squeezing_never_helps_and_depth_never_harms(r_label, thickness, cavity, deeper) -> None:
    squeezed = compressed_resistance(r_label, thickness, cavity)
    assert 0.0 < squeezed <= r_label * SMALL
    assert compressed_resistance(r_label, thickness, cavity + deeper) * SMALL >= squeezed
    assert compressed_resistance(r_label, thickness, thickness) == pytest.approx(r_label)


@given(st.floats(2.2, 3.9), depth, depth)
@properties
def test_squeezed_inch_is_never_worse_than_a_loose_inch(per_inch, thickness, cavity) -> None:
    squeezed = compressed_resistance(per_inch * thickness, thickness, cavity)
    assert squeezed / min(cavity, thickness) * SMALL >= per_inch


@given(resistance, st.floats(-30.0, 110.0), st.floats(0.0, 40.0))
@properties
def test_colder_never_helps_loose_fill(r_label, difference, colder) -> None:
    warm = loose_fill_resistance(r_label, difference)
    assert loose_fill_resistance(r_label, difference + colder) <= warm * SMALL
    assert warm <= r_label


def test_loose_fill_is_unharmed_in_mild_weather_and_settles_in_the_cold() -> None:
    assert loose_fill_resistance(30.0, 10.0) == 30.0
    assert loose_fill_resistance(30.0, 70.0) == loose_fill_resistance(30.0, 100.0)


@given(resistance, resistance, st.floats(0.5, 3.0))
@properties
def test_taper_is_the_integral_over_its_length(r_edge, r_full, around) -> None:
    def local_u(x: float) -> float:
        return 1.0 / (around + r_edge + (r_full - r_edge) * x)

    mean, _ = quad(local_u, 0.0, 1.0)
    assert eave_taper_u(r_edge, r_full, around) == pytest.approx(mean, rel=1e-6)


def test_taper_without_slope_is_plain() -> None:
    assert eave_taper_u(20.0, 20.0, 1.63) == pytest.approx(1 / 21.63, rel=1e-12)
    nearly = eave_taper_u(np.array([20.0, 20.0]), np.array([20.0, 20.0 + 1e-11]), 1.63)
    assert nearly == pytest.approx([1 / 21.63] * 2, rel=1e-9)


def test_taper_from_nothing_is_close_to_half_the_depth() -> None:
    """The energy standard's half depth against the wedge: it understates a wedge from bare to R-38."""
    half = 1.0 / (19.0 + 1.63)
    assert eave_taper_u(12.0, 26.0, 1.63) == pytest.approx(half, rel=0.05)
    assert eave_taper_u(0.0, 38.0, 1.63) > half


def test_films_follow_heat_flow_and_wind() -> None:
    assert inside_film("floor") > inside_film("wall") > inside_film("ceiling")
    calmer = [outdoor_film(v) for v in (0.0, 2.0, 5.0, 15.0, 40.0)]
    assert calmer == sorted(calmer, reverse=True)
    assert outdoor_film(0.0) < inside_film("wall"), (
        "outdoors more is radiated to, in the calm as well"
    )
    assert np.allclose(outdoor_film(np.array([0.0, 15.0])), [outdoor_film(0.0), outdoor_film(15.0)])
