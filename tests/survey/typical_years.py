"""The typical year nearest to a home in heating and cooling degree days, of all shipped stations."""

from functools import cache

import numpy as np

from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.stations import Station, station_weather, stations


@cache
def _degree_days() -> np.ndarray:
    return np.array([(s.heating_degree_days, s.cooling_degree_days) for s in stations()])


def nearest(heating: float, cooling: float) -> Station:
    """Station nearest in degree days to 65 F. [F day]"""
    off = _degree_days() - (heating, cooling)
    return stations()[int(np.hypot(off[:, 0], off[:, 1]).argmin())]


@cache
def typical_year(station: Station) -> MonthlyClimate:
    """Monthly numbers of a station's typical year."""
    return monthly_climate(station_weather(station))
