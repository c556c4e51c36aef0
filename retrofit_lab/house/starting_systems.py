"""Heating, cooling, hot water, lights and electronics of a starting house, by kind and age; not its shell."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.description import Ducts, FuelPrice, HotWater
from retrofit_lab.house.file import record_from_table
from retrofit_lab.house.first_answers import NOT_KNOWN, FirstAnswers, Shape
from retrofit_lab.house.items import item_named, settled
from retrofit_lab.house.usual import bulb_shares, usual, usual_use
from retrofit_lab.house.usual_prices import usual_price
from retrofit_lab.physics.rating_by_age import rating_by_age

OLDEST = 20
"""Years until equipment is replaced; equipment of unknown age is anything up to that. [year] (judgment)"""
HEAT_PER_AREA = 40.0
"""Output of furnaces and boilers as they are sized. [Btu/h/ft2] (common practice)"""
COOL_MILD, COOL_HOT = 20.0, 30.0
"""Output of heat pumps and air conditioners as they are sized, where summers are mild and where they are hottest.
[Btu/h/ft2] A rule of the trade as pages tell it (read): 400 to 600 ft2 a ton; that the lower figure belongs to
the hottest places is judgment."""
MILD_DEGREE_DAYS, HOT_DEGREE_DAYS = 1000.0, 4000.0
"""Cooling degree days between which the size rises. [F day] (judgment)"""
LARGEST_COOLER = 60_000.0
"""Output of the largest unit that houses have. [Btu/h] (common practice: five tons)"""
LARGEST_HEATER = 150_000.0
"""Output of the largest furnace or boiler of one house. [Btu/h] (common practice)"""
DUCT_PLACES = {"attic": ("attic",), "basement or crawl space": ("basement", "crawlspace")}
"""Buffers that the answers to where the ducts run stand for."""
OUTSIDE_THE_ROOMS = 0.75
"""Share of the ducts of a one-story house that run outside its heated rooms; of two stories half of that is
left, since the upper rooms are reached through walls and floors. [1] (judgment)"""
BARE_DUCT_R = 1.5
"""Sheet metal with its air films, as most ducts in basements are. [h ft2 F/Btu] (judgment)"""
BULB_HOURS, BULBS_PER_AREA = 1.6, 1.0 / 27.0
"""Hours a day and bulbs per floor area [1/ft2]: 85 in a single-family house, see ``data/stock_bulbs.csv``."""
BULB_WATTS = {"led": 9.0, "fluorescent": 16.0, "incandescent": 52.0}
"""Power by kind. [W] (judgment)"""
BULB_NAMES = {"led": "LED bulbs", "fluorescent": "Fluorescent bulbs", "incandescent": "Old bulbs"}
COOKING_FUELS = ("natural_gas", "propane")
LAST_OLD_BULBS = 2011
"""Houses built since have no incandescent bulbs: the codes of the time want efficient ones."""
ROOM_COOLER_SHARE, ROOM_COOLER_SEER = 0.35, 10.0
"""Share of the rooms that window units cool: 0.34 in the survey's homes that have no central cooling. [1]"""
HEATERS = {
    "gas furnace": ("furnace", "natural_gas", "gas_furnace"),
    "propane furnace": ("furnace", "propane", "gas_furnace"),
    "oil furnace": ("furnace", "heating_oil", "oil_furnace"),
    "gas boiler": ("boiler", "natural_gas", "gas_boiler"),
    "oil boiler": ("boiler", "heating_oil", "oil_boiler"),
    "electric heaters": ("electric_heaters", "electricity", ""),
    "electric furnace": ("furnace", "electricity", ""),
    "wood stove": ("stove", "wood", ""),
}
"""Part, fuel and row of the ratings by age of each answer."""
CONDENSING, PLAIN = 0.95, 0.8
"""Seasonal efficiency of condensing and of other furnaces of the last 20 years. [1]"""
SEASONS = {"heating_setpoint": "winter", "cooling_setpoint": "summer"}
TANKS = {
    "electric tank": "electric_tank",
    "gas tank": "gas_tank",
    "propane tank": "propane_tank",
    "oil tank": "oil_tank",
    "gas tankless": "gas_tankless",
    "heat-pump tank": "hybrid_tank",
}


