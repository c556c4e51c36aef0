"""A complete starting house from a few answers; what no one answered is a usual number, kept as an estimate.

The systems are in starting_systems.py; the usual numbers of usual.py and ``data/starting_items.toml`` describe
houses as they stand today, refits of many years included.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import Basics, House, Leakage, Site, Size
from retrofit_lab.house.file import record_from_table
from retrofit_lab.house.first_answers import (
    BASEMENT_HEIGHT,
    NOT_KNOWN,
    FirstAnswers,
    Shape,
    shape_of,
    sides,
)
from retrofit_lab.house.items import item_named, settled, starting_tables
from retrofit_lab.house.paths import numbers
from retrofit_lab.house.second_hand import usual_number
from retrofit_lab.house.starting_systems import systems_of
from retrofit_lab.house.usual import usual
from retrofit_lab.house.usual_equipment import usual_cooling, usual_hot_water

ANSWERED = frozenset(
    {
        "site.year_built",
        "size.floor_area",
        "size.stories",
        "size.bedrooms",
        "size.occupants",
    }
)
"""Numbers that the questions answer; all others are estimates until someone looks."""
ABOVE_GRADE = 1.5
"""Height of a basement wall above the ground. [ft] (judgment)"""
RIM_HEIGHT = 0.85
"""Height of a band joist. [ft]"""
FINISHED_R = 6.0
"""Added by the walls of a finished basement. [h ft2 F/Btu] (judgment: studs with batts, most of them)"""
CODE_RIM: Mapping[str, Any] = {"fill": "batt", "r_label": 15.0}
CODE_HATCH: Mapping[str, Any] = {"r_continuous": 14.0}
"""Band joists and attic hatches of houses built to code. [h ft2 F/Btu] (IECC 2009 and 2012, memory: as the wall,
and insulated as the ceiling round it; less is built)"""
BY_ELECTRICITY = ("heat pump", "electric heaters", "electric furnace")
FOOTPRINT_PER_PARTITION = 9.0
"""Floor area for each foot of inner wall. [ft] (judgment: a room of 12 by 12 ft shares 48 ft of walls with others)"""
BALLOON_FRAMED = 1930.0
"""Houses older than this have studs that run past the floors, as often as not. [year] (judgment)"""
FEWEST_EMPTY = 0.02
"""Below this share of empty bays a wall counts as filled. [1]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """What every part of the house is worked out from."""

    first: FirstAnswers
    shape: Shape

    def usual(self, quantity: str) -> float:
        """What houses of this age in a place as cold usually have. [unit of the quantity]"""
        return usual(quantity, self.first.year_built, self.first.place)

    @property
    def told(self) -> Any:
        """What the people's word on the insulation means for the estimates."""
        return starting_tables()["told"][self.first.insulation]

    @property
    def electric(self) -> float:
        """How much better than others the house is built since it is heated by electricity. [1]"""
        by_electricity = self.first.heating in BY_ELECTRICITY
        return self.usual("electric_better") if by_electricity else 0.0

    @property
    def places(self) -> frozenset[str]:
        attic = {"attic": {"attic"}, "rooms with knee walls": {"attic", "kneewall_space"}}
        below = {self.first.below} if self.first.below else set()
        return frozenset(attic.get(self.first.roof, set()) | below)

    def part(self, name: str, **changes: Any) -> Any:
        """A ready-made part with its places settled and some fields replaced."""
        record = replace(settled(item_named(name).record, self.places), **changes)
        return replace(record, r_framing=_framing(record)) if "r_label" in changes else record


def _framing(record: Any) -> float:
    """Resistance of framing that is at least as deep as the fill needs. [h ft2 F/Btu]"""
    table = {f.name: getattr(record, f.name) for f in fields(record)}
    return max(usual_number("surface.r_framing", table) or 0.0, float(record.r_framing))


