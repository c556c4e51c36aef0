"""The ways by which heat leaves the rooms in one month, taken out of the model's balance; nothing is worked out anew."""

from collections.abc import Iterator, Mapping

import numpy as np

from retrofit_lab.house.description import INSIDE, OUTDOORS
from retrofit_lab.model.balance import place_temperatures
from retrofit_lab.model.envelope import surface_conductance, underground_conductance
from retrofit_lab.model.year import YearEnergy
from retrofit_lab.values import Value

JANUARY = 0
WINDOWS, LEAKS, GROUND = "Windows", "Air through leaks", "Ground"


def heat_paths(year: YearEnergy, month: int = JANUARY) -> dict[str, float]:
    """Heat that leaves the rooms by each way. [Btu/h]

    Parameters
    ----------
    year : YearEnergy
        The model's year of one house.
    month : int
        0 for January.

    Returns
    -------
    dict of str to float
        By label of the surface, then windows, ground and air. Heat from a hot-water tank in the rooms
        is a gain and not among them.
    """
    paths: dict[str, float] = {}
    for label, heat in (*_surfaces(year, month), *_others(year, month)):
        paths[label] = paths.get(label, 0.0) + heat
    return {label: heat for label, heat in paths.items() if heat}


def temperatures(year: YearEnergy, month: int = JANUARY) -> dict[str, float]:
    """Temperature of the rooms, of each unheated place and outdoors in one month. [F]"""
    season = year.heating
    places = place_temperatures(
        season.state, season.rooms.temperature, year.parts.climate.temperature
    )
    return {place: at_month(value, month) for place, value in places.items()}


def at_month(value: Value, month: int = JANUARY) -> float:
    """One month of a number that may be the same in all."""
    return float(np.broadcast_to(value, (12,))[month])


def _surfaces(year: YearEnergy, month: int) -> Iterator[tuple[str, float]]:
    places = temperatures(year, month)
    for surface in year.parts.house.surfaces:
        if surface.inside == INSIDE:
            drop = places[INSIDE] - places[surface.outside]
            yield surface.label, float(surface_conductance(surface)) * drop


def _others(year: YearEnergy, month: int) -> Iterator[tuple[str, float]]:
    places = temperatures(year, month)
    room = places[INSIDE]
    for window in year.parts.house.windows:
        if window.inside == INSIDE:
            yield WINDOWS, float(window.u_value * window.area) * (room - places[OUTDOORS])
    soil = at_month(year.parts.shell.ground_temperature, month)
    for part in year.parts.house.underground:
        if part.inside == INSIDE:
            yield GROUND, float(underground_conductance(part)) * (room - soil)
    yield LEAKS, _air(year, places, month)


def _air(year: YearEnergy, places: Mapping[str, float], month: int) -> float:
    """Entering air by where it comes from: what the zones and the line hold beyond conduction."""
    parts, state = year.parts, year.heating.state
    heat = 0.0
    direct = at_month(state.line.outside, month)
    for key, node in state.nodes.items():
        to_zone = at_month(node.to_zone, month)
        conducted = float(parts.shell.conductance.get((INSIDE, key), 0.0))
        heat += (to_zone - conducted) * (places[INSIDE] - places[key])
        direct -= to_zone * at_month(node.outdoor / node.total, month)
    direct -= float(parts.shell.conductance.get((INSIDE, OUTDOORS), 0.0))
    return heat + direct * (places[INSIDE] - places[OUTDOORS])
