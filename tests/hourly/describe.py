"""One house of the hourly reference in the words of a builder, random houses, and what 12 kinds of work change.

Trade units (ft, R, cfm, Btu/h, F). Work is done to the description itself: a layer is blown to a depth,
gaps are filled, leaks are taped; the product's measures are not called. The house has one room volume.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from hourly.assemblies import (
    FILM_DOWN,
    FILM_OUT,
    FILM_UP,
    FILM_UPRIGHT,
    FILM_VENTED,
    framed_wall,
    joisted_ceiling,
    side_by_side,
)

PLACES = (
    "minneapolis", "chicago", "boston", "denver", "seattle",
    "baltimore", "atlanta", "houston", "phoenix", "miami",
)  # fmt: skip
GAP_R = 1.0
"""What still air in a gap of the fill does; the same for both models, it is a fact of the house."""
BOARDS = {"wall": 2.2, "ceiling": 0.45, "knee": 0.45, "floor": 2.5, "slope": 2.0, "rim": 2.5}


@dataclass(frozen=True, kw_only=True)
class RefHouse:
    """A house as a builder would write it down."""

    name: str
    place: str
    year: int
    length: float
    width: float
    stories: int
    knee: bool
    ceiling: float
    foundation: str
    stud_in: float
    wall_fill: float
    wall_gap: float
    wall_missing: float = 0.0
    batt: float
    batt_gap: float
    batt_missing: float
    blown_in: float = 0.0
    hatch_r: float = 0.9
    knee_fill: float = 11.0
    knee_gap: float = 0.08
    knee_missing: float = 0.1
    knee_foam: float = 0.0
    slope_fill: float = 13.0
    knee_floor_fill: float = 11.0
    floor_fill: float
    rim_fill: float = 0.0
    masonry_foam: float = 0.0
    window_u: float
    window_shgc: float
    window_share: float
    shade: float
    roof_absorbs: float
    wall_absorbs: float = 0.6
    cfm50: float
    exponent: float = 0.65
    shares: tuple[tuple[str, float], ...]
    sealed: tuple[tuple[str, float], ...] = ()
    shelter: int
    vent_ratio: float
    crawl_vent_ratio: float = 1 / 400
    people: float
    plug_kwh: float
    light_kwh: float
    heat_day: float
    heat_night: float
    cool: float
    cool_night: float = 0.0
    night_hours: int = 8
    mass: float
    window_limit: float = 66.0
    duct_place: str
    supply_ft2: float
    return_ft2: float
    duct_r: float
    supply_leak: float
    return_leak: float
    cfm: float
    fan_watts: float
    heater: str
    heat_capacity: float
    afue: float = 0.8
    cop_47: float = 3.2
    backup: float = 70000.0
    cutout: float = -5.0
    lockout_hours: float = 1.0
    cool_capacity: float
    eer_95: float

    @property
    def footprint(self) -> float:
        return self.length * self.width

    @property
    def perimeter(self) -> float:
        return 2 * (self.length + self.width)

    @property
    def floor_area(self) -> float:
        return self.footprint * (self.stories + (0.6 if self.knee else 0.0))

    @property
    def volume(self) -> float:
        return self.footprint * self.ceiling * (self.stories + (0.51 if self.knee else 0.0))

    @property
    def gross_wall(self) -> float:
        gables = 1.2 * self.width * self.ceiling if self.knee else 0.0
        return self.perimeter * (self.ceiling + 1) * self.stories + gables

    @property
    def window_area(self) -> float:
        return self.window_share * self.floor_area

    def window_by_face(self) -> dict[str, float]:
        """Glass by face [ft2]; the long sides face north and south."""
        long = self.length / self.perimeter
        share = {"north": long, "south": long, "east": 0.5 - long, "west": 0.5 - long}
        return {face: part * self.window_area for face, part in share.items()}

    def wall_by_face(self) -> dict[str, float]:
        net = self.gross_wall - self.window_area - self.doors
        long = self.length / self.perimeter
        share = {"north": long, "south": long, "east": 0.5 - long, "west": 0.5 - long}
        return {face: part * net for face, part in share.items()}

    @property
    def doors(self) -> float:
        return 42.0

    def areas(self) -> dict[str, float]:
        """Areas of what is not wall or glass. [ft2]"""
        f = self.footprint
        area = {"hatch": 8.0, "door": self.doors}
        if self.knee:
            area |= {"attic": 0.45 * f, "slope": 0.25 * f, "knee": 8 * self.length}
            area |= {"knee_floor": 0.4 * f, "attic_roof": 0.5 * f, "knee_roof": 0.45 * f}
        else:
            area |= {"attic": f - 8, "attic_roof": 1.15 * f}
        if self.foundation != "slab":
            area |= {"floor": f, "rim": 0.85 * self.perimeter, "stem": 1.5 * self.perimeter}
        return area

    def space_volume(self, space: str) -> float:
        height = {
            "attic": 2.6 if not self.knee else 1.5,
            "knee": 0.8,
            "basement": 7.5,
            "crawl": 2.5,
        }
        return height[space] * self.footprint

    def leaks(self) -> dict[str, float]:
        """Blower-door flow left at each kind of place. [cfm at 50 Pa]"""
        left = dict(self.sealed)
        return {k: self.cfm50 * share * (1 - left.get(k, 0.0)) for k, share in self.shares}

    def u_values(self) -> dict[str, float]:
        """U-value of each assembly. [Btu/(h ft2 F)]"""
        vented = self.foundation == "crawl" and self.crawl_vent_ratio > 1e-4
        below = FILM_VENTED if vented else FILM_DOWN
        gap = {"gap_r": GAP_R}
        return {
            "wall": framed_wall(films=FILM_UPRIGHT + FILM_OUT, boards=BOARDS["wall"], stud_in=self.stud_in, framing=0.23,
                                fill_r=self.wall_fill, gap=self.wall_gap, missing=self.wall_missing, **gap),
            "attic": joisted_ceiling(films=FILM_UP + FILM_VENTED, boards=BOARDS["ceiling"], joist_in=5.5, framing=0.1,
                                     batt_r=self.batt, gap=self.batt_gap, missing=self.batt_missing,
                                     blown_in=self.blown_in, blown_r_in=3.5, **gap),
            "hatch": 1 / (FILM_UP + FILM_VENTED + self.hatch_r),
            "knee": framed_wall(films=FILM_UPRIGHT + FILM_VENTED, boards=BOARDS["knee"] + self.knee_foam, stud_in=3.5,
                                framing=0.15, fill_r=self.knee_fill, gap=self.knee_gap, missing=self.knee_missing, **gap),
            "knee_floor": joisted_ceiling(films=FILM_UP + FILM_VENTED, boards=BOARDS["ceiling"], joist_in=7.25, framing=0.1,
                                          batt_r=self.knee_floor_fill, gap=0.1, missing=0.0, blown_in=0.0, blown_r_in=3.5, **gap),
            "slope": joisted_ceiling(films=FILM_UP + FILM_OUT, boards=BOARDS["slope"], joist_in=7.25, framing=0.1,
                                     batt_r=self.slope_fill, gap=0.05, missing=0.0, blown_in=0.0, blown_r_in=3.5, **gap),
            "floor": side_by_side([(0.1, FILM_DOWN + below + BOARDS["floor"] + 1.25 * 9.25),
                                   (0.9, FILM_DOWN + below + BOARDS["floor"] + self.floor_fill)]),
            "rim": side_by_side([(0.1, FILM_UPRIGHT + FILM_OUT + BOARDS["rim"] + 4.38),
                                 (0.9, FILM_UPRIGHT + FILM_OUT + BOARDS["rim"] + self.rim_fill)]),
            "stem": 1 / (FILM_UPRIGHT + FILM_OUT + 1.3 + self.masonry_foam),
            "attic_roof": 1 / (FILM_UP + FILM_OUT + 1.1),
            "knee_roof": 1 / (FILM_UP + FILM_OUT + 1.1),
            "door": 1 / (FILM_UPRIGHT + FILM_OUT + 2.0),
        }  # fmt: skip


def with_sealing(house: RefHouse, **shares: float) -> RefHouse:
    """House with a share of what is left sealed at some places."""
    left = dict(house.sealed)
    for key, share in shares.items():
        left[key] = 1 - (1 - left.get(key, 0.0)) * (1 - share)
    return replace(house, sealed=tuple(left.items()))


def _foundation_wall(h: RefHouse) -> RefHouse | None:
    if h.foundation == "basement":
        return replace(h, masonry_foam=10.0)
    if h.foundation == "crawl":
        closed = replace(h, masonry_foam=10.0, crawl_vent_ratio=0.0)
        return with_sealing(closed, rim=0.4)
    return None


def _hatch(h: RefHouse) -> RefHouse:
    return with_sealing(replace(h, hatch_r=12.0), hatch=0.8)


def _rim(h: RefHouse) -> RefHouse | None:
    if h.foundation == "slab":
        return None
    return with_sealing(replace(h, rim_fill=14.0), rim=0.75)


def _windows(h: RefHouse) -> RefHouse | None:
    if h.window_u <= 0.35:
        return None
    return with_sealing(replace(h, window_u=0.28, window_shgc=min(h.window_shgc, 0.4)), windows=0.6)


def _knee(h: RefHouse) -> RefHouse | None:
    if not h.knee:
        return None
    filled = replace(h, knee_fill=13.0, knee_gap=0.0, knee_missing=0.0, knee_foam=5.0)
    return with_sealing(filled, knee=0.7)


def _seal(h: RefHouse) -> RefHouse:
    return replace(h, cfm50=0.7 * h.cfm50)


def _setback(h: RefHouse) -> RefHouse:
    return replace(h, heat_night=63.0, cool_night=78.0, lockout_hours=3.0)


def _ducts(h: RefHouse, **changes: float) -> RefHouse | None:
    return replace(h, **changes) if h.duct_place != "inside" else None


WORK: dict[str, Callable[[RefHouse], RefHouse | None]] = {
    "attic_insulation": lambda h: replace(h, blown_in=14.0, batt_gap=0.0, batt_missing=0.0),
    "wall_fill": lambda h: replace(h, wall_fill=13.0, wall_gap=0.0) if h.wall_fill < 3 else None,
    "air_sealing": _seal,
    "rim_foam": _rim,
    "relay_batts": lambda h: replace(h, batt_gap=0.015, batt_missing=0.0),
    "hatch": _hatch,
    "foundation_wall": _foundation_wall,
    "duct_mastic": lambda h: _ducts(h, supply_leak=0.3 * h.supply_leak, return_leak=0.35 * h.return_leak),
    "duct_insulation": lambda h: _ducts(h, duct_r=8.0),
    "setback": _setback,
    "windows": _windows,
    "knee_walls": _knee,
}  # fmt: skip
"""What a crew does, in its own terms; None where there is nothing to do."""


def states(house: RefHouse) -> Iterator[tuple[str, RefHouse]]:
    """The house as found, and after each kind of work alone."""
    yield "as_found", house
    for key, work in WORK.items():
        after = work(house)
        if after is not None and after != house:
            yield key, after


VINTAGE = (
    (1940, 0.0, 3.5, 11.0, 0.90, 0.66, 13.0),
    (1965, 0.0, 3.5, 11.0, 0.80, 0.66, 10.0),
    (1980, 11.0, 3.5, 19.0, 0.70, 0.62, 8.5),
    (2000, 11.0, 3.5, 30.0, 0.52, 0.58, 6.5),
    (2012, 19.0, 5.5, 38.0, 0.38, 0.40, 4.5),
)
"""Until; wall fill, stud, attic batt, glass U and SHGC, air changes at 50 Pa of the invented houses."""


def random_house(number: int, rng: np.random.Generator) -> RefHouse:
    """An invented house; the climate goes round the list, all else is drawn."""
    pick = lambda *options: options[int(rng.integers(len(options)))]  # noqa: E731
    place = PLACES[number % len(PLACES)]
    until, fill, stud, batt, glass, shgc, changes = VINTAGE[int(rng.integers(len(VINTAGE)))]
    warm = place in {"miami", "houston", "phoenix"}
    foundation = (
        pick("slab", "slab", "crawl") if warm else pick("basement", "basement", "crawl", "slab")
    )
    knee = bool(rng.random() < 0.3)
    stories = 1 if knee else pick(1, 1, 2)
    length, width = rng.uniform(32, 48), rng.uniform(22, 30)
    area = length * width * (stories + (0.6 if knee else 0))
    volume = length * width * 8 * (stories + (0.51 if knee else 0))
    attic_ducts = foundation == "slab" or rng.random() < 0.25
    heater = "heat pump" if rng.random() < 0.45 else "furnace"
    hot = (1.6 if until < 1980 else 1.35) if warm else 1.0  # 340 to 550 ft2 a ton where it is hot
    per_ft2 = rng.uniform(16, 22) * hot
    tons = np.clip(round(area * per_ft2 / 6000) / 2, 1.5, 5.0)
    cooling = 12000.0 * tons
    heat = cooling if heater == "heat pump" else float(np.clip(round(60 * area, -4), 60000, 140000))
    return RefHouse(
        name=f"house_{number:02d}", place=place, year=until - 8, length=length, width=width,
        stories=stories, knee=knee, ceiling=8.0, foundation=foundation, stud_in=stud,
        wall_fill=fill, wall_gap=float(rng.uniform(0.02, 0.06)) if fill else 0.0,
        batt=batt, batt_gap=float(rng.uniform(0.02, 0.08)), batt_missing=float(pick(0.0, 0.0, rng.uniform(0.02, 0.1))),
        floor_fill=0.0 if foundation != "crawl" else float(pick(0.0, 11.0, 19.0)),
        window_u=glass, window_shgc=shgc, window_share=float(rng.uniform(0.10, 0.17)), shade=float(rng.uniform(0.5, 0.9)),
        roof_absorbs=float(rng.uniform(0.6, 0.9)),
        cfm50=changes * rng.uniform(0.75, 1.25) * volume / 60, shares=_leak_shares(foundation, knee, rng),
        shelter=pick(2, 3, 3, 4), vent_ratio=1 / float(rng.uniform(200, 400)),
        people=pick(1, 2, 3, 4), plug_kwh=float(rng.uniform(2000, 5000)), light_kwh=float(rng.uniform(400, 1200)),
        heat_day=float(rng.uniform(68, 72)), heat_night=0.0, cool=float(rng.uniform(74, 78)),
        mass=float(rng.uniform(3.5, 7.0)), duct_place="attic" if attic_ducts else "below",
        supply_ft2=0.2 * area if attic_ducts else 0.12 * area, return_ft2=0.05 * area,
        duct_r=float(pick(1.5, 4.0, 4.0, 6.0)), supply_leak=float(rng.uniform(0.05, 0.18)), return_leak=float(rng.uniform(0.03, 0.18)),
        cfm=400.0 * tons, fan_watts=400 * tons * float(rng.uniform(0.35, 0.55)), heater=heater, heat_capacity=heat,
        afue=float(pick(0.78, 0.8, 0.92)), cop_47=float(rng.uniform(3.0, 3.8)), cool_capacity=cooling,
        eer_95=float(rng.uniform(8.5, 12.0)),
    )  # fmt: skip


def _leak_shares(foundation, knee, rng):
    weight = {
        "attic": rng.uniform(0.15, 0.3),
        "hatch": rng.uniform(0.01, 0.04),
        "windows": rng.uniform(0.1, 0.2),
    }
    if foundation != "slab":
        weight |= {"rim": rng.uniform(0.1, 0.2), "floor": rng.uniform(0.03, 0.08)}
    if knee:
        weight |= {"knee": rng.uniform(0.05, 0.15)}
    named = sum(weight.values())
    scale = min(1.0, 0.68 / named)
    shares = {key: float(value * scale) for key, value in weight.items()}
    return (*shares.items(), ("wall", 1 - sum(shares.values())))


def random_houses(count: int, seed: int) -> list[RefHouse]:
    """Invented houses of a seed."""
    rng = np.random.default_rng(seed)
    houses = [random_house(number, rng) for number in range(count)]
    return [replace(h, heat_night=h.heat_day) for h in houses]
