"""What measures leave behind, against printed standards, labels, codes and measured repairs."""

from dataclasses import replace

import pytest
from checks import Check, assert_check
from steady import box, changed, item, surface, window

from retrofit_lab.house.description import (
    AirConditioner,
    Buffer,
    HeatPump,
    House,
    LeakSite,
    Underground,
)
from retrofit_lab.house.paths import number_at
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import offers_for, with_offers

IECC = "International Energy Conservation Code 2012 to 2021, Table R402.1.2 and R403"
BATT = "labels of batts and boards: 3.5 in is R-13, 2 in of extruded foam R-10, of closed-cell foam R-13 to R-14"
LABEL = "federal label of the equipment sold most"
FLORIDA = "Cummings, Tooley, Moyer and Dunsmore, stars.library.ucf.edu/fsec/858, abstract"
ADVICE = "federal consumer advice on thermostats and water heaters"
LIMITS = "California appliance efficiency limits for fixtures"


def full() -> House:
    """A house with one of everything that measures change, as neglected as it may be."""
    poor = {
        "r_label": 2.0,
        "gap_fraction": 0.2,
        "missing_fraction": 0.3,
        "fill": "batt",
        "framing_fraction": 0.1,
    }
    surfaces = (
        surface("ceiling", "attic", **poor), surface("ceiling", "kneewall", **poor), surface("kneewall", "kneewall", **poor),
        surface("wall", **{**poor, "r_label": 0.0}), surface("rim", **poor), surface("hatch", "attic", r_continuous=1.0),
        surface("floor", "crawlspace", **poor), surface("floor", "basement", **poor), surface("floor", "garage", **poor),
        surface("basement_wall", inside="basement", r_continuous=1.0), surface("door", r_continuous=1.5),
        surface("roof", r_continuous=1.0),
    )  # fmt: skip
    buffers = tuple(
        Buffer(key=k, label=k, kind=k, volume=5000.0, air_changes=2.0, sun_absorptance=0.0)
        for k in ("attic", "kneewall", "crawlspace", "basement", "garage")
    )
    walls = tuple(
        Underground(
            key=k, label=k, kind=kind, inside=k, length=100.0, depth=4.0, width=0.0, r_value=1.47
        )
        for k, kind in (("basement", "wall"), ("crawlspace", "wall"))
    )
    sites = tuple(
        LeakSite(
            key=kind, label=kind, kind=kind, place=place, count=10.0, condition=1.0, sealed=0.0
        )
        for kind, place in (
            ("attic_hatch", "attic"),
            ("band_joist", "crawlspace"),
            ("crawl_access", "crawlspace"),
        )
    )
    return box(
        leakage=changed("leakage", flow=500.0, sites=sites),
        surfaces=surfaces, buffers=buffers, underground=walls,
        windows=(window(100.0, 1.0, shgc=0.7, facing=270.0),),
        ducts=changed("ducts", supply_place="attic", return_place="attic", supply_area=300.0, return_area=100.0,
                      supply_r=1.0, return_r=1.0, supply_leakage=0.2, return_leakage=0.167, fan_watts=500.0),
        zones=(changed("zones", heating_setpoint=75.0, cooling_setpoint=70.0),),
        fuel_heaters=(changed("fuel_heaters", kind="furnace", fuel="natural_gas", efficiency=0.7, pilot=500.0),),
        air_conditioners=(AirConditioner(key="c", label="c", ducted="yes", share=1.0, seer=8.0, capacity=36_000.0),),
        water_heaters=(item("water_heaters", kind="storage", setpoint=140.0, r_tank=6.0, r_wrap=0.0, share=1.0),),
        hot_water=changed("hot_water", showers=1.0, shower_flow=3.0, tap_minutes=5.0, tap_flow=3.0, machine_gallons=20.0,
                          pipe_length=50.0, pipe_insulation=0.0, waits=5.0, wait_volume=1.0),
        lamps=(item("lamps", kind="incandescent", place="house", watts=60.0, count=10.0, hours=4.0),
               item("lamps", key="o", kind="incandescent", place="outdoors", watts=100.0, count=1.0, hours=10.0)),
        standby=(item("standby", watts=20.0, hours=20.0),),
        appliances=(item("appliances", key="r", kind="refrigerator", fuel="electricity", use=900.0),
                    item("appliances", key="s", kind="second_refrigerator", fuel="electricity", use=900.0),
                    item("appliances", key="d", kind="dehumidifier", fuel="electricity", use=700.0),
                    item("appliances", key="p", kind="pool_pump", fuel="electricity", use=3000.0)),
        size=changed("size", floor_area=2400.0, bedrooms=3.0, occupants=3.0),
    )  # fmt: skip


