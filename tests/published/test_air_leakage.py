"""Blower door, natural flow and ventilation against handbook values, standards and reference libraries."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from checks import Check, assert_check, outside
from examples import example
from scipy.optimize import brentq

from retrofit_lab.climate.daily_csv import shipped_weather
from retrofit_lab.climate.monthly import monthly_climate
from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.model.air import air, site_shares
from retrofit_lab.physics.air_properties import (
    air_density,
    air_density_ratio,
    air_heat_coefficient,
)
from retrofit_lab.physics.blower_door import (
    envelope_flow,
    fit_power_law,
    flow_at,
    flow_coefficient,
    leakage_area,
)
from retrofit_lab.physics.leak_sites import neutral_level, wall_part
from retrofit_lab.physics.natural_airflow import (
    Openings,
    basic_flow,
    basic_stack_factor,
    basic_wind_factor,
    eave_wind_share,
    natural_flow,
    shelter_factor,
    stack_factor,
    wind_factor,
)
from retrofit_lab.physics.ventilation import combine_with_fans, minimum_ventilation

TOPIC = "air leakage"
OWN = "common practice, no source"
ALTITUDE = "Design Guide for HVAC Systems (2000/2006) p. 38 Table 6a"
STANDARD = "ASHRAE 62.2-2013, credit page of a national laboratory"
HANDBOOK = "ASHRAE Handbook Fundamentals chapter 16"
AUTHORS = "Walker and Wilson 1998, HVAC&R Research 4(2), equations"

CM2_PER_IN2 = 6.4516
L_PER_S_PER_CFM = 0.471947
MPH_PER_M_PER_S = 2.236936
F_PER_K = 1.8
SHARE_LOW_OR_HIGH = {1: 1 / 2, 2: 1 / 3, 3: 1 / 4}


def flow_at_4(exponent: float) -> float:
    """Flow at 4 Pa for each cfm at 50 Pa."""
    return flow_at(flow_coefficient(1.0, 50.0, exponent), exponent, 4.0)


def integrated_stack(stories: int, exponent: float = 0.67) -> float:
    """Flow per degree from pressures summed over walls and floor, neutral level at half height."""
    share = SHARE_LOW_OR_HIGH[stories]
    height = 2.5 * stories
    slope = 1.2 * 9.81 / 293.0
    steps = (np.arange(20_000) + 0.5) / 20_000 * height / 2.0
    walls = (1.0 - share) / 2.0 * float(((slope * steps) ** exponent).mean())
    return walls + share / 2.0 * (slope * height / 2.0) ** exponent


@dataclass(frozen=True)
class Balanced:
    """Air by stack alone through leaks in floor, walls and ceiling: flow of each, and of all that comes in."""

    low: float
    high: float
    whole: float
    level: float


def balanced(low: float, high: float, *, exponent: float = 0.67, height: float = 5.0) -> Balanced:
    """Where as much comes in as goes out, for 1 cfm at 1 Pa and a difference of 1 K; pressures summed over the walls."""
    full = 1.2 * 9.81 / 293.0 * height
    steps = (np.arange(5_000) + 0.5) / 5_000

    def passed(end: float, part: float) -> tuple[float, float]:
        walls = (1.0 - low - high) * part * float(((steps * part * full) ** exponent).mean())
        return end * (part * full) ** exponent, walls

    level = brentq(lambda b: sum(passed(low, b)) - sum(passed(high, 1.0 - b)), 1e-9, 1.0 - 1e-9)
    came, left = passed(low, level), passed(high, 1.0 - level)
    return Balanced(low=came[0], high=left[0], whole=sum(came), level=level)


def authors_wind(
    stories: int, *, crawl: bool, exponent: float = 0.67, spread: tuple[float, float] | None = None
) -> float:
    """Wind coefficient by the authors' equations, no flue; leakage evenly low and high, or as given."""
    share = SHARE_LOW_OR_HIGH[stories]
    low, high = spread or (share / 2.0, share / 2.0)
    both, tilt = low + high, high - low
    form = 0.19 * (2.0 - exponent) * 0.6**exponent
    if not crawl:
        return form * (1.0 - ((both + tilt) / 2.0) ** 1.5)
    level = 1.0 - (((tilt - (1.0 - both) / 5.0) / (2.0 - both)) ** 2) ** 0.75
    return form * (1.0 - both * (exponent / 2.0 + 0.2)) * level


