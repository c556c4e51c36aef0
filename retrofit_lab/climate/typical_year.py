"""Reads hourly typical-year files in their open formats: TMY2, TMY3, EPW and the NSRDB column file."""

import csv
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from retrofit_lab.climate.weather import ClimateError, Hours
from retrofit_lab.values import FloatArray

MOST_BYTES = 20_000_000
LEAST_HOURS = 330 * 24
Row = Sequence[str]


def read_typical_year(path: str | Path) -> Hours:
    """Hours of a typical-year file; the format is told by the ending and the first line.

    Raises
    ------
    ClimateError
        Naming the file, the line, the value and the rule.
    """
    path = Path(path)
    lines = _lines(path)
    try:
        reader = _reader(path, lines[0])
        hours = reader(path.stem, lines)
    except ClimateError:
        raise
    except (ValueError, IndexError, KeyError) as error:
        raise ClimateError(
            f"{path.name}: cannot be read as a typical-year file ({error}). "
            f"TMY2, TMY3, EPW and NSRDB files are understood."
        ) from error
    if len(hours.hour) < LEAST_HOURS:
        raise ClimateError(
            f"{path.name}: {len(hours.hour)} hours are in the file; at least {LEAST_HOURS} are needed. "
            f"Give a whole year."
        )
    return hours


def _lines(path: Path) -> list[str]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ClimateError(
                f"{path.name}: larger than {MOST_BYTES:,} bytes. Give one year only."
            )
        lines = path.read_text(encoding="latin-1").splitlines()
    except OSError as error:
        raise ClimateError(f"{path.name}: cannot be opened ({error}). Check the name.") from error
    if len(lines) < 2:
        raise ClimateError(f"{path.name}: the file is empty. Choose another.")
    return lines


def _reader(path: Path, first: str) -> Callable[[str, list[str]], Hours]:
    if first.upper().startswith("LOCATION,"):
        return _epw
    if path.suffix.lower() == ".tm2":
        return _tmy2
    if first.startswith(("Source,", "NSRDB")):
        return _nsrdb
    return _tmy3


def _column(rows: Sequence[Row], index: int) -> FloatArray:
    return np.array([float(row[index]) for row in rows])


def _tmy3(stem: str, lines: list[str]) -> Hours:
    head = next(csv.reader([lines[0]]))
    names = next(csv.reader([lines[1]]))
    rows = list(csv.reader(lines[2:]))
    place = {name.split(" (")[0]: index for index, name in enumerate(names)}
    dates = [row[0].split("/") for row in rows]
    return Hours(
        name=head[1].strip().title() or stem,
        zone=float(head[3]),
        latitude=float(head[4]),
        longitude=float(head[5]),
        elevation=float(head[6]),
        month=np.array([float(date[0]) for date in dates]),
        day=np.array([float(date[1]) for date in dates]),
        hour=np.array([float(row[1].split(":")[0]) for row in rows]),
        temperature=_column(rows, place["Dry-bulb"]),
        dew_point=_column(rows, place["Dew-point"]),
        wind=_column(rows, place["Wspd"]),
        horizontal=_column(rows, place["GHI"]),
        beam=_column(rows, place["DNI"]),
        diffuse=_column(rows, place["DHI"]),
    )


def _tmy2(stem: str, lines: list[str]) -> Hours:
    zone, north, *latitude, east, longitude, minutes, elevation = lines[0].split()[-8:]

    def slice_of(start: int, end: int, scale: float = 1.0) -> FloatArray:
        return np.array([float(line[start:end]) / scale for line in lines[1:]])

    return Hours(
        name=lines[0][7:29].strip().title() or stem,
        zone=float(zone),
        latitude=_degrees(*latitude) * (1.0 if north == "N" else -1.0),
        longitude=_degrees(longitude, minutes) * (1.0 if east == "E" else -1.0),
        elevation=float(elevation),
        month=slice_of(3, 5),
        day=slice_of(5, 7),
        hour=slice_of(7, 9),
        horizontal=slice_of(17, 21),
        beam=slice_of(23, 27),
        diffuse=slice_of(29, 33),
        temperature=slice_of(67, 71, 10.0),
        dew_point=slice_of(73, 77, 10.0),
        wind=slice_of(95, 98, 10.0),
    )


def _degrees(whole: str, minutes: str) -> float:
    return float(whole) + float(minutes) / 60.0


def _epw(stem: str, lines: list[str]) -> Hours:
    head = lines[0].split(",")
    start = next(i for i, line in enumerate(lines) if line.upper().startswith("DATA PERIODS")) + 1
    rows = [line.split(",") for line in lines[start:] if line.strip()]
    return Hours(
        name=head[1].strip().title() or stem,
        latitude=float(head[6]),
        longitude=float(head[7]),
        zone=float(head[8]),
        elevation=float(head[9]),
        month=_column(rows, 1),
        day=_column(rows, 2),
        hour=_column(rows, 3),
        temperature=_column(rows, 6),
        dew_point=_column(rows, 7),
        horizontal=_column(rows, 13),
        beam=_column(rows, 14),
        diffuse=_column(rows, 15),
        wind=_column(rows, 21),
    )


def _nsrdb(stem: str, lines: list[str]) -> Hours:
    head = dict(zip(next(csv.reader([lines[0]])), next(csv.reader([lines[1]])), strict=False))
    names = {name: index for index, name in enumerate(lines[2].split(","))}
    rows = list(csv.reader(lines[3:]))
    return Hours(
        name=stem,
        latitude=float(head["Latitude"]),
        longitude=float(head["Longitude"]),
        zone=float(head["Local Time Zone"]),
        elevation=float(head["Elevation"]),
        month=_column(rows, names["Month"]),
        day=_column(rows, names["Day"]),
        hour=_column(rows, names["Hour"]) + 1.0,
        temperature=_column(rows, names["Temperature"]),
        dew_point=_column(rows, names["Dew Point"]),
        horizontal=_column(rows, names["GHI"]),
        beam=_column(rows, names["DNI"]),
        diffuse=_column(rows, names["DHI"]),
        wind=_column(rows, names["Wind Speed"]),
    )
