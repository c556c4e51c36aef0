"""Invented variants of the example houses in which every measure of the catalog has something to do."""

import copy
import tomllib
from dataclasses import replace
from functools import cache
from typing import Any

from ten_houses import ten_houses

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.file import house_from_table

MORE_SURFACES = [
    {"key": "slope", "label": "Cathedral ceiling", "kind": "ceiling", "inside": "house", "outside": "outdoors", "fill": "batt", "area": "160 ft2", "r_continuous": "R-1.5", "r_label": "R-19"},
    {"key": "bay", "label": "Floor of the bay", "kind": "floor", "inside": "house", "outside": "outdoors", "area": "40 ft2", "r_continuous": "R-2", "r_label": "R-11", "framing_fraction": 0.1, "gap_fraction": 0.2},
]  # fmt: skip
MORE_SITES = [
    {"key": "stair", "label": "Pull-down stair", "kind": "pull_down_stair", "place": "attic", "count": 1},
    {"key": "chase", "label": "Gap round the chimney", "kind": "chimney_chase", "place": "attic", "count": 1},
    {"key": "slope", "label": "Joints of the cathedral ceiling", "kind": "cathedral", "place": "house", "count": 160},
    {"key": "dryer", "label": "Dryer vent", "kind": "dryer_vent", "place": "house", "count": 1},
    {"key": "to_garage", "label": "Door to the garage", "kind": "garage_door", "place": "house", "count": 1},
    {"key": "fireplace", "label": "Fireplace", "kind": "fireplace", "place": "house", "count": 1, "condition": 2},
    {"key": "bath_fan", "label": "Bath fan", "kind": "bath_fan", "place": "attic", "count": 2},
]  # fmt: skip
ATTIC_SITES = [
    {"key": "plates", "label": "Top plates", "kind": "top_plates", "place": "attic", "count": 250},
    {"key": "soffit", "label": "Open soffit", "kind": "open_soffit", "place": "attic", "count": 1},
    {"key": "pipes", "label": "Plumbing wall", "kind": "chase", "place": "attic", "count": 1},
    {"key": "studs", "label": "Open stud bays", "kind": "open_stud_bays", "place": "attic", "count": 60},
    {"key": "low_doors", "label": "Knee wall doors", "kind": "kneewall_door", "place": "kneewall_space", "count": 2},
    {"key": "low_bays", "label": "Bays under the knee walls", "kind": "kneewall_floor", "place": "kneewall_space", "count": 60},
    {"key": "to_garage_wall", "label": "Wall to the garage", "kind": "garage_wall", "place": "house", "count": 200},
]  # fmt: skip
TUBES = {"key": "tubes", "label": "Tubes in the workshop", "kind": "fluorescent", "watts": "40 W", "count": 4, "hours": "2 h"}  # fmt: skip
MORE_APPLIANCES = [
    {"key": "dehumidifier", "label": "Dehumidifier", "kind": "dehumidifier", "use": "900 kWh/year", "inside": 0.5},
    {"key": "pool_pump", "label": "Pool pump", "kind": "pool_pump", "use": "2400 kWh/year", "inside": 0},
]  # fmt: skip
AWAY = {"key": "away", "label": "At work", "days_per_week": 5, "hours": "9 h", "heating_setpoint": "70 F", "cooling_setpoint": "76 F"}  # fmt: skip
SLAB = {"key": "slab", "label": "Slab of the den", "kind": "slab", "inside": "house", "length": "40 ft", "depth": "0 ft", "r_value": "R-1.5"}  # fmt: skip
ACCESS = {"key": "access", "label": "Crawl door", "kind": "crawl_access", "place": "crawlspace", "count": 1}  # fmt: skip
OIL = {"key": "heating_oil", "price": 3.9}


def table(name: str) -> dict[str, Any]:
    """Content of an example's file, to be changed."""
    return copy.deepcopy(_table(name))


@cache
def _table(name: str) -> dict[str, Any]:
    return tomllib.loads(data_path("houses", f"{name}.toml").read_text(encoding="utf-8"))


def checked(content: dict[str, Any]) -> House:
    house = house_from_table(content)
    check_house(house)
    return house


def everything() -> House:
    """Alder Street with a cathedral ceiling, a bay, a stair, a fireplace, a pool and people who go to work."""
    content = table("alder_street")
    content["surfaces"] += MORE_SURFACES
    content["leakage"]["sites"] += MORE_SITES + ATTIC_SITES
    content["lamps"].append(TUBES)
    content["appliances"] += MORE_APPLIANCES
    content["underground"].append(SLAB)
    content["zones"][0]["periods"].append(AWAY)
    return checked(content)


def cottage(kind: str = "furnace", fuel: str = "natural_gas", efficiency: float = 0.7, **ducts: Any) -> House:  # fmt: skip
    """Wren Cottage with another heater or other ducts."""
    content = table("wren_cottage")
    content["fuel_heaters"][0] |= {"kind": kind, "fuel": fuel, "efficiency": efficiency}
    if fuel == "electricity":
        content["fuel_heaters"][0] |= {"pilot": "0 Btu/h"}
    content["leakage"]["sites"].append(ACCESS)
    content["prices"].append(OIL)
    content["ducts"] |= ducts
    return checked(content)


def with_seen(house: House, *words: str) -> House:
    """The same house with observations on record."""
    return replace(house, observations=(*house.observations, *words))


def attic_ducts() -> House:
    """Alder Street with its ducts in the attic."""
    content = table("alder_street")
    content["ducts"] |= {"supply_place": "attic", "return_place": "attic"}
    return checked(content)


def mobile_home() -> House:
    """A starting house of the kind that has a belly and no attic floor."""
    return ten_houses()["mobile home in Texas"]


@cache
def variants() -> dict[str, House]:
    """All variants by name."""
    return {
        "everything": everything(),
        "gas furnace": cottage(),
        "gas boiler": cottage("boiler"),
        "oil furnace": cottage("furnace", "heating_oil"),
        "oil boiler": cottage("boiler", "heating_oil"),
        "electric heaters": cottage("resistance", "electricity", 1.0),
        "loose ducts": cottage(supply_leakage=0.3, return_leakage=0.25),
        "steam boiler": with_seen(cottage("boiler"), "steam_heat", "no_co_alarm", "moisture"),
        "wet crawl space": with_seen(ten_houses()["crawl space in Carolina"], "crawl_bare_ground"),
        "attic ducts": attic_ducts(),
        "mobile home": mobile_home(),
    }
