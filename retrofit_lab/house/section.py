"""What a cut through a house shows: stories, what lies above, below and beside, ducts and tank; no drawing."""

from dataclasses import dataclass

from retrofit_lab.house.description import INSIDE, House

MOST_STORIES = 3
BELOW_KINDS = ("basement", "crawlspace")


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Shape of a cut through one house.

    ``stories`` are heated ones above the ground; with ``knee_walls`` the uppermost stands under the
    roof. ``below`` is ``basement``, ``crawlspace``, ``heated basement``, ``slab`` or nothing. ``ducts``
    and ``tank`` say where these stand: ``house`` or a kind of neighbor, or nothing where there is none.
    """

    stories: int
    below: str
    attic: bool
    knee_walls: bool
    garage: bool
    ducts: str
    tank: str


def section_of(house: House) -> Section:
    """Cut through a house, from its data alone."""
    kinds = {buffer.kind for buffer in house.buffers}
    below = _below(house, kinds)
    return Section(
        stories=_stories(house, below),
        below=below,
        attic="attic" in kinds,
        knee_walls="kneewall" in kinds,
        garage="garage" in kinds,
        ducts=_place_kind(house, house.ducts.supply_place) if _has_ducts(house) else "",
        tank=_tank_place(house),
    )


def footprint(house: House) -> float:
    """Ground that the heated rooms cover, from floors, ceilings or slabs, whichever is known. [ft2]"""
    floors = sum(float(s.area) for s in house.surfaces if s.kind == "floor" and s.inside == INSIDE)
    above = ("ceiling", "hatch", "roof")
    ceilings = sum(float(s.area) for s in house.surfaces if s.kind in above and s.inside == INSIDE)
    slabs = sum(
        float(u.length) * float(u.width)
        for u in house.underground
        if u.kind == "floor" and u.inside == INSIDE
    )
    return max(floors, ceilings, slabs) or float(house.size.floor_area)


def _stories(house: House, below: str) -> int:
    layers = round(float(house.size.floor_area) / footprint(house))
    above = layers - 1 if below == "heated basement" else layers
    return min(max(above, 1), MOST_STORIES)


def _below(house: House, kinds: set[str]) -> str:
    unheated = next((kind for kind in BELOW_KINDS if kind in kinds), "")
    if unheated:
        return unheated
    inside = {part.kind for part in house.underground if part.inside == INSIDE}
    if "wall" in inside:
        return "heated basement"
    return "slab" if inside else ""


def _has_ducts(house: House) -> bool:
    return (
        any(heater.kind == "furnace" for heater in house.fuel_heaters)
        or any(pump.ducted == "yes" for pump in house.heat_pumps)
        or any(cooler.ducted == "yes" for cooler in house.air_conditioners)
    )


def _tank_place(house: House) -> str:
    tanks = sorted(house.water_heaters, key=lambda tank: -float(tank.share))
    return _place_kind(house, tanks[0].place) if tanks else ""


def _place_kind(house: House, place: str) -> str:
    return next((buffer.kind for buffer in house.buffers if buffer.key == place), INSIDE)