def starting_house(first: FirstAnswers) -> House:
    """House that a plan stands for, complete, checked, and honest about what was estimated.

    Raises
    ------
    HouseError
        When the answers do not fit together.
    """
    first = _with_usual_equipment(first)
    frame = _Frame(first=first, shape=shape_of(first))
    house = House(
        name=first.name,
        site=_site(frame),
        size=_size(frame),
        surfaces=(*_walls(frame), *_top(frame), *_bottom(frame)),
        windows=tuple(_windows(frame)),
        underground=tuple(_underground(frame)),
        buffers=tuple(_buffers(frame)),
        leakage=_leakage(frame),
        basics=_basics(first),
        **systems_of(first, frame.shape, frame.places),
    )
    check_house(house)
    return replace(house, assumed=frozenset(path for path, _ in numbers(house)) - ANSWERED)


def _with_usual_equipment(first: FirstAnswers) -> FirstAnswers:
    """The same with what most such houses have for cooling and hot water, where nobody knows."""
    cooling, hot_water = first.cooling, first.hot_water
    if cooling == NOT_KNOWN:
        cooling = usual_cooling(first.heating, first.year_built, first.place)
    if hot_water == NOT_KNOWN:
        hot_water = usual_hot_water(first.heating)
    return replace(first, cooling=cooling, hot_water=hot_water)


def _site(frame: _Frame) -> Site:
    first, windows = frame.first, frame.usual("open_window_below")
    table = {"climate": first.climate, "year_built": first.year_built}
    site: Site = record_from_table(Site, {**table, "open_window_below": f"{windows:.1f} F"})
    return site


def _basics(first: FirstAnswers) -> Basics:
    return Basics(
        kind=first.kind,
        length=f"{first.length} ft",
        width=f"{first.width} ft",
        ceiling=f"{first.ceiling} ft",
        roof=first.roof,
        insulation=first.insulation,
        windows=first.windows,
    )


def _size(frame: _Frame) -> Size:
    shape = frame.shape
    table = {
        "floor_area": f"{shape.floor_area} ft2",
        "volume": f"{shape.volume} ft3",
        "stories": shape.stories,
        "bedrooms": frame.first.bedrooms,
        "occupants": frame.first.occupants,
    }
    size: Size = record_from_table(Size, table)
    return size


def _buffers(frame: _Frame) -> Iterator[Any]:
    heights = {"attic": 2.6, "kneewall_space": 0.8, "basement": BASEMENT_HEIGHT, "crawlspace": 2.5}
    for key in sorted(frame.places):
        yield frame.part(f"buffers.{key}", volume=heights[key] * frame.shape.footprint)


def _walls(frame: _Frame) -> Iterator[Any]:
    yield _filled(frame, "surfaces.walls", "wall", area=frame.shape.wall_area)
    yield frame.part("surfaces.doors", area=42.0)


def _filled(frame: _Frame, name: str, quantity: str, **changes: Any) -> Any:
    """A wall or floor that is filled in some houses and empty in others, as a share of empty bays."""
    empty = 1.0 - _share_filled(frame, quantity)
    return frame.part(
        name,
        r_label=frame.usual(f"{quantity}_r"),
        fill="batt",
        gap_fraction=0.0,
        missing_fraction=empty if empty > FEWEST_EMPTY else 0.0,
        **changes,
    )


def _share_filled(frame: _Frame, quantity: str) -> float:
    """How likely a wall or floor is filled, moved by what the people tell. [1]"""
    filled, told = frame.usual(f"{quantity}_filled"), float(frame.told["filled"])
    filled += frame.electric * (1.0 - filled)
    return filled + (told * (1.0 - filled) if told > 0 else told * filled)


