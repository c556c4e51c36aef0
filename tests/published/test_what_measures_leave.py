"""What single works leave behind, kind by kind: sealing by the handbook's table of components, the rest by codes and labels.

Each band of a seal is as wide as our crew stays behind, or goes beyond, the table, which is of laboratory joints.
"""

from dataclasses import replace

import pytest
from checks import Check, assert_check
from steady import changed, surface
from test_joined_parts import at
from test_measures import after, boiler, full, pumped

from retrofit_lab.house.description import House, LeakSite, Period

TABLE = "ASHRAE Handbook Fundamentals, effective leakage area of components"
IECC = "International Energy Conservation Code 2012 to 2021, Table R402.1.2 and R403"
GRADES = "ANSI/RESNET/ICC 301, grades of installation"
ADVICE = "federal consumer advice on thermostats"
LABEL = "labels of what is sold"
OWN = "common practice, no source"


def row(measure, name, expected, ours, source, tolerance, why, mark="memory") -> Check:
    return Check("measures", f"{measure}: {name}", source, mark, expected, ours, tolerance, why, relative=True, mechanism=f"measure {measure}")  # fmt: skip


def leaking(kind: str, place: str) -> House:
    site = LeakSite(key=kind, label=kind, kind=kind, place=place, count=10.0, condition=1.0, sealed=0.0)  # fmt: skip
    return replace(full(), leakage=changed("leakage", flow=500.0, sites=(site,)))


def sealed(key: str, kind: str, place: str) -> float:
    return at(key, "sealed", leaking(kind, place))


SEALS = [
    row(key, f"what it seals: {kind.replace('_', ' ')}", share, lambda key=key, kind=kind, place=place: sealed(key, kind, place), TABLE, tolerance, why)
    for key, kind, place, share, tolerance, why in [
        ("attic_air_sealing", "wiring_penetrations", "attic", 0.67, 0.13, "hole of a pipe or wire 6 cm2, caulked 2"),
        ("seal_floor_holes", "plumbing_penetrations", "basement", 0.67, 0.2, "hole of a pipe 6 cm2, caulked 2"),
        ("recessed_led_retrofit", "recessed_lights", "attic", 0.85, 0.08, "light 10 cm2, the tightest 1.5"),
        ("band_joist_foam", "band_joist", "basement", 0.80, 0.09, "joint of floor and wall 4 cm2/m, caulked .8"),
        ("attic_stair_cover", "pull_down_stair", "attic", 0.91, 0.13, "fold-down stair 44 cm2, under an insulated box 4"),
        ("dryer_vent_flap", "dryer_vent", "house", 0.80, 0.26, "vent 15 cm2, with a flap 3"),
        ("caulk_baseboards", "baseboard", "house", 0.80, 0.26, "joint of floor and wall 4 cm2/m, caulked .8"),
        ("window_weatherstrip", "windows", "house", 0.44, 0.12, "mean of casements, .28 and .24 cm2/m, and double-hung sashes, 2.5 and .65"),
        ("new_windows", "windows", "house", 0.70, 0.16, "double-hung 2.5 cm2/m without seals; with seals .65, single-hung .87"),
        ("bath_fan_outdoors", "bath_fan", "attic", 0.50, 0.21, "fan 20 cm2 with its flap open, 10 shut"),
        ("seal_cathedral", "cathedral", "house", 0.56, 0.13, "ceiling 1.8 cm2/m2, the tightest .79"),
    ]
]  # fmt: skip


def period(key: str) -> House:
    slot = Period(key=key, label=key, days_per_week=7.0, hours=8.0, heating_setpoint=70.0, cooling_setpoint=72.0)  # fmt: skip
    zone = changed("zones", heating_setpoint=72.0, cooling_setpoint=72.0, periods=(slot,))
    return replace(pumped(), zones=(zone,))


def ventilated(key: str, field: str) -> float:
    return at(key, f"{key}.{field}")


def damp_crawl() -> House:
    whole = full()
    walls = tuple(s for s in whole.surfaces if s.kind != "basement_wall")
    bare = surface("basement_wall", inside="crawlspace", r_continuous=1.0)
    ground = replace(
        whole.underground[0], key="g", kind="floor", inside="crawlspace", length=30.0, width=40.0
    )
    return replace(whole, surfaces=(*walls, bare), underground=(*whole.underground, ground))


