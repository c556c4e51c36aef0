"""Heat through layers, framing, gaps and squeezed fill above the ground; below_grade.py has the rest.

All resistances in [h ft2 F/Btu], all U-values in [Btu/(h ft2 F)].
"""

from collections.abc import Mapping
from math import log1p
from types import MappingProxyType

import numpy as np

from retrofit_lab.physics.elementwise import larger, smaller
from retrofit_lab.values import InputError, Value

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
_OUTSIDE_FILM: Mapping[str, str] = MappingProxyType(
    {"outdoors": "outdoor", "semi_exterior": "semi_exterior"}
)

FIBERGLASS_LOSS = 0.425
COLD_LOSS_START = 20.0
COLD_LOSS_FULL = 70.0
"""Loose fiberglass loses 35 to 50 % of its R-value at 70 to 76 F difference (Wilkes and Childs 1992,
abstract read), taken here at the middle; that the loss sets in at 20 F and grows evenly is judgement."""

LOOSE_FILL_LOSS: Mapping[str, float] = MappingProxyType(
    {"loose_fiberglass": FIBERGLASS_LOSS, "cellulose": 0.0}
)
"""Share of the R-value that a loose fill loses at full cold. [1] Wilkes and Childs 1992: batts and
cellulose change little (abstract read)."""

BATT_BEST_PER_INCH = 3.9
"""Most that squeezing brings a glass fiber batt to. [h ft2 F/(Btu in)] The deepest squeezed rows of two
trade tables (read): R-38 in 5.5 in is 21 (3.8 an inch), R-19 in 3.5 in is 13 or 14 (3.7 to 4.0)."""

WOOD_PER_INCH = 1.25
"""Framing lumber. [h ft2 F/(Btu in)] ASHRAE 90.1 and a state's materials table (read); the 2013 Handbook's
hem-fir and spruce-pine-fir give 1.20."""
ATTIC_JOIST_DEPTH = 3.5
"""Actual depth of a nominal 4 in joist. [in]"""
VANISHING = 1e-12


def film_resistance(kind: str, outside: str) -> float:
    """Air films on both faces of a surface, by what it is and what lies behind it.

    Parameters
    ----------
    kind : str
        ``"wall"``, ``"kneewall"``, ``"rim"``, ``"door"``, ``"basement_wall"``, ``"ceiling"``, ``"hatch"``,
        ``"roof"`` or ``"floor"``.
    outside : str
        ``"outdoors"``; ``"semi_exterior"`` for an attic, crawl space or garage; ``"indoor"`` for a room.

    Returns
    -------
    float
        Sum of both films. [h ft2 F/Btu]

    Raises
    ------
    InputError
        For a word that is not in the lists.

    References
    ----------
    ASHRAE 90.1 Appendix A9 (read).
    """
    if kind not in _INSIDE_FILM:
        raise InputError(f"surface kind {kind!r} has no air film; use one of {[*_INSIDE_FILM]}")
    if outside != "indoor" and outside not in _OUTSIDE_FILM:
        raise InputError(
            f"outside {outside!r} has no air film; use 'indoor' or one of {[*_OUTSIDE_FILM]}"
        )
    inner = _INSIDE_FILM[kind]
    return AIR_FILM[inner] + AIR_FILM[_OUTSIDE_FILM.get(outside, inner)]


def mean_along(x: Value) -> Value:
    """Mean of 1/(1 + s) for s from 0 to x, which is ln(1 + x)/x, and 1 where x is 0. [1]

    Where resistance grows evenly along a stretch (a tapered fill, a wall that goes into the ground), the
    mean U-value is the U-value at the thin end times this.

    Parameters
    ----------
    x : Value
        Resistance gained over the stretch against that at the thin end, above -1. [1]
    """
    if isinstance(x, np.ndarray):
        safe = np.where(np.abs(x) < VANISHING, VANISHING, x)
        return np.asarray(np.log1p(safe) / safe)
    return log1p(x) / x if abs(x) > VANISHING else 1.0


def series_resistance(*resistances: Value) -> Value:
    """Resistance of layers one behind the other. [h ft2 F/Btu]"""
    total: Value = 0.0
    for resistance in resistances:
        total = total + resistance
    return total


