"""A complete starting house from a few answers; what nobody answered is a usual number, kept as an estimate.

The systems are in starting_systems.py; usual numbers are in ``data/starting_items.toml``.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House, Leakage, Site, Size
from retrofit_lab.house.file import record_from_table
from retrofit_lab.house.items import item_named, settled
from retrofit_lab.house.paths import numbers
from retrofit_lab.house.plan import BASEMENT_HEIGHT, Plan, Shape, shape_of, sides, vintage_of
from retrofit_lab.house.second_hand import usual_number
from retrofit_lab.house.starting_systems import systems_of

ANSWERED = frozenset(
    {
        "site.year_built",
        "size.floor_area",
        "size.volume",
        "size.stories",
        "size.bedrooms",
        "size.occupants",
    }
)
"""Numbers that the questions answer; all others are estimates until somebody looks."""
ABOVE_GRADE = 1.5
"""Height of a basement wall above the ground. [ft] (judgement)"""
RIM_HEIGHT = 0.85
"""Height of a band joist. [ft]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """What every part of the house is worked out from."""

    plan: Plan
    shape: Shape
    usual: Any

    @property
    def places(self) -> frozenset[str]:
        attic = {"attic": {"attic"}, "rooms with knee walls": {"attic", "kneewall_space"}}
        below = {self.plan.below} if self.plan.below else set()
        return frozenset(attic.get(self.plan.roof, set()) | below)

    def part(self, name: str, **changes: Any) -> Any:
        """A ready-made part with its places settled and some fields replaced."""
        record = replace(settled(item_named(name).record, self.places), **changes)
        return replace(record, r_framing=_framing(record)) if "r_label" in changes else record


def _framing(record: Any) -> float:
    """Resistance of framing that is at least as deep as the fill needs. [h ft2 F/Btu]"""
    table = {f.name: getattr(record, f.name) for f in fields(record)}
    return max(usual_number("surface.r_framing", table) or 0.0, float(record.r_framing))


def starting_house(plan: Plan) -> House:
    """House that a plan stands for, complete, checked, and honest about what was estimated.

    Raises
    ------
    HouseError
        When the answers do not fit together.
    """
    frame = _Frame(plan=plan, shape=shape_of(plan), usual=vintage_of(plan.year_built))
    house = House(
        name=plan.name,
        site=record_from_table(Site, {"climate": plan.climate, "year_built": plan.year_built}),
        size=_size(frame),
        surfaces=(*_walls(frame), *_top(frame), *_bottom(frame)),
        windows=tuple(_windows(frame)),
        underground=tuple(_underground(frame)),
        buffers=tuple(_buffers(frame)),
        leakage=_leakage(frame),
        **systems_of(plan, frame.shape, frame.places),
    )
    check_house(house)
    return replace(house, assumed=frozenset(path for path, _ in numbers(house)) - ANSWERED)


def _size(frame: _Frame) -> Size:
    shape = frame.shape
    table = {
        "floor_area": f"{shape.floor_area} ft2",
        "volume": f"{shape.volume} ft3",
        "stories": shape.stories,
        "bedrooms": frame.plan.bedrooms,
        "occupants": frame.plan.occupants,
    }
    size: Size = record_from_table(Size, table)
    return size


def _buffers(frame: _Frame) -> Iterator[Any]:
    heights = {"attic": 2.6, "kneewall_space": 0.8, "basement": BASEMENT_HEIGHT, "crawlspace": 2.5}
    for key in sorted(frame.places):
        yield frame.part(f"buffers.{key}", volume=heights[key] * frame.shape.footprint)


def _walls(frame: _Frame) -> Iterator[Any]:
    usual = frame.usual
    yield frame.part(
        "surfaces.walls",
        area=frame.shape.wall_area,
        r_label=usual["wall"],
        fill=usual["wall_fill"],
        gap_fraction=0.03 if usual["wall_fill"] == "batt" else 0.0,
    )
    yield frame.part("surfaces.doors", area=42.0)