def _top(frame: _Frame) -> Iterator[Any]:
    area = frame.shape.footprint
    better = float(frame.told["attic"]) * (1.0 + frame.electric)
    attic, slope = frame.usual("attic_r") * better, frame.usual("slope_r") * better
    if frame.first.roof == "attic":
        yield _attic_floor(frame, area - 8.0, attic)
        yield _hatch(frame)
        yield frame.part("surfaces.main_roof", area=1.15 * area)
    elif frame.first.knee_walls:
        yield _attic_floor(frame, 0.45 * area, attic)
        yield frame.part("surfaces.slope", area=0.25 * area, r_label=slope, gap_fraction=0.0)
        yield _filled(frame, "surfaces.kneewalls", "wall", area=8.0 * frame.first.length)
        yield frame.part(
            "surfaces.kneewall_floor", area=0.4 * area, r_label=attic, gap_fraction=0.0
        )
        yield _hatch(frame)
        yield frame.part("surfaces.main_roof", area=0.5 * area)
        yield frame.part("surfaces.kneewall_roof", area=0.45 * area)
    else:
        yield frame.part("surfaces.slope", area=1.1 * area, r_label=slope, gap_fraction=0.0)


def _hatch(frame: _Frame) -> Any:
    return frame.part("surfaces.attic_hatch", **(CODE_HATCH if frame.first.built_to_code else {}))


def _attic_floor(frame: _Frame, area: float, r_label: float) -> Any:
    return frame.part("surfaces.attic_floor", area=area, r_label=r_label, gap_fraction=0.0)


def _bottom(frame: _Frame) -> Iterator[Any]:
    shape, first = frame.shape, frame.first
    if first.below == "crawlspace":
        over = {"label": "Floor over the crawl space", "outside": "crawlspace"}
        yield _filled(frame, "surfaces.first_floor", "floor", area=shape.footprint, **over)
    elif first.below:
        yield frame.part("surfaces.first_floor", area=shape.footprint)
    if first.below or first.heated_basement:
        under = first.below or "house"
        yield frame.part(
            "surfaces.band_joist",
            inside=under,
            area=RIM_HEIGHT * shape.perimeter,
            **(CODE_RIM if first.built_to_code and first.below != "crawlspace" else {}),
        )
        wall = frame.part("surfaces.wall_above_grade", inside=under)
        label = "Crawl-space wall above the ground" if first.below == "crawlspace" else wall.label
        yield replace(
            wall,
            label=label,
            area=ABOVE_GRADE * shape.perimeter,
            r_continuous=wall.r_continuous + _on_basement_walls(frame),
        )


def _on_basement_walls(frame: _Frame) -> float:
    """Insulation of the basement walls, most of all where the basement is finished. [h ft2 F/Btu]"""
    if frame.first.below == "crawlspace":
        return 0.0
    return frame.usual("basement_wall_r") + (FINISHED_R if frame.first.heated_basement else 0.0)


def _windows(frame: _Frame) -> Iterator[Any]:
    u_value, shgc = _glass(frame)
    for name, direction, share in sides(frame.first):
        yield frame.part(
            "windows.windows",
            key=name,
            label=f"{name.capitalize()} windows",
            area=share * frame.shape.window_area,
            u_value=u_value,
            shgc=shgc,
            facing=direction,
        )


def _glass(frame: _Frame) -> tuple[float, float]:
    """U-value [Btu/(h ft2 F)] and share of sun [1]: of the kind that was told, or the mean of what there is."""
    kinds: Any = starting_tables()["glass"]
    mixed = [(share, kinds[kind]) for kind, share in _glass_shares(frame).items()]
    metal = frame.usual("metal_frames")
    u_value = sum(s * (metal * g["u_metal"] + (1.0 - metal) * g["u_value"]) for s, g in mixed)
    return u_value, sum(share * glass["shgc"] for share, glass in mixed)


def _glass_shares(frame: _Frame) -> dict[str, float]:
    """Kinds of glass and their shares. [1]"""
    if frame.first.windows != NOT_KNOWN:
        return {frame.first.windows: 1.0}
    single, storm, low_e = (frame.usual(q) for q in ("single_glass", "storm", "low_e"))
    return {
        "single glass": single * (1.0 - storm),
        "single glass with storm windows": single * storm,
        "double glass": (1.0 - single) * (1.0 - low_e),
        "double glass with low-e coating": (1.0 - single) * low_e,
    }


