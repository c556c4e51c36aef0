"""Packs the arrays of the national typical years so that one station is read without the others; run once.

    python data/climates/pack_stations.py US_TYPICAL_YEARS.npz US_ZIP_POINTS.npz AIRPORTS.csv

The first file holds one array a quantity over all stations, the second one array a column of the ZIP
points. Each becomes one array of records, uncompressed: a station is 3 kB at a known place of the file.
The third file is the table of the airportsdata package (version 20260905, MIT license): airfields lie
where people live, so the elevation of a ZIP point is taken from the nearest of them.
"""

import csv
import sys
from pathlib import Path

import numpy as np
from scipy.spatial import cKDTree

FIELDS = {
    "station": "station",
    "temperature_tenth_F": "temperature_tenth_F",
    "wind_hundredth_mph": "wind_hundredth_mph",
    "humidity_ratio_millionth": "humidity_ratio_millionth",
    "sun_Btu_per_ft2_day": "sun_Btu_per_ft2_day",
    "hour_groups_tenth_F": "hour_quantile_tenth_F",
    "clock_temperature_tenth_F": "hour_temperature_tenth_F",
    "clock_humidity_ratio_hundred_thousandth": "hour_humidity_ratio_hundred_thousandth",
    "clock_sun_Btu_per_ft2_h": "hour_sun_Btu_per_ft2_h",
}
EARTH_RADIUS_MILES = 3958.8
NEIGHBORS = 5


def main() -> None:
    """Write one file of stations and one of ZIP points."""
    out = Path(__file__).parent
    with np.load(sys.argv[1]) as years:
        columns = {name: years[key] for name, key in FIELDS.items()}
    np.save(out / "us_typical_years.npy", records(columns))
    with np.load(sys.argv[2]) as points:
        columns = {name: points[name] for name in points}
    degrees = columns["latitude_hundredth"] / 100.0, columns["longitude_hundredth"] / 100.0
    columns["elevation_ft"] = elevations(*degrees, Path(sys.argv[3]), out / "us_stations.csv")
    np.save(out / "us_zip_points.npy", records(columns))


def elevations(
    latitude: np.ndarray, longitude: np.ndarray, airports: Path, stations: Path
) -> np.ndarray:
    """Elevation of points from the nearest airfields and stations, by the inverse square of distance. [ft]"""
    known = [
        (float(row["lat"]), float(row["lon"]), float(row["elevation"]))
        for row in rows_of(airports)
        if row["country"] == "US" and row["elevation"]
    ]
    known += [
        tuple(float(row[name]) for name in ("latitude_degree", "longitude_degree", "elevation_ft"))
        for row in rows_of(stations)
    ]
    table = np.array(known)
    distance, near = cKDTree(on_ball(table[:, 0], table[:, 1])).query(
        on_ball(latitude, longitude), k=NEIGHBORS
    )
    weight = 1.0 / (distance + 1.0) ** 2
    height = (table[near, 2] * weight).sum(axis=1) / weight.sum(axis=1)
    return np.round(height).astype(np.int16)


def rows_of(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV file; lines that start with # are notes."""
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def on_ball(latitude: np.ndarray, longitude: np.ndarray) -> np.ndarray:
    """Points on a round earth. [mile]"""
    north, east = np.radians(latitude), np.radians(longitude)
    flat = np.cos(north)
    return EARTH_RADIUS_MILES * np.stack(
        [flat * np.cos(east), flat * np.sin(east), np.sin(north)], axis=-1
    )


def records(columns: dict[str, np.ndarray]) -> np.ndarray:
    """One record a row of the columns."""
    kind = [(name, column.dtype, column.shape[1:]) for name, column in columns.items()]
    packed = np.empty(len(next(iter(columns.values()))), dtype=kind)
    for name, column in columns.items():
        packed[name] = column
    return packed


if __name__ == "__main__":
    main()
