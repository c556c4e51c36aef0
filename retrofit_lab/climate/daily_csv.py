"""Reads the sites that ship with days of their own; the typical years of the country stand in `stations`."""

import numpy as np

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.climate.stations import nearest_hours
from retrofit_lab.climate.weather import PLANES, ClimateError, Weather, month_means
from retrofit_lab.texts.refusals import told


def site_rows() -> dict[str, dict[str, str]]:
    """Shipped sites by key."""
    return {row["key"]: row for row in read_rows("climates", "sites.csv")}


def shipped_weather(key: str) -> Weather:
    """Daily weather of a shipped site.

    Raises
    ------
    ClimateError
        When there is no such site.
    """
    sites = site_rows()
    if key not in sites:
        raise ClimateError(told("weather.no_site", key=key, sites=sorted(sites)))
    site = sites[key]
    rows = read_rows("climates", f"{key}.csv")
    columns = {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}
    month = columns["month"] - 1.0
    sun = {plane: columns[f"sun_{plane}_Btu_per_ft2_day"] for plane in PLANES}
    latitude, longitude = float(site["latitude_degree"]), float(site["longitude_degree"])
    hours, note = nearest_hours(
        latitude,
        longitude,
        month_means(columns["mean_temperature_F"], month),
        month_means(columns["humidity_ratio_lb_per_lb"], month),
        month_means(sun["horizontal"], month),
    )
    return Weather(
        key=key,
        name=site["name"],
        latitude=latitude,
        longitude=longitude,
        elevation=float(site["elevation_ft"]),
        source=site["source"],
        month=month,
        temperature=columns["mean_temperature_F"],
        wind=columns["wind_mph"],
        sun=sun,
        humidity_ratio=columns["humidity_ratio_lb_per_lb"],
        hours=hours,
        notes=(note,),
    )
