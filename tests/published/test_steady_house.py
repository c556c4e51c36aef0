"""Whole houses in weather that never changes, against printed coefficients put into the steady heat balance by hand.

The plain house of `steady` loses nothing; each row adds one part with a number that someone printed, so
the year's energy is that number times degrees and hours. Nothing here asks the product for what to expect.
"""

from dataclasses import replace

import numpy as np
import pytest
from checks import Check, assert_check
from steady import HOURS, KWH, changed, heat, item, losing, surface, weather, window, year

from retrofit_lab.house.description import Buffer, Period, Underground
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.losses import season_losses

TOPIC = "whole house"
COLD, COOL, HOT = weather(30.0), weather(45.0), weather(95.0, humidity=0.008)
A22 = "ANSI/ASHRAE/IES 90.1-2016 Appendix A, Table A2.2.3"
A33 = "ANSI/ASHRAE/IES 90.1 Appendix A, table of wood-framed walls"
BALANCE = "steady heat balance, ASHRAE Handbook Fundamentals chapter 18"
NFRC = "steady loss of a window, U x area x difference"
HANDBOOK = "ASHRAE Handbook Fundamentals chapter 16"
PALMITER = "Palmiter and Bond 1991, half-fan rule"
STRIP = "conduction under a strip of slab 15.8 ft wide and walls of 8 in, solved by finite differences: U .1041"
B = 1000.0 / (2 * 1000.0**0.5)
"""Area over half the perimeter of a square slab of 1,000 ft2. [ft]"""
SLAB = 0.1041 * B / 2
"""Loss by foot of edge of a strip of soil as wide as that. [Btu/(h F)]"""
FILM = "EN ISO 6946 Annex C, outer film"
WAC = "WAC 51-11-1007 attic (ventilation 3 changes, roof U .54) in the form of ISO 13789"
A152 = "ASHRAE Standard 152 delivery effectiveness"
LABEL = "federal lighting label: 3 hours a day, 11 cents a kWh"
COOLPROP = "CoolProp 8.0.0, density and heat of water"
OWN = "common practice, no source"
HALF = (changed("zones", heating_setpoint=66.0),)
AIRY = changed("leakage", flow=100.0 * 50.0**0.67)
"""100 cfm at 1 Pa."""
EAVES = weather(30.0, wind=5.0 / 0.59 * 2.236936)
"""5 m/s at the eaves of two stories."""
BREEZE = (3.0 * 5.678263 - 4.0 - 0.9 * 5.1) / 4.0 / (0.7 * 0.59) / 0.44704
"""Wind of the open field that leaves a film of R-1/3 at the walls. [mph]"""
CALM = weather(30.0, wind=0.0)


def row(name, mechanism, source, mark, expected, ours, tolerance, why) -> Check:
    return Check(
        TOPIC,
        name,
        source,
        mark,
        expected,
        ours,
        tolerance,
        why,
        relative=True,
        mechanism=mechanism,
    )


def million(btu_per_hour: float) -> float:
    """A year of a steady flow of heat. [million Btu]"""
    return btu_per_hour * HOURS / 1e6


def buffer(volume: float, changes: float, kind: str = "attic", **numbers: float) -> Buffer:
    return Buffer(
        key=kind, label=kind, kind=kind, volume=volume, air_changes=changes,
        **{"sun_absorptance": 0.0, **numbers},
    )  # fmt: skip


def attic_parts(u_ceiling: float) -> dict:
    """The law's attic over 1,350 ft2: 3,375 ft3 with 3 changes an hour, 1,423 ft2 of roof at U .54."""
    return {
        "surfaces": (
            surface("ceiling", "attic", area=1350.0, r_continuous=1 / u_ceiling - 0.61 - 0.46),
            surface("roof", inside="attic", area=1423.0, r_continuous=1 / 0.54 - 0.61 - 0.17),
        ),
        "buffers": (buffer(3375.0, 3.0),),
    }  # fmt: skip


def zone_temperature(place: str, climate=COLD, **parts) -> float:
    found = year(climate, **parts)
    room = found.heating.rooms.temperature
    return float(np.mean(place_temperatures(found.heating.state, room, climate.temperature)[place]))


OPEN = buffer(1e6, 600.0)
"""An attic so windy that it is as cold as outdoors."""


def ducted(**numbers) -> dict:
    """500 Btu/(h F) heated through ducts in the open attic: 300 and 100 ft2 of R-4, 10 % leaks, 54,000 Btu/h."""
    given = {
        "supply_place": "attic", "return_place": "attic", "supply_area": 300.0, "return_area": 100.0,
        "supply_r": 4.0, "return_r": 4.0, "supply_leakage": 0.1, "return_leakage": 0.1, **numbers,
    }  # fmt: skip
    furnace = changed(
        "fuel_heaters", kind="furnace", fuel="natural_gas", efficiency=0.8, capacity=54_000.0
    )
    return {
        "windows": (losing(500.0),), "buffers": (OPEN,), "ducts": changed("ducts", **given),
        "fuel_heaters": (furnace,),
    }  # fmt: skip


def gas(climate=COLD, **parts) -> float:
    return float(year(climate, **parts).annual("natural_gas", "heating")) / 1e6


def fan_kwh(climate=COLD, **parts) -> float:
    return float(year(climate, **parts).annual("electricity", "blower")) / KWH


def use_kwh(end_use: str, climate=COLD, **parts) -> float:
    return float(year(climate, **parts).annual("electricity", end_use)) / KWH