def _top(frame: _Frame) -> Iterator[Any]:
    area, usual = frame.shape.footprint, frame.usual
    if frame.plan.roof == "attic":
        yield frame.part("surfaces.attic_floor", area=area - 8.0, r_label=usual["attic"])
        yield frame.part("surfaces.attic_hatch")
        yield frame.part("surfaces.main_roof", area=1.15 * area)
    elif frame.plan.knee_walls:
        yield frame.part("surfaces.attic_floor", area=0.45 * area, r_label=usual["attic"])
        yield frame.part("surfaces.slope", area=0.25 * area, r_label=usual["slope"])
        yield frame.part("surfaces.kneewalls", area=8.0 * frame.plan.length)
        yield frame.part("surfaces.kneewall_floor", area=0.4 * area, r_label=usual["wall"])
        yield frame.part("surfaces.attic_hatch")
        yield frame.part("surfaces.main_roof", area=0.5 * area)
        yield frame.part("surfaces.kneewall_roof", area=0.45 * area)
    else:
        yield frame.part("surfaces.slope", area=1.1 * area, r_label=usual["slope"])


def _bottom(frame: _Frame) -> Iterator[Any]:
    shape, usual, plan = frame.shape, frame.usual, frame.plan
    if plan.below:
        crawl = plan.below == "crawlspace"
        yield frame.part(
            "surfaces.first_floor",
            label="Floor over the crawl space" if crawl else "Floor over the basement",
            outside=plan.below,
            area=shape.footprint,
            r_label=usual["floor"] if crawl else 0.0,
            fill=usual["floor_fill"] if crawl else "none",
        )
    if plan.below or plan.heated_basement:
        under = plan.below or "house"
        yield frame.part("surfaces.band_joist", inside=under, area=RIM_HEIGHT * shape.perimeter)
        wall = frame.part("surfaces.wall_above_grade", inside=under)
        label = "Crawl-space wall above the ground" if plan.below == "crawlspace" else wall.label
        yield replace(wall, label=label, area=ABOVE_GRADE * shape.perimeter)


def _windows(frame: _Frame) -> Iterator[Any]:
    for name, direction, share in sides(frame.plan):
        yield frame.part(
            "windows.windows",
            key=name,
            label=f"{name.capitalize()} windows",
            area=share * frame.shape.window_area,
            u_value=frame.usual["window"],
            shgc=frame.usual["sun"],
            facing=direction,
        )


def _underground(frame: _Frame) -> Iterator[Any]:
    plan, perimeter = frame.plan, frame.shape.perimeter
    floor = {"length": plan.length, "width": plan.width}
    if plan.below == "basement" or plan.heated_basement:
        inside = plan.below or "house"
        yield frame.part("underground.basement_walls", inside=inside, length=perimeter)
        yield frame.part("underground.basement_floor", inside=inside, **floor)
    elif plan.below == "crawlspace":
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
        yield frame.part("underground.slab_edge", length=perimeter)


def _leakage(frame: _Frame) -> Leakage:
    flow = frame.usual["changes"] * frame.shape.volume / 60.0
    leakage: Leakage = record_from_table(Leakage, {"flow": f"{flow} cfm", "pressure": "50 Pa"})
    burns = frame.plan.heating == "wood stove"
    return replace(leakage, sites=tuple(_leak_sites(frame)), flue="open" if burns else "none")


def _leak_sites(frame: _Frame) -> Iterator[Any]:
    plan, shape = frame.plan, frame.shape
    if plan.below or plan.heated_basement:
        place = plan.below or "house"
        yield frame.part("leakage.sites.band_joist", place=place, count=round(shape.perimeter))
        yield frame.part("leakage.sites.plumbing", place=place)
    if "attic" in frame.places:
        yield frame.part("leakage.sites.attic_hatch")
        yield frame.part("leakage.sites.wiring", count=round(shape.footprint / 45.0))
    if plan.knee_walls:
        yield frame.part("leakage.sites.kneewall_air", count=round(8.0 * plan.length))
    if "attic" not in frame.places:
        yield frame.part("leakage.sites.cathedral", count=round(1.1 * shape.footprint))
    yield from _leak_sites_of_rooms(frame)


def _leak_sites_of_rooms(frame: _Frame) -> Iterator[Any]:
    shape = frame.shape
    if frame.plan.has_ducts:
        count = round(shape.floor_area / 130.0)
        yield frame.part("leakage.sites.register_boots", count=count)
    yield frame.part("leakage.sites.outlets", count=round(shape.floor_area / 55.0))
    edge = shape.perimeter * frame.plan.storeys
    yield frame.part("leakage.sites.baseboards", count=round(edge))
    yield frame.part("leakage.sites.window_gaps", count=round(shape.window_area))
    yield frame.part("leakage.sites.door_gaps")
    yield frame.part(
        "leakage.sites.bath_fan", place="attic" if "attic" in frame.places else "house"
    )
    yield frame.part("leakage.sites.dryer_vent")