def authors_stack(low: float, high: float, *, exponent: float = 0.67, height: float = 5.0) -> float:
    """Stack coefficient by the authors' equations, no flue, leakage as given."""
    both, tilt = low + high, high - low
    form = (1.0 + exponent * both) / (exponent + 1.0)
    form *= (0.5 - 0.5 * (tilt**2 / (2.0 - both)) ** 1.25) ** (exponent + 1.0)
    return form * (1.2 * 9.81 / 293.0 * height) ** exponent


SPREADS = ((0.0, 0.3), (0.1, 0.4), (0.4, 0.1), (0.3, 0.0), (0.35, 0.45))
"""Shares of the leakage in floor and ceiling: slabs with open attics, crawl spaces below tight ceilings."""


def found(low: float, high: float) -> Openings:
    return Openings(low=low, high=high, unknown=0.0)


def low_share(low: float, high: float, exponent: float) -> float:
    """Share of the air that comes up through the floor, by stack alone, by the product."""
    level = neutral_level(low + high, high - low, exponent)
    return low / (low + (1.0 - low - high) * wall_part(level, exponent, 1.0))


def profile(height_m: float) -> float:
    """Suburban wind at a height against 10 m over open country."""
    return (270.0 / 10.0) ** 0.14 * (height_m / 370.0) ** 0.22


def lincoln_in_l_per_s() -> float:
    """The handbook's two-story example: 500 cm2, 39 K, 6.7 m/s, shelter class 3."""
    flow = basic_flow(
        500.0 / CM2_PER_IN2,
        39.0 * F_PER_K,
        6.7 * MPH_PER_M_PER_S,
        stack_factor=basic_stack_factor(2.0),
        wind_factor=basic_wind_factor(2.0, 3),
    )
    return flow * L_PER_S_PER_CFM


def worked(difference: float, wind: float) -> float:
    """Flow of a house of two stories and 100 cfm at 1 Pa, shelter class 3, at F and m/s. [cfm]"""
    return natural_flow(
        100.0, 0.67, difference, wind * MPH_PER_M_PER_S,
        stack_factor=stack_factor(2.0, False),
        wind_factor=wind_factor(2.0, "basement"),
        shelter_factor=shelter_factor(3.0, False),
    )  # fmt: skip


METRIC_WIND = {
    1: (0.000319, 0.000420, 0.000494),
    2: (0.000246, 0.000325, 0.000382),
    3: (0.000174, 0.000231, 0.000271),
    4: (0.000104, 0.000137, 0.000161),
    5: (0.000032, 0.000042, 0.000049),
}
"""Wind coefficients of the basic model by shelter class and stories. [(L/s)2 / (cm4 (m/s)2)]"""
TO_INCH_POUND = CM2_PER_IN2**2 / L_PER_S_PER_CFM**2
FLORIDA = "Cummings and Tooley 1990, ESL-HH-90-10-20, abstract"


def florida_ratio() -> float:
    """Reading at 50 Pa over natural air of a year, slab house of one story in Miami, between classes 3 and 4."""
    house = with_numbers(
        example("wren_cottage").as_found, {"size.stories": 1.0, "site.shelter_class": 3.5}
    )
    house = replace(house, leakage=replace(house.leakage, flue="none"), buffers=())
    flows = air(house, monthly_climate(shipped_weather("miami_fl")), 70.0, 77.0)
    return float(flows.flow_50 / np.mean(flows.natural))


POWER_LAW = [
    Check(TOPIC, f"flow at 4 Pa for n = {n}", "arithmetic of the power law", OWN, q,
          lambda n=n: flow_at_4(n), 5e-5, "printed to four or five digits")
    for n, q in {0.65: 0.19365, 0.5: 0.2828, 0.6: 0.2197, 0.7: 0.1707}.items()
]  # fmt: skip

AREAS = [
    Check(TOPIC, "leakage area for each CFM50 at 1.2 kg/m3 (CFM50 / 18.2)", "ASTM E779 formula",
          "memory", 0.05486, lambda: leakage_area(flow_at_4(0.65), 4.0, density=1.2), 5e-5,
          "rounding; ours refers to 1.204 kg/m3 unless told otherwise"),
    Check(TOPIC, "leaks pass less volume than the fan at 20 F outdoors", "ASTM E779, mass balance",
          "memory", 1000.0 * (20.0 + 459.67) / (70.0 + 459.67),
          lambda: envelope_flow(1000.0, 70.0, 20.0), 1e-9, "ideal gas, exact"),
]  # fmt: skip

