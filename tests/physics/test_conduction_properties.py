"""What must hold for any assembly: bounds, directions and limits of conduction."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from retrofit_lab.physics.conduction import (
    AIR_FILM,
    LOOSE_FILL_LOSS,
    attic_ceiling_u,
    combined_u,
    compressed_resistance,
    covered_opening_u,
    door_u,
    eave_taper_u,
    film_resistance,
    framed_u,
    installed_resistance,
    isothermal_planes_u,
    loose_fill_resistance,
    parallel_u,
    series_resistance,
    single_rafter_u,
    with_opening,
)
from retrofit_lab.values import InputError

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


@given(st.floats(0.91, 80.0), resistance, resistance, share, share, share)
@properties
def test_more_empty_bays_never_lower_u(cavity, framing, around, fraction, missing, extra) -> None:
    worse = missing + (1.0 - missing) * extra
    assert framed(cavity, framing, around, fraction, worse) * SMALL >= framed(
        cavity, framing, around, fraction, missing
    )


@given(resistance, resistance, resistance, share)
@properties
def test_framed_wall_is_its_parallel_paths(cavity, framing, around, fraction) -> None:
    paths = (
        (1.0 - fraction, 1.0 / (cavity + around + 0.85)),
        (fraction, 1.0 / (framing + around + 0.85)),
    )
    u = framed(cavity, framing, around, fraction, 0.0)
    assert u == pytest.approx(parallel_u(*paths), rel=1e-12)
    assert min(p[1] for p in paths) <= u * SMALL
    assert u <= max(p[1] for p in paths) * SMALL


@given(resistance, resistance, resistance, share)
@properties
def test_true_u_lies_between_the_two_methods(cavity, framing, around, fraction) -> None:
    paths = ((1.0 - fraction, cavity), (fraction, framing))
    lower = parallel_u(*[(part, 1.0 / (around + r)) for part, r in paths])
    upper = isothermal_planes_u(around, *paths)
    assert lower <= combined_u(around, *paths) * SMALL
    assert combined_u(around, *paths) <= upper * SMALL


@given(resistance, resistance)
@properties
def test_methods_agree_where_there_is_one_path(r, around) -> None:
    expected = 1.0 / series_resistance(r, around)
    assert isothermal_planes_u(around, (1.0, r)) == pytest.approx(expected)
    assert combined_u(around, (0.5, r), (0.5, r)) == pytest.approx(expected)


@given(resistance, share, st.floats(0.2, 5.0))
@properties
def test_gaps_never_help(r_label, gaps, r_gap) -> None:
    installed = installed_resistance(r_label, gaps, r_gap)
    assert installed <= r_label * SMALL
    assert installed * SMALL >= min(r_label, r_gap)
    assert installed_resistance(r_label, 0.0, r_gap) == pytest.approx(r_label)


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
    assert loose_fill_resistance(r_label, difference, LOOSE_FILL_LOSS["cellulose"]) == r_label


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


@given(st.floats(1.0, 80.0), st.floats(2.2, 4.0), more, share)
@properties
def test_deeper_attic_fill_never_raises_u(r_fill, per_inch, added, edge) -> None:
    def u(r: float) -> float:
        return attic_ceiling_u(
            r_fill=r, fill_per_inch=per_inch, r_around=1.63, edge_fraction=edge * 0.9
        )

    assert u(r_fill + added) <= u(r_fill) * SMALL


@given(resistance, st.floats(0.1, 5.0), st.floats(1.0, 3.0))
@properties
def test_cover_on_a_hatch_helps_and_a_larger_box_helps_less(r_cover, r_panel, ratio) -> None:
    plain = covered_opening_u(r_panel)
    board = covered_opening_u(r_panel, r_cover)
    box = covered_opening_u(r_panel, r_cover, ratio)
    assert board < plain
    assert board <= box * SMALL


@given(st.floats(0.02, 1.0), st.floats(0.02, 1.0), share)
@properties
def test_surface_with_opening_lies_between(u_surface, u_opening, part) -> None:
    mean = with_opening(u_surface, u_opening, part)
    assert min(u_surface, u_opening) <= mean * SMALL
    assert mean <= max(u_surface, u_opening) * SMALL


def test_door_of_glass_is_glass() -> None:
    assert door_u(2.0, 1.0, 0.5) == pytest.approx(0.5)
    assert door_u(2.0) < door_u(2.0, 0.3, 1.1)
    assert door_u(2.0, outside="semi_exterior") < door_u(2.0)


def test_rafter_roof_is_a_framed_assembly() -> None:
    expected = 0.9 / (19.0 + 1.34) + 0.1 / (6.25 * 1.25 + 1.34)
    assert single_rafter_u(r_cavity=19.0, rafter_depth=6.25, r_continuous=0.56) == pytest.approx(
        expected
    )


def test_films_follow_heat_flow_and_place() -> None:
    assert film_resistance("wall", "indoor") == 2 * AIR_FILM["indoor_wall"]
    assert film_resistance("floor", "outdoors") > film_resistance("ceiling", "outdoors")
    assert film_resistance("wall", "semi_exterior") > film_resistance("wall", "outdoors")


@pytest.mark.parametrize(
    ("kind", "outside", "words"),
    [("window", "outdoors", "'window'.*'wall'"), ("wall", "attic", "'attic'.*'semi_exterior'")],
)
def test_unknown_words_are_refused(kind: str, outside: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        film_resistance(kind, outside)