DELIVERED = 0.9 * 0.93291 - 0.9 * 0.93291 * (1 - 0.9 * 0.97712) * 0.8 - 0.9 * (1 - 0.93291) * 0.8
"""Of the ducts above at 40 F outside and 50 F rise. [1]"""


def sunny_attic() -> float:
    ceiling, roof = attic_parts(0.25)["surfaces"]
    roof = replace(roof, r_continuous=1 / 0.54 - 0.61 - 1 / 3)
    parts = {"surfaces": (ceiling, roof), "buffers": (buffer(3375.0, 3.0, sun_absorptance=0.9),)}
    climate = weather(75.0, wind=BREEZE, sun={"horizontal": 1200.0})
    zones = (changed("zones", heating_setpoint=75.0, cooling_setpoint=75.0),)
    return zone_temperature("attic", climate, zones=zones, **parts)


def water_gas() -> float:
    tank = tank_of(fuel="natural_gas", volume=0.0, efficiency=0.76, setpoint=135.0)
    parts = {"water_heaters": (tank,), "hot_water": drawn(machine_gallons=64.3)}
    return float(year(weather(52.0), **parts).annual("natural_gas", "hot_water")) / 1e6


SHELL = [
    row("window of U 0.5 by its label, 120 ft2, in the calm", "windows behind their own wind", FILM, "memory",
        million(120 * 40 / (2.0 - 0.17 + 5.678263 / (4.0 + 0.9 * 5.1))), lambda: heat(CALM, windows=(window(120.0),)), 1e-4,
        "the label's R-0.17 taken off, still air and radiation at 10 C put on"),
    row("ceiling of R-20 above deck, 1,000 ft2", "ceiling in a house", A22, "read", million(0.048 * 1000 * 40),
        lambda: heat(COLD, surfaces=(surface("ceiling", r_continuous=20.0),)), 0.01, "U printed to three digits"),
    row("wall of R-13 in studs, 1,000 ft2", "stud wall in a house", A33, "memory", million(0.089 * 1000 * 40),
        lambda: heat(COLD, surfaces=(surface("wall", r_label=13.0, framing_fraction=0.25, r_continuous=1.2, fill="batt"),)),
        0.006, "U printed to two digits that count"),
    row("two walls of R-15 and R-11", "surfaces add up in a house", A33, "memory", million((0.083 + 0.096) * 1000 * 40),
        lambda: heat(COLD, surfaces=tuple(
            replace(surface("wall", r_label=r, framing_fraction=0.25, r_continuous=1.2, fill="batt"), key=str(r))
            for r in (15.0, 11.0))), 0.006, "U printed to two digits that count"),
    row("window of U 0.5, 120 ft2", "window in a house", NFRC, OWN, million(0.5 * 120 * 40),
        lambda: heat(COLD, windows=(window(120.0),)), 1e-6, "exact"),
    row("slab edge of 130 ft, not insulated", "slab in a house", STRIP, OWN,
        million(SLAB * 130 * 40), lambda: heat(COLD, underground=(Underground(
            key="e", label="e", kind="slab", inside="house", length=130.0, depth=0.0, width=0.0, r_value=0.0),)),
        0.02, "R-1.5 of floor, R-.17 outdoors; the law's F of .73 for the cold months lies 10 % below this loss at rest"),
    row("basement wall of 100 ft, 7 ft deep, bare", "basement wall in a house", "ASHRAE Handbook Fundamentals chapter 18, after Latta and Boileau",
        "memory", million(0.170 * 700 * 40), lambda: heat(COLD, underground=(Underground(
            key="w", label="w", kind="wall", inside="house", length=100.0, depth=7.0, width=0.0, r_value=1.47),)),
        0.005, "mean U of 7 ft printed as .170"),
    row("basement floor 7 ft down, 28 by 40 ft", "basement floor in a house", "WAC 51-11R-40211, Table R402.1.2, slabs below grade",
        "read", million(0.50 * 136 * 40), lambda: heat(COLD, underground=(Underground(
            key="f", label="f", kind="floor", inside="house", length=40.0, depth=7.0, width=28.0, r_value=1.47),)),
        0.15, "printed as .50 a foot of wall, whatever the size; ours is 9 % more for this one"),
    row("heat of one year is day by day: 3 zones of shares", "thermostat zones in a house", BALANCE, OWN, million(100 * 36),
        lambda: heat(COLD, windows=(losing(100.0),), zones=tuple(
            changed("zones", key=str(t), share=s, heating_setpoint=t) for s, t in ((0.5, 70.0), (0.25, 60.0), (0.25, 64.0)))),
        1e-6, "mean setting 66 F"),
    row("altitude: 100 cfm at 1 Pa at 6,000 ft", "thin air in a house", "Design Guide for HVAC Systems (2000/2006) p. 38 Table 6a", "read",
        million(0.866 * 108.02 * (0.866 / 1.08) ** 0.67 * 36), lambda: heat(weather(30.0, wind=5 / 0.59 * 2.236936, elevation=6000.0), zones=HALF, leakage=AIRY),
        0.005, "printed .866 for 1.08 at sea level, and wind and stack press in proportion to it; the natural flow of the next row"),
]  # fmt: skip

