"""Makes the daily site files from the typical-year files that the pvlib package ships; run once, kept for the record.

    python data/climates/extract.py FOLDER_OF_PVLIB_DATA NSRDB_TYPICAL_YEAR.csv

The second file is ``tests/data/test_psm4_tmy-2023.csv`` of pvlib's source distribution: bare columns of
the NSRDB typical year at 40.53 N, 108.54 W, whose heading stands in ``test_read_psm4.csv`` beside it.
"""

import csv
import sys
from pathlib import Path

import numpy as np

from retrofit_lab.climate.typical_year import read_typical_year
from retrofit_lab.climate.weather import PLANES, Hours, Weather, weather_from_hours

SITES = {
    "greensboro_nc": ("723170TYA.CSV", "Greensboro, North Carolina", "TMY3, station 723170"),
    "sand_point_ak": ("703165TY.csv", "Sand Point, Alaska", "TMY3, station 703165"),
    "miami_fl": ("12839.tm2", "Miami, Florida", "TMY2, station 12839"),
}
HIGH_DESERT = (
    "high_desert_co",
    "High desert, north-west Colorado",
    "NSRDB typical year, point 401182",
)


def main() -> None:
    """Write one CSV a site and the list of sites."""
    folder, nsrdb = Path(sys.argv[1]), Path(sys.argv[2])
    out = Path(__file__).parent
    found = [
        (weather_from_hours(read_typical_year(folder / file), key=key, source=source), name)
        for key, (file, name, source) in SITES.items()
    ]
    key, name, source = HIGH_DESERT
    found.append((weather_from_hours(bare_nsrdb(nsrdb, name), key=key, source=source), name))
    for weather, _ in found:
        write_site(weather, out / f"{weather.key}.csv")
    write_sites(found, out / "sites.csv")


def bare_nsrdb(path: Path, name: str) -> Hours:
    """Hours of an NSRDB table without heading, at the point that its sister file names."""
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    column = {key: np.array([float(row[key]) for row in rows]) for key in rows[0] if key}
    return Hours(
        name=name, latitude=40.53, longitude=-108.54, zone=-7.0, elevation=2168.0,
        month=column["Month"], day=column["Day"], hour=column["Hour"] + 1.0,
        temperature=column["Temperature"], dew_point=column["Dew Point"],
        wind=column["Wind Speed"], horizontal=column["GHI"], beam=column["DNI"],
        diffuse=column["DHI"],
    )  # fmt: skip


def write_site(weather: Weather, path: Path) -> None:
    """Write daily values, rounded to what the instruments tell."""
    with path.open("w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        suns = [f"sun_{plane}_Btu_per_ft2_day" for plane in PLANES]
        writer.writerow(
            ["month", "mean_temperature_F", "wind_mph", *suns, "humidity_ratio_lb_per_lb"]
        )
        for day in range(weather.days):
            sun = [f"{weather.sun[plane][day]:.0f}" for plane in PLANES]
            writer.writerow(
                [
                    int(weather.month[day]) + 1,
                    f"{weather.temperature[day]:.3f}",
                    f"{weather.wind[day]:.2f}",
                    *sun,
                    f"{weather.humidity_ratio[day]:.5f}",
                ]
            )


def write_sites(found: list[tuple[Weather, str]], path: Path) -> None:
    """Write the list of sites with place, source and license."""
    with path.open("w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        degrees = ["latitude_degree", "longitude_degree"]
        writer.writerow(["key", "name", *degrees, "elevation_ft", "source", "license"])
        for weather, name in found:
            license = "US government work, public domain"
            degrees = [f"{weather.latitude:.2f}", f"{weather.longitude:.2f}"]
            place = [*degrees, f"{weather.elevation:.0f}"]
            writer.writerow([weather.key, name, *place, weather.source, license])


if __name__ == "__main__":
    main()