def after(key: str, field: str, house: House | None = None) -> float:
    """First number of a name that a measure changes, as it leaves it; no number where it has nothing to change."""
    whole, offers = offers_for(house or full(), catalog())
    done = with_offers(whole, offers, [offer.key == key for offer in offers])
    paths = (c.path for offer in offers if offer.key == key for c in offer.changes)
    path = next((path for path in paths if path.rpartition(".")[2] == field), None)
    return float(number_at(done, path)) if path else float("nan")


def pumped() -> House:
    unit = HeatPump(
        key="p", label="p", share=1.0, hspf=7.0, capacity=36_000.0, cutout=10.0, recovery_hours=1.0
    )
    return replace(full(), heat_pumps=(unit,), fuel_heaters=())


def boiler(fuel: str) -> House:
    return replace(
        full(),
        fuel_heaters=(
            changed("fuel_heaters", kind="boiler", fuel=fuel, efficiency=0.75, pilot=500.0),
        ),
    )


def row(measure, field, expected, source, tolerance, why, mark="memory", house=None) -> Check:
    return Check(
        "measures", f"{measure}: {field.replace('_', ' ')}", source, mark, expected,
        lambda: after(measure, field, house() if house else None), tolerance, why, relative=expected != 0, mechanism=f"measure {measure}",
    )  # fmt: skip


