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
from retrofit_lab.texts import Word

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
            "ceiling_height",
            {
                "volume": f"{house.size.volume:,.0f}",
                "floor": f"{house.size.floor_area:,.0f}",
                "height": f"{height:.1f}",
            },
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
            "ceilings",
            {"top": f"{top:,.0f}", "story": f"{story:,.0f}"},
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
            "walls",
            {"walls": f"{walls:,.0f}", "box": f"{box:,.0f}"},
        )


def _windows(house: House) -> Iterator[Oddity]:
    glass = sum(float(window.area) for window in house.windows)
    share = glass / float(house.size.floor_area)
    low, high = WINDOWS_OF_FLOOR
    if not low <= share <= high:
        yield Oddity(
            "windows",
            "windows",
            {
                "glass": f"{glass:,.0f}",
                "share": f"{share:.0%}",
                "floor": f"{house.size.floor_area:,.0f}",
            },
        )


def _open_buffers(house: House) -> Iterator[Oddity]:
    """Unheated spaces beside the rooms that lose nothing through walls or roof of their own."""
    lose = {s.inside for s in house.surfaces if s.outside == OUTDOORS}
    border = {s.outside for s in house.surfaces if s.inside == INSIDE}
    for buffer in house.buffers:
        if buffer.key in border - lose:
            yield Oddity(
                f"buffers.{buffer.key}",
                "open_buffer",
                {"label": Word("part", buffer.label, buffer.label)},
            )


def _leakage(house: House) -> Iterator[Oddity]:
    changes = air_changes_at_50(house)
    low, high = _usual_changes(house)
    if not low <= changes <= high:
        yield Oddity(
            "leakage.flow",
            "leakage",
            {
                "flow": f"{house.leakage.flow:,.0f}",
                "changes": f"{changes:.1f}",
                "year": f"{house.site.year_built:.0f}",
                "low": f"{low:.1f}",
                "high": f"{high:.1f}",
            },
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
