"""Works the estimates of a house out again when what they follow from has changed; answered numbers stay.

The house must have been started from a few answers; one that was described by hand has no estimates of a starting
house to follow. No number is answered here.
"""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.house.first_answers import NOT_KNOWN, FirstAnswers, questions, shape_of
from retrofit_lab.house.items import item_named
from retrofit_lab.house.paths import number_at, numbers, with_numbers
from retrofit_lab.house.place import place_of
from retrofit_lab.house.starting import starting_house
from retrofit_lab.house.starting_systems import DUCT_PLACES, HEATERS, TANKS
from retrofit_lab.house.typed import read_typed
from retrofit_lab.texts.refusals import told

LEADING_LISTS = ("basics", "site", "size", "buffers", "underground", "fuel_heaters", "heat_pumps")
"""Parts of a house that estimates elsewhere in it follow."""
LEADING_PATHS = ("ducts.supply_place", "air_conditioners", "water_heaters")
TOLD_BY_ANOTHER = {
    "r_framing": "r_label",
    "efficiency": "made",
    "hspf": "made",
    "seer": "made",
}
"""Numbers that follow an answer of their own part once that is given."""
LEAST_FOOTPRINT = 64.0
"""Smallest footprint that the questions take. [ft2]"""
LOWEST, HIGHEST = 6.0, 20.0
"""Ceilings that the questions take. [ft]"""


def estimates_follow(path: str) -> bool:
    """Whether other estimates hang on what stands at a path."""
    return path.partition(".")[0] in LEADING_LISTS or path.startswith(LEADING_PATHS)


def with_estimates(house: House, folder: str = ".") -> House:
    """House whose estimates are those of a starting house of its age, size, foundation, heating and place.

    Parameters
    ----------
    house : House
        House so far. Numbers that are answered stay, and so do parts whose kind or place was changed.
    folder : str
        Where a weather file named by the house lies.
    """
    if not house.basics.kind:
        return house
    try:
        usual = starting_house(first_answers_of(house, folder))
    except InputError:
        return house
    known = dict(numbers(usual))
    wanted = {
        path: known[path]
        for path in house.assumed & known.keys()
        if _same_part(house, usual, path) and not _bound(house, path)
    }
    return with_numbers(house, wanted)


def first_answers_of(house: House, folder: str = ".") -> FirstAnswers:
    """Answers that a house stands for today.

    Raises
    ------
    InputError
        When its sizes do not fit together, or its weather cannot be found.
    """
    basics, size = house.basics, house.size
    _check_words(house)
    first = FirstAnswers(
        name=house.name,
        climate=house.site.climate,
        known_place=place_of(house.site.climate, folder),
        year_built=float(house.site.year_built),
        length=read_typed(basics.length, "ft"),
        width=read_typed(basics.width, "ft"),
        ceiling=read_typed(basics.ceiling, "ft"),
        stories=1.0,
        kind=basics.kind,
        roof=basics.roof,
        insulation=basics.insulation,
        windows=basics.windows,
        foundation=_foundation(house),
        heating=_heating(house),
        cooling=_cooling(house),
        hot_water=_hot_water(house),
        bedrooms=float(size.bedrooms),
        occupants=float(size.occupants),
    )
    return _as_large(
        house, replace(first, stories=_stories(house, first), duct_place=_ducts(house))
    )


def _check_words(house: House) -> None:
    for row in questions():
        word = getattr(house.basics, row["key"], None)
        if word is not None and row["kind"] == "choice" and word not in row["options"]:
            options = ", ".join(row["options"])
            raise InputError(told("estimating.word", key=row["key"], word=word, options=options))


def _as_large(house: House, first: FirstAnswers) -> FirstAnswers:
    """Plan stretched to the floor area and the volume of the house."""
    area, volume = float(house.size.floor_area), float(house.size.volume)
    stretch = (area / shape_of(first).floor_area) ** 0.5
    first = replace(first, length=first.length * stretch, width=first.width * stretch)
    if first.length * first.width < LEAST_FOOTPRINT:
        raise InputError(told("estimating.small"))
    if "size.volume" in house.assumed:
        return first
    ceiling = first.ceiling * volume / shape_of(first).volume
    return replace(first, ceiling=min(max(ceiling, LOWEST), HIGHEST))


def _stories(house: House, first: FirstAnswers) -> float:
    """Full stories, without those that basement and knee walls add to the height of the air. [1]"""
    added = shape_of(first).stories - first.stories
    return max(float(int(float(house.size.stories) - added + 0.25)), 1.0)


def _foundation(house: House) -> str:
    kinds = {buffer.kind for buffer in house.buffers}
    if "basement" in kinds:
        return "basement, not heated"
    if "crawlspace" in kinds:
        return "crawl space"
    heated = any(part.kind == "wall" and part.inside == INSIDE for part in house.underground)
    return "basement, heated" if heated else "slab on the ground"


def _heating(house: House) -> str:
    pumps = sum(float(pump.share) for pump in house.heat_pumps)
    main = max(house.fuel_heaters, key=lambda heater: float(heater.share), default=None)
    if main is None or pumps >= float(main.share):
        return "heat pump"
    for answer, (part, fuel, _) in HEATERS.items():
        kind = item_named(f"fuel_heaters.{part}").record.kind
        if (kind, fuel) == (main.kind, main.fuel):
            return answer
    return "electric heaters"


def _cooling(house: House) -> str:
    if not house.air_conditioners:
        return "none"
    return "central" if house.air_conditioners[0].ducted == "yes" else "window units"


def _hot_water(house: House) -> str:
    main = max(house.water_heaters, key=lambda tank: float(tank.share))
    for answer, name in TANKS.items():
        record = item_named(f"water_heaters.{name}").record
        if (record.kind, record.fuel) == (main.kind, main.fuel):
            return answer
    return "electric tank"


def _ducts(house: House) -> str:
    place = house.ducts.supply_place
    if place == INSIDE:
        return NOT_KNOWN if float(house.ducts.supply_area) == 0.0 else "heated rooms"
    kind = next((buffer.kind for buffer in house.buffers if buffer.key == place), "")
    return next((answer for answer, kinds in DUCT_PLACES.items() if kind in kinds), NOT_KNOWN)


def _same_part(house: House, usual: House, path: str) -> bool:
    """Whether a number belongs to a part of the same kind, in the same place, as in the starting house."""
    ours, theirs = (number_at(one, path.rpartition(".")[0]) for one in (house, usual))
    return tuple(_words(ours)) == tuple(_words(theirs))


def _words(record: Any) -> Iterator[str]:
    for f in fields(record) if is_dataclass(record) else ():
        value = getattr(record, f.name)
        if isinstance(value, str) and f.name not in ("label", "made", "climate"):
            yield value


def _bound(house: House, path: str) -> bool:
    """Whether a number follows another answer of its own part rather than the age of the house."""
    parent, _, name = path.rpartition(".")
    leader = TOLD_BY_ANOTHER.get(name, "")
    if not leader:
        return False
    record: Any = number_at(house, parent)
    if leader == "made":
        return bool(getattr(record, "made", ""))
    return f"{parent}.{leader}" not in house.assumed
