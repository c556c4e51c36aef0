"""Lumber that holds a fill, fill over joists, empty bays, and heat of pipes and flues, by labels, codes and hand.

Expected values come from labels of bags and batts (thickness for an R-value) and from printed assemblies.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check
from steady import HOURS, KWH, changed, heat, item, losing, surface, weather, year
from test_steady_house import OPEN, drawn, million, tank_of, water

from retrofit_lab.physics.below_grade import wall_u
from retrofit_lab.physics.conduction import (
    compressed_resistance,
    framing_resistance,
    loose_fill_resistance,
)
from retrofit_lab.physics.hot_water import heat_pump_tank_cop, mains_temperature
from retrofit_lab.physics.natural_airflow import stack_factor

TOPIC = "assemblies"
OWN = "common practice, no source"
COLD = weather(30.0)
LUMBER = "PS 20, actual depths of lumber, at R-1.25 an inch"
BAGS = "labels of bags, batts and boards: depth for an R-value"
LATTA = "ASHRAE Handbook Fundamentals chapter 18, after Latta and Boileau"
HANDBOOK = "ASHRAE Handbook Fundamentals chapter 16, enhanced model"
A33 = "ANSI/ASHRAE/IES 90.1 Appendix A, table of wood-framed walls"


def row(name, mechanism, source, mark, expected, ours, tolerance, why) -> Check:
    return Check(TOPIC, name, source, mark, expected, ours, tolerance, why, relative=True, mechanism=mechanism)  # fmt: skip


HELD = [
    row(f"{fill.replace('_', ' ')} of R-{r:g} in lumber of {depth:g} in", "lumber that holds a fill", LUMBER, "memory", 1.25 * depth,
        lambda r=r, fill=fill: framing_resistance(r, fill), 0.01, why)
    for fill, r, depth, why in [
        ("none", 15.0, 3.5, "a fill that nobody named is taken for a batt"), ("none", 25.0, 7.25, "a fill that nobody named is taken for a batt"),
        ("batt", 15.0, 3.5, "the densest batt of a 2x4 wall"), ("batt", 25.0, 7.25, "8 in batts stand in 2x8"),
        ("cellulose", 13.0, 3.5, "dense, 3.7 to 3.8 an inch"), ("cellulose", 25.0, 7.25, "dense, 3.7 an inch would need 6.8 in"),
        ("cellulose", 35.0, 9.25, "dense, rafters filled"), ("cellulose", 42.0, 11.25, "dense, rafters filled"),
        ("loose_fiberglass", 14.0, 3.5, "blown behind a net, 4 an inch"), ("foam", 24.0, 3.5, "closed-cell foam of R-7 an inch"),
        ("foam", 26.0, 5.5, "4 in of closed-cell foam do not stand in a 2x4"), ("board", 19.5, 3.5, "3 in of polyisocyanurate"),
        ("board", 26.0, 5.5, "4 in of polyisocyanurate"),
    ]
]  # fmt: skip


def over_joist(fill: str, r_label: float) -> float:
    """Heat of 1,000 ft2 of attic floor of which all lies over 2x4 joists. [million Btu]"""
    floor = surface(
        "ceiling", "attic", r_label=r_label, framing_fraction=1.0, r_framing=4.375, fill=fill
    )
    return heat(COLD, surfaces=(floor,), buffers=(OPEN,))


LYING = [
    row(f"{fill.replace('_', ' ')} of R-{r:g} over a joist of 3.5 in", "fill over joists in a house", BAGS, "memory",
        million(1000 * 40 / (4.375 + r * (depth - 3.5) / depth + 0.61 + 0.46)), lambda fill=fill, r=r: over_joist(fill, r), 0.035, why)
    for fill, r, depth, why in [
        ("cellulose", 30.0, 8.6, "8.1 to 9.1 in"), ("batt", 30.0, 9.5, "9.5 to 10 in"), ("foam", 30.0, 8.2, "open-cell, 3.6 to 3.7 an inch"),
        ("board", 20.0, 4.0, "extruded foam, R-5 an inch"),
    ]
]  # fmt: skip


def first_of_two(value) -> float:
    """Of two houses worked out at once, the first."""
    return float(np.ravel(value)[0])


SEVEN = np.array([[7.0], [7.0]])
TOGETHER = [
    row("basement wall 7 ft deep, two at once", "houses worked out together", LATTA, "memory", 0.170, lambda: first_of_two(wall_u(SEVEN, 1.47)), 0.005,
        "printed as .170"),
    row("R-19 batt in 5.5 in, two at once", "houses worked out together", "tables of squeezed batts: R-18", "read", 18.0,
        lambda: first_of_two(compressed_resistance(19.0, 6.25, np.array([[5.5], [5.5]]))), 0.015, "printed whole"),
    *(
        row(f"stack coefficient of {stories:g} stories, two at once", "houses worked out together", HANDBOOK, "memory", printed,
            lambda stories=stories: first_of_two(stack_factor(np.array([[stories], [stories]]), flue=False)), 1e-9, "printed")
        for stories, printed in {1.0: 0.054, 2.0: 0.078, 3.0: 0.098}.items()
    ),
    row("heat-pump tank near its rating point, two at once", "houses worked out together", "rating at 67.5 F and 125 F", "memory", 3.0,
        lambda: first_of_two(heat_pump_tank_cop(3.0, np.array([[67.5], [67.5]]), 125.0)), 1e-9, "its label"),
    row("heat-pump tank in air of 35 F, two at once", "houses worked out together", "manuals of heat-pump tanks: the element below 37 to 45 F", "memory", 1.0,
        lambda: first_of_two(heat_pump_tank_cop(3.0, np.array([[35.0], [35.0]]), 125.0)), 1e-9, "the element"),
    row("ceiling of R-20 above deck in two houses at once", "houses worked out together", "ANSI/ASHRAE/IES 90.1-2016 Appendix A, Table A2.2.3", "read",
        million(0.048 * 1000 * 40), lambda: heat_of_two(surface("ceiling", r_continuous=np.array([[20.0], [30.0]]))), 0.01, "U printed to three digits"),
    row("attic floor over joists in two houses at once", "houses worked out together", BAGS, "memory",
        million(1000 * 40 / (4.375 + 30 * (8.6 - 3.5) / 8.6 + 0.61 + 0.46)), lambda: heat_of_two(surface(
            "ceiling", "attic", r_label=np.array([[30.0], [40.0]]), framing_fraction=1.0, r_framing=4.375, fill="cellulose")), 0.035, "8.1 to 9.1 in"),
    row("a year 2 F warmer in two houses at once", "houses worked out together", "heat balance worked by hand", OWN, million(100 * 38), lambda: first_of_two(
        year(COLD, windows=(losing(100.0),), site=changed("site", warmer_by=np.array([[2.0], [4.0]]))).annual("electricity", "heating")) / 1e6, 1e-4, "38 F"),
]  # fmt: skip


def heat_of_two(part) -> float:
    """Heat of the first of two houses that differ in one number. [million Btu]"""
    return (
        first_of_two(year(COLD, surfaces=(part,), buffers=(OPEN,)).annual("electricity", "heating"))
        / 1e6
    )


COLD_FILL = "Wilkes and Childs 1992: 35 to 50 % less at 70 F across loose fiberglass, nothing at a small difference"
EMPTY = [
    row("loose fiberglass with 20 F across it, against its label", "loose fiberglass in the cold", COLD_FILL, "read", 1.0,
        lambda: loose_fill_resistance(30.0, 20.0) / 30.0, 0.02, "a small difference"),
    row("loose fiberglass of R-30 as it lies in an attic in winter, against its label", "loose fiberglass in the cold", COLD_FILL, "read", 0.765,
        lambda: (1e6 / heat(COLD, surfaces=(surface("ceiling", "attic", r_label=30.0, fill="loose_fiberglass"),), buffers=(OPEN,)) * HOURS * 40 * 1000 / 1e12
                 - 1.07) / 30.0, 0.07, "50 F in a cold month: half to three fifths of that loss"),
    row("wall without any fill", "empty bays in a house", A33, "memory", million(0.292 * 1000 * 40), lambda: heat(COLD, surfaces=(
        surface("wall", r_label=13.0, missing_fraction=1.0, framing_fraction=0.25, r_continuous=1.2, fill="batt"),)), 0.006, "U printed as .292"),
]  # fmt: skip

PIPE = 0.4352 * 60 * 50
"""Of 60 ft of bare 7/8 in pipe at 120 F in rooms of 70 F. [Btu/h]"""
BURCH = "Burch and Christensen 2007, put into numbers by hand"
MIDDLES = {1: 45.0, 5: 166.0, 8: 258.0, 10: 319.0}
"""Days in the middle of some months by the calendar. [day]"""
WATER = [
    *(
        row(f"mains of month {month + 1} where the air is at 76 F, half swing 20 F [F]", "mains of a house", BURCH, "memory",
            82.0 + 0.72 * 20 * np.sin(np.radians(0.986 * (day - 15 - 3) - 90)), lambda month=month: float(mains_temperature(76.0, 20.0)[month]), 0.004,
            "lag 3 days, ratio .72")
        for month, day in MIDDLES.items()
    ),
    row("500 W of appliances, half of the heat kept indoors [million Btu]", "heat of what is plugged in", "3,412 Btu in a kWh", "memory",
        million(40_000 - 853), lambda: heat(COLD, windows=(losing(1000.0),), appliances=(
            item("appliances", kind="other", fuel="electricity", use=4380.0, inside=0.5),)), 0.003, "half leaves"),
    row("500 W of standby, half of the heat kept indoors [million Btu]", "heat of standby", "3,412 Btu in a kWh", "memory", million(40_000 - 853),
        lambda: heat(COLD, windows=(losing(1000.0),), standby=(item("standby", watts=500.0, hours=24.0, inside=0.5),)), 0.003, "half leaves"),
    row("warm pipes warm the rooms [million Btu]", "gains of pipes in a house", "bare tube of 1.9 Btu/(h ft2 F)", OWN, million(40 * 500 - PIPE),
        lambda: heat(COLD, windows=(losing(500.0),), hot_water=drawn(pipe_length=60.0, pipe_diameter=0.875, pipe_hours=24.0), water_heaters=(
            tank_of(volume=0.0),)), 0.004, ".435 Btu/(h ft F)"),
    row("two tanks with flues of 4 Btu/(h F) share the water [kWh]", "flue of a tank in a house", "heat balance worked by hand", OWN,
        4 * 50 * HOURS / KWH, lambda: water(water_heaters=(
            tank_of(key="a", volume=0.0, flue_loss=4.0, share=0.5), tank_of(key="b", volume=0.0, flue_loss=4.0, share=0.5))), 1e-6,
        "50 F above the rooms, each half of the time"),
    row("two tanks of 50 gal and R-16 share the water: against one", "standby of a tank in a house", "heat balance worked by hand", OWN, 1.0,
        lambda: water(water_heaters=(tank_of(key="a", share=0.5), tank_of(key="b", share=0.5))) / water(water_heaters=(tank_of(),)), 1e-6,
        "each counts by its share"),
    row("blanket of R-10 round most of a tank of R-6 [kWh]", "wrap of a tank in a house", "parallel paths by hand, 80 to 90 % covered", "memory",
        23 * (0.85 / 16 + 0.15 / 6) * 50 * HOURS / KWH, lambda: water(water_heaters=(replace(tank_of(), r_tank=6.0, r_wrap=10.0),)), 0.1,
        "tank of 16 in by 58 in, 23 ft2"),
]  # fmt: skip

CHECKS = [*HELD, *LYING, *TOGETHER, *EMPTY, *WATER]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