def parallel_u(*paths: tuple[Value, Value]) -> Value:
    """U-value of paths side by side, each given as share of area [1] and U-value. [Btu/(h ft2 F)]"""
    total: Value = 0.0
    for fraction, u_value in paths:
        total = total + fraction * u_value
    return total


def isothermal_planes_u(r_continuous: Value, *paths: tuple[Value, Value]) -> Value:
    """U-value when each face is at one temperature: the upper bound beside the parallel-path lower bound.

    Parameters
    ----------
    r_continuous : Value
        Layers and films in series with all paths. [h ft2 F/Btu]
    *paths : tuple of Value
        Share of area [1] and resistance [h ft2 F/Btu] of each path.
    """
    inner: Value = 0.0
    for fraction, resistance in paths:
        inner = inner + fraction / resistance
    return 1.0 / (r_continuous + 1.0 / inner)


def combined_u(r_continuous: Value, *paths: tuple[Value, Value]) -> Value:
    """U-value from the mean of the two bounds of resistance, a cross-check of the parallel paths.

    Parameters
    ----------
    r_continuous : Value
        Layers and films in series with all paths. [h ft2 F/Btu]
    *paths : tuple of Value
        Share of area [1] and resistance [h ft2 F/Btu] of each path.

    References
    ----------
    ISO 6946, combined method, as explained in the annex to a Scottish building standard (read).
    """
    most = 1.0 / parallel_u(*[(share, 1.0 / (r_continuous + r)) for share, r in paths])
    least = 1.0 / isothermal_planes_u(r_continuous, *paths)
    return 2.0 / (most + least)


def installed_resistance(r_label: Value, gap_fraction: Value, r_gap: Value = 1.0) -> Value:
    """Resistance of a fill with gaps, weighted by area.

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    gap_fraction : Value
        Share of the area that is gaps. [1]
    r_gap : Value
        Resistance in the gaps; a gap never helps, so at most the label's. [h ft2 F/Btu]

    References
    ----------
    Worked example R-38 with 2 % gaps is R-22, Fine Homebuilding, Winter 2009, as quoted (read).
    """
    r_gap = smaller(r_gap, larger(r_label, 1e-9))
    return r_label * r_gap / ((1.0 - gap_fraction) * r_gap + gap_fraction * r_label)


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


def loose_fill_resistance(
    r_label: Value, temperature_difference: Value, sensitivity: Value = FIBERGLASS_LOSS
) -> Value:
    """Resistance of a loose fill in the cold, when air starts to turn over in it.

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    temperature_difference : Value
        Across the fill. [F]
    sensitivity : Value
        Share of the R-value lost at full cold, see `LOOSE_FILL_LOSS`. [1]
    """
    span = COLD_LOSS_FULL - COLD_LOSS_START
    share = smaller(larger((temperature_difference - COLD_LOSS_START) / span, 0.0), 1.0)
    return r_label * (1.0 - sensitivity * share)


def framed_u(
    *,
    r_cavity: Value,
    r_framing: Value,
    framing_fraction: Value,
    r_continuous: Value,
    r_films: float,
    missing_fraction: Value = 0.0,
    r_missing: float = 0.91,
) -> Value:
    """U-value of framing, filled bays and empty bays side by side.

    Parameters
    ----------
    r_cavity, r_framing : Value
        Through the fill and through the framing. [h ft2 F/Btu]
    framing_fraction : Value
        Share of the area that is framing. [1]
    r_continuous : Value
        Layers in series with all paths. [h ft2 F/Btu]
    r_films : float
        Both air films. [h ft2 F/Btu]
    missing_fraction : Value
        Share of the bays that are empty. [1]
    r_missing : float
        An empty bay. [h ft2 F/Btu]

    References
    ----------
    Parallel-path method, ASHRAE 90.1-2016 Appendix A (values read, wood table memory).
    """
    around = r_continuous + r_films
    filled = 1.0 / (r_cavity + around)
    if not (isinstance(missing_fraction, float) and missing_fraction == 0.0):
        filled = filled + missing_fraction * (1.0 / (r_missing + around) - filled)
    if isinstance(framing_fraction, float) and framing_fraction == 0.0:
        return filled
    return filled + framing_fraction * (1.0 / (r_framing + around) - filled)