def _underground(frame: _Frame) -> Iterator[Any]:
    first, perimeter = frame.first, frame.shape.perimeter
    floor = {"length": first.length, "width": first.width}
    added = _on_basement_walls(frame)
    if first.below == "basement" or first.heated_basement:
        inside = first.below or "house"
        wall = frame.part("underground.basement_walls", inside=inside, length=perimeter)
        yield replace(wall, r_value=wall.r_value + added)
        yield frame.part("underground.basement_floor", inside=inside, **floor)
    elif first.below == "crawlspace":
        yield frame.part(
            "underground.basement_floor",
            key="crawl_floor",
            label="Ground in the crawl space",
            inside="crawlspace",
            depth=0.5,
            r_value=1.2,
            **floor,
        )
    else:
        edge = frame.part("underground.slab_edge", length=perimeter)
        yield replace(edge, r_value=edge.r_value + frame.usual("slab_edge_r"))


def _leakage(frame: _Frame) -> Leakage:
    tighter = float(frame.told["leakage"]) / (1.0 + frame.electric)
    changes = frame.usual("air_changes_50") * tighter
    flow = changes * frame.shape.volume / 60.0
    leakage: Leakage = record_from_table(Leakage, {"flow": f"{flow} cfm", "pressure": "50 Pa"})
    burns = frame.first.heating == "wood stove"
    return replace(leakage, sites=tuple(_leak_sites(frame)), flue="open" if burns else "none")


def _leak_sites(frame: _Frame) -> Iterator[Any]:
    first, shape = frame.first, frame.shape
    if first.below or first.heated_basement:
        place = first.below or "house"
        yield frame.part("leakage.sites.band_joist", place=place, count=round(shape.perimeter))
        yield frame.part("leakage.sites.plumbing", place=place)
    if "attic" in frame.places:
        yield frame.part("leakage.sites.attic_hatch")
        yield from _leak_sites_at_the_top(frame)
    if first.knee_walls:
        yield frame.part("leakage.sites.kneewall_air", count=round(8.0 * first.length))
        yield frame.part("leakage.sites.kneewall_doors")
        yield frame.part("leakage.sites.kneewall_bays", count=round(2.0 * first.length))
    if "attic" not in frame.places:
        yield frame.part("leakage.sites.cathedral", count=round(1.1 * shape.footprint))
    yield from _leak_sites_of_rooms(frame)


def _leak_sites_at_the_top(frame: _Frame) -> Iterator[Any]:
    """What opens into an attic: wires and top plates, a chase for the pipes, and stud bays of balloon frames."""
    first, shape = frame.first, frame.shape
    yield frame.part("leakage.sites.wiring", count=round(shape.footprint / 45.0))
    plates = shape.perimeter + shape.footprint / FOOTPRINT_PER_PARTITION
    yield frame.part("leakage.sites.top_plates", count=round(plates))
    if first.kind != "mobile home" and not first.built_to_code:
        yield frame.part("leakage.sites.chase")
    if first.kind != "mobile home" and first.year_built < BALLOON_FRAMED:
        yield frame.part("leakage.sites.open_stud_bays", count=round(shape.perimeter))


def _leak_sites_of_rooms(frame: _Frame) -> Iterator[Any]:
    shape = frame.shape
    if frame.first.has_ducts:
        count = round(shape.floor_area / 130.0)
        yield frame.part("leakage.sites.register_boots", count=count)
    yield frame.part("leakage.sites.outlets", count=round(shape.floor_area / 55.0))
    edge = shape.perimeter * frame.first.stories
    yield frame.part("leakage.sites.baseboards", count=round(edge))
    yield frame.part("leakage.sites.window_gaps", count=round(shape.window_area))
    yield frame.part("leakage.sites.door_gaps")
    yield frame.part(
        "leakage.sites.bath_fan", place="attic" if "attic" in frame.places else "house"
    )
    yield frame.part("leakage.sites.dryer_vent")
