"""How cold and how hot the place of a house is: the degree days that its usual numbers hang on."""

from dataclasses import dataclass
from functools import lru_cache

from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.monthly import MonthlyClimate

BASE = 65.0
"""Base of the degree days. [F]"""


@dataclass(frozen=True, slots=True)
class Place:
    """Degree days of a year to 65 F. [F day]"""

    heating_degree_days: float
    cooling_degree_days: float


@lru_cache(maxsize=64)
def place_of(climate: str, folder: str = ".") -> Place:
    """Place whose weather is known by a name; see `retrofit_lab.climate.locating.find_weather`.

    Raises
    ------
    ClimateError
        When nothing of that name can be read.
    """
    return place_in(find_climate(climate, folder))


def place_in(climate: MonthlyClimate) -> Place:
    """Place of a year of weather."""
    table = climate.degree_days
    return Place(float(table.heating(BASE).sum()), float(table.cooling(BASE).sum()))
