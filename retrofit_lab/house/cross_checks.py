"""Numbers of a house held against each other and against houses of its age: what does not fit is said with both.

Every rule here warns; what cannot be at all is refused in checking.py. What the house uses needs the model and is
held against the survey in model/sizing.py.
"""

from collections.abc import Iterator

from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import INSIDE, OUTDOORS, House
from retrofit_lab.house.oddity import Oddity
from retrofit_lab.house.place import place_of
from retrofit_lab.house.usual import usual, usual_spread

SQUARE = 4.0
"""Perimeter of a square with an area of one. [1]"""
WALLS_AGAINST_BOX = (0.4, 2.2)
"""Walls and windows against those of a square box; row houses have fewer, wings add to them. [1] (judgment)"""
WINDOWS_OF_FLOOR = (0.04, 0.35)
"""Window area against floor area. [1] (judgment)"""
CEILING_OF_FLOOR = (0.8, 2.2)
"""Ceilings against the floor of one story. [1] (judgment: slopes and knee walls add to them)"""


def crossed(house: House) -> Iterator[Oddity]:
    """What does not fit together in a house, or is far from others of its age in a place as cold."""
    yield from _height(house)
    yield from _ceilings(house)
    yield from _walls(house)
    yield from _windows(house)
    yield from _leakage(house)
    yield from _open_buffers(house)


def air_changes_at_50(house: House) -> float:
    """Air changes at a pressure of 50 Pa. [1/hour]"""
    leak = house.leakage
    flow_50 = leak.flow * (50.0 / leak.pressure) ** leak.exponent
    return float(flow_50 * 60.0 / house.size.volume)


def _height(house: House) -> Iterator[Oddity]:
    height = float(house.size.volume / house.size.floor_area)
    if not 7.0 <= height <= 14.0:
        yield Oddity(
            "size.volume",
            f"size.volume: {house.size.volume:,.0f} ft3 over {house.size.floor_area:,.0f} ft2 make ceilings "
            f"of {height:.1f} ft. Usually one of the two is from before a correction, or leaves out a story.",
        )


def _ceilings(house: House) -> Iterator[Oddity]:
    top = sum(
        float(s.area)
        for s in house.surfaces
        if s.kind in ("ceiling", "hatch") and s.inside == INSIDE
    )
    if not top and not _stands_on_anything(house):
        return
    story = float(house.size.floor_area / house.size.stories)
    low, high = CEILING_OF_FLOOR
    if not low * story <= top <= high * _largest_story(house):
        yield Oddity(
            "surfaces",
            f"surfaces: ceilings add to {top:,.0f} ft2 over a story of about {story:,.0f} ft2. Look for a "
            f"ceiling that is missing or counted twice, or a floor area from before a correction.",
        )


def _stands_on_anything(house: House) -> bool:
    """Whether the house has a floor of its own; a home between others has neither floor nor ceiling to lose by."""
    return bool(house.underground) or any(s.kind == "floor" for s in house.surfaces)


def _largest_story(house: House) -> float:
    return float(house.size.floor_area / max(float(house.size.stories) - 1.5, 1.0))


def _walls(house: House) -> Iterator[Oddity]:
    walls = sum(float(s.area) for s in house.surfaces if s.kind in ("wall", "door"))
    walls += sum(float(window.area) for window in house.windows)
    story = float(house.size.floor_area / house.size.stories)
    box = SQUARE * story**0.5 * float(house.size.volume) / story
    low, high = WALLS_AGAINST_BOX
    if not low * box <= walls <= high * box:
        yield Oddity(
            "surfaces",
            f"surfaces: walls, doors and windows add to {walls:,.0f} ft2; a square house of this floor area "
            f"and volume has about {box:,.0f} ft2. Look for a wall that is missing or counted twice, walls "
            f"shared with neighbors, or a floor area from before a correction.",
        )


def _windows(house: House) -> Iterator[Oddity]:
    glass = sum(float(window.area) for window in house.windows)
    share = glass / float(house.size.floor_area)
    low, high = WINDOWS_OF_FLOOR
    if not low <= share <= high:
        yield Oddity(
            "windows",
            f"windows: they add to {glass:,.0f} ft2, {share:.0%} of the floor area of "
            f"{house.size.floor_area:,.0f} ft2; most houses have 8 to 20%. Look for a side that is missing "
            f"or counted twice.",
        )


def _open_buffers(house: House) -> Iterator[Oddity]:
    """Unheated spaces beside the rooms that lose nothing through walls or roof of their own."""
    lose = {s.inside for s in house.surfaces if s.outside == OUTDOORS}
    border = {s.outside for s in house.surfaces if s.inside == INSIDE}
    for buffer in house.buffers:
        if buffer.key in border - lose:
            yield Oddity(
                f"buffers.{buffer.key}",
                f"buffers.{buffer.key}: {buffer.label} borders on the rooms but has no wall, roof or door to "
                f"outdoors, so it comes out nearly as warm as they are. Add what encloses it.",
            )


def _leakage(house: House) -> Iterator[Oddity]:
    changes = air_changes_at_50(house)
    low, high = _usual_changes(house)
    if not low <= changes <= high:
        yield Oddity(
            "leakage.flow",
            f"leakage.flow: {house.leakage.flow:,.0f} cfm are {changes:.1f} air changes an hour at 50 Pa; nearly "
            f"all houses built about {house.site.year_built:.0f} have {low:.1f} to {high:.1f}. Check the "
            f"pressure of the reading, the volume, and doors or dampers left open.",
        )


def _usual_changes(house: House) -> tuple[float, float]:
    """Air changes that 19 in 20 houses of the age have; where the weather is not found, those of any house."""
    year = float(house.site.year_built)
    try:
        place = place_of(house.site.climate)
    except InputError:
        return 1.0, 25.0
    low, high = usual_spread("air_changes_50", year)
    middle = usual("air_changes_50", year, place)
    return max(low**2 * middle, 0.5), min(high**2 * middle, 40.0)
