"""U-values of walls, ceilings and floors as heat paths side by side; every path runs through the whole assembly.

Units of the trade: R [h ft2 F/Btu], U [Btu/(h ft2 F)], inches. Films are those of the ASHRAE Handbook
Fundamentals for still air (up 0.61, down 0.92, upright 0.68), 0.17 in the wind outdoors, and 0.46 where
a surface faces a vented space (ASHRAE 90.1 Appendix A). Softwood R-1.25 an inch (handbook, memory).
"""

FILM_UP, FILM_DOWN, FILM_UPRIGHT = 0.61, 0.92, 0.68
FILM_OUT, FILM_VENTED = 0.17, 0.46
WOOD = 1.25
BATT_R_IN = 3.2
"""A glass fiber batt an inch: R-19 is 6 in, R-38 12 in thick. (common practice)"""
EMPTY_BAY = 0.95
"""Upright air space of a stud bay. (handbook: 0.9 to 1.0)"""


def side_by_side(paths):
    """U-value of (share of area, resistance from air to air) pairs."""
    assert abs(sum(share for share, _ in paths) - 1) < 1e-9
    return sum(share / resistance for share, resistance in paths)


def framed_wall(*, films, boards, stud_in, framing, fill_r, gap, gap_r, missing):
    """Stud wall; ``missing`` is the share of the bays without fill, ``gap`` that of the filled area with a gap."""
    around = films + boards
    bays = 1 - framing
    filled = bays * (1 - missing)
    return side_by_side(
        [
            (framing, around + WOOD * stud_in),
            (bays * missing, around + EMPTY_BAY),
            (filled * gap, around + (gap_r if fill_r > 0 else EMPTY_BAY)),
            (filled * (1 - gap), around + max(fill_r, EMPTY_BAY)),
        ]
    )


def joisted_ceiling(
    *, films, boards, joist_in, framing, batt_r, gap, gap_r, missing, blown_in, blown_r_in
):
    """Attic floor. A blown layer, measured from the drywall, closes gaps and lies over the joists too.

    Batts thicker than the joists are two layers, the upper one across the joists. An empty bay is open
    to the attic: no air space is closed off there.
    """
    around = films + boards
    thick, r_in = (blown_in, blown_r_in) if blown_in > 0 else (batt_r / BATT_R_IN, BATT_R_IN)
    wood = around + WOOD * joist_in + max(thick - joist_in, 0.0) * r_in
    bays = 1 - framing
    if blown_in > 0:
        return side_by_side([(framing, wood), (bays, around + max(batt_r, blown_in * blown_r_in))])
    filled = bays * (1 - missing)
    return side_by_side(
        [
            (framing, wood),
            (bays * missing, around),
            (filled * gap, around + gap_r),
            (filled * (1 - gap), around + batt_r),
        ]
    )
