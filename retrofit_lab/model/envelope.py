"""Conduction and sun of a described house by the places that they join; air is in air.py."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import OUTDOORS, Buffer, House, Surface, Underground
from retrofit_lab.physics.below_grade import (
    floor_u,
    ground_temperature,
    slab_edge_factor,
    wall_u,
)
from retrofit_lab.physics.buffer_zones import roof_gain
from retrofit_lab.physics.conduction import (
    AIR_FILM,
    compressed_resistance,
    eave_taper_u,
    framed_u,
    installed_resistance,
    loose_fill_resistance,
)
from retrofit_lab.physics.elementwise import is_nought
from retrofit_lab.physics.sun import wall_irradiation, window_solar_gain
from retrofit_lab.values import FloatArray, Value

SUN_ABSORBING_KINDS = ("roof",)
WINTER_DESIGN_DIFFERENCE = 50.0
"""Temperature difference at which loose fill is rated for a winter. [F] (judgement)"""

EDGE_SHARE = 0.3
"""Depth of attic fill over the wall plate against full depth. [1] (judgement)"""

_INDOOR_FILM = {
    "wall": "indoor_wall",
    "kneewall": "indoor_wall",
    "rim": "indoor_wall",
    "door": "indoor_wall",
    "basement_wall": "indoor_wall",
    "ceiling": "indoor_up",
    "hatch": "indoor_up",
    "roof": "indoor_up",
    "floor": "indoor_down",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """Conductances by pair of places [Btu/(h F)], soil temperatures [F] and sun by place [Btu/h]."""

    conductance: Mapping[tuple[str, str], Value]
    ground: Mapping[str, Value]
    ground_temperature: FloatArray
    sun: Mapping[str, Value]


def envelope(house: House, climate: MonthlyClimate) -> Envelope:
    """Everything that conducts, and the sun that comes in or warms a roof."""
    conductance: defaultdict[tuple[str, str], Value] = defaultdict(float)
    for surface in house.surfaces:
        pair = surface.inside, surface.outside
        conductance[pair] = conductance[pair] + surface_conductance(surface)
    for window in house.windows:
        pair = window.inside, OUTDOORS
        conductance[pair] = conductance[pair] + window.u_value * window.area
    ground: defaultdict[str, Value] = defaultdict(float)
    for part in house.underground:
        ground[part.inside] = ground[part.inside] + underground_conductance(part)
    return Envelope(
        conductance=conductance,
        ground=ground,
        ground_temperature=soil_temperature(house, climate),
        sun=_sun(house, climate),
    )


def surface_conductance(surface: Surface) -> Value:
    """Heat loss per degree of one surface. [Btu/(h F)]"""
    return surface.area * surface_u(surface)


def surface_u(surface: Surface) -> Value:
    """U-value of one surface as installed. [Btu/(h ft2 F)]"""
    r_cavity = installed_cavity(surface)
    u_value = framed_u(
        r_cavity=r_cavity,
        r_framing=surface.r_framing,
        framing_fraction=surface.framing_fraction,
        r_continuous=surface.r_continuous,
        r_films=film_resistance_of(surface),
        missing_fraction=surface.missing_fraction,
    )
    if is_nought(surface.edge_fraction):
        return u_value
    around = surface.r_continuous + film_resistance_of(surface)
    edge = eave_taper_u(EDGE_SHARE * r_cavity, r_cavity, around)
    return u_value + surface.edge_fraction * (edge - u_value)


def installed_cavity(surface: Surface) -> Value:
    """R-value of the fill as it lies there: squeezed, cold, with gaps. [h ft2 F/Btu]"""
    r_value = surface.r_label
    if not is_nought(surface.cavity_depth) and not is_nought(surface.label_thickness):
        r_value = compressed_resistance(r_value, surface.label_thickness, surface.cavity_depth)
    if surface.fill == "loose_fiberglass":
        r_value = loose_fill_resistance(r_value, WINTER_DESIGN_DIFFERENCE)
    if is_nought(surface.gap_fraction):
        return r_value
    return installed_resistance(r_value, surface.gap_fraction, surface.r_gap)


def film_resistance_of(surface: Surface) -> float:
    """Air films on both faces. [h ft2 F/Btu]"""
    outside = "outdoor" if surface.outside == OUTDOORS else "semi_exterior"
    return AIR_FILM[_INDOOR_FILM[surface.kind]] + AIR_FILM[outside]


def underground_conductance(part: Underground) -> Value:
    """Heat loss per degree of a wall, floor or slab edge against the ground. [Btu/(h F)]"""
    if part.kind == "wall":
        return part.length * part.depth * wall_u(part.depth, part.r_value)
    if part.kind == "slab":
        return part.length * slab_edge_factor(part.r_value)
    return part.length * part.width * floor_u(part.depth, part.width, part.r_value)


def soil_temperature(house: House, climate: MonthlyClimate) -> FloatArray:
    """Monthly soil temperature round the basement or under the floor. [F]"""
    depths = [part.depth for part in house.underground] or [2.0]
    depth = float(min(float(d) for d in depths) / 2.0) if depths else 1.0
    return ground_temperature(climate.annual_mean, climate.annual_amplitude, depth)


def _sun(house: House, climate: MonthlyClimate) -> dict[str, Value]:
    sun: defaultdict[str, Value] = defaultdict(float)
    for window in house.windows:
        irradiation = wall_irradiation(climate.sun, window.facing) / 24.0
        sun[window.inside] = sun[window.inside] + window_solar_gain(
            window.area, window.shgc, irradiation, window.shading
        )
    for surface in house.surfaces:
        if surface.kind in SUN_ABSORBING_KINDS and surface.outside == OUTDOORS:
            sun[surface.inside] += _roof_sun(surface, house, climate)
    return sun


def _roof_sun(surface: Surface, house: House, climate: MonthlyClimate) -> Value:
    absorptance = _absorptance(house.buffers, surface.inside)
    gain = roof_gain(
        surface.area, absorptance, climate.sun["horizontal"] / 24.0, AIR_FILM["outdoor"]
    )
    return gain * surface_u(surface)


def _absorptance(buffers: tuple[Buffer, ...], place: str) -> Value:
    return next((b.sun_absorptance for b in buffers if b.key == place), 0.7)
