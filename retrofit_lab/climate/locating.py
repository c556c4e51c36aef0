"""Finds the weather that a house file names: a shipped site, a place in the country, or a file of one's own."""

from functools import lru_cache
from pathlib import Path

from retrofit_lab.climate.daily_csv import shipped_weather, site_rows
from retrofit_lab.climate.monthly import MonthlyClimate, monthly_climate
from retrofit_lab.climate.own_table import read_own_table
from retrofit_lab.climate.own_weather import own_weather
from retrofit_lab.climate.places import place_weather
from retrofit_lab.climate.typical_year import is_typical_year, read_typical_year
from retrofit_lab.climate.weather import ClimateError, Weather, weather_from_hours
from retrofit_lab.texts.refusals import told

FILE_ENDINGS = (".csv", ".tm2", ".tm3", ".tmy", ".epw", ".txt")


def find_weather(name: str, folder: str | Path = ".") -> Weather:
    """Weather by place, by the key of a shipped site, or by file.

    Parameters
    ----------
    name : str
        ZIP code, ``"Town, ST"``, station number or site key; or path, from ``folder``, of a TMY2, TMY3,
        EPW or NSRDB file; or ``"FILE.csv like PLACE"`` for daily temperatures or twelve monthly normals
        with wind, sun, moisture and the pattern of hours of a place that is like it.
    folder : str or Path
        Where relative paths start.

    Raises
    ------
    ClimateError
        When nothing of that name can be read.
    """
    name = name.strip()
    if name in site_rows():
        return shipped_weather(name)
    file, _, like = (part.strip() for part in name.partition(" like "))
    path = Path(folder) / file
    if not _is_file(path):
        return _of_place(name, file)
    if not like and is_typical_year(path):
        return weather_from_hours(
            read_typical_year(path), key=path.stem, source=f"typical year from {path.name}"
        )
    return _own(path, like)


def names_a_place(name: str, folder: str | Path = ".") -> bool:
    """Whether a name is that of a place in the country, and not of a shipped site or a file."""
    file = name.partition(" like ")[0].strip()
    return name.strip() not in site_rows() and not _is_file(Path(folder) / file)


def _own(path: Path, like: str) -> Weather:
    table = read_own_table(path)
    place = like or table.place
    if not place:
        raise ClimateError(told("place.like", file=path.name))
    if place in site_rows():
        return own_weather(table, shipped_weather(place))
    try:
        return own_weather(table, place_weather(place))
    except ClimateError as error:
        named = str(error).startswith(table.name)
        raise (
            error if named else ClimateError(told("weather.place", name=path.name, why=error))
        ) from error


def _of_place(name: str, file: str) -> Weather:
    if file.lower().endswith(FILE_ENDINGS):
        raise ClimateError(told("place.no_file", file=file))
    return place_weather(name)


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def find_climate(name: str, folder: str = ".") -> MonthlyClimate:
    """Monthly numbers of the weather of a name; see `find_weather`. A file is read again when it changed."""
    path = Path(folder) / name.partition(" like ")[0].strip()
    return _climate(name, folder, path.stat().st_mtime_ns if _is_file(path) else 0)


@lru_cache(maxsize=8)
def _climate(name: str, folder: str, _changed: int) -> MonthlyClimate:
    return monthly_climate(find_weather(name, folder))


__all__ = ["ClimateError", "find_climate", "find_weather"]
