"""Conduction and sun of a described house by the places that they join; air is in air.py."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import (
    INSIDE,
    OUTDOORS,
    Buffer,
    House,
    Surface,
    Underground,
    Window,
)
from retrofit_lab.physics.below_grade import (
    floor_u,
    floor_wave_u,
    ground_temperature,
    inner_wave_u,
    insulated_edge_share,
    wall_u,
    wall_wave_u,
)
from retrofit_lab.physics.buffer_zones import surface_gain
from retrofit_lab.physics.conduction import (
    AIR_FILM,
    BEST_PER_INCH,
    EMPTY_BAY,
    FILL_PER_INCH,
    compressed_resistance,
    covered_framing,
    eave_taper_u,
    framed_u,
    inside_film,
    loose_fill_resistance,
    outdoor_film,
)
from retrofit_lab.physics.elementwise import is_nought, larger, power
from retrofit_lab.physics.natural_airflow import eave_wind_share, shelter_factor
from retrofit_lab.physics.sun import ORIENTATIONS, clearness, wall_irradiation, window_solar_gain

ROOF_KINDS = ("roof", "ceiling", "hatch")
SHADED_KINDS = ("floor",)
MILD = 65.0
"""Outdoor temperature at which little heat passes either way, so that its wind counts little. [F] (judgment)"""
CLEAR_SKY = 20.0
"""What a level surface loses to a clear sky beyond its exchange with the air. [Btu/(h ft2)] Sol-air temperature,
ASHRAE Handbook Fundamentals (memory); EN ISO 13790, 11.4.6, has 15.7 for a mean sky (memory)."""
CLEAR_SKY_SUN = 0.7
"""Share of the sun above the air that reaches the ground under a clear sky. [1] (memory) Clouds are nearly as
warm as the air, so the cold of a month's sky follows its sun. (judgment)"""
UPRIGHT = 0.5
"""Share of the sky that an upright surface sees. [1] EN ISO 13790, 11.3.5 (memory)"""
WALL_ABSORPTANCE = 0.6
"""Share of the sun that walls and doors take up, a middling color. [1] EN ISO 13790 (memory)"""
ROOF_ABSORPTANCE = 0.7
"""Share of the sun that roofs over rooms take up. [1] (judgment)"""
WINTER_DESIGN_DIFFERENCE = 50.0
"""Temperature difference at which loose fill is rated for a winter. [F] (judgment)"""