def systems_of(first: FirstAnswers, shape: Shape, places: frozenset[str]) -> dict[str, Any]:
    """Everything of a house that is no shell, by the name of its list."""
    heaters = tuple(_fuel_heaters(first, shape))
    tank = settled(item_named(f"water_heaters.{TANKS[first.hot_water]}").record, places)
    under = first.below or "house"
    tank = replace(tank, place=under)
    fuels = {"electricity", tank.fuel, *(heater.fuel for heater in heaters)}
    return {
        "zones": (_thermostat(first),),
        "ducts": _ducts(first, shape, places),
        "fuel_heaters": heaters,
        "heat_pumps": tuple(_heat_pumps(first, shape)),
        "air_conditioners": tuple(_coolers(first, shape)),
        "water_heaters": (tank,),
        "hot_water": _hot_water(first, shape, under),
        "lamps": tuple(_lamps(first, shape)),
        "standby": (item_named("standby.standby").record,),
        "appliances": tuple(_appliances(first, shape, fuels)),
        "prices": tuple(_prices(first, fuels)),
    }


def usual_rating(kind: str, first: FirstAnswers) -> float:
    """Mean rating of equipment that may have been put in any time of the last twenty years. [unit of the kind]"""
    earliest = int(max(min(first.year_built, first.as_of), first.as_of - OLDEST))
    rows = read_rows("equipment_by_age.csv")
    years = range(earliest, int(first.as_of) + 1)
    return sum(rating_by_age(kind, year, rows).likely for year in years) / len(years)


def _thermostat(first: FirstAnswers) -> Any:
    """One thermostat for the whole house, set as most people say."""
    zone, night = item_named("zones.zone").record, item_named("zones.*.periods.night").record
    by_day, by_night = ({s: _setting(first, s, when) for s in SEASONS} for when in ("day", "night"))
    night = replace(night, **by_night)
    return replace(zone, key="whole", label="Whole house", share=1.0, periods=(night,), **by_day)


def _setting(first: FirstAnswers, setpoint: str, when: str) -> float:
    return round(usual(f"{SEASONS[setpoint]}_{when}", first.year_built, first.place), 1)


def _fuel_heaters(first: FirstAnswers, shape: Shape) -> Iterator[Any]:
    if first.heating not in HEATERS:
        return
    part, fuel, rated = HEATERS[first.heating]
    record = item_named(f"fuel_heaters.{part}").record
    label = first.heating.capitalize()
    capacity = min(HEAT_PER_AREA * shape.floor_area, LARGEST_HEATER)
    efficiency = _efficiency(first, rated, record.efficiency)
    yield replace(record, label=label, fuel=fuel, efficiency=efficiency, capacity=capacity)


def _efficiency(first: FirstAnswers, rated: str, otherwise: float) -> float:
    if first.heating == "electric furnace":
        return 1.0
    if not rated:
        return otherwise
    if rated == "gas_furnace":
        share = usual("condensing", first.year_built, first.place)
        return PLAIN + share * (CONDENSING - PLAIN)
    return usual_rating(rated, first)


def _heat_pumps(first: FirstAnswers, shape: Shape) -> Iterator[Any]:
    if first.heating == "heat pump":
        rating = usual_rating("heat_pump", first)
        record = item_named("heat_pumps.heat_pump").record
        yield replace(record, hspf=rating, capacity=_cooling_size(first, shape))


def _cooling_size(first: FirstAnswers, shape: Shape) -> float:
    """Output of a cooler as houses of the place have them. [Btu/h]"""
    span = HOT_DEGREE_DAYS - MILD_DEGREE_DAYS
    hot = min(max((first.place.cooling_degree_days - MILD_DEGREE_DAYS) / span, 0.0), 1.0)
    return min((COOL_MILD + hot * (COOL_HOT - COOL_MILD)) * shape.floor_area, LARGEST_COOLER)


def _coolers(first: FirstAnswers, shape: Shape) -> Iterator[Any]:
    record = item_named("air_conditioners.air_conditioner").record
    rating = usual_rating("air_conditioner", first)
    record = replace(record, seer=rating, capacity=_cooling_size(first, shape))
    if first.heating == "heat pump":
        yield replace(record, key="heat_pump_cooling", label="Cooling by the heat pump")
    elif first.cooling == "central":
        yield record
    elif first.cooling == "window units":
        label = "Window air conditioners"
        share, seer = ROOM_COOLER_SHARE, ROOM_COOLER_SEER
        yield replace(record, label=label, ducted="no", share=share, seer=seer, capacity=18_000.0)


