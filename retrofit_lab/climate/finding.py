"""Finds the weather that a house file names: a shipped site, a typical-year file or daily temperatures."""

from functools import lru_cache
from pathlib import Path

from retrofit_lab.climate.daily_csv import read_daily_temperatures, shipped_weather, site_rows
from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.typical_year import read_typical_year
from retrofit_lab.climate.weather import ClimateError, Weather, weather_from_hours


def find_weather(name: str, folder: str | Path = ".") -> Weather:
    """Weather by the key of a shipped site or the path of a file.

    Parameters
    ----------
    name : str
        Site key; or path, from ``folder``, of a TMY2, TMY3, EPW or NSRDB file; or
        ``"FILE.csv like SITE"`` for daily temperatures with wind and sun of a shipped site.
    folder : str or Path
        Where relative paths start.

    Raises
    ------
    ClimateError
        When nothing of that name can be read.
    """
    if name in site_rows():
        return shipped_weather(name)
    file, _, like = name.partition(" like ")
    path = Path(folder) / file.strip()
    if like:
        return read_daily_temperatures(path, like.strip())
    if not path.is_file():
        return shipped_weather(name)
    return weather_from_hours(
        read_typical_year(path), key=path.stem, source=f"typical year from {path.name}"
    )


@lru_cache(maxsize=8)
def find_climate(name: str, folder: str = ".") -> MonthlyClimate:
    """Monthly numbers of the weather of a name; see `find_weather`."""
    return monthly_climate(find_weather(name, folder))


__all__ = ["ClimateError", "find_climate", "find_weather"]