AIR = [
    row("natural air, 36 F and 5 m/s at the eaves", "natural air of a house", f"{HANDBOOK}, enhanced model", "memory",
        million(1.08 * 108.02 * 36), lambda: heat(EAVES, zones=HALF, leakage=AIRY), 0.003, "108.02 cfm by hand"),
    row("Lincoln: 500 cm2, 39 K, 6.7 m/s, two stories, class 3", "natural air of a house", f"{HANDBOOK}, example of the basic model", "memory",
        million(1.08 * 74 / 0.471947 * 70.2), lambda: heat(
            weather(0.0, wind=14.987), zones=(changed("zones", heating_setpoint=70.2),), site=changed("site", air_model=1.0),
            leakage=changed("leakage", flow=500 / 6.4516 * 18.2, exponent=0.65)), 0.012, "74 L/s printed to two digits"),
    row("Lincoln's house at 6,000 ft", "thin air in a house", f"{HANDBOOK}, example of the basic model", "memory",
        million(0.866 * 74 * (0.866 / 1.08) ** 0.5 / 0.471947 * 70.2), lambda: heat(
            weather(0.0, wind=14.987, elevation=6000.0), zones=(changed("zones", heating_setpoint=70.2),), site=changed("site", air_model=1.0),
            leakage=changed("leakage", flow=500 / 6.4516 * 18.2, exponent=0.65)), 0.014,
        "openings pass as much thin air at the same wind and warmth, but the reading of 18.2 cfm an in2 is of heavy air: 1 % and the printed .866"),
    row("half of both models", "natural air between two models", f"{HANDBOOK}, both models", "memory",
        million(1.08 * (108.02 + 146.6) / 2 * 36), lambda: heat(
            EAVES, zones=HALF, site=changed("site", air_model=0.5), leakage=AIRY), 0.01,
        "basic: 253.1 cfm at 4 Pa, 71.8 in2 by ASTM E779, .0299 x 36 + .0086 x 18.96^2"),
    row("reading at 25 Pa instead of 50", "blower-door reading in a house", "power law, ASTM E779", "memory",
        million(1.08 * 108.02 * 36), lambda: heat(EAVES, zones=HALF, leakage=changed(
            "leakage", flow=100.0 * 25.0**0.67, pressure=25.0)), 0.003, "100 cfm at 1 Pa by either"),
    row("exhaust fan of 80 cfm for 12 h", "exhaust fan in a house", PALMITER, "memory", million(1.08 * (108.02 + 20) * 36),
        lambda: heat(EAVES, zones=HALF, leakage=AIRY, fans=(item_fan("exhaust", 80.0, 12.0),)), 0.003, "mean 40 cfm, half adds"),
    row("supply fan of 300 cfm", "supply fan in a house", PALMITER, "memory", million(1.08 * 300 * 36),
        lambda: heat(EAVES, zones=HALF, leakage=AIRY, fans=(item_fan("supply", 300.0, 24.0),)), 0.003, "a strong fan takes all"),
    row("balanced fan of 100 cfm that gives back 75 %", "heat recovery in a house", "sensible recovery, HVI definition", "memory",
        million(1.08 * (108.02 + 25) * 36), lambda: heat(
            EAVES, zones=HALF, leakage=AIRY, fans=(item_fan("balanced", 100.0, 24.0, 0.75),)), 0.003, "a quarter of it is to be heated"),
]  # fmt: skip


def item_fan(kind: str, flow: float, hours: float, recovery: float = 0.0):
    from retrofit_lab.house.description import Fan

    return Fan(
        key=kind, label=kind, kind=kind, flow=flow, hours=hours, watts=30.0, recovery=recovery
    )


ZONES = [
    *(
        row(f"ceiling of U {u} under the law's attic", "attic's part of the loss", WAC, "memory",
            million(u * 1350 * b * 40), lambda u=u: heat(COLD, **attic_parts(u)), 0.001,
            "b printed by hand: 950.7 over 950.7 and the ceiling")
        for u, b in {0.031: 0.9578, 0.06: 0.9215, 0.25: 0.7380}.items()
    ),
    row("attic over a ceiling of U .25", "attic temperature", WAC, "memory", 70 - 0.7380 * 40,
        lambda: zone_temperature("attic", **attic_parts(0.25)), 0.001, "b by hand"),
    row("attic in the sun: 1,200 Btu/(ft2 day) on a dark roof", "attic temperature",
        "sol-air: roof warmer by (absorptance x sun - 20 under a clear sky) x film 1/3", "memory",
        (337.5 * 75 + 182.25 * 75 + 768.42 * (75 + (0.9 * 50 - 0.72 * 20) / 3)) / (337.5 + 182.25 + 768.42),
        sunny_attic, 0.005, "rooms and outdoors at 75 F; at 40 N this sun is that of a sky .72 clear in the mean"),
    row("basement: floor .25 x 1,000 ft2, walls to the soil", "basement temperature", "heat balance of ISO 13789", "memory",
        30 + 40 * 250 / (250 + 119.0), lambda: zone_temperature("basement", **cellar()), 0.005,
        "walls .170 x 700 ft2 to soil of the year's mean, no air"),
    row("loss by that basement", "basement's part of the loss", "heat balance of ISO 13789", "memory",
        million(40 * 250 * 119.0 / 369.0), lambda: heat(COLD, **cellar()), 0.005, "in series"),
    row("tank of 1,000 Btu/h in a basement: the soil takes it", "gains in a basement", "heat balance of ISO 13789", "memory",
        million(40 * 250 * 119.0 / 369.0 - (1.44 * 50) * 250 / 369.0), lambda: heat(COLD, **cellar(tank=True)), 0.012,
        "50 gal at 120 F, jacket of R-16 near 23 ft2; two thirds come back through the floor"),
]  # fmt: skip