def _ducts(first: FirstAnswers, shape: Shape, places: frozenset[str]) -> Ducts:
    place = _duct_place(first, places)
    if not first.has_ducts or place == "house":
        ducts: Ducts = record_from_table(Ducts, {})
        return ducts
    leak, r_value = (usual(f"duct_{q}", first.year_built, first.place) for q in ("leakage", "r"))
    if place not in ("attic", "crawlspace") and not first.built_to_code:
        r_value = min(r_value, BARE_DUCT_R)
    outside = OUTSIDE_THE_ROOMS * (1.0 if first.stories < 1.5 else 0.5)
    table = {
        "supply_place": place,
        "return_place": place,
        "supply_area": f"{0.2 * outside * shape.floor_area} ft2",
        "return_area": f"{0.06 * outside * shape.floor_area} ft2",
        "supply_r": f"R-{r_value}",
        "return_r": f"R-{r_value}",
        "supply_leakage": leak,
        "return_leakage": leak,
        "flow": f"{min(0.6 * shape.floor_area, LARGEST_COOLER / 30.0)} cfm",
    }
    found: Ducts = record_from_table(Ducts, table)
    return found


def _duct_place(first: FirstAnswers, places: frozenset[str]) -> str:
    """Where most of the ducts run: as told, else in the space below, else in the attic."""
    if first.duct_place != NOT_KNOWN:
        told = DUCT_PLACES.get(first.duct_place, ())
        return next((place for place in told if place in places), "house")
    if first.heated_basement:
        return "house"
    return first.below or ("attic" if "attic" in places else "house")


def _hot_water(first: FirstAnswers, shape: Shape, place: str) -> HotWater:
    """Draws of a household, as metered in the field.

    References
    ----------
    Residential End Uses of Water, version 2 (2016), means of 1,000 homes: 0.69 showers a person and day of
    7.8 minutes at 2.1 gal/min (memory); faucets, machines and waits judgment round its totals.
    """
    table = {
        "pipe_place": place,
        "showers": 0.69,
        "shower_minutes": "7.8 min",
        "shower_flow": "2.1 gal/min",
        "tap_flow": "1.7 gal/min",
        "machine_gallons": f"{2.0 * first.occupants} gal/day",
        "waits": 2.5 * first.occupants,
        "pipe_length": f"{20.0 + shape.floor_area / 75.0} ft",
        "pipe_insulation": "0.75 in" if first.built_to_code else "0 in",
    }
    made: HotWater = record_from_table(HotWater, table)
    return made


def _lamps(first: FirstAnswers, shape: Shape) -> Iterator[Any]:
    """Bulbs of each kind that houses have in the year that this one is looked at."""
    record = item_named("lamps.lamps").record
    bulbs = BULBS_PER_AREA * shape.floor_area
    for kind, share in bulb_shares(
        first.as_of, old_ones=first.year_built <= LAST_OLD_BULBS
    ).items():
        count = float(round(share * bulbs))
        if count:
            yield replace(
                record,
                key=f"{kind}_bulbs",
                label=f"{BULB_NAMES[kind]} in all rooms",
                kind=kind,
                count=count,
                watts=BULB_WATTS[kind],
                hours=BULB_HOURS,
            )
    yield item_named("lamps.outdoor_lamps").record


def _appliances(first: FirstAnswers, shape: Shape, fuels: set[str]) -> Iterator[Any]:
    """Appliances of a household; where there is gas, most people cook with it."""
    gas = next((fuel for fuel in COOKING_FUELS if fuel in fuels), "")
    cooking = ("gas_range", "gas_burners") if gas else ("range",)
    for key in ("refrigerator", "laundry", *cooking, "plugs"):
        use = usual_use(key, first.year_built, first.occupants, shape.floor_area)
        record = replace(item_named(f"appliances.{key}").record, use=use)
        yield replace(record, fuel=gas) if key in cooking and gas else record


def _prices(first: FirstAnswers, used: set[str]) -> Iterator[FuelPrice]:
    for key in fuels():
        if key in used:
            price = usual_price(key, first.climate).price
            yield replace(item_named(f"prices.{key}").record, price=price)