ANNUAL = [
    Check(TOPIC, "0.052 is 1000/7.3 of the leakage area in ft2", "ASHRAE 62.2 by normalized leakage",
          "memory", 0.052, lambda: 1000.0 / 7.3 / 144.0
          * leakage_area(flow_at_4(0.65), 4.0), 0.01,
          "0.052 is rounded: 1 %", relative=True),
    Check(TOPIC, "minimum ventilation, 2,400 ft2 and 3 bedrooms",
          "ASHRAE 62.2-2013 example as quoted", "read", 102.0,
          lambda: minimum_ventilation(2400.0, 3.0), 1e-9,
          "exact; editions before 2013 ask for 0.01 instead of 0.03 cfm/ft2 (memory)"),
]  # fmt: skip

BASIC = [
    Check(TOPIC, "basic model, two-story house in Lincoln [L/s]", f"{HANDBOOK} example", "memory",
          74.0, lincoln_in_l_per_s, 0.01, "printed to two digits; inch-pound coefficients here: 1 %",
          relative=True),
    *(
        Check(TOPIC, f"basic model, wind, {s} stories, class {c}, from the metric table", HANDBOOK,
              "memory", METRIC_WIND[c][s - 1] * TO_INCH_POUND / MPH_PER_M_PER_S**2,
              lambda s=s, c=c: basic_wind_factor(float(s), float(c)), 0.035 if c == 5 else 0.015,
              "both tables are rounded, in class 5 to two digits", relative=True)
        for c in METRIC_WIND for s in (1, 2, 3)
    ),
    *(
        Check(TOPIC, f"basic model, stack coefficient of {s:g} stories from the metric table", HANDBOOK,
              "memory", si / L_PER_S_PER_CFM**2 * CM2_PER_IN2**2 / F_PER_K,
              lambda s=s: basic_stack_factor(s), 0.01, "both tables are rounded: 1 %", relative=True)
        for s, si in {1.0: 0.000145, 2.0: 0.000290, 3.0: 0.000435}.items()
    ),
]  # fmt: skip