def cellar(*, tank: bool = False) -> dict:
    wall = Underground(
        key="w", label="w", kind="wall", inside="basement", length=100.0, depth=7.0, width=0.0, r_value=1.47,
    )  # fmt: skip
    parts = {
        "surfaces": (surface("floor", "basement", r_continuous=4.0 - 0.92 - 0.92),),
        "underground": (wall,), "buffers": (buffer(7000.0, 0.0, "basement"),),
    }  # fmt: skip
    return {**parts, "water_heaters": (tank_of(place="basement"),)} if tank else parts


def tank_of(**numbers):
    plain = {
        "kind": "storage", "fuel": "electricity", "place": "house", "share": 1.0, "volume": 50.0, "r_tank": 16.0,
        "r_wrap": 0.0, "setpoint": 120.0, "efficiency": 1.0, "flue_loss": 0.0,
    }  # fmt: skip
    return item("water_heaters", **{**plain, **numbers})


GAINS = [
    row("window of SHGC .40 to the south, 600 Btu/(ft2 day)", "sun through a window of a house",
        "residential code N1105: interior shade .92 - .21 SHGC", "read",
        million(8000 - 0.9 * 100 * 0.40 * 0.836 * 25), lambda: heat(
            weather(30.0, sun={"south": 600.0}), windows=(losing(150.0), window(100.0, 0.5, shgc=0.40))), 0.004,
        "a small gain is used in full: 752 Btu/h, a tenth lost because it does not come straight on"),
    row("the same, half shaded, to the east", "sun through a window of a house",
        "residential code N1105: interior shade .92 - .21 SHGC", "read",
        million(8000 - 0.9 * 50 * 0.40 * 0.836 * 25), lambda: heat(
            weather(30.0, sun={"east": 600.0}), windows=(losing(150.0), window(100.0, 0.5, shgc=0.40, shading=0.5, facing=90.0))),
        0.003, "376 Btu/h"),
    row("one kilowatt of appliances kept indoors", "heat of what is plugged in", "3,412 Btu in a kWh", "memory",
        million(40_000 - 3412), lambda: heat(COLD, windows=(losing(1000.0),), appliances=(
            item("appliances", kind="other", fuel="electricity", use=8760.0, inside=1.0),)), 0.004, "a small gain is used in full"),
    row("a thousand watts of bulbs, half of the heat indoors", "heat of bulbs", "3,412 Btu in a kWh", "memory",
        million(40_000 - 1706), lambda: heat(COLD, windows=(losing(1000.0),), lamps=(
            item("lamps", kind="incandescent", place="house", watts=100.0, count=10.0, hours=24.0, inside=0.5),)), 0.003,
        "burning all year; half leaves"),
    row("500 W of standby, all of it indoors", "heat of standby", "3,412 Btu in a kWh", "memory",
        million(40_000 - 1706), lambda: heat(COLD, windows=(losing(1000.0),), standby=(
            item("standby", watts=500.0, hours=24.0, inside=1.0),)), 0.003, "a small gain is used in full"),
    row("four people at home for most of the day", "heat of people", "215 to 250 Btu/h each, tables of heat from people", "read",
        million(40_000 - 4 * 232 * 0.65), lambda: heat(
            COLD, windows=(losing(1000.0),), size=changed("size", occupants=4.0)), 0.004,
        "at home about 16 h of 24: 600 Btu/h in all, a third either way"),
]  # fmt: skip

EQUIPMENT = [
    row("furnace of 80 % through leaky ducts in a cold attic", "ducts and furnace in a house", A152, "memory",
        million(20_000 / DELIVERED / 0.8), lambda: gas(**ducted()), 0.004, "regain and fan none; .7103 by hand"),
    row("the same ducts sealed", "ducts and furnace in a house", A152, "memory",
        million(20_000 / (0.93291 - 0.93291 * (1 - 0.97712) * 0.8 - (1 - 0.93291) * 0.8) / 0.8),
        lambda: gas(**ducted(supply_leakage=0.0, return_leakage=0.0)), 0.004, "conduction alone"),
    row("ducts inside lose nothing", "ducts and furnace in a house", A152, "memory", million(20_000 / 0.8),
        lambda: gas(**ducted(supply_place="house", return_place="house")), 0.002, "all comes back"),
    row("fan of 500 W with that furnace [kWh]", "furnace fan in a house", "run time is heat over output", "memory",
        20_000 / DELIVERED / 54_000 * HOURS * 0.5, lambda: fan_kwh(**ducted(fan_watts=500.0)), 0.01,
        "its own heat spares a little run time"),
    row("gas that the fan's heat spares", "furnace fan in a house", "3.412 Btu in a Wh", "memory",
        million((20_000 - 20_000 / 54_000 * 1706) / 0.8),
        lambda: gas(**ducted(supply_place="house", return_place="house", fan_watts=500.0)), 0.002, "500 W for 37 % of the time"),
    row("boiler of 85 % with half of the heat, wood stove of 60 % with the rest", "shares of heaters in a house", BALANCE, OWN,
        million(10_000 / 0.85), lambda: gas(windows=(losing(500.0),), fuel_heaters=(
            changed("fuel_heaters", key="a", kind="boiler", fuel="natural_gas", share=0.5, efficiency=0.85),
            changed("fuel_heaters", key="b", kind="stove", fuel="wood", share=0.5, efficiency=0.6))), 1e-6, "no ducts"),
    row("standing pilot of 800 Btu/h where nobody heats", "pilot in a house", BALANCE, OWN, million(800),
        lambda: gas(weather(75.0), windows=(losing(100.0),), fuel_heaters=(
            changed("fuel_heaters", kind="furnace", fuel="natural_gas", pilot=800.0),)), 0.001, "burns all year for nothing"),
    row("heater of 12,000 Btu/h in a house that asks for 20,000", "undersized heater", BALANCE, OWN, million(12_000),
        lambda: heat(COLD, windows=(losing(500.0),), fuel_heaters=(changed("fuel_heaters", capacity=12_000.0),)), 0.002,
        "it runs all the time and the rooms stay at 54 F"),
    row("heat pump below its cutout [kWh]", "backup heat of a house", "resistance heat, 3,412 Btu in a kWh", "memory",
        9000 * HOURS / KWH, lambda: use_kwh("heating", weather(-20.0), windows=(losing(100.0),), **pump()), 0.003,
        "backup makes all of it"),
    row("output at 17 F of a heat pump of 36,000 Btu/h, from its backup", "backup heat of a house",
        "labels of rated units: .55 to .65 of the output at 47 F", "memory", 0.60 * 36_000, lambda: output_at(17.0, 30_000.0), 0.08,
        "the whole range of labels"),
    row("heat pump of HSPF 8.2 at 47 F [kWh]", "heat pump in a house", "coefficient 3.2 to 3.5 at 47 F for units of HSPF 8.2",
        "memory", 11_500 * HOURS / KWH / (3.35 * 0.83), lambda: use_kwh("heating", weather(47.0), windows=(losing(500.0),), **pump()), 0.06,
        "directories of rated units; a third of full load costs 17 % by a cycling coefficient of .25"),
    row("output at 47 F of that heat pump, from its backup", "backup heat of a house", "output at 47 F is the rated one", OWN, 36_000,
        lambda: output_at(47.0, 50_000.0), 0.02, "asked for 50,000 Btu/h"),
]  # fmt: skip