BARE_EDGE = 1.47
"""R-value of an edge that is concrete and film alone. [h ft2 F/Btu] As `parameters.csv` has it."""
SLAB_R_VALUE = 1.5
"""Slab, a usual covering and the film over it. [h ft2 F/Btu] As basement floors are described. (judgment)"""
LEAST = 1e-9
EDGE_SHARE = 0.2
"""Depth of attic fill over the wall plate against full depth. [1] An even taper from here loses what the half
depth does that ASHRAE 90.1 Appendix A2.4 takes for the strip along the eaves (read)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Films:
    """Air films around a house.

    Parameters
    ----------
    outdoor : Value
        Outdoors at its walls. [h ft2 F/Btu]
    still : frozenset of str
        Keys of closed places, whose air is still on both sides of what bounds them.
    """

    outdoor: Value = AIR_FILM["outdoor"]
    still: frozenset[str] = frozenset()


RATED = Films()
"""Films of labels and printed assemblies, a winter storm outdoors."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """Everything that conducts, by the places that it joins.

    Parameters
    ----------
    films : Films
        Air films where the house stands.
    conductance : mapping of (str, str) to Value
        By pair of places, inside and outside. [Btu/(h F)]
    ground : mapping of str to Value
        Into the soil, by place, at rest. [Btu/(h F)]
    ground_swing : mapping of str to Value
        The same for a place's own swing over the year, of places outside the rooms. [Btu/(h F)]
    ground_temperature : mapping of str to ndarray, shape (..., 12)
        Soil that a place loses to. [F]
    sun : mapping of str to Value
        Sun that comes in or is taken up by outer faces, by place. [Btu/h]
    sky : mapping of str to Value
        What outer faces lose to the sky beyond their exchange with the air, by place. [Btu/h]
    """

    films: Films
    conductance: Mapping[tuple[str, str], Value]
    ground: Mapping[str, Value]
    ground_swing: Mapping[str, Value]
    ground_temperature: Mapping[str, FloatArray]
    sun: Mapping[str, Value]
    sky: Mapping[str, Value]


def envelope(house: House, climate: MonthlyClimate) -> Envelope:
    """Everything that conducts, and the sun that comes in or warms a roof.

    Parameters
    ----------
    house : House
        Its surfaces, windows and parts in the ground.
    climate : MonthlyClimate
        Wind for the films, sun, and the swing of the year for the soil.

    Returns
    -------
    Envelope
        By place; sun and sky by month.

    Examples
    --------
    Twice the area of each surface, twice its heat per degree:

    >>> twice = tuple(replace(surface, area=2.0 * surface.area) for surface in house.surfaces)
    >>> bare = replace(house, windows=())
    >>> one, two = envelope(bare, climate), envelope(replace(bare, surfaces=twice), climate)
    >>> all(np.isclose(two.conductance[pair], 2.0 * value) for pair, value in one.conductance.items())
    True
    """
    films = films_of(house, climate)
    surfaces = [(surface, surface_conductance(surface, films)) for surface in house.surfaces]
    windows = [(window, window_conductance(window, films)) for window in house.windows]
    conductance: defaultdict[tuple[str, str], Value] = defaultdict(float)
    for surface, passed in surfaces:
        pair = surface.inside, surface.outside
        conductance[pair] = conductance[pair] + passed
    for window, passed in windows:
        pair = window.inside, OUTDOORS
        conductance[pair] = conductance[pair] + passed
    ground, wave, swing = _ground(house)
    return Envelope(
        films=films,
        conductance=conductance,
        ground=ground,
        ground_swing=swing,
        ground_temperature={
            place: ground_temperature(
                climate.annual_mean, climate.annual_amplitude, wave[place] / larger(total, LEAST)
            )
            for place, total in ground.items()
        },
        sun=_sun(house, climate, surfaces, films),
        sky=_sky(climate, surfaces, windows, films),
    )


def films_of(house: House, climate: MonthlyClimate) -> Films:
    """Films of a house where it stands: outdoors by its own wind, months counted by how cold or hot they are.

    Parameters
    ----------
    house : House
        Stories and shelter, and the places that are closed.
    climate : MonthlyClimate
        Wind of the months.

    Returns
    -------
    Films
        One film for the whole year.

    Examples
    --------
    In open country the film is thinner:

    >>> def film(shelter):
    ...     return films_of(replace(house, site=replace(house.site, shelter_class=shelter)), climate).outdoor
    >>> film(1.0) < film(5.0)
    True
    """
    weight = np.abs(climate.temperature - MILD)
    wind = (weight * climate.wind).sum(axis=-1, keepdims=True) / weight.sum(axis=-1, keepdims=True)
    there = eave_wind_share(house.size.stories) * shelter_factor(house.site.shelter_class, False)
    outdoor = outdoor_film(there * (float(wind[0]) if wind.ndim == 1 else wind))
    closed = frozenset(buffer.key for buffer in house.buffers if buffer.kind == "basement")
    return Films(outdoor=outdoor, still=closed)


def window_conductance(window: Window, films: Films) -> Value:
    """Heat loss per degree of one window, its label taken to the film of the place.

    Parameters
    ----------
    window : Window
        Area [ft2] and U-value of its label. [Btu/(h ft2 F)]
    films : Films
        Of the place; `RATED` leaves the label as it is.

    Returns
    -------
    Value
        Loss. [Btu/(h F)]

    Examples
    --------
    >>> window_conductance(replace(house.windows[0], area=20.0, u_value=0.5), RATED)
    10.0
    """
    more = films.outdoor - AIR_FILM["outdoor"]
    return window.area * window.u_value / (1.0 + window.u_value * more)


def surface_conductance(surface: Surface, films: Films = RATED) -> Value:
    """Heat loss per degree of one surface.

    Parameters
    ----------
    surface : Surface
        Area and what it is made of.
    films : Films
        Of the place, or those of printed assemblies.

    Returns
    -------
    Value
        Loss. [Btu/(h F)]
    """
    return surface.area * surface_u(surface, films)


def surface_u(surface: Surface, films: Films = RATED) -> Value:
    """U-value of one surface as installed, every way through it side by side.

    Parameters
    ----------
    surface : Surface
        Its fill, framing, gaps, empty bays, boards and what it bounds.
    films : Films
        Of the place, or those of printed assemblies.

    Returns
    -------
    Value
        U-value. [Btu/(h ft2 F)]

    Notes
    -----
    Framing, fill, gaps and empty bays are paths of their own through films, boards and whatever lies
    over the framing; along the eaves the fill tapers.

    Examples
    --------
    A wall of R-4 boards alone, with still air of R-.68 inside and a storm of R-.17 outside:

    >>> boards = replace(
    ...     house.surfaces[0], kind="wall", inside="house", outside="outdoors", r_continuous=4.0, r_label=0.0,
    ...     framing_fraction=0.0, gap_fraction=0.0, missing_fraction=0.0, edge_fraction=0.0,
    ... )
    >>> round(1.0 / surface_u(boards), 2)
    4.85
    """
    r_fill = fill_resistance(surface)
    r_films = film_resistance_of(surface, films)
    u_value = framed_u(
        r_cavity=r_fill,
        r_framing=framing_path(surface, r_fill),
        framing_fraction=surface.framing_fraction,
        r_continuous=surface.r_continuous,
        r_films=r_films,
        missing_fraction=surface.missing_fraction,
        r_missing=0.0 if lies_open(surface) else EMPTY_BAY,
        gap_fraction=surface.gap_fraction,
        r_gap=surface.r_gap,
    )
    if is_nought(surface.edge_fraction):
        return u_value
    around = surface.r_continuous + r_films
    thinner = eave_taper_u(EDGE_SHARE * r_fill, r_fill, around) - 1.0 / (r_fill + around)
    return u_value + surface.edge_fraction * filled_share(surface) * thinner


def filled_share(surface: Surface) -> Value:
    """Share of the area that is fill: no framing, empty bay or gap. [1]

    Parameters
    ----------
    surface : Surface
        Its fractions.

    Examples
    --------
    >>> wall = replace(house.surfaces[0], framing_fraction=0.2, missing_fraction=0.5, gap_fraction=0.0)
    >>> filled_share(wall)
    0.4
    """
    bays = (1.0 - surface.framing_fraction) * (1.0 - surface.missing_fraction)
    return bays * (1.0 - surface.gap_fraction)


def fill_resistance(surface: Surface) -> Value:
    """R-value of the fill where there is fill: squeezed, and in the cold.

    Parameters
    ----------
    surface : Surface
        Label, depth of the bay and kind of fill.

    Returns
    -------
    Value
        Resistance. [h ft2 F/Btu]

    Examples
    --------
    An R-19 batt in 5.5 in, see `compressed_resistance`:

    >>> wall = replace(
    ...     house.surfaces[0], r_label=19.0, label_thickness=6.25, cavity_depth=5.5, fill="batt"
    ... )
    >>> round(fill_resistance(wall), 1)
    17.9
    """
    r_value = surface.r_label
    if not is_nought(surface.cavity_depth) and not is_nought(surface.label_thickness):
        r_value = compressed_resistance(r_value, surface.label_thickness, surface.cavity_depth)
    if surface.fill == "loose_fiberglass":
        r_value = loose_fill_resistance(r_value, WINTER_DESIGN_DIFFERENCE)
    return r_value


def framing_path(surface: Surface, r_fill: Value) -> Value:
    """Resistance over the framing: wood, and what fill of an open attic floor lies over it.

    Parameters
    ----------
    surface : Surface
        Framing, fill and whether the bays are open above.
    r_fill : Value
        From `fill_resistance`. [h ft2 F/Btu]

    Returns
    -------
    Value
        Resistance. [h ft2 F/Btu]

    Examples
    --------
    Nothing lies over the studs of a wall:

    >>> framing_path(replace(house.surfaces[0], kind="wall", outside="outdoors", r_framing=4.38), 13.0)
    4.38
    """
    if not lies_open(surface) or is_nought(surface.r_label):
        return surface.r_framing
    return covered_framing(surface.r_framing, r_fill, fill_thickness(surface))


def lies_open(surface: Surface) -> bool:
    """Whether the bays are open above, as an attic's floor: nothing closes an empty one off.

    Parameters
    ----------
    surface : Surface
        Its kind and what lies outside of it.

    Examples
    --------
    >>> lies_open(replace(house.surfaces[0], kind="ceiling", outside="attic"))
    True
    """
    return surface.kind == "ceiling" and surface.outside != OUTDOORS


def fill_thickness(surface: Surface) -> Value:
    """Thickness of a fill that lies open, by its label or as usual for its kind.

    Parameters
    ----------
    surface : Surface
        Its fill.

    Returns
    -------
    Value
        Thickness. [in]

    Examples
    --------
    >>> fill_thickness(replace(house.surfaces[0], label_thickness=0.0, r_label=34.0, fill="cellulose"))
    10.0
    """
    if is_nought(surface.label_thickness):
        return surface.r_label / FILL_PER_INCH[surface.fill]
    return larger(surface.label_thickness, surface.r_label / BEST_PER_INCH[surface.fill])


def as_it_lies(surface: Surface) -> Value:
    """R-value that fill, framing, gaps and empty bays have together, boards and films apart.

    Parameters
    ----------
    surface : Surface
        As described.

    Returns
    -------
    Value
        Resistance. [h ft2 F/Btu]

    Examples
    --------
    >>> whole = replace(
    ...     house.surfaces[0], kind="wall", outside="outdoors", r_label=13.0, framing_fraction=0.0, gap_fraction=0.0,
    ...     missing_fraction=0.0, edge_fraction=0.0, label_thickness=0.0, cavity_depth=0.0, fill="batt",
    ... )
    >>> round(as_it_lies(whole), 9)
    13.0
    """
    return 1.0 / surface_u(surface) - surface.r_continuous - film_resistance_of(surface)


def film_resistance_of(surface: Surface, films: Films = RATED) -> Value:
    """Air films on both faces.

    Parameters
    ----------
    surface : Surface
        Its kind, and the place outside of it.
    films : Films
        Of the place, or those of printed assemblies.

    Returns
    -------
    Value
        Resistance. [h ft2 F/Btu]

    Examples
    --------
    A floor over a basement has still air above and below:

    >>> floor = replace(house.surfaces[0], kind="floor", outside="basement")
    >>> film_resistance_of(floor, Films(still=frozenset({"basement"})))
    1.84
    """
    if surface.outside == OUTDOORS:
        return inside_film(surface.kind) + films.outdoor
    if surface.outside in films.still:
        return 2.0 * inside_film(surface.kind)
    return inside_film(surface.kind) + AIR_FILM["semi_exterior"]


def underground_conductance(part: Underground, footprint: Value) -> Value:
    """Heat loss per degree of a wall, floor or slab against the ground, at rest.

    Parameters
    ----------
    part : Underground
        A slab is known by its edge alone; it is taken for its stretch of a square slab under the house.
    footprint : Value
        Ground that the house covers. [ft2]

    Returns
    -------
    Value
        Loss. [Btu/(h F)]

    References
    ----------
    As `wall_u`, `floor_u` and `insulated_edge_share`.
    """
    if part.kind == "wall":
        return part.length * part.depth * wall_u(part.depth, part.r_value)
    if part.kind == "slab":
        side = power(footprint, 0.5)
        per_foot = floor_u(0.0, side, side, SLAB_R_VALUE) * side / 4.0
        return part.length * per_foot * insulated_edge_share(larger(part.r_value - BARE_EDGE, 0.0))
    return part.length * part.width * floor_u(part.depth, part.length, part.width, part.r_value)


def underground_wave(part: Underground, footprint: Value) -> Value:
    """What the same part passes of the year's swing outdoors.

    Parameters
    ----------
    part : Underground
        As for `underground_conductance`.
    footprint : Value
        Ground that the house covers. [ft2]

    Returns
    -------
    Value
        Heat for each degree of half the swing. [Btu/(h F)]
    """
    if part.kind == "wall":
        return part.length * part.depth * wall_wave_u(larger(part.depth, LEAST), part.r_value)
    if part.kind == "slab":
        side = power(footprint, 0.5)
        per_foot = floor_wave_u(0.0, side, side, SLAB_R_VALUE) * side / 4.0
        return part.length * per_foot * insulated_edge_share(larger(part.r_value - BARE_EDGE, 0.0))
    return (
        part.length * part.width * floor_wave_u(part.depth, part.length, part.width, part.r_value)
    )


def ground_covered(house: House) -> Value:
    """Ground that a house covers, were its stories equal.

    Parameters
    ----------
    house : House
        Floor area and stories.

    Returns
    -------
    Value
        Area. [ft2]

    Examples
    --------
    >>> ground_covered(replace(house, size=replace(house.size, floor_area=2000.0, stories=2.0)))
    1000.0
    """
    return house.size.floor_area / house.size.stories


def _ground(house: House) -> tuple[dict[str, Value], dict[str, Value], dict[str, Value]]:
    """Heat per degree into the ground by place: at rest, by the year's swing outdoors and by that inside.

    Rooms do not swing.

    Parameters
    ----------
    house : House
        Its walls, floors and slabs in the ground.

    Returns
    -------
    tuple of dict
        By place. [Btu/(h F)]
    """
    rest: defaultdict[str, Value] = defaultdict(float)
    wave: defaultdict[str, Value] = defaultdict(float)
    swing: defaultdict[str, Value] = defaultdict(float)
    covered = ground_covered(house)
    for part in house.underground:
        still = underground_conductance(part, covered)
        rest[part.inside] = rest[part.inside] + still
        wave[part.inside] = wave[part.inside] + underground_wave(part, covered)
        if part.inside != INSIDE:
            size = part.length * (part.depth if part.kind == "wall" else part.width)
            inner = inner_wave_u(still / larger(size, LEAST), part.r_value)
            swing[part.inside] = swing[part.inside] + size * inner
    return dict(rest), dict(wave), dict(swing)


def _sun(
    house: House, climate: MonthlyClimate, surfaces: Sequence[tuple[Surface, Value]], films: Films
) -> dict[str, Value]:
    """Sun through windows and on outer faces, by place.

    Parameters
    ----------
    house : House
        Its windows, and how dark its roofs are.
    climate : MonthlyClimate
        Sun by plane.
    surfaces : sequence of (Surface, Value)
        With their heat per degree. [Btu/(h F)]
    films : Films
        Outer film.

    Returns
    -------
    dict of str to Value
        Sun by month. [Btu/h]
    """
    sun: defaultdict[str, Value] = defaultdict(float)
    for window in house.windows:
        irradiation = wall_irradiation(climate.sun, window.facing) / 24.0
        sun[window.inside] = sun[window.inside] + window_solar_gain(
            window.area, window.shgc, irradiation, window.shading
        )
    upright = np.mean([climate.sun[face] for face in ORIENTATIONS], axis=0)
    falls = {True: climate.sun["horizontal"] / 24.0, False: upright / 24.0}
    taken: defaultdict[tuple[str, bool], Value] = defaultdict(float)
    for surface, passed in surfaces:
        if sky_seen(surface):
            side = surface.inside, surface.kind in ROOF_KINDS
            taken[side] = taken[side] + _absorptance(house.buffers, surface) * passed
    for (place, level), passed in taken.items():
        sun[place] = sun[place] + surface_gain(passed, 1.0, falls[level], films.outdoor)
    return sun


def _sky(
    climate: MonthlyClimate,
    surfaces: Sequence[tuple[Surface, Value]],
    windows: Sequence[tuple[Window, Value]],
    films: Films,
) -> dict[str, Value]:
    """What windows and outer faces lose to the sky beyond their exchange with the air, by place. [Btu/h]

    It is a loss and no negative gain: the sky is as cold at night, when heat has to be made.
    """
    seen: defaultdict[str, Value] = defaultdict(float)
    for window, passed in windows:
        seen[window.inside] = seen[window.inside] + UPRIGHT * passed
    for surface, passed in surfaces:
        if sky_seen(surface):
            seen[surface.inside] = seen[surface.inside] + sky_seen(surface) * passed
    sky = sky_radiation(climate)
    return {
        place: -surface_gain(passed, 0.0, 0.0, films.outdoor, sky_radiation=sky)
        for place, passed in seen.items()
    }


def sky_seen(surface: Surface) -> float:
    """Share of the sky that the outer face of a surface sees. [1]

    Parameters
    ----------
    surface : Surface
        Floors and what bounds a buffer zone see none of it.

    Examples
    --------
    >>> wall = replace(house.surfaces[0], kind="wall", outside="outdoors")
    >>> sky_seen(wall), sky_seen(replace(wall, kind="roof")), sky_seen(replace(wall, outside="attic"))
    (0.5, 1.0, 0.0)
    """
    if surface.outside != OUTDOORS or surface.kind in SHADED_KINDS:
        return 0.0
    return 1.0 if surface.kind in ROOF_KINDS else UPRIGHT


def sky_radiation(climate: MonthlyClimate) -> FloatArray:
    """What a level surface loses to the sky by month, less under clouds.

    Parameters
    ----------
    climate : MonthlyClimate
        Clouds are told by its sun.

    Returns
    -------
    ndarray, shape (12,)
        Loss beyond the exchange with the air. [Btu/(h ft2)]

    Examples
    --------
    >>> bool((sky_radiation(climate) <= CLEAR_SKY).all())
    True
    """
    clear = clearness(climate.sun["horizontal"], climate.latitude) / CLEAR_SKY_SUN
    return CLEAR_SKY * np.minimum(clear, 1.0)


def _absorptance(buffers: tuple[Buffer, ...], surface: Surface) -> Value:
    """Share of the sun that an outer face takes up. [1]

    Parameters
    ----------
    buffers : tuple of Buffer
        A roof over one of them is as dark as the zone says.
    surface : Surface
        Walls and doors are of a middling color.
    """
    if surface.kind not in ROOF_KINDS:
        return WALL_ABSORPTANCE
    return next((b.sun_absorptance for b in buffers if b.key == surface.inside), ROOF_ABSORPTANCE)
