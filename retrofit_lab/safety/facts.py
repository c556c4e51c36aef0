"""What a described house tells about its dangers: whether anything burns, a chimney, a garage; no texts, no rules."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from retrofit_lab.house.description import House

BURNERS_SEEN = frozenset(
    {
        "natural_draft_water_heater", "natural_draft_furnace", "spillage_marks", "spillage_seen",
        "unvented_heater", "combustion_test_failed",
    }
)  # fmt: skip
"""Observations that can only come from something that burns."""
ATTIC_FLOORS = ("ceiling", "floor", "kneewall")


def burns_inside(house: House) -> bool:
    """Whether anything in the house burns a fuel: heaters, ranges and dryers, a fireplace, an open flue.

    What was recorded as sealed takes its air from outdoors and does not count, unless a word speaks against it;
    whether it is tested all the same is for the local code office to say.
    """
    fuels = {*_drawing_fuels(house), *(item.fuel for item in house.appliances)}
    return _has_open_flue(house) or bool(fuels - {"electricity"}) or _seen(house)


def _heater_fuels(house: House) -> set[str]:
    return {h.fuel for h in house.fuel_heaters} | {tank.fuel for tank in house.water_heaters}


def _drawing_fuels(house: House) -> set[str]:
    """Fuels of heaters that may take their air from the rooms; a stove does, whatever the furnace is."""
    seen = set(house.observations)
    sealed = {"furnace", "boiler"} if "sealed_combustion" in seen else set()
    tanks = () if "sealed_water_heater" in seen else house.water_heaters
    heaters = (h.fuel for h in house.fuel_heaters if h.kind not in sealed)
    return {*heaters, *(tank.fuel for tank in tanks)}


def _seen(house: House) -> bool:
    seen = set(house.observations)
    gone = {"unvented_heater"} if "unvented_heater_removed" in seen else set()
    return bool(BURNERS_SEEN & seen - gone)


def has_chimney(house: House) -> bool:
    """Whether a chimney or flue passes through the house, as far as the description tells."""
    return _has_open_flue(house) or bool(_heater_fuels(house) - {"electricity"})


def _has_open_flue(house: House) -> bool:
    """Whether a fireplace, an open flue or a chimney is there, whatever burns in it."""
    sites = {site.kind for site in house.leakage.sites}
    words = {"open_chimney_chase", "open_damper"} & set(house.observations)
    return (
        house.leakage.flue == "open" or bool({"fireplace", "chimney_chase"} & sites) or bool(words)
    )


def has_fluorescent_lamps(house: House) -> bool:
    """Whether fluorescent bulbs are recorded."""
    return any(lamps.kind == "fluorescent" for lamps in house.lamps)


def has_garage(house: House) -> bool:
    """Whether a garage adjoins the house."""
    return (
        any(buffer.kind == "garage" for buffer in house.buffers)
        or any(site.kind == "garage_door" for site in house.leakage.sites)
        or "attached_garage" in house.observations
    )


def may_have_loose_attic_fill(house: House) -> bool:
    """Whether an attic floor may lie under something loose; where all of them hold batts it does not."""
    attics = {buffer.key for buffer in house.buffers if buffer.kind in ("attic", "kneewall")}
    floors = [s for s in house.surfaces if s.outside in attics and s.kind in ATTIC_FLOORS]
    return not floors or any(surface.fill != "batt" for surface in floors)


FACTS: Mapping[str, Callable[[House], bool]] = MappingProxyType(
    {
        "burners": burns_inside,
        "chimney": has_chimney,
        "fluorescent lamps": has_fluorescent_lamps,
        "garage": has_garage,
        "loose attic fill": may_have_loose_attic_fill,
    }
)
"""Facts that the data of cautions and hazards may name."""