ENHANCED = [
    *(
        Check(TOPIC, f"enhanced model by hand, {f:g} F and {w:g} m/s at the eaves [cfm]",
              f"{HANDBOOK}, equations of the enhanced model", "memory", q,
              lambda f=f, w=w: worked(f, w), 0.002,
              "two stories, no flue, class 3: stack .078 x 20^.67 = .5805, wind .170 x 12.25^.67 = .9109, "
              "together 1.0802", relative=True)
        for f, w, q in [(36.0, 0.0, 58.05), (0.0, 5.0, 91.09), (36.0, 5.0, 108.02)]
    ),
    *(
        Check(TOPIC, f"shelter with a flue, class {c}", f"{HANDBOOK} table", "memory", s,
              lambda c=c: shelter_factor(float(c), True), 0.005,
              "four fifths of the house's shelter and 1.5 for the fifth that the flue is, to two digits")
        for c, s in {1: 1.10, 2: 1.02, 3: 0.86, 4: 0.70, 5: 0.54}.items()
    ),
    *(
        Check(TOPIC, f"stack coefficient with a flue, {s} stories", f"{HANDBOOK} table", "memory", value,
              lambda s=s: stack_factor(float(s), True), 1e-4, "printed to three digits")
        for s, value in {1: 0.069, 2: 0.089, 3: 0.107}.items()
    ),
    *(
        Check(TOPIC, f"wind coefficient with a flue over a {name}, {s} stories", f"{HANDBOOK} table", "memory", value,
              lambda s=s, name=name: wind_factor(float(s), name, True), 1e-4, "printed to three digits")
        for name, values in {"basement": (0.142, 0.156, 0.167), "crawlspace": (0.128, 0.142, 0.154)}.items()
        for s, value in zip((1, 2, 3), values, strict=True)
    ),
    *(
        Check(TOPIC, f"shelter without a flue, class {c}", f"{HANDBOOK} table", "memory", s,
              lambda c=c: shelter_factor(float(c), False), 1e-9, "printed")
        for c, s in {1: 1.00, 2: 0.90, 3: 0.70, 4: 0.50, 5: 0.30}.items()
    ),
    Check(TOPIC, "reading over natural air, one story in Florida", FLORIDA, "read", 12.58 / 0.29,
          florida_ratio, 0.15, "155 houses of many shelters, tracer gas with the air handler off; "
          "Miami's year here: 15 %", relative=True, mechanism="natural air of a house"),
    *(
        Check(TOPIC, f"stack coefficient, {s} stories, summed over the walls",
              f"{HANDBOOK} table against our own sum of pressures", "memory", integrated_stack(s),
              lambda s=s: stack_factor(float(s), False), 0.01,
              "shares of floor and ceiling (1/2, 1/3, 1/4) are chosen to fit: 1 %", relative=True)
        for s in (1, 2, 3)
    ),
    *(
        Check(TOPIC, f"stack coefficient, {s} stories, exponent {n}", "our own sum of pressures", OWN,
              integrated_stack(s, n), lambda s=s, n=n: stack_factor(float(s), False, exponent=n),
              0.01, "as at the table's exponent: 1 %; the table unchanged would be 6 % off at 0.65",
              relative=True)
        for s in (1, 2, 3) for n in (0.6, 0.65)
    ),
    *(
        Check(TOPIC, f"stack coefficient, {low:.0%} in the floor and {high:.0%} in the ceiling", "our own sum of pressures", OWN,
              balanced(low, high).whole, lambda low=low, high=high: stack_factor(2.0, False, openings=found(low, high)),
              0.03, "the authors' form is a fit to such sums, to 3 % at these spreads", relative=True, mechanism="where leaks lie")
        for low, high in SPREADS
    ),
    *(
        Check(TOPIC, f"basic model against an even spread, {low:.0%} in the floor and {high:.0%} in the ceiling",
              "our own sum of pressures", OWN,
              (balanced(low, high, exponent=0.5).whole / balanced(0.25, 0.25, exponent=0.5).whole) ** 2,
              lambda low=low, high=high: basic_stack_factor(2.0, found(low, high)) / basic_stack_factor(2.0),
              0.005, "square-root openings, which that model is made of", relative=True, mechanism="where leaks lie")
        for low, high in SPREADS
    ),
    *(
        Check(TOPIC, f"neutral level, {low:.0%} in the floor and {high:.0%} in the ceiling, exponent {n}", "our own sum of pressures", OWN,
              balanced(low, high, exponent=n).level, lambda low=low, high=high, n=n: neutral_level(low + high, high - low, n),
              0.006, "solved to the first order", mechanism="where leaks lie")
        for low, high in SPREADS for n in (0.55, 0.67)
    ),
    *(
        Check(TOPIC, f"air that comes up from below, {low:.0%} in the floor and {high:.0%} in the ceiling, exponent {n}",
              "our own sum of pressures", OWN, balanced(low, high, exponent=n).low / balanced(low, high, exponent=n).whole,
              lambda low=low, high=high, n=n: low_share(low, high, n), 0.006, "as the level", mechanism="where leaks lie")
        for low, high in SPREADS if low for n in (0.55, 0.67)
    ),
    *(
        Check(TOPIC, f"wind coefficient over a {name}, {low:.0%} in the floor and {high:.0%} in the ceiling", AUTHORS, "memory",
              authors_wind(2, crawl=name == "crawlspace", spread=(low, high)) / authors_wind(2, crawl=name == "crawlspace"),
              lambda low=low, high=high, name=name: (
                  wind_factor(2.0, name, openings=found(low, high)) / wind_factor(2.0, name)), 0.005,
              "the authors' equation", relative=True, mechanism="where leaks lie")
        for low, high in SPREADS for name in ("basement", "crawlspace")
    ),
    Check(TOPIC, "basic model by wind, two fifths in floor and ceiling against the half of its table",
          "Sherman and Grimsrud 1980, (1 - R)^(1/3)", "memory", (0.6 / 0.5) ** (2.0 / 3.0),
          lambda: basic_wind_factor(2.0, 3.0, found(0.2, 0.2)) / basic_wind_factor(2.0, 3.0), 0.002, "squared in the table",
          relative=True, mechanism="where leaks lie"),
    *(
        Check(TOPIC, f"wind coefficient, {s} stories over a {name}", f"{AUTHORS}; table of {HANDBOOK}",
              "memory", authors_wind(s, crawl=name == "crawlspace"),
              lambda s=s, name=name: wind_factor(float(s), name), 0.025,
              "the same shares as for the stack, table rounded: 2.5 %; another copy of the table has "
              "0.154 for three stories over a crawl space, the equation 0.151", relative=True)
        for s in (1, 2, 3) for name in ("basement", "crawlspace")
    ),
    *(
        Check(TOPIC, f"wind at the eaves, {s:g} stories", "ASHRAE Handbook chapter 24, suburban profile",
              "memory", profile(2.5 * s), lambda s=s: eave_wind_share(s), 0.10,
              "two rules for one thing: the multiplier is lower by up to 10 %", relative=True)
        for s in (1.0, 2.0, 3.0)
    ),
]  # fmt: skip