def output_at(temperature: float, load: float) -> float:
    """What a heat pump makes of a load that is too large for it, by what its backup makes. [Btu/h]"""
    found = year(weather(temperature), windows=(losing(load / (70 - temperature)),), **pump())
    return load - float(np.sum(found.backup)) * KWH / HOURS


def pump(ducted: str = "no") -> dict:
    unit = replace(
        _pump(),
        ducted=ducted,
        share=1.0,
        hspf=8.2,
        capacity=36_000.0,
        cutout=-5.0,
        recovery_hours=1.0,
    )
    return {"heat_pumps": (unit,), "fuel_heaters": ()}


def _pump():
    from retrofit_lab.house.description import HeatPump

    return HeatPump(
        key="p", label="p", share=1.0, hspf=8.2, capacity=36_000.0, cutout=-5.0, recovery_hours=1.0
    )


def moist(humidity: float) -> float:
    """Electricity of a cooler for 10,000 Btu/h sensible and 100 cfm of outdoor air. [kWh]"""
    air = (item_fan("balanced", 100.0, 24.0),)
    return use_kwh(
        "cooling", weather(95.0, humidity=humidity), windows=(losing(392.0),), fans=air,
        air_conditioners=cooler(capacity=18_000.0),
    )  # fmt: skip


def cooler(ducted: str = "no", **numbers):
    return (
        item(
            "air_conditioners",
            ducted=ducted,
            **{"share": 1.0, "seer": 12.0, "capacity": 60_000.0, **numbers},
        ),
    )


COOLING = [
    row("SEER 12 at 95 F outdoors, dry [kWh]", "cooling in a house", "EER = 1.12 SEER - .02 SEER^2, Building America", "memory",
        10_000 / 10.56 / 1000 * HOURS, lambda: use_kwh(
            "cooling", HOT, windows=(losing(500.0),), air_conditioners=cooler()), 0.12,
        "all hours at 95 F: 10.56 Btu/Wh without the cycling that the label holds, up to an eighth"),
    row("two rooms' coolers of shares .3 and .5 [kWh]", "shares of coolers in a house", "EER = 1.12 SEER - .02 SEER^2, Building America",
        "memory", 8_000 / 10.56 / 1000 * HOURS, lambda: use_kwh(
            "cooling", HOT, windows=(losing(500.0),), air_conditioners=(
                *cooler(key="a", share=0.3), *cooler(key="b", share=0.5))), 0.12, "as above"),
    row("cooled rooms let no moisture be asked of a dry place", "moisture in a house", BALANCE, OWN, 1.0,
        lambda: moist(0.008) / moist(0.0081), 0.02, "below the coil's dew point nothing condenses"),
    row("Miami's summer air, 100 cfm: moisture over the sensible load", "moisture in a house",
        "4,840 Btu/h for each cfm and lb/lb, ASHRAE Handbook Fundamentals chapter 18", "memory",
        1 + 4840 * 100 * (0.018 - 0.0105) / 10_000, lambda: moist(0.018) / moist(0.007), 0.06,
        "rooms at 50 to 60 % of humidity, 0.0095 to 0.0115 lb/lb at 75 F"),
]  # fmt: skip

