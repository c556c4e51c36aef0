"""Heat through layers, framing, gaps and squeezed fill above the ground; below_grade.py has the rest.

All resistances in [h ft2 F/Btu], all U-values in [Btu/(h ft2 F)].
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from retrofit_lab.values import Value

AIR_FILM: Mapping[str, float] = MappingProxyType(
    {
        "outdoor": 0.17,
        "semi_exterior": 0.46,
        "indoor_up": 0.61,
        "indoor_down": 0.92,
        "indoor_wall": 0.68,
    }
)
"""Air films. [h ft2 F/Btu] Source: ASHRAE 90.1 Appendix A9 (read)."""

COLD_LOSS_START = 20.0
COLD_LOSS_FULL = 70.0
COLD_LOSS_MOST = 0.4
"""Loose fiberglass loses 35 to 50 % of its R-value at 70 to 76 F difference (Wilkes and Childs 1992,
abstract read); that it sets in at 20 F and grows evenly is judgement."""


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


def installed_resistance(r_label: Value, gap_fraction: Value, r_gap: Value = 1.0) -> Value:
    """Resistance of a fill with gaps, weighted by area.

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    gap_fraction : Value
        Share of the area that is gaps. [1]
    r_gap : Value
        Resistance in the gaps. [h ft2 F/Btu]

    References
    ----------
    Worked example R-38 with 2 % gaps is R-22, Fine Homebuilding, Winter 2009, as quoted (read).
    """
    r_gap = np.minimum(r_gap, np.maximum(r_label, 1e-9))
    return r_label * r_gap / ((1.0 - gap_fraction) * r_gap + gap_fraction * r_label)


def compressed_resistance(r_label: Value, label_thickness: Value, cavity_depth: Value) -> Value:
    """Resistance of a batt squeezed into a shallower cavity: squeezed by x, it loses x/2 of its R-value.

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    label_thickness, cavity_depth : Value
        Thickness that the label is for, and depth there is. [in]

    References
    ----------
    Rule and table in two trade articles on compressed batts (read); R-19 in 3.5 in is 13 or 14 there.
    """
    squeeze = 1.0 - np.minimum(cavity_depth / label_thickness, 1.0)
    return r_label * (1.0 - squeeze / 2.0)


def loose_fill_resistance(r_label: Value, temperature_difference: Value) -> Value:
    """Resistance of loose fiberglass in the cold, when air starts to turn over in it.

    Parameters
    ----------
    r_label : Value
        R-value on the label. [h ft2 F/Btu]
    temperature_difference : Value
        Across the fill. [F]
    """
    span = COLD_LOSS_FULL - COLD_LOSS_START
    share = np.clip((temperature_difference - COLD_LOSS_START) / span, 0.0, 1.0)
    return r_label * (1.0 - COLD_LOSS_MOST * share)


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


def eave_taper_resistance(r_full: Value, edge_fraction: Value, edge_share: float = 0.5) -> Value:
    """Mean resistance of attic fill that is thinner along the eaves.

    Parameters
    ----------
    r_full : Value
        R-value at full depth. [h ft2 F/Btu]
    edge_fraction : Value
        Share of the area along the eaves. [1]
    edge_share : float
        Depth there against full depth. [1]
    """
    return 1.0 / ((1.0 - edge_fraction) / r_full + edge_fraction / (edge_share * r_full))
