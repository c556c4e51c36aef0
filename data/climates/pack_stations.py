"""Packs the arrays of the national typical years so that one station is read without the others; run once.

    python data/climates/pack_stations.py US_TYPICAL_YEARS.npz US_ZIP_POINTS.npz

The first file holds one array a quantity over all stations, the second one array a column of the ZIP
points. Each becomes one array of records, uncompressed: a station is 3 kB at a known place of the file.
"""

import sys
from pathlib import Path

import numpy as np

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


def main() -> None:
    """Write one file of stations and one of ZIP points."""
    out = Path(__file__).parent
    with np.load(sys.argv[1]) as years:
        columns = {name: years[key] for name, key in FIELDS.items()}
    np.save(out / "us_typical_years.npy", records(columns))
    with np.load(sys.argv[2]) as points:
        np.save(out / "us_zip_points.npy", records({name: points[name] for name in points}))


def records(columns: dict[str, np.ndarray]) -> np.ndarray:
    """One record a row of the columns."""
    kind = [(name, column.dtype, column.shape[1:]) for name, column in columns.items()]
    packed = np.empty(len(next(iter(columns.values()))), dtype=kind)
    for name, column in columns.items():
        packed[name] = column
    return packed


if __name__ == "__main__":
    main()