FANS = [
    Check(TOPIC, "half of an exhaust fan adds", "Palmiter and Bond 1991", "memory", 120.0,
          lambda: combine_with_fans(100.0, 40.0, 0.0), 1e-12, "exact"),
    Check(TOPIC, "a strong fan takes all", "Palmiter and Bond 1991", "memory", 250.0,
          lambda: combine_with_fans(100.0, 250.0, 0.0), 1e-12, "exact"),
    Check(TOPIC, "limit: balanced fan adds fully", "limiting case", OWN, 150.0,
          lambda: combine_with_fans(100.0, 0.0, 0.0, balanced=50.0), 1e-12, "exact"),
]  # fmt: skip

AIR = [
    *(
        Check(TOPIC, f"air density at {ft} ft", ALTITUDE, "read", sigma,
              lambda ft=ft: air_density_ratio(ft), 0.002,
              "0.2 % as between the table and PsychroLib", relative=True)
        for ft, sigma in {6000: 0.801, 7000: 0.772, 8000: 0.743}.items()
    ),
    *(
        Check(TOPIC, f"heat carried by air at {ft} ft", ALTITUDE, "read", c,
              lambda ft=ft: air_heat_coefficient(air_density_ratio(ft)), 0.002,
              "0.2 % as between the table and PsychroLib", relative=True)
        for ft, c in {6000: 0.866, 7000: 0.833, 8000: 0.802}.items()
    ),
    Check(TOPIC, "heat carried by air at sea level", "0.075 x 0.24 x 60", OWN, 1.08,
          lambda: air_heat_coefficient(1.0), 1e-12,
          "exact for dry air at 70 F; the trade also writes 1.10 for moist air, and air at 0 F has 1.24"),
    Check(TOPIC, "standard air [lb/ft3]", "0.075 lb/ft3 at 70 F and sea level", "memory", 0.075,
          lambda: air_density(70.0), 5e-4, "rounded to three decimals"),
]  # fmt: skip

READINGS = ([12.0, 20.0, 29.0, 41.0, 50.0, 60.0], [760.0, 1090.0, 1330.0, 1690.0, 1905.0, 2140.0])
"""Six readings made up for the check. [Pa, cfm]"""
LIBRARY = "scipy 1.17 linregress on logarithms, Student's t at 95 % with 4 degrees of freedom"
FIT = [
    Check(TOPIC, f"six readings: {name}", LIBRARY, "read", expected, lambda get=get: get(fit_power_law(*READINGS)), 1e-6,
          "the same regression", relative=True)
    for name, expected, get in [
        ("exponent", 0.6375925995715128, lambda f: f.exponent),
        ("error of the exponent", 0.011175912867905145, lambda f: f.exponent_error),
        ("lowest exponent", 0.6065632909933005, lambda f: f.exponent_range[0]),
        ("highest exponent", 0.6686219081497251, lambda f: f.exponent_range[1]),
        ("coefficient", 157.57852242666675, lambda f: f.coefficient),
        ("error of its logarithm", 0.038807422878987766, lambda f: f.coefficient_error),
        ("lowest coefficient", 141.48266628410812, lambda f: f.coefficient_range[0]),
        ("correlation", 0.9993860833662043, lambda f: f.correlation),
        ("flow at 50 Pa", 1908.7441787031064, lambda f: f.flow_50),
        ("lowest flow at 50 Pa", 1865.6770824337605, lambda f: f.flow_50_range[0]),
        ("highest flow at 50 Pa", 1952.8054313559642, lambda f: f.flow_50_range[1]),
    ]
]  # fmt: skip