MORE = [
    row("a year 2 F warmer than typical", "warmer year of a house", BALANCE, OWN, million(100 * 38),
        lambda: heat(COLD, windows=(losing(100.0),), site=changed("site", warmer_by=2.0)), 1e-6, "38 F instead of 40 F"),
    row("natural air of a house in two zones", "natural air of a house", f"{HANDBOOK}, enhanced model", "memory",
        million(1.08 * 108.02 * 36), lambda: heat(EAVES, leakage=AIRY, zones=tuple(
            changed("zones", key=str(t), share=0.5, heating_setpoint=t) for t in (62.0, 70.0))), 0.003, "66 F on the mean"),
    row("fan of 500 W of a heat pump with ducts inside [kWh]", "furnace fan of a heat pump", "run time is heat over output", "memory",
        11_500 / 36_000 * HOURS * 0.5, lambda: fan_kwh(
            weather(47.0), windows=(losing(500.0),), ducts=changed("ducts", fan_watts=500.0), **pump("yes")), 0.04,
        "a third of the time"),
    row("heat pump with ducts and the fan of its rating [kWh]", "heat pump in a house", "coefficient 3.2 to 3.5 at 47 F for units of HSPF 8.2",
        "memory", 11_500 * HOURS / KWH / (3.35 * 0.83), lambda: use_kwh(
            "heating", weather(47.0), windows=(losing(500.0),), ducts=changed("ducts", fan_watts=365.0), **pump("yes")) + fan_kwh(
            weather(47.0), windows=(losing(500.0),), ducts=changed("ducts", fan_watts=365.0), **pump("yes")), 0.06,
        "as without ducts: the label holds the fan"),
    row("cooler through leaky ducts in an attic of 95 F, against none", "ducts while cooling in a house", A152, "memory", 1 / 0.7184,
        lambda: cooled_through_ducts() / use_kwh("cooling", HOT, windows=(losing(300.0),), air_conditioners=cooler(capacity=36_000.0)),
        0.08, "20 F outside the ducts, 26.7 F cooler air, by hand; return air from the attic is dry"),
    row("heat of a tank while the house is heated [million Btu]", "where a house loses heat", "tank of 16 in by 58 in, 23 ft2", "memory",
        million(23 / 16 * 50), lambda: float(season_losses(year(COLD, windows=(losing(500.0),), water_heaters=(tank_of(),))).hot_water) / 1e6,
        0.09, "50 gal, R-16, 50 F above the rooms"),
    row("gains of a kilowatt while the house is heated [million Btu]", "where a house loses heat", "3,412 Btu in a kWh", "memory",
        million(3412), lambda: float(season_losses(year(COLD, windows=(losing(1000.0),), appliances=(
            item("appliances", kind="other", fuel="electricity", use=8760.0, inside=1.0),))).gains) / 1e6, 0.025, "all year; a small part is of no use"),
    row("demand while the house is heated [million Btu]", "where a house loses heat", BALANCE, OWN, million(500 * 40),
        lambda: float(season_losses(year(COLD, windows=(losing(500.0),))).demand) / 1e6, 1e-6, "exact"),
]  # fmt: skip


def cooled_through_ducts() -> float:
    ducts = changed("ducts", supply_place="attic", return_place="attic", supply_area=300.0, return_area=100.0, supply_r=4.0,
                    return_r=4.0, supply_leakage=0.1, return_leakage=0.1, fan_watts=365.0)  # fmt: skip
    parts = {
        "windows": (losing(300.0),),
        "buffers": (OPEN,),
        "ducts": ducts,
        "air_conditioners": cooler("yes", capacity=36_000.0),
    }
    return use_kwh("cooling", HOT, **parts) + fan_kwh(HOT, **parts)


SETBACK = [
    row("8 h at 60 F instead of 70 F, 30 F outdoors: what is saved", "night setback of a house",
        "EN ISO 13790: mass behind 4 Btu/(h ft2 F) of floor, two nodes integrated by hand", "memory", 400 * 55.6 * 365 / 1e6,
        lambda: heat(COLD, windows=(losing(400.0),)) - heat(COLD, windows=(losing(400.0),), zones=nights(60.0, 8.0)), 0.08,
        "60 F is reached after 6.3 h; 55.6 F h a night; ours leaves a fifth of the loss with the walls"),
    row("4 h at 60 F: too short to get there", "night setback of a house",
        "EN ISO 13790: mass behind 4 Btu/(h ft2 F) of floor, two nodes integrated by hand", "memory", 400 * 18.65 * 365 / 1e6,
        lambda: heat(COLD, windows=(losing(400.0),)) - heat(COLD, windows=(losing(400.0),), zones=nights(60.0, 4.0)), 0.08,
        "160 - 1,000 (1 - e^-.152) = 18.65 F h a night; ours as above"),
    row("the same on 5 nights of 7", "night setback of a house",
        "EN ISO 13790: mass behind 4 Btu/(h ft2 F) of floor, two nodes integrated by hand", "memory", 400 * 55.6 * 365 / 1e6 * 5 / 7,
        lambda: heat(COLD, windows=(losing(400.0),)) - heat(COLD, windows=(losing(400.0),), zones=nights(60.0, 8.0, 5.0)), 0.08,
        "five sevenths"),
    row("furnace fan of 500 W behind a cooler of 36,000 Btu/h [kWh]", "furnace fan while cooling", "run time is cold over output",
        "memory", 10_000 / 36_000 * HOURS * 0.5, lambda: fan_kwh(
            HOT, windows=(losing(500.0),), air_conditioners=cooler("yes", capacity=36_000.0),
            ducts=changed("ducts", fan_watts=500.0)), 0.03, "the fan beyond the rated one is a load too"),
    row("fan as the rating has it: cooler and fan together [kWh]", "furnace fan while cooling",
        "EER = 1.12 SEER - .02 SEER^2, Building America", "memory", 10_000 / 10.56 / 1000 * HOURS, lambda: use_kwh(
            "cooling", HOT, windows=(losing(500.0),), air_conditioners=cooler("yes", capacity=36_000.0),
            ducts=changed("ducts", fan_watts=365.0)) + fan_kwh(
            HOT, windows=(losing(500.0),), air_conditioners=cooler("yes", capacity=36_000.0), ducts=changed("ducts", fan_watts=365.0)),
        0.12, "the rating holds the fan; cycling up to an eighth"),
    row("rooms that a furnace of 12,000 Btu/h leaves cold, ducts inside", "undersized heater", BALANCE, OWN, 30 + 12_000 / 500,
        lambda: float(np.mean(year(COLD, windows=(losing(500.0),), fuel_heaters=(
            changed("fuel_heaters", capacity=12_000.0),)).heating.rooms.temperature)), 0.002, "54 F"),
    row("two tanks share the water [kWh]", "shares of tanks in a house", COOLPROP, "read", 8.241 * 20 * 70 * 365 / KWH,
        lambda: water(hot_water=drawn(machine_gallons=20.0), water_heaters=(
            tank_of(key="a", volume=0.0, share=0.25), tank_of(key="b", volume=0.0, share=0.75))), 0.006, "from 50 to 120 F"),
    row("air that comes up from a basement", "where a house loses heat", PALMITER, "memory", million(1.08 * 300 * 40),
        lambda: lost("air", fans=(item_fan("exhaust", 300.0, 24.0),)), 0.003, "all by the fan"),
]  # fmt: skip


