"""Whether a measure belongs in one house and its place, where the work is, and how large what it adds has to be."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any

from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import INSIDE, OUTDOORS, House
from retrofit_lab.house.limits import recorded_words
from retrofit_lab.house.place import Place, place_of
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.measures.selecting import holds, select

UNDER = "under the house"
"""Part of the house whose name follows from what is there."""
BELOW = {"basement": "basement", "crawlspace": "crawl space"}
NO_SPACE_BELOW = "foundation"
HEAT_LOAD = "design heat load"
MOST_OF_IT = "two thirds of the design heat load"
AT_THE_TANK = "place of the water heater"
SIZES = {HEAT_LOAD: 1.0, MOST_OF_IT: 2.0 / 3.0}
STEP, LEAST, MOST = 6000.0, 12000.0, 60000.0
"""Heat pumps are sold in half tons, from one ton to five. [Btu/h]"""
LOAD_OF_AREA = 25.0
"""Heat that a usual house asks for on a cold day, where nothing better is known. [Btu/h/ft2] (judgment)"""
TOO_LOW = ("attic", "kneewall", "crawlspace")
"""Places in which no one puts a heat pump water heater: pipes freeze there, or there is no room to stand."""
EMPTY_BELOW = 3.0
"""A wall with a fill below this counts as empty. [h ft2 F/Btu]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What is known of a house beyond its description: its place, and the heat it asks for on a cold day. [Btu/h]"""

    place: Place
    heat_load: float


def guessed_surroundings(house: House) -> Surroundings | None:
    """Surroundings of a house whose year was not worked out; None where its weather cannot be read."""
    try:
        place = place_of(house.site.climate)
    except InputError:
        return None
    return Surroundings(place=place, heat_load=LOAD_OF_AREA * float(house.size.floor_area))


def belongs(house: House, measure: Measure, around: Surroundings | None) -> bool:
    """Whether a measure is one for this house; without surroundings any place will do."""
    seen = recorded_words(house)
    recorded = not measure.only_recorded or bool(seen & set(measure.only_recorded))
    return (
        recorded
        and not seen & set(measure.unless_recorded)
        and all(select(house, text) for text in measure.only_if)
        and (around is None or all(holds(house, around.place, c) for c in measure.only_where))
    )


def part_of(house: House, measure: Measure) -> str:
    """Part of the house where a measure is carried out, as people there call it."""
    if measure.part != UNDER:
        return measure.part
    kinds = {buffer.kind for buffer in house.buffers}
    return next((name for kind, name in BELOW.items() if kind in kinds), NO_SPACE_BELOW)


def settled_item(
    house: House, item: Mapping[str, Any], around: Surroundings | None
) -> dict[str, Any]:
    """Item that a measure adds, with sizes and places that follow from the house put in."""
    load = around.heat_load if around else LOAD_OF_AREA * float(house.size.floor_area)
    return {name: _settled(house, value, load) for name, value in item.items()}


def _settled(house: House, value: Any, load: float) -> Any:
    if value in SIZES:
        return f"{sold_size(SIZES[value] * load):.0f} Btu/h"
    if value == AT_THE_TANK:
        return _place_of_the_tank(house)
    return value


def sold_size(load: float) -> float:
    """The next larger size of heat pump that is sold. [Btu/h]

    >>> [sold_size(load) for load in (5000.0, 24000.0, 24001.0, 90000.0)]
    [12000.0, 24000.0, 30000.0, 60000.0]
    """
    return min(max(STEP * ceil(load / STEP), LEAST), MOST)


def _place_of_the_tank(house: House) -> str:
    """Where the water is heated now; the rooms where that is too low or too cold for a machine with a fan."""
    heaters = sorted(house.water_heaters, key=lambda heater: -float(heater.share))
    place = heaters[0].place if heaters else INSIDE
    kinds = {buffer.key: buffer.kind for buffer in house.buffers}
    return INSIDE if kinds.get(place) in TOO_LOW else place


def empty_walls(house: House) -> float:
    """Share of the framed outside walls with nothing in it. [1]"""
    outer = [s for s in house.surfaces if s.kind == "wall" and s.outside == OUTDOORS]
    walls = [s for s in outer if s.inside == INSIDE and float(s.framing_fraction) > 0.0]
    area = sum(float(wall.area) for wall in walls)
    empty = sum(float(wall.area) * _empty(wall) for wall in walls)
    return empty / area if area > 0 else 0.0


def _empty(wall: Any) -> float:
    return 1.0 if float(wall.r_label) < EMPTY_BELOW else float(wall.missing_fraction)
