"""The parts that people see in a house, such as attic or windows, and which numbers belong to which; no amounts."""

from collections.abc import Iterable

from retrofit_lab.house.description import INSIDE, OUTDOORS, House, LeakSite, Surface
from retrofit_lab.house.paths import number_at

LOSING = ("attic", "knee_walls", "walls", "windows", "doors", "floor", "garage", "air", "ducts")
"""Parts that let heat out of the rooms."""
USING = ("heating", "hot_water", "plugs")
"""Parts that use energy."""
PARTS = (*LOSING, *USING)
NEIGHBOR_PART = {
    "attic": "attic",
    "kneewall": "knee_walls",
    "basement": "floor",
    "crawlspace": "floor",
    "garage": "garage",
}
_OWN_PART = {"ceiling": "attic", "hatch": "attic", "roof": "attic", "floor": "floor"}
_OWN_PART |= {"door": "doors", "kneewall": "knee_walls", "basement_wall": "floor"}
_SITE_PART = {"windows": "windows", "doors": "doors", "garage_door": "garage"}
_LIST_PART = {
    "windows": "windows",
    "underground": "floor",
    "fans": "air",
    "leakage": "air",
    "ducts": "ducts",
    "heat_pumps": "heating",
    "fuel_heaters": "heating",
    "air_conditioners": "heating",
    "zones": "heating",
    "water_heaters": "hot_water",
    "hot_water": "hot_water",
    "lamps": "plugs",
    "standby": "plugs",
    "appliances": "plugs",
}
_BLOWER = "fan_watts"


def part_of_place(house: House, place: str) -> str:
    """Part that an unheated neighbor of the house belongs to, or nothing for rooms and outdoors."""
    return next((NEIGHBOR_PART[b.kind] for b in house.buffers if b.key == place), "")


def part_of_surface(house: House, surface: Surface) -> str:
    """Part that a surface belongs to: the neighbor that it closes, or what it is itself."""
    if surface.inside == INSIDE and surface.outside != OUTDOORS:
        return part_of_place(house, surface.outside) or _own_part(surface)
    return part_of_place(house, surface.inside) or _own_part(surface)


def parts_of_path(house: House, path: str) -> tuple[str, ...]:
    """Parts that a number of the house belongs to; air that leaks belongs to its place as well.

    Parameters
    ----------
    house : House
        House that has the number.
    path : str
        Such as ``surfaces.attic_floor.r_label``; see `retrofit_lab.house.paths`.
    """
    head, _, rest = path.partition(".")
    key = rest.partition(".")[0]
    if head == "surfaces":
        return (part_of_surface(house, _item(house.surfaces, key)),)
    if head == "buffers":
        return (part_of_place(house, key),)
    if path.startswith("leakage.sites."):
        site = number_at(house, path.rpartition(".")[0])
        return _parts_of_site(house, site)  # type: ignore[arg-type]
    if path.endswith(_BLOWER):
        return ("heating",)
    return (_LIST_PART.get(head, ""),)


def parts_of_paths(house: House, paths: Iterable[str]) -> tuple[str, ...]:
    """Parts that several numbers belong to, each once, in the order of `PARTS`."""
    found = {part for path in paths for part in parts_of_path(house, path)}
    return tuple(part for part in PARTS if part in found)


def _parts_of_site(house: House, site: LeakSite) -> tuple[str, ...]:
    place = _SITE_PART.get(site.kind) or part_of_place(house, site.place)
    return ("air", place) if place else ("air",)


def _own_part(surface: Surface) -> str:
    return _OWN_PART.get(surface.kind, "walls")


def _item(items: tuple[Surface, ...], key: str) -> Surface:
    return next(item for item in items if item.key == key)