def nights(setting: float, hours: float, days: float = 7.0):
    """Thermostat that is set back every night, or on some nights of the week."""
    period = Period(
        key="n",
        label="n",
        days_per_week=days,
        hours=hours,
        heating_setpoint=setting,
        cooling_setpoint=80.0,
    )
    return (changed("zones", periods=(period,)),)


WATER = [
    row("three people's showers of 8 min at 2.5 gpm, 3 in 4 days [kWh]", "hot water drawn in a house", COOLPROP, "read",
        20_459 * 365 / KWH, lambda: water(size=changed("size", occupants=3.0), hot_water=drawn(
            showers=0.75, shower_minutes=8.0, shower_flow=2.5)), 0.006,
        "45 gal warmed from 50 to 105 F weigh and hold 8.266 Btu/(gal F) at the tap"),
    row("three people's faucets, 3 min at 2.2 gpm [kWh]", "hot water drawn in a house", COOLPROP, "read",
        8.266 * 19.8 * 55 * 365 / KWH, lambda: water(size=changed("size", occupants=3.0), hot_water=drawn(
            tap_minutes=3.0, tap_flow=2.2)), 0.006, "19.8 gal a day at 105 F"),
    row("machines that take 20 gal of hot water [kWh]", "hot water drawn in a house", COOLPROP, "read",
        8.241 * 20 * 70 * 365 / KWH, lambda: water(hot_water=drawn(machine_gallons=20.0)), 0.006, "from 50 to 120 F"),
    row("ten waits of half a gallon [kWh]", "hot water drawn in a house", COOLPROP, "read",
        8.241 * 5 * 70 * 365 / KWH, lambda: water(hot_water=drawn(waits=10.0, wait_volume=0.5)), 0.006, "5 gal a day"),
    row("old federal test: 64.3 gal a day from 58 to 135 F, gas burner of 76 % [million Btu]", "hot water of a house",
        "10 CFR 430 test before 2015: 41,045 Btu a day", "memory", 41_045 * 365 / 0.76 / 1e6, water_gas, 0.015,
        "without standby; the test's own rounding"),
    row("tank of 50 gal, R-16, 50 F warmer than the rooms [kWh]", "standby of a tank in a house",
        "tank of 16 in by 58 in, 23 ft2", "memory", 23 / 16 * 50 * HOURS / KWH, lambda: water(water_heaters=(tank_of(),)), 0.09,
        "tanks of 50 gal come slimmer and stouter"),
    row("flue that takes 4 Btu/h for each degree [kWh]", "flue of a tank in a house", BALANCE, OWN, 4 * 50 * HOURS / KWH,
        lambda: water(water_heaters=(tank_of(volume=0.0, flue_loss=4.0),)), 1e-6, "50 F above the rooms"),
    row("60 ft of bare 7/8 in pipe, hot for 6 h of the day [kWh]", "pipes of a house", "bare tube of 1.9 Btu/(h ft2 F)", OWN,
        0.4352 * 60 * 50 * 6 / 24 * HOURS / KWH, lambda: water(hot_water=drawn(
            pipe_length=60.0, pipe_diameter=0.875, pipe_hours=6.0)), 0.002, ".435 Btu/(h ft F)"),
    row("the same pipe under 3/4 in of foam [kWh]", "pipes of a house", "ht.conduction.R_cylinder and 1.9 Btu/(h ft2 F)", "read",
        60 * 50 * 6 / 24 / (7.6282 + 0.8465) * HOURS / KWH, lambda: water(hot_water=drawn(
            pipe_length=60.0, pipe_diameter=0.875, pipe_insulation=0.75, pipe_hours=6.0)), 0.002, "7.628 and a film of .846"),
    row("heat-pump tank of COP 3 near its rating point [kWh]", "heat-pump tank in a house", "rating at 67.5 F and 125 F", "memory",
        8.241 * 20 * 75 * 365 / 3 / KWH, lambda: water(
            weather(44.0), hot_water=drawn(machine_gallons=20.0), zones=(changed("zones", heating_setpoint=67.5),),
            windows=(losing(500.0),), water_heaters=(tank_of(kind="heat_pump", volume=0.0, efficiency=3.0, setpoint=125.0),)),
        0.006, "no standby here"),
    row("heat that this tank takes from the rooms [million Btu]", "heat-pump tank in a house", "energy balance", OWN,
        million(23.5 * 500 + 8.25 * 20 * 75 / 24 * (2 / 3)), lambda: heat(
            weather(44.0), hot_water=drawn(machine_gallons=20.0), zones=(changed("zones", heating_setpoint=67.5),),
            windows=(losing(500.0),), water_heaters=(tank_of(kind="heat_pump", volume=0.0, efficiency=3.0, setpoint=125.0),)),
        0.001, "two thirds of the water's heat is the rooms'"),
    row("a tank warms the rooms it stands in [million Btu]", "gains of a tank in a house", "energy balance", OWN,
        million(40 * 500 - 23 / 16 * 50), lambda: heat(COLD, windows=(losing(500.0),), water_heaters=(tank_of(),)), 0.0007,
        "72 Btu/h of 20,000, a tenth either way"),
]  # fmt: skip