CHECKS = [
    row("attic_insulation", "r_label", 49.0, IECC, 0.01, "R-49 in climate zones 4 to 8"),
    row("attic_insulation", "missing_fraction", 0.0, IECC, 1e-9, "nothing is left out"),
    row("relay_attic_batts", "missing_fraction", 0.0, "grade I installation, ANSI/RESNET/ICC 301", 1e-9, "none missing"),
    row("relay_attic_batts", "gap_fraction", 0.015, "grade II installation: up to 2 % missing, ANSI/RESNET/ICC 301", 0.35, "between grades I and II"),
    row("kneewall_floor_insulation", "r_label", 38.0, IECC, 0.01, "R-38 in climate zones 2 and 3"),
    row("kneewall_insulation", "r_label", 13.0, IECC, 0.01, "R-13 and R-5 of walls"),
    row("kneewall_insulation", "r_continuous", 5.0, IECC, 0.01, "R-13 and R-5 of walls"),
    row("wall_fill", "r_label", 13.0, BATT, 0.01, "3.5 in of cavity"),
    row("wall_fill", "missing_fraction", 0.0, BATT, 1e-9, "every bay"),
    row("wall_sheathing", "r_continuous", 5.6, "1 in of polyisocyanurate R-5.6 to R-6.5, boards' labels", 0.1, "an inch of foam"),
    row("band_joist_foam", "r_label", 13.5, BATT, 0.06, "2 in of closed-cell foam"),
    row("band_joist_boards", "r_label", 10.0, BATT, 0.01, "2 in of extruded foam"),
    row("attic_hatch", "r_continuous", 12.0, "hatch covers sold as R-10 to R-14", 0.12, "2 to 3 in of board"),
    row("crawl_floor_insulation", "r_label", 25.0, "label of an 8 in batt", 0.01, "R-25"),
    row("overhang_insulation", "r_label", 25.0, "label of an 8 in batt", 0.01, "R-25"),
    row("cathedral_insulation", "r_continuous", 1.0 + 10.0, BATT, 0.01, "2 in of extruded foam over what was there"),
    row("basement_wall_insulation", "r_value", 1.47 + 10.0, IECC, 0.01, "R-10 continuous in climate zone 4"),
    row("basement_ceiling_insulation", "r_continuous", 15.0, "4 in of mineral fiber at R-3.7", 0.03, "batt between joists"),
    row("new_windows", "u_value", 0.28, "label criteria of the northern zone, .27 to .30", 0.07, "label"),
    row("new_windows", "shgc", 0.40, "label criteria of the north central zone", 0.03, "label"),
    row("storm_windows", "u_value", 0.56, "wood window of U .9 to 1.0 with a clear storm .49 to .57", 0.13, "handbook of windows"),
    row("new_doors", "r_continuous", 5.0, "insulated steel doors sold as R-5 to R-6", 0.1, "label"),
    row("duct_mastic", "return_leakage", 0.045, FLORIDA, 0.35, "16.7 % before repair, 4.5 % after, best crews", "read"),
    row("duct_mastic", "supply_leakage", 0.2 * 0.32, FLORIDA, 0.12, "68 % of the leaks repaired", "read"),
    row("duct_insulation", "supply_r", 8.0, IECC, 0.01, "ducts in attics"),
    row("duct_insulation", "return_r", 8.0, IECC, 0.01, "ducts in attics"),
    row("reconnect_ducts", "supply_leakage", 0.12, "ducts of existing houses leak 10 to 15 % a side, several surveys", 0.15, "once connected"),
    row("lower_heating_setting", "heating_setpoint", 68.0, ADVICE, 0.005, "68 F while awake"),
    row("higher_cooling_setting", "cooling_setpoint", 78.0, ADVICE, 0.005, "78 F while at home"),
    row("furnace_upgrade", "efficiency", 0.95, LABEL, 0.02, "condensing furnace of 95 to 96 %"),
    row("furnace_upgrade", "pilot", 0.0, LABEL, 1e-9, "electronic ignition"),
    row("gas_boiler_upgrade", "efficiency", 0.94, LABEL, 0.03, "condensing boiler of 92 to 96 %", house=lambda: boiler("natural_gas")),
    row("oil_heater_upgrade", "efficiency", 0.87, LABEL, 0.02, "oil boiler of 86 to 88 %", house=lambda: boiler("heating_oil")),
    row("heat_pump_upgrade", "hspf", 10.0, LABEL, 0.05, "unit of HSPF 9.5 to 10.5", house=pumped),
    row("air_conditioner_upgrade", "seer", 16.0, LABEL, 0.03, "SEER 16 of tax credits"),
    row("central_heat_pump", "share", 1.0, "all of the heat", 1e-9, "replaces the furnace"),
    row("blower_motor", "fan_watts", 500 * 0.66, "field tests: motors of permanent magnets take a third less", 0.1, "Canadian twin houses and others"),
    row("tank_setpoint", "setpoint", 120.0, ADVICE, 0.005, "120 F"),
    row("tank_wrap", "r_wrap", 10.0, "blankets sold as R-10 to R-11", 0.05, "label"),
    row("pipe_insulation", "pipe_insulation", 0.75, "3/4 in foam of R-3 to R-4, IECC R403", 0.05, "one size"),
    row("tap_aerators", "tap_flow", 1.2, LIMITS, 0.02, "lavatory faucets"),
    row("shower_heads", "shower_flow", 1.8, LIMITS, 0.05, "shower heads"),
    row("led_lamps", "watts", 9.5, "federal lighting label: 800 lumens by 9.5 W or 60 W", 0.03, "label"),
    row("room_sensors", "hours", 4 * 0.72, "sensors in rooms save a quarter to a third, several field studies", 0.07, "middle"),
    row("new_refrigerator", "use", 400.0, "yellow label, 18 to 21 cubic feet: 350 to 450 kWh", 0.12, "label"),
    row("retire_second_refrigerator", "use", 0.0, "it is gone", 1e-9, "exact", "common practice, no source"),
    row("pool_pump", "use", 3000 * 0.35, "variable speed saves 50 to 80 %, consumer advice", 0.15, "middle"),
    row("exhaust_ventilation", "flow", 0.03 * 2400 + 7.5 * 4, "ASHRAE 62.2-2013 example as quoted", 0.02,
        "102 cfm; leaks of this tight house count for nothing", "read"),
    row("heat_pump_tank", "share", 0.0, "the old tank rests", 1e-9, "exact", "common practice, no source"),
    row("tankless_heater", "share", 0.0, "the old tank rests", 1e-9, "exact", "common practice, no source"),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
