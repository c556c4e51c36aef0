"""Plans of invented houses: a place, what is usual there, and a size, drawn by chance."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from retrofit_lab.classroom.faults import scenario_tables
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.first_answers import FirstAnswers, default_answers, first_answers

FIRST_YEAR, LAST_YEAR = 1941, 2006
KNEE_WALLS = 0.25
"""Share of the houses with rooms under the roof."""


def invented_place(chance: np.random.Generator) -> Mapping[str, Any]:
    """One of the places of the data file."""
    places: list[dict[str, Any]] = scenario_tables()["place"]
    return places[int(chance.integers(len(places)))]


def asked_place(name: str) -> Mapping[str, Any]:
    """An address, with what is usual in the place of the data file whose winter and summer are most like its own.

    Raises
    ------
    ClimateError
        When there is no weather for it.
    """
    here = find_climate(name)

    def unlike(place: Mapping[str, Any]) -> float:
        apart = find_climate(place["climate"]).temperature - here.temperature
        return float(abs(apart[0]) + abs(apart[6]))

    like: Mapping[str, Any] = min(scenario_tables()["place"], key=unlike)
    return {**like, "climate": name}


def invented_answers(place: Mapping[str, Any], chance: np.random.Generator) -> FirstAnswers:
    """A plan that fits a place."""
    tables = scenario_tables()
    heating = _one(list(place["heating"]), chance)
    knee_walls = chance.random() < KNEE_WALLS
    bedrooms = int(chance.integers(2, 5))
    width = 2 * int(chance.integers(12, 17))
    return first_answers(
        {
            **default_answers(),
            "name": f"{_one(tables['names'], chance)} {_one(tables['kinds'], chance)}",
            "climate": place["climate"],
            "year_built": str(int(chance.integers(FIRST_YEAR, LAST_YEAR))),
            "length": f"{width + 2 * int(chance.integers(2, 10))} ft",
            "width": f"{width} ft",
            "stories": "1" if knee_walls else _one(["1", "1", "2"], chance),
            "ceiling": "8 ft",
            "foundation": _one(place["foundations"], chance),
            "roof": "rooms with knee walls" if knee_walls else "attic",
            "heating": heating,
            "cooling": _one(place["cooling"], chance),
            "hot_water": place["heating"][heating],
            "bedrooms": str(bedrooms),
            "occupants": str(int(chance.integers(1, bedrooms + 2))),
        }
    )


def _one(options: Sequence[str], chance: np.random.Generator) -> str:
    return options[int(chance.integers(len(options)))]