def drawn(**numbers):
    return changed("hot_water", **{"mixed_temperature": 105.0, "pipe_insulation": 0.0, **numbers})


def water(climate=None, **parts) -> float:
    """Electricity for hot water, mains at 50 F. [kWh]"""
    plain = {"water_heaters": (tank_of(volume=0.0),), "windows": (losing(5000.0),)}
    return use_kwh("hot_water", climate or weather(44.0), **{**plain, **parts})


PLUGS = [
    *(
        row(f"bulb of {watts} W by its label [dollars]", "bulbs of a house", LABEL, "memory", dollars,
            lambda watts=watts: 0.11 * use_kwh("lighting", lamps=(item(
                "lamps", watts=watts, count=1.0, hours=3.0, inside=0.0),)), 0.005, "printed to the cent")
        for watts, dollars in {9.5: 1.14, 43.0: 5.18, 60.0: 7.23}.items()
    ),
    row("twelve such bulbs [dollars]", "bulbs of a house", LABEL, "memory", 12 * 7.23, lambda: 0.11 * use_kwh(
        "lighting", lamps=(item("lamps", watts=60.0, count=12.0, hours=3.0, inside=0.0),)), 0.005, "printed to the cent"),
    row("one watt of standby all year [kWh]", "standby of a house", "8.76 kWh for each watt", OWN, 8.76 * 7,
        lambda: use_kwh("standby", standby=(item("standby", watts=7.0, hours=24.0, inside=0.0),)), 1e-6, "7 W"),
    row("standby for 18 of 24 hours [kWh]", "standby of a house", "8.76 kWh for each watt", OWN, 8.76 * 7.5,
        lambda: use_kwh("standby", standby=(item("standby", watts=10.0, hours=18.0, inside=0.0),)), 1e-6, "10 W"),
    row("refrigerator of 511 kWh beside a washer of 100", "appliances of a house", "what the meter counted", OWN, 611.0,
        lambda: use_kwh("appliances", appliances=tuple(
            item("appliances", key=str(use), fuel="electricity", use=use, inside=0.0) for use in (511.0, 100.0))), 1e-6, "sum"),
    row("bath fan of 30 W for 8 h [kWh]", "fans of a house", "power x time", OWN, 87.6,
        lambda: use_kwh("ventilation", fans=(item_fan("exhaust", 50.0, 8.0),)), 1e-6, "30 W"),
]  # fmt: skip


def lost(part: str, **parts) -> float:
    """Heat lost by one part of a house in its heating season. [million Btu]"""
    return float(season_losses(year(COLD, **parts)).by_part[part]) / 1e6


LOST = [
    row("walls lose what walls lose", "where a house loses heat", A33, "memory", million(0.089 * 1000 * 40),
        lambda: lost("walls", surfaces=(surface("wall", r_label=13.0, framing_fraction=0.25, r_continuous=1.2, fill="batt"),)),
        0.006, "U printed to two digits that count"),
    row("so do windows", "where a house loses heat", NFRC, OWN, million(60 * 40), lambda: lost("windows", windows=(window(120.0),)),
        1e-6, "exact"),
    row("a ceiling under an attic", "where a house loses heat", WAC, "memory", million(0.06 * 1350 * 0.9215 * 40),
        lambda: lost("attic", **attic_parts(0.06)), 0.001, "b by hand"),
    row("air", "where a house loses heat", PALMITER, "memory", million(1.08 * 300 * 40),
        lambda: lost("air", fans=(item_fan("supply", 300.0, 24.0),)), 0.003, "all by the fan"),
    row("slab", "where a house loses heat", STRIP, OWN, million(SLAB * 130 * 40),
        lambda: lost("floor", underground=(Underground(
            key="e", label="e", kind="slab", inside="house", length=130.0, depth=0.0, width=0.0, r_value=0.0),)), 0.02,
        "as above"),
    row("ducts in a cold attic", "where a house loses heat", A152, "memory", million(20_000 / DELIVERED - 20_000),
        lambda: lost("ducts", **ducted()), 0.01, ".7103 by hand"),
]  # fmt: skip

CHECKS = [
    *MORE,
    *SETBACK,
    *SHELL,
    *AIR,
    *ZONES,
    *GAINS,
    *EQUIPMENT,
    *COOLING,
    *WATER,
    *PLUGS,
    *LOST,
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_published(check: Check) -> None:
    assert_check(check)
