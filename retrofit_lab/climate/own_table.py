"""Reads the columns of a table of one's own temperatures, a CSV file; what they mean is in `own_weather`."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.climate.weather import ClimateError
from retrofit_lab.texts.refusals import told

MEAN = ("tavg", "tmean", "mean", "average", "avg", "temperature", "temp")
HIGH = ("tmax", "high", "max", "maximum")
LOW = ("tmin", "low", "min", "minimum")
DATE = ("date", "day", "time")
MONTH = ("month",)
MOST_BYTES = 5_000_000
_MISSING = {"", "m", "na", "n/a", "nan", "null", "none", "-", "-99", "-999", "-9999", "9999"}


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTable:
    """Cells of a table as text with the line of each row, and the place that its head names, if any."""

    name: str
    place: str
    header: tuple[str, ...]
    rows: tuple[dict[str, str], ...]
    lines: tuple[int, ...]

    @property
    def by_month(self) -> bool:
        """Whether the rows are months, not days."""
        return bool(self.column(MONTH, needed=False) and not self.column(DATE, needed=False))

    def column(self, words: Sequence[str], *, needed: bool = True) -> str:
        """Heading that begins with one of some words, or holds one as ``MLY-TAVG-NORMAL`` does.

        Raises
        ------
        ClimateError
            When it is needed and missing.
        """
        split = {name: re.findall(r"[a-z]+", name.lower()) for name in self.header}
        for count in (1, None):
            for name, parts in split.items():
                if set(parts[:count]) & set(words):
                    return name
        if needed:
            raise ClimateError(
                told("weather.column", name=self.name, words=list(words), found=list(self.header))
            )
        return ""

    def temperatures(self) -> FloatArray:
        """Means of the rows, or of their highs and lows; not a number where a cell is empty. [F]

        Raises
        ------
        ClimateError
            Naming the file, the row, the column, the value and the rule.
        """
        mean = self.column(MEAN, needed=False)
        high, low = self.column(HIGH, needed=False), self.column(LOW, needed=False)
        if mean and mean not in (high, low):
            return self._numbers(mean)
        highs, lows = self._numbers(self.column(HIGH)), self._numbers(self.column(LOW))
        wrong = lows > highs
        if wrong.any():
            row = int(np.argmax(wrong))
            raise ClimateError(
                told(
                    "weather.low_above",
                    name=self.name,
                    row=self.lines[row],
                    low=f"{lows[row]:g}",
                    high=f"{highs[row]:g}",
                )
            )
        return (highs + lows) / 2.0

    def _numbers(self, name: str) -> FloatArray:
        values = np.array([self._number(row, name) for row in range(len(self.rows))])
        celsius = re.search(r"(?:^|[^a-z])(?:deg)?c(?:elsius)?(?:$|[^a-z])", name.lower())
        return values * 1.8 + 32.0 if celsius else values

    def _number(self, row: int, name: str) -> float:
        text = (self.rows[row].get(name) or "").strip()
        if text.lower() in _MISSING:
            return np.nan
        try:
            return float(text)
        except ValueError:
            raise ClimateError(
                told("weather.cell", name=self.name, row=self.lines[row], column=name, text=text)
            ) from None


def read_own_table(path: Path) -> OwnTable:
    """Table of a CSV file; a first line ``place,55401`` names where it belongs, lines with # are notes.

    Raises
    ------
    ClimateError
        When the file cannot be read.
    """
    cells = _cells(path)
    place = ""
    if cells and cells[0][1] and cells[0][1][0].strip().lower() == "place":
        place = ", ".join(cell.strip() for cell in cells.pop(0)[1][1:] if cell.strip())
    if len(cells) < 2:
        raise ClimateError(told("weather.no_rows", name=path.name))
    header = tuple(cell.strip() for cell in cells[0][1])
    return OwnTable(
        name=path.name,
        place=place,
        header=header,
        rows=tuple(dict(zip(header, row, strict=False)) for _, row in cells[1:]),
        lines=tuple(line for line, _ in cells[1:]),
    )


def _cells(path: Path) -> list[tuple[int, list[str]]]:
    """Rows that hold something, with the line that each stands on."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ClimateError(told("weather.large", name=path.name, most=f"{MOST_BYTES:,}"))
        with path.open(newline="", encoding="utf-8-sig") as file:
            reader = csv.reader(file)
            return [
                (reader.line_num, row)
                for row in reader
                if any(cell.strip() for cell in row) and not row[0].startswith("#")
            ]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ClimateError(told("weather.unread", name=path.name, why=str(error))) from error