GAPS = [
    row(key, "gaps left", gap, lambda key=key: after(key, "gap_fraction"), GRADES, 0.4, why)
    for key, gap, why in [
        ("attic_insulation", 0.005, "grade I: less than 1 %"),
        ("kneewall_floor_insulation", 0.01, "between grades I and II, 0 and 2 %"),
        ("kneewall_insulation", 0.01, "between grades I and II, 0 and 2 %"),
        ("overhang_insulation", 0.02, "grade II: up to 2 %"),
        ("crawl_floor_insulation", 0.035, "grades II and III, 2 to 5 %"),
        ("band_joist_boards", 0.035, "grades II and III, 2 to 5 %: each board is cut by hand"),
    ]
] + [
    row(key, "bays filled", 1.0, lambda key=key: 1.0 - after(key, "missing_fraction"), GRADES, 1e-9, "every bay")
    for key in ("kneewall_floor_insulation", "crawl_floor_insulation", "band_joist_foam", "band_joist_boards")
] + [
    row("band_joist_foam", "gaps closed", 1.0, lambda: 1.0 - after("band_joist_foam", "gap_fraction"), GRADES, 1e-9, "sprayed foam leaves none"),
]  # fmt: skip

SHELL = [
    row("crawl_encapsulation", "wall above grade", 11.0, lambda: after("crawl_encapsulation", "r_continuous", damp_crawl()), IECC, 0.01,
        "R-10 continuous on crawl-space walls, over what was there"),
    row("crawl_encapsulation", "wall below grade", 1.47 + 10.0, lambda: after("crawl_encapsulation", "r_value", damp_crawl()), IECC, 0.01,
        "R-10 continuous on crawl-space walls"),
    row("crawl_encapsulation", "air changes", 0.22, lambda: after("crawl_encapsulation", "air_changes", damp_crawl()),
        "EN ISO 13789 Table 4: 0.1 an hour where all joints are sealed, 0.5 without openings", 0.2, "in ratio half-way between both"),
    row("basement_wall_insulation", "wall above grade", 11.0, lambda: after("basement_wall_insulation", "r_continuous"), IECC, 0.01,
        "R-10 continuous in climate zone 4"),
    row("slab_edge_insulation", "R-value of the edge", 8.13, lambda: at("slab_edge_insulation", "underground", slab()),
        "ht.insulation: molded beads of polystyrene, R-4.06 an inch", 0.03, "2 in of board", "read"),
    row("storm_windows", "sun against that of a bare pane", 0.84, lambda: after("storm_windows", "shgc") / 0.7,
        "clear glass lets 84 to 88 % of the sun through, low-e 70 to 80", 0.06, "one more pane"),
    row("window_shades", "U against that of a bare pane", 0.825, lambda: after("window_shades", "u_value"), "honeycomb shades add R-1 to R-2 in tests, by hand", 0.1,
        "closed on half of the nights, which have three fifths of the loss: 1 - .3 x 1/2 to 1 - .3 x 2/3"),
    row("window_film", "sun against that of bare glass", 0.57, lambda: after("window_film", "shgc") / 0.7, LABEL, 0.13, "films for clear glass: .50 to .65"),
]  # fmt: skip


def slab() -> House:
    from retrofit_lab.house.description import Underground

    edge = Underground(key="s", label="s", kind="slab", inside="house", length=100.0, depth=0.0, width=0.0, r_value=0.0)  # fmt: skip
    return replace(full(), underground=(edge,))


