"""Ten very different starting houses, made of a few answers each, in which no measure may speak of what is not there."""

from functools import cache
from typing import Any

from retrofit_lab.house.description import House
from retrofit_lab.house.first_answers import FirstAnswers
from retrofit_lab.house.starting import starting_house

USUAL: dict[str, Any] = {
    "year_built": 1975, "length": 40.0, "width": 28.0, "stories": 1.0, "ceiling": 8.0, "roof": "attic",
    "cooling": "none", "hot_water": "electric tank", "bedrooms": 3, "occupants": 3,
}  # fmt: skip
PLANS: dict[str, dict[str, Any]] = {
    "oil in Vermont": {"climate": "05401", "year_built": 1924, "stories": 2.0, "foundation": "basement, not heated", "heating": "oil boiler", "hot_water": "oil tank"},
    "crawl space in Carolina": {"climate": "27401", "year_built": 1952, "foundation": "crawl space", "heating": "gas furnace", "cooling": "central", "hot_water": "gas tank"},
    "slab in Phoenix": {"climate": "85003", "year_built": 1994, "foundation": "slab on the ground", "heating": "heat pump"},
    "mobile home in Texas": {"climate": "75201", "year_built": 1985, "length": 60.0, "width": 14.0, "kind": "mobile home", "insulation": "poor", "foundation": "crawl space", "heating": "electric furnace", "cooling": "central"},
    "row house in Philadelphia": {"climate": "19104", "year_built": 1910, "length": 40.0, "width": 16.0, "stories": 2.0, "kind": "row house or duplex", "foundation": "basement, not heated", "roof": "sloped or flat ceiling, no attic", "heating": "gas boiler", "cooling": "window units", "hot_water": "gas tank"},
    "cape in Massachusetts": {"climate": "02139", "year_built": 1948, "roof": "rooms with knee walls", "foundation": "basement, not heated", "heating": "gas boiler", "cooling": "window units", "hot_water": "gas tankless"},
    "new house in Colorado": {"climate": "80202", "year_built": 2021, "stories": 2.0, "foundation": "basement, heated", "heating": "gas furnace", "cooling": "central", "hot_water": "gas tank"},
    "farmhouse in Iowa": {"climate": "50010", "year_built": 1918, "stories": 2.0, "foundation": "crawl space", "heating": "propane furnace", "cooling": "window units", "hot_water": "propane tank"},
    "electric heaters in Seattle": {"climate": "98101", "year_built": 1968, "foundation": "crawl space", "heating": "electric heaters"},
    "slab in Miami": {"climate": "33101", "year_built": 1962, "foundation": "slab on the ground", "roof": "sloped or flat ceiling, no attic", "heating": "electric furnace", "cooling": "central"},
}  # fmt: skip


@cache
def ten_houses() -> dict[str, House]:
    """The houses by name; nobody has looked at any of them yet."""
    return {
        name: starting_house(FirstAnswers(name=name, **(USUAL | plan)))
        for name, plan in PLANS.items()
    }
