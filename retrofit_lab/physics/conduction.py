"""Heat through layers, framing, gaps and squeezed fill above the ground; below_grade.py has the rest.

All resistances in [h ft2 F/Btu], all U-values in [Btu/(h ft2 F)].
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.physics.elementwise import is_nought, larger, logarithm_of_one_more, smaller
from retrofit_lab.physics.natural_airflow import M_PER_S_PER_MPH

AIR_FILM: Mapping[str, float] = MappingProxyType(
    {
        "outdoor": 0.17,
        "semi_exterior": 0.46,
        "indoor_up": 0.61,
        "indoor_down": 0.92,
        "indoor_wall": 0.68,
    }
)
"""Air films; the indoor ones are named after the way that heat flows. [h ft2 F/Btu]
Source: ASHRAE 90.1 Appendix A9 (read)."""

_INSIDE_FILM: Mapping[str, str] = MappingProxyType(
    {
        "wall": "indoor_wall",
        "kneewall": "indoor_wall",
        "rim": "indoor_wall",
        "door": "indoor_wall",
        "basement_wall": "indoor_wall",
        "ceiling": "indoor_up",
        "hatch": "indoor_up",
        "roof": "indoor_up",
        "floor": "indoor_down",
    }
)
FIBERGLASS_LOSS = 0.425
COLD_LOSS_START = 25.0
COLD_LOSS_FULL = 70.0
"""Loose fiberglass loses 35 to 50 % of its R-value at 70 to 76 F difference (Wilkes and Childs 1992,
abstract read), taken here at the middle; batts and cellulose change little (the same). At 25 F tests find
no loss (memory); that it grows evenly from there is judgment."""

BATT_BEST_PER_INCH = 3.9
"""Most that squeezing brings a glass fiber batt to. [h ft2 F/(Btu in)] The deepest squeezed rows of two
trade tables (read): R-38 in 5.5 in is 21 (3.8 an inch), R-19 in 3.5 in is 13 or 14 (3.7 to 4.0)."""

WOOD_PER_INCH = 1.25
"""Framing lumber. [h ft2 F/(Btu in)] ASHRAE 90.1 and a state's materials table (read); the 2013 Handbook's
hem-fir and spruce-pine-fir give 1.20."""
LUMBER_DEPTHS = (3.5, 5.5, 7.25, 9.25, 11.25)
"""Actual depths of nominal 4, 6, 8, 10 and 12 in lumber. [in] (common practice, no source)"""

FILL_PER_INCH: Mapping[str, float] = MappingProxyType(
    {
        "none": 3.3,
        "batt": 3.3,
        "loose_fiberglass": 2.5,
        "cellulose": 3.4,
        "foam": 3.6,
        "board": 5.0,
    }
)
"""Usual resistance an inch of a fill that lies open. [h ft2 F/(Btu in)] Rows of ``data/materials.csv``:
batts, loose fiberglass, loose cellulose, open-cell foam, extruded board."""

BEST_PER_INCH: Mapping[str, float] = MappingProxyType(
    {
        "none": 4.3,
        "batt": 4.3,
        "loose_fiberglass": 4.2,
        "cellulose": 3.8,
        "foam": 7.0,
        "board": 6.5,
    }
)
"""Most that a fill of the kind reaches in a closed bay. [h ft2 F/(Btu in)] Upper bounds of the rows of
``data/materials.csv``; R-15 in 3.5 in and R-23 in 5.5 in are the densest batts sold."""
BATTS = ("none", "batt")
"""Fills that are batts; one that no one named is taken for a batt."""
DENSEST_WALL_BATT = 23.0
DEEP_BATT_PER_INCH = 3.75
"""Highest label of a batt for walls, and what an inch of deeper ones reaches at most: R-30 in 8 1/4 in and R-38 in
10 1/4 in are the densest sold for rafters. [h ft2 F/Btu, h ft2 F/(Btu in)] (labels, memory)"""
EMPTY_BAY = 0.91
"""Still air in a closed bay. [h ft2 F/Btu] ASHRAE 90.1 Appendix A (memory)"""
W_PER_M2K = 5.678263
"""In one Btu/(h ft2 F)."""
EMISSIVITY, BLACK_AT_10C = 0.9, 5.1
"""Of building surfaces, and what a black one exchanges by radiation at 10 C. [1, W/(m2 K)] EN ISO 6946 (memory)"""
VANISHING = 1e-12


def inside_film(kind: str) -> float:
    """Film on the warm side of a surface, by the way that heat flows through it. [h ft2 F/Btu]

    Parameters
    ----------
    kind : str
        ``"wall"``, ``"kneewall"``, ``"rim"``, ``"door"``, ``"basement_wall"``, ``"ceiling"``, ``"hatch"``,
        ``"roof"`` or ``"floor"``.

    References
    ----------
    ASHRAE 90.1 Appendix A9 (read).

    Examples
    --------
    >>> inside_film("wall"), inside_film("floor")
    (0.68, 0.92)
    """
    return AIR_FILM[_INSIDE_FILM[kind]]


def outdoor_film(wind: Value) -> Value:
    """Film on an outer face in the wind that passes it. [h ft2 F/Btu]

    Labels and printed assemblies are rated in a winter storm; the mean hour is calmer, and behind trees and
    neighbors half of the resistance of a bare pane is this film.

    Parameters
    ----------
    wind : Value
        Speed of the air that passes the wall. [mph]

    References
    ----------
    EN ISO 6946:2017 Annex C (memory): 4 + 4 v W/(m2 K) by the air, v in m/s, and emissivity 0.9 times what a
    black surface radiates, 5.1 at 10 C.

    Examples
    --------
    In a storm of 15 mph, the film of labels, and in the mean hour behind neighbors:

    >>> round(outdoor_film(15.0), 2), round(outdoor_film(4.0), 2)
    (0.16, 0.36)
    """
    by_air = 4.0 + 4.0 * M_PER_S_PER_MPH * wind
    return W_PER_M2K / (by_air + EMISSIVITY * BLACK_AT_10C)


def mean_along(x: Value) -> Value:
    """Mean of 1/(1 + s) for s from 0 to x, which is ln(1 + x)/x, and 1 where x is 0. [1]

    Where resistance grows evenly along a stretch (a tapered fill, a wall that goes into the ground), the
    mean U-value is the U-value at the thin end times this.

    Parameters
    ----------
    x : Value
        Resistance gained over the stretch against that at the thin end, above -1. [1]

    Examples
    --------
    >>> mean_along(0.0), round(mean_along(1.0), 4), mean_along(np.array([0.0])).tolist()
    (1.0, 0.6931, [1.0])
    """
    if isinstance(x, np.ndarray):
        even = np.abs(x) <= VANISHING
        safe = np.where(even, 1.0, x)
        return np.where(even, 1.0, logarithm_of_one_more(safe) / safe)
    return logarithm_of_one_more(x) / x if abs(x) > VANISHING else 1.0


def compressed_resistance(r_label: Value, label_thickness: Value, cavity_depth: Value) -> Value:
    """Resistance of a glass fiber batt squeezed into a shallower cavity, never above its label.

    Squeezed by a share x of its thickness it loses x/2 of its R-value, until the fibers are so close that
    an inch of it insulates no better.

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    label_thickness, cavity_depth : Value
        Thickness that the label is for, and depth there is. [in]

    References
    ----------
    Rule and tables in two trade articles on compressed batts (read); the rule alone gives 28 for R-38 in
    5.5 in where the table says 21, so `BATT_BEST_PER_INCH` bounds it.
    """
    depth = smaller(cavity_depth, label_thickness)
    by_rule = r_label * 0.5 * (1.0 + depth / label_thickness)
    at_best = larger(r_label / label_thickness, BATT_BEST_PER_INCH) * depth
    return smaller(by_rule, at_best)


def loose_fill_resistance(r_label: Value, temperature_difference: Value) -> Value:
    """Resistance of loose fiberglass in the cold, when air starts to turn over in it. [h ft2 F/Btu]

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    temperature_difference : Value
        Across the fill. [F]

    References
    ----------
    Wilkes and Childs 1992, abstract (read): 35 to 50 % less at 70 to 76 F.

    Examples
    --------
    >>> loose_fill_resistance(40.0, 10.0), round(loose_fill_resistance(40.0, 70.0), 6)
    (40.0, 23.0)
    """
    span = COLD_LOSS_FULL - COLD_LOSS_START
    share = smaller(larger((temperature_difference - COLD_LOSS_START) / span, 0.0), 1.0)
    return r_label * (1.0 - FIBERGLASS_LOSS * share)


def framing_resistance(r_fill: float, fill: str = "batt") -> float:
    """Resistance through the shallowest lumber that holds a fill. [h ft2 F/Btu]

    Parameters
    ----------
    r_fill : float
        R-value on the label. [h ft2 F/Btu]
    fill : str
        A key of `BEST_PER_INCH`.

    Examples
    --------
    >>> framing_resistance(13.0), framing_resistance(19.0), framing_resistance(38.0)
    (4.375, 6.875, 14.0625)
    """
    best = BEST_PER_INCH[fill]
    if fill in BATTS and r_fill > DENSEST_WALL_BATT:
        best = DEEP_BATT_PER_INCH
    needed = r_fill / best
    depth = next((d for d in LUMBER_DEPTHS if d >= needed), LUMBER_DEPTHS[-1])
    return WOOD_PER_INCH * depth


def covered_framing(r_framing: Value, r_fill: Value, thickness: Value) -> Value:
    """Resistance over framing in bays that are open above: wood, and the fill that lies over it.

    Parameters
    ----------
    r_framing : Value
        Through the framing; its depth follows from `WOOD_PER_INCH`. [h ft2 F/Btu]
    r_fill : Value
        Fill between the framing. [h ft2 F/Btu]
    thickness : Value
        Of the fill. [in]

    References
    ----------
    ASHRAE 90.1 Appendix A2.4: attic insulation deeper than the joists covers them (read).

    Examples
    --------
    >>> covered_framing(6.875, 49.0, 14.0), covered_framing(6.875, 11.0, 3.5)
    (36.625, 6.875)
    """
    above = larger(thickness - r_framing / WOOD_PER_INCH, 0.0)
    return r_framing + r_fill * above / larger(thickness, VANISHING)


def framed_u(
    *,
    r_cavity: Value,
    r_framing: Value,
    framing_fraction: Value,
    r_continuous: Value,
    r_films: Value,
    missing_fraction: Value = 0.0,
    r_missing: Value = EMPTY_BAY,
    gap_fraction: Value = 0.0,
    r_gap: Value = 1.0,
) -> Value:
    """U-value of framing, fill, gaps and empty bays, each a path of its own through the whole assembly.

    Parameters
    ----------
    r_cavity, r_framing : Value
        Through the fill and through the framing. [h ft2 F/Btu]
    framing_fraction : Value
        Share of the area that is framing. [1]
    r_continuous : Value
        Layers in series with all paths. [h ft2 F/Btu]
    r_films : Value
        Both air films. [h ft2 F/Btu]
    missing_fraction, gap_fraction : Value
        Share of the bays that are empty, and share of the filled ones that is gaps. [1]
    r_missing, r_gap : Value
        An empty bay, and a gap; neither ever insulates better than the fill. [h ft2 F/Btu]

    References
    ----------
    Parallel-path method, ASHRAE 90.1-2016 Appendix A (values read, wood table memory).

    Examples
    --------
    An R-13 wall with a quarter of studs, and the same with a tenth of its bays empty:

    >>> wall = dict(r_cavity=13.0, r_framing=4.38, framing_fraction=0.25, r_continuous=1.2, r_films=0.85)
    >>> round(framed_u(**wall), 4), round(framed_u(**wall, missing_fraction=0.1), 4)
    (0.0887, 0.1091)
    """
    around = r_continuous + r_films
    bays = 1.0 / (r_cavity + around)
    if not is_nought(gap_fraction):
        bays = bays + gap_fraction * (1.0 / (smaller(r_gap, r_cavity) + around) - bays)
    if not is_nought(missing_fraction):
        bays = bays + missing_fraction * (1.0 / (smaller(r_missing, r_cavity) + around) - bays)
    if is_nought(framing_fraction):
        return bays
    return bays + framing_fraction * (1.0 / (r_framing + around) - bays)


def eave_taper_u(r_edge: Value, r_full: Value, r_around: Value) -> Value:
    """Mean U-value of a strip along the eaves where the roof squeezes the fill evenly thinner.

    Parameters
    ----------
    r_edge, r_full : Value
        Fill over the wall plate and where it reaches full depth. [h ft2 F/Btu]
    r_around : Value
        Ceiling board and both air films. [h ft2 F/Btu]

    Notes
    -----
    Integral of 1/R over the strip; half the full depth, as the energy standard takes it, is close.
    """
    thin = r_edge + r_around
    return mean_along((r_full - r_edge) / thin) / thin