def attic_ceiling_u(
    *,
    r_fill: Value,
    fill_per_inch: Value,
    r_around: Value,
    joist_fraction: Value = 0.10,
    edge_fraction: Value = 0.05,
    joist_depth: Value = ATTIC_JOIST_DEPTH,
) -> Value:
    """U-value of an attic floor whose fill covers low joists and is half as deep along the eaves.

    Parameters
    ----------
    r_fill : Value
        Fill at full depth. [h ft2 F/Btu]
    fill_per_inch : Value
        Its resistance an inch. [h ft2 F/(Btu in)]
    r_around : Value
        Ceiling board and both air films. [h ft2 F/Btu]
    joist_fraction, edge_fraction : Value
        Shares of the area over joists and along the eaves; no edge share where the roof leaves room. [1]
    joist_depth : Value
        Depth of the joists. [in]

    References
    ----------
    ASHRAE 90.1 Appendix A2.4, 85 % full depth, 5 % half depth, 10 % joist (read); its table (memory).
    """
    over_joist = larger(r_fill - joist_depth * fill_per_inch, 0.0) + joist_depth * WOOD_PER_INCH
    return parallel_u(
        (1.0 - joist_fraction - edge_fraction, 1.0 / (r_around + r_fill)),
        (edge_fraction, 1.0 / (r_around + 0.5 * r_fill)),
        (joist_fraction, 1.0 / (r_around + over_joist)),
    )


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


def single_rafter_u(
    *,
    r_cavity: Value,
    rafter_depth: Value,
    r_continuous: Value,
    framing_fraction: Value = 0.10,
) -> Value:
    """U-value of a cathedral ceiling whose rafters are as deep as the fill.

    Parameters
    ----------
    r_cavity : Value
        Fill between the rafters. [h ft2 F/Btu]
    rafter_depth : Value
        Depth of the rafters. [in]
    r_continuous : Value
        Ceiling board, deck and roofing. [h ft2 F/Btu]
    framing_fraction : Value
        Share of the area that is rafters. [1]

    References
    ----------
    ASHRAE 90.1 Appendix A2.4, single-rafter roofs (read).
    """
    return framed_u(
        r_cavity=r_cavity,
        r_framing=rafter_depth * WOOD_PER_INCH,
        framing_fraction=framing_fraction,
        r_continuous=r_continuous,
        r_films=film_resistance("roof", "outdoors"),
    )


def door_u(
    r_slab: Value, glass_fraction: Value = 0.0, glass_u: Value = 0.0, outside: str = "outdoors"
) -> Value:
    """U-value of a door with or without glass in it.

    Parameters
    ----------
    r_slab : Value
        Slab without air films. [h ft2 F/Btu]
    glass_fraction : Value
        Share of the door that is glass. [1]
    glass_u : Value
        U-value of the glass, films included. [Btu/(h ft2 F)]
    outside : str
        As in `film_resistance`.
    """
    slab = 1.0 / (r_slab + film_resistance("door", outside))
    return slab + glass_fraction * (glass_u - slab)


def covered_opening_u(
    r_panel: Value, r_cover: Value = 0.0, cover_area_ratio: Value = 1.0, r_gap: Value = 0.0
) -> Value:
    """U-value of an attic hatch or pull-down stair, by the area of the opening.

    Parameters
    ----------
    r_panel : Value
        Hatch board or stair panel. [h ft2 F/Btu]
    r_cover : Value
        Insulation on the board, or walls and lid of a box over the stair. [h ft2 F/Btu]
    cover_area_ratio : Value
        Area of the cover against the opening; a box over a folded stair is near 2. [1]
    r_gap : Value
        Air between panel and cover. [h ft2 F/Btu]
    """
    inner = AIR_FILM["indoor_up"] + r_panel + r_gap
    outer = (r_cover + AIR_FILM["semi_exterior"]) / cover_area_ratio
    return 1.0 / (inner + outer)


def with_opening(u_surface: Value, u_opening: Value, opening_fraction: Value) -> Value:
    """Mean U-value of a surface with an opening of another U-value in it. [Btu/(h ft2 F)]"""
    return u_surface + opening_fraction * (u_opening - u_surface)