COMPONENTS = "Dickerhoff, Grimsrud and Lipschutz 1982 (LBL-14735) and Harrje and Born 1982, as the ASHRAE Handbook Fundamentals sums them up"
GROUPS = {
    "walls, with outlets, top plates, pipes and the sill": ("outlets", "baseboard", "band_joist", "top_plates", "plumbing_penetrations", "open_stud_bays"),
    "ceilings": ("wiring_penetrations", "attic_hatch", "chase", "kneewall", "kneewall_door", "kneewall_floor", "cathedral"),
    "windows and doors": ("windows", "doors"),
    "vents of bath and dryer": ("bath_fan", "dryer_vent"),
}  # fmt: skip
HOUSES = [
    ("basement, not heated", "attic", 1975.0, 1.0),
    ("crawl space", "attic", 1955.0, 1.0),
    ("slab on the ground", "attic", 1985.0, 1.0),
    ("basement, not heated", "rooms with knee walls", 1948.0, 1.0),
    ("basement, not heated", "attic", 1920.0, 2.0),
]


def share_of(group: str) -> float:
    """Mean share of the leakage in five kinds of starting houses."""
    return float(np.mean([_share(house, GROUPS[group]) for house in map(_started, HOUSES)]))


def _started(kind: tuple[str, str, float, float]) -> House:
    foundation, roof, year, stories = kind
    return starting_house(
        FirstAnswers(
            name="house", climate="greensboro_nc", year_built=year, length=40.0, width=28.0, stories=stories,
            ceiling=8.0, foundation=foundation, roof=roof, heating="gas furnace", cooling="none",
            hot_water="gas tank", bedrooms=3.0, occupants=3.0,
        )
    )  # fmt: skip


def _share(house: House, kinds: tuple[str, ...]) -> float:
    shares = site_shares(house)
    return sum(float(shares[site.key]) for site in house.leakage.sites if site.kind in kinds)


SHARES = [
    Check(TOPIC, f"share of the leakage in usual houses: {group}", COMPONENTS, "memory", mean, lambda group=group: share_of(group),
        span, "within the span of the measured houses round their mean", mechanism=f"leak sites: {group}")
    for group, mean, span in [
        ("walls, with outlets, top plates, pipes and the sill", 0.35, 0.15),
        ("ceilings", 0.18, 0.08),
        ("windows and doors", 0.15, 0.065),
    ]
]  # fmt: skip

CHECKS = [*FIT, *POWER_LAW, *AREAS, *ANNUAL, *BASIC, *ENHANCED, *FANS, *AIR, *SHARES]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)


@outside("psychrolib")
def test_density_agrees_with_psychrometric_library() -> None:
    psychrolib = pytest.importorskip("psychrolib")
    psychrolib.SetUnitSystem(psychrolib.IP)
    sea = psychrolib.GetStandardAtmPressure(0.0)
    for feet in (1000.0, 5280.0, 7113.0):
        pressure = psychrolib.GetStandardAtmPressure(feet)
        assert air_density_ratio(feet) == pytest.approx(pressure / sea, rel=2e-4)
        for fahrenheit in (0.0, 70.0):
            theirs = psychrolib.GetDryAirDensity(fahrenheit, pressure)
            assert air_density(fahrenheit, feet) == pytest.approx(theirs, rel=5e-4)


@outside("fluids")
def test_density_ratio_agrees_with_the_standard_atmosphere_of_a_flow_library() -> None:
    atmosphere = pytest.importorskip("fluids.atmosphere").ATMOSPHERE_1976
    for feet in (0.0, 3000.0, 8000.0):
        ratio = atmosphere(feet * 0.3048).P / 101325.0
        assert air_density_ratio(feet) == pytest.approx(ratio, rel=2e-4)


@outside("CoolProp")
def test_heat_coefficient_agrees_with_fluid_library_at_room_temperature_only() -> None:
    properties = pytest.importorskip("CoolProp.CoolProp")

    def theirs(fahrenheit: float) -> float:
        kelvin = (fahrenheit + 459.67) / 1.8
        density = properties.PropsSI("D", "T", kelvin, "P", 101325.0, "Air")
        heat = properties.PropsSI("C", "T", kelvin, "P", 101325.0, "Air")
        return density * heat * 0.0283168 * 60.0 / 1055.056 / 1.8

    assert air_heat_coefficient(1.0) == pytest.approx(theirs(70.0), rel=0.003)
    assert theirs(0.0) / air_heat_coefficient(1.0) == pytest.approx(1.15, abs=0.01)
