"""Reads hourly typical-year files in their open formats: TMY2, TMY3, EPW and the NSRDB column file."""

import csv
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.climate.weather import ClimateError, Hours
from retrofit_lab.texts.refusals import told, word

MOST_BYTES = 20_000_000
LEAST_HOURS = 330 * 24
Row = Sequence[str]
LIMITS = {
    "month": (1, 12, ""),
    "day": (1, 31, ""),
    "hour": (1, 24, ""),
    "temperature": (-90, 70, " °C"),
    "dew point": (-100, 70, " °C"),
    "wind": (0, 100, " m/s"),
    "global sun": (0, 1600, " W/m²"),
    "direct sun": (0, 1600, " W/m²"),
    "diffuse sun": (0, 1600, " W/m²"),
}
"""What a field may hold; the formats mark missing values by 99.9, 999 or 9999, which lies outside."""


@dataclass(frozen=True, slots=True)
class _Cells:
    """Rows of a file as text, so that an error can name the file, the line and the field."""

    file: str
    first_line: int
    rows: Sequence[Row]

    def column(
        self, field: str, place: int | slice, scale: float = 1.0, plus: float = 0.0
    ) -> FloatArray:
        """Numbers of a field, checked against its limits."""
        try:
            values = np.array([float(self._text(row, place)) for row in self.rows]) / scale + plus
        except (ValueError, IndexError):
            raise self._problem(field, place) from None
        low, high, unit = LIMITS[field]
        wrong = ~((values >= low) & (values <= high))
        if wrong.any():
            row = int(np.argmax(wrong))
            raise ClimateError(
                told(
                    "weather.beyond",
                    name=self.file,
                    line=self.first_line + row,
                    field=word(field),
                    value=f"{values[row]:g}{unit}",
                    low=low,
                    high=high,
                )
            )
        return values

    @staticmethod
    def _text(row: Row, place: int | slice) -> str:
        return str(row[place])

    def _problem(self, field: str, place: int | slice) -> ClimateError:
        for number, row in enumerate(self.rows, start=self.first_line):
            try:
                float(self._text(row, place))
            except IndexError:
                return ClimateError(
                    told("weather.line_ends", name=self.file, line=number, field=word(field))
                )
            except ValueError:
                text = self._text(row, place).strip()
                return ClimateError(
                    told(
                        "weather.no_number",
                        name=self.file,
                        line=number,
                        field=word(field),
                        text=text,
                    )
                )
        return ClimateError(told("weather.field", name=self.file, field=word(field)))


def is_typical_year(path: Path) -> bool:
    """Whether a file holds hours of a typical year, by its ending and its first lines.

    Raises
    ------
    ClimateError
        When it cannot be opened.
    """
    if path.suffix.lower() in {".tm2", ".epw"}:
        return True
    try:
        with path.open(encoding="latin-1") as file:
            first, second = file.readline(500), file.readline(2000)
    except OSError as error:
        raise ClimateError(told("weather.unopened", name=path.name, why=str(error))) from error
    return _is_epw(first) or _is_nsrdb(first) or "Dry-bulb" in second


def _is_epw(first: str) -> bool:
    return first.upper().startswith("LOCATION,")


def _is_nsrdb(first: str) -> bool:
    return first.startswith(("Source,", "NSRDB"))


def read_typical_year(path: str | Path) -> Hours:
    """Hours of a typical-year file; the format is told by the ending and the first line.

    Raises
    ------
    ClimateError
        Naming the file, the line, the field, the value and the rule.
    """
    path = Path(path)
    lines = _lines(path)
    try:
        hours = _reader(path, lines[0])(path, lines)
    except ClimateError:
        raise
    except KeyError as error:
        missing = str(error.args[0])
        raise ClimateError(told("weather.no_field", name=path.name, field=missing)) from error
    except (ValueError, IndexError, StopIteration) as error:
        raise ClimateError(told("weather.no_typical_year", name=path.name)) from error
    if len(hours.hour) < LEAST_HOURS:
        raise ClimateError(
            told("weather.few_hours", name=path.name, count=len(hours.hour), least=LEAST_HOURS)
        )
    return hours


def _lines(path: Path) -> list[str]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ClimateError(told("weather.large_year", name=path.name, most=f"{MOST_BYTES:,}"))
        lines = path.read_text(encoding="latin-1").splitlines()
    except OSError as error:
        raise ClimateError(told("weather.unopened", name=path.name, why=str(error))) from error
    if len(lines) < 2:
        raise ClimateError(told("weather.empty", name=path.name))
    return lines


