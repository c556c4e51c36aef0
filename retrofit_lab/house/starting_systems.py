"""Heating, cooling, hot water, lamps and sets of a starting house, by kind and age; its shell is in starting.py."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from retrofit_lab.house.description import Ducts, FuelPrice, HotWater
from retrofit_lab.house.file import record_from_table
from retrofit_lab.house.items import item_named, settled
from retrofit_lab.house.plan import Plan, Shape
from retrofit_lab.physics.rating_by_age import rating_by_age
from retrofit_lab.reference_data import read_rows

USUAL_AGE = 15
"""Years that equipment of unknown age is taken to be in use. [year] (judgement: half of its life and more)"""
BOOKS_END = 2026
HEAT_PER_AREA = 40.0
"""Output of furnaces and boilers as they are sized. [Btu/h/ft2] (common practice)"""
COOL_PER_AREA = 18.0
"""Output of heat pumps and coolers as they are sized. [Btu/h/ft2] (common practice)"""
LARGEST_COOLER = 60_000.0
"""Output of the largest unit that houses have. [Btu/h] (common practice: five tons)"""
LARGEST_HEATER = 150_000.0
"""Output of the largest furnace or boiler of one house. [Btu/h] (common practice)"""
HEATERS = {
    "gas furnace": ("furnace", "natural_gas", "gas_furnace"),
    "propane furnace": ("furnace", "propane", "gas_furnace"),
    "oil furnace": ("furnace", "heating_oil", "oil_furnace"),
    "gas boiler": ("boiler", "natural_gas", "gas_boiler"),
    "oil boiler": ("boiler", "heating_oil", "oil_boiler"),
    "electric heaters": ("electric_heaters", "electricity", ""),
    "wood stove": ("stove", "wood", ""),
}
"""Part, fuel and row of the ratings by age of each answer."""
TANKS = {
    "electric tank": "electric_tank",
    "gas tank": "gas_tank",
    "propane tank": "propane_tank",
    "gas tankless": "gas_tankless",
    "heat-pump tank": "hybrid_tank",
}


def systems_of(plan: Plan, shape: Shape, places: frozenset[str]) -> dict[str, Any]:
    """Everything of a house that is no shell, by the name of its list."""
    zone = item_named("zones.zone").record
    night = item_named("zones.*.periods.night").record
    heaters = tuple(_fuel_heaters(plan, shape))
    tank = settled(item_named(f"water_heaters.{TANKS[plan.hot_water]}").record, places)
    under = plan.below or "house"
    tank = replace(tank, place=under)
    return {
        "zones": (replace(zone, key="whole", label="Whole house", share=1.0, periods=(night,)),),
        "ducts": _ducts(plan, shape, places),
        "fuel_heaters": heaters,
        "heat_pumps": tuple(_heat_pumps(plan, shape)),
        "air_conditioners": tuple(_coolers(plan, shape)),
        "water_heaters": (tank,),
        "hot_water": _hot_water(plan, under),
        "lamps": tuple(_lamps(shape)),
        "standby": (item_named("standby.standby").record,),
        "appliances": tuple(_appliances(plan, shape)),
        "prices": tuple(_prices({"electricity", tank.fuel, *(h.fuel for h in heaters)})),
    }


def usual_rating(kind: str, year_built: float) -> float:
    """Rating that equipment of unknown age is likely to have. [unit of the kind]"""
    year = int(max(year_built, BOOKS_END - USUAL_AGE))
    return rating_by_age(kind, year, read_rows("equipment_by_age.csv")).likely


def _fuel_heaters(plan: Plan, shape: Shape) -> Iterator[Any]:
    if plan.heating not in HEATERS:
        return
    part, fuel, rated = HEATERS[plan.heating]
    record = item_named(f"fuel_heaters.{part}").record
    efficiency = usual_rating(rated, plan.year_built) if rated else record.efficiency
    label = plan.heating.capitalize()
    capacity = min(HEAT_PER_AREA * shape.floor_area, LARGEST_HEATER)
    yield replace(record, label=label, fuel=fuel, efficiency=efficiency, capacity=capacity)


def _heat_pumps(plan: Plan, shape: Shape) -> Iterator[Any]:
    if plan.heating == "heat pump":
        rating = usual_rating("heat_pump", plan.year_built)
        record = item_named("heat_pumps.heat_pump").record
        yield replace(record, hspf=rating, capacity=_cooling_size(shape))


def _cooling_size(shape: Shape) -> float:
    return min(COOL_PER_AREA * shape.floor_area, LARGEST_COOLER)


def _coolers(plan: Plan, shape: Shape) -> Iterator[Any]:
    record = item_named("air_conditioners.air_conditioner").record
    rating = usual_rating("air_conditioner", plan.year_built)
    record = replace(record, seer=rating, capacity=_cooling_size(shape))
    if plan.heating == "heat pump":
        yield replace(record, key="heat_pump_cooling", label="Cooling by the heat pump")
    elif plan.cooling == "central":
        yield record
    elif plan.cooling == "window units":
        label = "Window air conditioners"
        yield replace(record, label=label, ducted="no", share=0.5, seer=10.0, capacity=18_000.0)


def _ducts(plan: Plan, shape: Shape, places: frozenset[str]) -> Ducts:
    place = plan.below or ("attic" if "attic" in places else "house")
    if not plan.has_ducts or place == "house":
        ducts: Ducts = record_from_table(Ducts, {})
        return ducts
    table = {
        "supply_place": place,
        "return_place": place,
        "supply_area": f"{0.11 * shape.floor_area} ft2",
        "return_area": f"{0.05 * shape.floor_area} ft2",
        "supply_r": "R-3",
        "return_r": "R-3",
        "supply_leakage": 0.1,
        "return_leakage": 0.08,
        "flow": f"{min(0.6 * shape.floor_area, LARGEST_COOLER / 30.0)} cfm",
    }
    found: Ducts = record_from_table(Ducts, table)
    return found


def _hot_water(plan: Plan, place: str) -> HotWater:
    table = {"pipe_place": place, "machine_gallons": f"{3.0 * plan.occupants} gal/day"}
    made: HotWater = record_from_table(HotWater, {**table, "pipe_length": "40 ft"})
    return made


def _lamps(shape: Shape) -> Iterator[Any]:
    record = item_named("lamps.lamps").record
    yield replace(
        record, key="rooms", label="All rooms", count=float(round(shape.floor_area / 70.0))
    )
    yield item_named("lamps.outdoor_lamps").record


def _appliances(plan: Plan, shape: Shape) -> Iterator[Any]:
    for key in ("refrigerator", "laundry", "range"):
        yield item_named(f"appliances.{key}").record
    yield replace(
        item_named("appliances.plugs").record, use=0.5 * shape.floor_area + 150.0 * plan.occupants
    )


def _prices(fuels: set[str]) -> Iterator[FuelPrice]:
    for row in read_rows("fuels.csv"):
        if row["key"] in fuels:
            yield replace(
                item_named(f"prices.{row['key']}").record,
                price=float(row["price_dollars_per_unit"]),
            )
