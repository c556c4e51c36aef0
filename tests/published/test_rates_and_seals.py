"""Rates by hours and tiers, what sealing takes away, walls between two compass points and places up a hill.

Bills are worked out by hand from the rate, sealing is held against the handbook's table of components before
and after, sun on slanting walls is pvlib's. Expected values and bands were written down before ours were looked at.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check
from steady import KWH, changed, heat, item, losing, surface, window, year
from test_air_leakage import authors_stack, balanced
from test_joined_parts import CALM, EQUATIONS, FLOOR, GLASS, at
from test_measures import full
from test_steady_house import COLD, buffer, drawn, item_fan, million, tank_of, water
from test_weather import TMY3
from test_weather import read as greensboro

from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.monthly import monthly_climate
from retrofit_lab.climate.places import place_weather
from retrofit_lab.house.description import LeakSite, Underground
from retrofit_lab.model.losses import season_losses
from retrofit_lab.money.charges import Charges
from retrofit_lab.money.tariffs import (
    NetMetering,
    Period,
    Tariff,
    Tier,
    hourly_price,
    month_charges,
)
from retrofit_lab.physics.conduction import framing_resistance, loose_fill_resistance
from retrofit_lab.physics.heat_pump import capacity_share, cop_share
from retrofit_lab.physics.sun import wall_irradiation
from retrofit_lab.physics.ventilation import infiltration_credit

OWN = "common practice, no source"


def row(topic, name, mechanism, source, mark, expected, ours, tolerance, why) -> Check:
    return Check(topic, name, source, mark, expected, ours, tolerance, why, relative=True, mechanism=mechanism)  # fmt: skip


# --- rates -----------------------------------------------------------------------------------------

BILL = "bill worked out by hand from the rate"
EVENING = Period(name="evening", price=0.40, hours=(16.0, 21.0), days="weekdays")
NIGHT = Period(name="night", price=0.10, hours=(23.0, 6.5))
SUMMER = Period(name="summer", price=0.50, hours=(12.0, 18.0), months=(6, 7, 8))
TIERS = Tariff(price=0.2, tiers=(Tier(price=0.10, up_to=500.0), Tier(price=0.25)))
EIGHT = np.full(12, 800.0)
SUNNY = Tariff(price=0.2, net_metering=NetMetering(made=(0.0, *[1000.0] * 10, 0.0), credit=0.05))
KEPT = replace(SUNNY, net_metering=NetMetering(made=(0.0, *[1000.0] * 10, 0.0), credit=0.05, carry=True))  # fmt: skip


def price(month: int, *periods: Period) -> float:
    """Price of a load that is even over the day, in a month that counts from 1."""
    return float(hourly_price(Tariff(price=0.20, time_of_use=periods), "standby")[month - 1])


RATES = [
    row("money", "weekday evenings at twice the price", "rates by the hour", BILL, OWN, 0.20 + 0.20 * 5 / 24 * 5 / 7, lambda: price(1, EVENING), 1e-6,
        "5 of 24 hours, 5 of 7 days"),
    row("money", "nights past midnight at half the price", "rates by the hour", BILL, OWN, 0.20 - 0.10 * 7.5 / 24, lambda: price(1, NIGHT), 1e-6, "7.5 hours"),
    row("money", "summer afternoons in July", "rates by the month", BILL, OWN, 0.20 + 0.30 * 6 / 24, lambda: price(7, SUMMER), 1e-6, "6 hours"),
    row("money", "summer afternoons in May", "rates by the month", BILL, OWN, 0.20, lambda: price(5, SUMMER), 1e-6, "no summer yet"),
    row("money", "evening and summer: the first holds", "rates by the hour", BILL, OWN,
        0.20 + 0.20 * 5 / 24 * 5 / 7 + 0.30 * (4 + 2 * 2 / 7) / 24, lambda: price(7, EVENING, SUMMER), 1e-6, "noon to 4 on all days, to 6 on weekends"),
    row("money", "800 kWh in two tiers", "rates by tiers", BILL, OWN, 50 + 75.0, lambda: float(month_charges(TIERS, EIGHT)[0]), 1e-9, "500 and 300 kWh"),
    row("money", "300 kWh in two tiers", "rates by tiers", BILL, OWN, 30.0, lambda: float(month_charges(TIERS, EIGHT - 500)[0]), 1e-9, "within the first"),
    row("money", "sun of 1,000 kWh beside 800, ten months", "credit for sun", BILL, OWN, 2 * 160 - 10 * 200 * 0.05,
        lambda: float(month_charges(SUNNY, EIGHT).sum()), 1e-9, "200 kWh a month are paid for"),
    row("money", "the same, carried over", "credit for sun", BILL, OWN, 160 - 1200 * 0.05, lambda: float(month_charges(KEPT, EIGHT).sum()), 1e-9,
        "2,000 kWh kept, 800 of them for December"),
]  # fmt: skip

# --- sealing ---------------------------------------------------------------------------------------

TABLE = "ASHRAE Handbook Fundamentals, leakage area of components before and after: hatch 30 and 18 cm2, outlet 2.5 and .15"


def offered(key: str, kind: str, place: str) -> float:
    site = LeakSite(key=kind, label=kind, kind=kind, place=place, count=10.0, condition=1.0, sealed=0.0)  # fmt: skip
    return at(key, "sealed", replace(full(), leakage=changed("leakage", flow=500.0, sites=(site,))))


SEALS = [
    row("measures", f"{key}: what it seals", f"measure {key}", TABLE, "memory", 0.67, lambda key=key, kind=kind, place=place: offered(key, kind, place),
        0.405, "from .40 for a weatherstripped hatch to .94 for a gasket")
    for key, kind, place in [
        ("attic_air_sealing", "wiring_penetrations", "attic"), ("attic_air_sealing", "chimney_chase", "attic"), ("attic_hatch", "attic_hatch", "attic"),
        ("attic_stair_cover", "pull_down_stair", "attic"), ("band_joist_boards", "band_joist", "basement"),
        ("seal_floor_holes", "plumbing_penetrations", "basement"), ("crawl_access_door", "crawl_access", "crawlspace"),
        ("dryer_vent_flap", "dryer_vent", "house"), ("seal_boots", "register_boots", "house"), ("outlet_gaskets", "outlets", "house"),
        ("caulk_baseboards", "baseboard", "house"), ("weatherstrip_doors", "doors", "house"), ("garage_door_seal", "garage_door", "garage"),
        ("window_weatherstrip", "windows", "house"), ("fireplace_damper", "fireplace", "house"), ("new_windows", "windows", "house"),
        ("new_doors", "doors", "house"), ("bath_fan_outdoors", "bath_fan", "attic"), ("kneewall_insulation", "kneewall", "kneewall"),
    ]
]  # fmt: skip


def tankless() -> float:
    tank = item("water_heaters", kind="storage", fuel="natural_gas", setpoint=140.0, efficiency=0.76, share=1.0)  # fmt: skip
    return at("tankless_heater", "tankless_heater.share", replace(full(), water_heaters=(tank,)))


SEALS += [
    row("measures", "tankless_heater makes all hot water", "measure tankless_heater", "all of the water", OWN, 1.0, tankless, 1e-9, "exact"),
]  # fmt: skip

# --- air, losses, sun and height -------------------------------------------------------------------

JOINT, OUTLETS, LIGHTS = 100 * 4 * 0.3048 / 6.4516, 40 * 2.5 / 6.4516, 10 * 10 / 6.4516
LISTED = JOINT + OUTLETS + LIGHTS
JOINTS, HIGH, UNKNOWN = 0.8 * JOINT / LISTED, 0.8 * LIGHTS / LISTED, 0.2
ENDS = (JOINTS + UNKNOWN / 6, HIGH + UNKNOWN / 6)
"""Shares of the leakage in floor and ceiling: the lights, and of what nobody found a sixth at each end."""
RISEN = balanced(*ENDS)
UP = RISEN.low / RISEN.whole * JOINTS / ENDS[0]


def risen(joint: float = 100.0, condition: float = 1.0) -> dict:
    sites = tuple(
        LeakSite(key=kind, label=kind, kind=kind, place=place, count=count, condition=looks, sealed=0.0)
        for kind, place, count, looks in (
            ("band_joist", "basement", joint, condition), ("outlets", "house", 40.0, 1.0), ("recessed_lights", "house", 10.0, 1.0))
    )  # fmt: skip
    return {
        "surfaces": (surface("floor", "basement", area=5000.0, r_continuous=20.0),),
        "windows": (losing(200.0), replace(losing(119.0), key="b", inside="basement")),
        "buffers": (buffer(7000.0, 0.0, "basement"),), "zones": (changed("zones", heating_setpoint=66.0),),
        "leakage": changed("leakage", flow=100.0 * 50.0**0.67, sites=sites),
    }  # fmt: skip


AIR = 1.08 * 100 * 0.078 * 20**0.67 * authors_stack(*ENDS) / authors_stack(1 / 6, 1 / 6)
BASEMENT = (FLOOR * 66 + (119 * GLASS + AIR * UP) * 30) / (FLOOR + 119 * GLASS + AIR * UP)
TWO = (window(120.0), replace(window(60.0), key="x"))


def lost(part: str, **parts) -> float:
    return float(season_losses(year(COLD, **parts)).by_part[part]) / 1e6


HOUSES = [
    row("whole house", "air that rises through a basement, by stack alone", "air through zones", EQUATIONS, "memory",
        million(200 * GLASS * 36 + FLOOR * (66 - BASEMENT) + AIR * (1 - UP) * 36 + AIR * UP * (66 - BASEMENT)), lambda: heat(CALM, **risen()), 0.008,
        "outlets of 2.5 cm2 in the walls, lights of 10 cm2 in the ceiling; pressures summed over the walls"),
    row("whole house", "the same by half the joint that looks twice as leaky", "air through zones", EQUATIONS, "memory",
        million(200 * GLASS * 36 + FLOOR * (66 - BASEMENT) + AIR * (1 - UP) * 36 + AIR * UP * (66 - BASEMENT)), lambda: heat(CALM, **risen(50.0, 2.0)), 0.008,
        "as above"),
    row("whole house", "two windows", "where a house loses heat", "steady loss of a window, U x area x difference", OWN, million(90 * 40),
        lambda: lost("windows", windows=TWO), 1e-6, "exact"),
    row("whole house", "two walls", "where a house loses heat", "still air R-.68, wind R-.17", "memory", million(1000 * 40 / 5.85 + 1000 * 40 / 10.85),
        lambda: lost("walls", surfaces=(surface("wall", r_continuous=5.0), replace(surface("wall", r_continuous=10.0), key="w2"))), 0.002, "exact"),
    row("whole house", "two exhaust fans", "fans of two kinds in a house", "Palmiter and Bond 1991, half-fan rule", "memory", million(1.08 * 300 * 40),
        lambda: lost("air", fans=(item_fan("exhaust", 200.0, 24.0), replace(item_fan("exhaust", 200.0, 12.0), key="y"))), 0.003, "300 cfm in the mean"),
]  # fmt: skip

SLANT = "pvlib 0.16.1 on 723170TYA.CSV, even sky and 0.2 from the ground"
SUN = [
    row("sun", f"wall facing {facing:g} degrees in month {month + 1} [Btu/(ft2 day)]", "sun on a wall between two compass points", SLANT, "read", value,
        lambda facing=facing, month=month: float(wall_irradiation(greensboro(TMY3).sun, facing)[month]), 0.1 if 90 <= facing <= 270 else 0.2,
        "from four walls, by the month")
    for facing, values in {45.0: (270.7, 706.3, 873.4, 415.3), 135.0: (749.6, 1004.8, 967.9, 885.9), 210.0: (892.0, 1004.8, 906.0, 1006.3),
                           330.0: (256.2, 628.3, 804.3, 373.6)}.items()
    for month, value in zip((0, 3, 6, 9), values, strict=True)
]  # fmt: skip


def higher(what) -> float:
    up, level = (
        monthly_climate(place_weather(f"27401 at {feet:,} ft like 723170")) for feet in (3000, 1000)
    )
    return float(np.mean(what(up)) - np.mean(what(level)))


HEIGHT = [
    row("weather", f"2,000 ft up a hill: {name} [F]", "places above their station", "standard atmosphere, 3.566 F for 1,000 ft", "memory", -7.13,
        lambda what=what: higher(what), 0.03, "practice says 3.5")
    for name, what in {"days": lambda c: c.temperature, "sorted hours": lambda c: c.hours.groups, "hours by the clock": lambda c: c.hours.clock_temperature}.items()
]  # fmt: skip

# --- single numbers that houses hang on ------------------------------------------------------------

LUMBER = "PS 20, actual depths of lumber, at R-1.25 an inch"
LOOSE = "Wilkes and Childs 1992: loose fiberglass loses 35 to 50 % of its resistance where 70 F or more lie across it"
SUMMED = "days of 723170TYA.CSV, counted by numpy"


def paid() -> float:
    """Bill of a month of 800 kWh in two tiers with a fixed charge of 120 dollars a year. [dollars]"""
    uses = (("electricity", "appliances"), ("electricity", "lighting"))
    charges = Charges(
        uses=uses, prices=np.zeros(2), fixed={"electricity": 120.0}, by_month={"electricity": TIERS}
    )
    each = np.full(12, 400.0 * 3412.14)
    return float(charges.bills_by_month(np.full(2, each.sum()), lambda _use: each)[0, 0])


def hatch() -> float:
    site = LeakSite(key="p", label="p", kind="pull_down_stair", place="attic", count=1.0, condition=1.0, sealed=0.0)  # fmt: skip
    house = replace(full(), leakage=changed("leakage", flow=500.0, sites=(site,)))
    return at("attic_stair_cover", "r_continuous", house)


def slab() -> float:
    edge = Underground(key="s", label="s", kind="slab", inside="house", length=100.0, depth=0.0, width=0.0, r_value=0.0)  # fmt: skip
    return at("slab_edge_insulation", "r_value", replace(full(), underground=(edge,)))


FACTORS = "ASHRAE 62.2-2013 Appendix B, weather and shielding factors"
CREDIT = "archived standard work specifications of a national laboratory, page on the infiltration credit"
SINGLE = [
    *(
        row("air leakage", f"weather factor of {place}", "weather factor of the ventilation standard", FACTORS, "memory", printed,
            lambda place=place: find_climate(place).leak_weather, 0.17, "worked out here by months and groups of hours")
        for place, printed in {"Minneapolis, MN": 0.63, "Chicago, IL": 0.60, "Denver, CO": 0.57, "Boston, MA": 0.66, "Seattle, WA": 0.56}.items()
    ),
    *(
        row("air leakage", f"credit for a reading of 2,000 cfm, {stories:g} stories", "credit of the ventilation standard", CREDIT, "read",
            0.052 * 0.56 * height * 2000.0, lambda stories=stories: infiltration_credit(2000.0, 0.56, stories), 0.005, "S printed to two digits")
        for stories, height in {1.0: 1.00, 1.5: 1.18, 2.0: 1.32, 3.0: 1.55}.items()
    ),
    *(
        row("money", f"flat price of {use}", "rates by the hour", BILL, OWN, 0.20,
            lambda use=use: float(hourly_price(Tariff(price=0.20), use)[0]), 1e-9, "whatever the hours of the day")
        for use in ("heating", "cooling", "hot_water", "lighting")
    ),
    *(
        row("conduction", f"wood beside a batt of R-{r:g}", "lumber that holds a batt", LUMBER, "memory", 1.25 * depth,
            lambda r=r: framing_resistance(r), 0.04, f"{depth:g} in")
        for r, depth in {13.0: 3.5, 21.0: 5.5}.items()
    ),
    row("conduction", "loose fiberglass, 75 F across it", "loose fiberglass in the cold", LOOSE, "memory", 0.575, lambda: loose_fill_resistance(19.0, 75.0) / 19.0,
        0.14, "the whole range"),
    row("conduction", "loose fiberglass, 55 F across it", "loose fiberglass in the cold", LOOSE, "memory", 0.8, lambda: loose_fill_resistance(19.0, 55.0) / 19.0,
        0.22, "between all of it and that"),
    row("hot water", "tank colder than the tap wants [kWh]", "hot water drawn in a house", "CoolProp 8.0.0, density and heat of water", "read",
        8.27 * 19.8 * 50 * 365 / KWH, lambda: water(size=changed("size", occupants=3.0), hot_water=drawn(tap_minutes=3.0, tap_flow=2.2),
                                                    water_heaters=(tank_of(volume=0.0, setpoint=100.0),)), 0.006, "all of it is hot water"),
    *(
        row("weather", f"days colder than {base:g} F in Greensboro", "days of a degree-day table", SUMMED, "read", days,
            lambda base=base: float(greensboro(TMY3).degree_days.days_below(base).sum()), 0.015, "a day lies between two steps of the table")
        for base, days in {55.0: 150.0, 66.0: 226.0}.items()
    ),
    row("equipment", "efficiency of a heat pump at 54 F against 47 F", "efficiency of a heat pump", "rated units gain 1 % for each degree from 47 to 62 F",
        "memory", 1.07, lambda: cop_share(54.0), 0.03, "the whole range"),
    row("equipment", "output of a heat pump at 54 F against 47 F", "output of a heat pump", "rated units gain 1 to 1.4 % for each degree from 47 to 62 F",
        "memory", 1.084, lambda: capacity_share(54.0), 0.025, "the whole range"),
    row("money", "bill of 800 kWh in two tiers with its fixed charge [dollars]", "bills by the month", BILL, OWN, 50 + 75 + 10.0, paid, 1e-4,
        "ten dollars a month are fixed"),
    row("measures", "attic_stair_cover: r continuous", "measure attic_stair_cover", "covers sold as R-10 to R-14", "memory", 12.0, hatch, 0.17, "the whole range"),
    row("measures", "slab_edge_insulation: r value", "measure slab_edge_insulation", "energy codes: R-10 for two feet, older ones R-6 to R-8", "memory", 10.0, slab,
        0.25, "none before"),
]  # fmt: skip

CHECKS = [*RATES, *SEALS, *HOUSES, *SUN, *HEIGHT, *SINGLE]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