SYSTEMS = [
    row("reconnect_ducts", "return leaks", 0.12, lambda: after("reconnect_ducts", "return_leakage"), "ducts of existing houses leak 10 to 15 % a side, several surveys",
        0.15, "once connected"),
    row("night_setback", "setting of the night", 62.0, lambda: at("night_setback", "heating_setpoint", period("night")), ADVICE, 0.03,
        "7 to 10 F below 70 F for eight hours: 60 to 63 F"),
    row("night_setback", "cooling of the night", 78.0, lambda: at("night_setback", "cooling_setpoint", period("night")), ADVICE, 0.005, "78 F while at home"),
    row("night_setback", "time to warm up with a heat pump [h]", 3.0, lambda: at("night_setback", "recovery_hours", period("night")),
        "thermostats for heat pumps start two to four hours early", 0.15, "the middle"),
    row("away_setback", "setting while away", 61.5, lambda: at("away_setback", "heating_setpoint", period("away")), ADVICE, 0.03,
        "7 to 10 F below 70 F for eight hours: 60 to 63 F"),
    row("away_setback", "cooling while away", 83.5, lambda: at("away_setback", "cooling_setpoint", period("away")), ADVICE, 0.02, "82 to 85 F"),
    row("lower_heating_setting", "setting of a night too", 68.0, lambda: at("lower_heating_setting", "periods", period("night")), ADVICE, 0.005, "68 F"),
    row("heat_pump_upgrade", "coldest air it runs in [F]", -9.0, lambda: after("heat_pump_upgrade", "cutout", pumped()), LABEL, 0.15, "units for the cold: -5 to -13 F"),
    row("heat_pump_upgrade", "its cooling", 17.0, lambda: after("heat_pump_upgrade", "seer", pumped()), LABEL, 0.07, "units of HSPF 10 come with SEER 16 to 18"),
    row("boiler_reset", "efficiency against before", 1.05, lambda: after("boiler_reset", "efficiency", boiler("natural_gas")) / 0.75,
        "field tests of outdoor reset: 2 to 10 % of the fuel", 0.05, "the lower half: 1.02 to 1.08"),
    row("gas_boiler_upgrade", "its pilot is gone", 1.0, lambda: 1.0 + after("gas_boiler_upgrade", "pilot", boiler("natural_gas")), LABEL, 1e-9, "electronic ignition"),
    row("ductless_heat_pump", "shares of the heat together", 1.0, lambda: at("ductless_heat_pump", "ductless_heat_pump.share") + at(
        "ductless_heat_pump", "fuel_heaters"), "all of the heat", 0.002, "what one makes the other rests", OWN),
    row("clean_filter", "power of the fan against before", 0.96, lambda: after("clean_filter", "fan_watts") / 500.0,
        "Stephens and others 2010, RP-1299: no consistent effect", 0.05, "within 10 %"),
]  # fmt: skip


PLUGS = [
    row("porch_sensors", "hours of a lamp outdoors", 0.25, lambda: at("porch_sensors", "lamps") / 10.0,
        "dusk to dawn is 10 to 12 hours, behind a sensor 1 to 4, consumer advice", 0.42, "the whole range"),
    row("cold_wash", "hot water of the machines", 0.62, lambda: after("cold_wash", "machine_gallons") / 20.0,
        "metered hot water: the washer takes half to four fifths of what machines take, half of its loads are warm", 0.25, "from .5 to .75"),
    row("standby_strips", "hours of standby", 0.21, lambda: after("standby_strips", "hours") / 20.0, "viewing surveys: a set is on for five hours of the day", 0.13, "off at other times"),
    row("dehumidifier_upgrade", "its electricity", 0.69, lambda: after("dehumidifier_upgrade", "use") / 700.0,
        "labels: 1.2 to 1.35 L/kWh of old ones, 1.85 of new ones", 0.12, "from .65 to .73"),
    row("exhaust_ventilation", "power of its fan [W]", 10.5, lambda: ventilated("exhaust_ventilation", "watts"), LABEL, 0.15, "102 cfm at 8 to 12 cfm/W"),
    row("balanced_ventilation", "power of its fans [W]", 68.0, lambda: ventilated("balanced_ventilation", "watts"), LABEL, 0.13, "102 cfm at 1.3 to 1.7 cfm/W"),
    row("balanced_ventilation", "its flow [cfm]", 102.0, lambda: ventilated("balanced_ventilation", "flow"), "ASHRAE 62.2-2013 example as quoted", 0.02,
        "leaks of this tight house count for nothing", "read"),
]  # fmt: skip

CHECKS = [*SEALS, *GAPS, *SHELL, *SYSTEMS, *PLUGS]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