def _reader(path: Path, first: str) -> Callable[[Path, list[str]], Hours]:
    if _is_epw(first):
        return _epw
    if path.suffix.lower() == ".tm2":
        return _tmy2
    return _nsrdb if _is_nsrdb(first) else _tmy3


def _tmy3(path: Path, lines: list[str]) -> Hours:
    head = next(csv.reader([lines[0]]))
    names = next(csv.reader([lines[1]]))
    rows = list(csv.reader(lines[2:]))
    place = {name.split(" (")[0]: index for index, name in enumerate(names)}
    cells = _Cells(path.name, 3, rows)
    dates = _Cells(path.name, 3, [row[0].split("/") for row in rows])
    clock = _Cells(path.name, 3, [row[1].split(":") for row in rows])
    return Hours(
        name=head[1].strip().title() or path.stem,
        zone=float(head[3]),
        latitude=float(head[4]),
        longitude=float(head[5]),
        elevation=float(head[6]),
        month=dates.column("month", 0),
        day=dates.column("day", 1),
        hour=clock.column("hour", 0),
        temperature=cells.column("temperature", place["Dry-bulb"]),
        dew_point=cells.column("dew point", place["Dew-point"]),
        wind=cells.column("wind", place["Wspd"]),
        horizontal=cells.column("global sun", place["GHI"]),
        beam=cells.column("direct sun", place["DNI"]),
        diffuse=cells.column("diffuse sun", place["DHI"]),
    )


def _tmy2(path: Path, lines: list[str]) -> Hours:
    zone, north, *latitude, east, longitude, minutes, elevation = lines[0].split()[-8:]
    cells = _Cells(path.name, 2, lines[1:])
    return Hours(
        name=lines[0][7:29].strip().title() or path.stem,
        zone=float(zone),
        latitude=_degrees(*latitude) * (1.0 if north == "N" else -1.0),
        longitude=_degrees(longitude, minutes) * (1.0 if east == "E" else -1.0),
        elevation=float(elevation),
        month=cells.column("month", slice(3, 5)),
        day=cells.column("day", slice(5, 7)),
        hour=cells.column("hour", slice(7, 9)),
        horizontal=cells.column("global sun", slice(17, 21)),
        beam=cells.column("direct sun", slice(23, 27)),
        diffuse=cells.column("diffuse sun", slice(29, 33)),
        temperature=cells.column("temperature", slice(67, 71), 10.0),
        dew_point=cells.column("dew point", slice(73, 77), 10.0),
        wind=cells.column("wind", slice(95, 98), 10.0),
    )


def _degrees(whole: str, minutes: str) -> float:
    return float(whole) + float(minutes) / 60.0


def _epw(path: Path, lines: list[str]) -> Hours:
    head = lines[0].split(",")
    start = next(i for i, line in enumerate(lines) if line.upper().startswith("DATA PERIODS")) + 1
    cells = _Cells(
        path.name, start + 1, [line.split(",") for line in lines[start:] if line.strip()]
    )
    return Hours(
        name=head[1].strip().title() or path.stem,
        latitude=float(head[6]),
        longitude=float(head[7]),
        zone=float(head[8]),
        elevation=float(head[9]),
        month=cells.column("month", 1),
        day=cells.column("day", 2),
        hour=cells.column("hour", 3),
        temperature=cells.column("temperature", 6),
        dew_point=cells.column("dew point", 7),
        horizontal=cells.column("global sun", 13),
        beam=cells.column("direct sun", 14),
        diffuse=cells.column("diffuse sun", 15),
        wind=cells.column("wind", 21),
    )


def _nsrdb(path: Path, lines: list[str]) -> Hours:
    head = dict(zip(next(csv.reader([lines[0]])), next(csv.reader([lines[1]])), strict=False))
    names = {name: index for index, name in enumerate(lines[2].split(","))}
    cells = _Cells(path.name, 4, list(csv.reader(lines[3:])))
    return Hours(
        name=path.stem,
        latitude=float(head["Latitude"]),
        longitude=float(head["Longitude"]),
        zone=float(head["Local Time Zone"]),
        elevation=float(head["Elevation"]),
        month=cells.column("month", names["Month"]),
        day=cells.column("day", names["Day"]),
        hour=cells.column("hour", names["Hour"], plus=1.0),
        temperature=cells.column("temperature", names["Temperature"]),
        dew_point=cells.column("dew point", names["Dew Point"]),
        horizontal=cells.column("global sun", names["GHI"]),
        beam=cells.column("direct sun", names["DNI"]),
        diffuse=cells.column("diffuse sun", names["DHI"]),
        wind=cells.column("wind", names["Wind Speed"]),
    )
