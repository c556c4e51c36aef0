"""Opens a file of bills as plain tables: text of any encoding, or a spreadsheet; cells keep their text."""

import csv
import io
import re
import warnings
import zipfile
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from retrofit_lab.bills.reading.cells import text_of
from retrofit_lab.bills.reading.columns import find_columns, years_as_columns
from retrofit_lab.bills.reading.record import BillError
from retrofit_lab.texts.refusals import told

MOST_BYTES = 40_000_000
MOST_UNPACKED = 200_000_000
MOST_ROWS = 400_000
MOST_HEADING_ROW = 60
"""Rows above the headings that may hold an address and an account."""
SAME_MARKS = 0.6
"""Share of the rows that must have the same number of marks for the mark to part the cells."""
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_HOUR = re.compile(r"^(?:hour|hr|he|h)?\s*(\d{1,2})(?::00)?\s*(?:\(?kwh\)?)?$", re.IGNORECASE)

Row = tuple[int, Sequence[object]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Headings with the rows below them: number of each row in its file, and its cells."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    semicolons: bool = False


def file_bytes(path: Path) -> bytes:
    """Content of a file of bounded size.

    Raises
    ------
    BillError
        When it is missing, too large or cannot be read.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BillError(told("bill_file.large", name=path.name, most=f"{MOST_BYTES:,}"))
        return path.read_bytes()
    except FileNotFoundError:
        raise BillError(told("bill_file.missing", name=path.name)) from None
    except OSError as error:
        raise BillError(told("bill_file.unread", name=path.name, why=str(error))) from error


def tables_of(content: bytes, name: str) -> list[Table]:
    """Tables of a text file or a spreadsheet, one for each sheet that holds bills.

    Raises
    ------
    BillError
        When it holds no table of bills; says what it is and what to do.
    """
    if content[:4] == b"%PDF" or content[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise BillError(told("bill_file.no_table", name=name))
    sheets = (
        _sheets(content, name) if content[:2] == b"PK" else [(name, *_text_rows(content, name))]
    )
    if not any(any(map(text_of, row)) for _, rows, _ in sheets for row in rows):
        raise BillError(told("bill_file.empty", name=name))
    found = [_table(sheet, rows, marks) for sheet, rows, marks in sheets]
    kept = [table for table in found if table is not None]
    if not kept:
        raise BillError(_no_headings(name, sheets[0][1]))
    filled = [table for table in kept if table.rows]
    if not filled:
        raise BillError(
            told("bill_file.only_headings", name=name, headings=[*filter(None, kept[0].headings)])
        )
    return filled


def _sheets(content: bytes, name: str) -> list[tuple[str, list[Sequence[object]], bool]]:
    from openpyxl import load_workbook  # noqa: PLC0415 - only where a spreadsheet is read

    try:
        _check_unpacked(content, name)
        with warnings.catch_warnings():
            warnings.simplefilter(
                "ignore"
            )  # what the library thinks of styles and names helps no one here
            book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        many = len(book.worksheets) > 1
        return [
            (
                f"{name}, sheet {sheet.title}" if many else name,
                _bounded(sheet.iter_rows(values_only=True), name),
                False,
            )
            for sheet in book.worksheets
        ]
    except BillError:
        raise
    except Exception as error:
        raise BillError(told("bill_file.spreadsheet", name=name, why=str(error))) from error


def _check_unpacked(content: bytes, name: str) -> None:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        if sum(part.file_size for part in packed.infolist()) > MOST_UNPACKED:
            raise BillError(told("bill_file.unpacked", name=name))


def _bounded(rows: Iterable[Sequence[object]], name: str) -> list[Sequence[object]]:
    kept: list[Sequence[object]] = []
    for row in rows:
        kept.append(row)
        if len(kept) > MOST_ROWS:
            raise BillError(told("bill_file.rows", name=name, most=f"{MOST_ROWS:,}"))
    return kept


def _text_rows(content: bytes, name: str) -> tuple[list[Sequence[object]], bool]:
    """Rows of a text; empty lines and notes stay as empty rows, so that rows are counted as an editor does."""
    lines = ["\n" if line.startswith("#") else line for line in _decoded(content).splitlines(True)]
    mark = _separator([line for line in lines if line.strip()][:200])
    try:
        rows = _bounded(csv.reader(lines, delimiter=mark, skipinitialspace=True), name)
    except csv.Error as error:
        raise BillError(told("bill_file.csv", name=name, why=str(error))) from error
    return rows, mark == ";"


def _decoded(content: bytes) -> str:
    """Text in the encoding that the file shows: by its mark, by zero bytes, UTF-8, or that of old spreadsheets."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace").replace("\r\n", "\n")
    if b"\0" in content[:200]:
        order = "utf-16-le" if content[1:2] == b"\0" else "utf-16-be"
        return content.decode(order, errors="replace").replace("\r\n", "\n")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _separator(lines: Sequence[str]) -> str:
    for mark in ("\t", ";", "|"):
        counts = Counter(line.count(mark) for line in lines)
        counts.pop(0, None)
        if counts and counts.most_common(1)[0][1] >= SAME_MARKS * len(lines):
            return mark
    return ","


def _table(name: str, rows: Sequence[Sequence[object]], marks: bool) -> Table | None:
    """Rows below the first row that reads as headings; columns of months, years or hours become rows."""
    for place, cells in enumerate(rows[:MOST_HEADING_ROW]):
        headings = [text_of(cell) for cell in cells]
        body = [
            (number, row)
            for number, row in enumerate(rows[place + 1 :], start=place + 2)
            if any(map(text_of, row))
        ]
        wide = _wide(name, headings, body)
        if wide is not None:
            return wide
        columns = find_columns(headings)
        if columns.has_dates and (columns.quantities or columns.costs):
            _refuse_twice(name, headings)
            return Table(name=name, headings=tuple(headings), rows=tuple(body), semicolons=marks)
    return None


def _refuse_twice(name: str, headings: Sequence[str]) -> None:
    twice = sorted({h for h in headings if h and headings.count(h) > 1})
    if twice:
        raise BillError(told("bill_file.twice", name=name, heading=twice[0]))


def _wide(name: str, headings: Sequence[str], body: Sequence[Row]) -> Table | None:
    """A table with a column for each month, year or hour, as one with a row for each."""
    months = {n: i for n, h in enumerate(headings) if (i := _month_place(h)) >= 0}
    if len(months) == len(_MONTHS):
        return _by_month(name, headings, body, months)
    years = years_as_columns(headings)
    if years and any(h.strip().lower() in ("month", "mes") for h in headings):
        return _by_year(name, headings, body)
    hours = {n: int(m[1]) for n, h in enumerate(headings) if (m := _HOUR.match(h.strip()))}
    if len(hours) == 24 and find_columns(headings).has_dates:
        return _by_hour(name, headings, body, hours)
    return None


def _month_place(heading: str) -> int:
    word = heading.strip().lower()[:3]
    return _MONTHS.index(word) if word in _MONTHS and heading.strip().isalpha() else -1


def _unit_words(headings: Sequence[str], body: Sequence[Row], known: Iterable[int]) -> str:
    """Heading of the melted column: what the other headings and cells say of fuel and unit."""
    taken = set(known)
    others = [h for n, h in enumerate(headings) if n not in taken]
    cells = [text_of(c) for _, row in body[:3] for n, c in enumerate(row) if n not in taken]
    for text in [*others, *cells]:
        if any(column.unit for column in find_columns([text]).quantities):
            return text
    return "usage"


def _by_month(
    name: str, headings: Sequence[str], body: Sequence[Row], months: dict[int, int]
) -> Table:
    years = [n for n, h in enumerate(headings) if h.strip().lower() in ("year", "año")]
    year = years[0] if years else 0
    rows = [
        (number, (f"{text_of(row[year])}-{month + 1:02d}", row[place]))
        for number, row in body
        for place, month in sorted(months.items(), key=lambda item: item[1])
        if place < len(row) and text_of(row[place])
    ]
    heading = _unit_words(headings, body, [*months, year])
    return Table(name=name, headings=("month", heading), rows=tuple(rows))


def _by_year(name: str, headings: Sequence[str], body: Sequence[Row]) -> Table:
    places = {n: h.strip() for n, h in enumerate(headings) if years_as_columns([h])}
    month = next(n for n, h in enumerate(headings) if h.strip().lower() in ("month", "mes"))
    rows = [
        (number, (row[month], year, row[place]))
        for place, year in sorted(places.items(), key=lambda item: item[1])
        for number, row in body
        if place < len(row) and text_of(row[place])
    ]
    heading = _unit_words(headings, body, [*places, month])
    return Table(name=name, headings=("month", "year", heading), rows=tuple(rows))


def _by_hour(
    name: str, headings: Sequence[str], body: Sequence[Row], hours: dict[int, int]
) -> Table:
    """Hours 1 to 24 end at that hour; hours 0 to 23 begin at it."""
    ending = max(hours.values()) == 24
    date = next(n for n, h in enumerate(headings) if find_columns([h]).has_dates)
    rows = [
        (number, (row[date], f"{hour - 1 if ending else hour}:00", row[place]))
        for number, row in body
        for place, hour in hours.items()
        if place < len(row) and text_of(row[place])
    ]
    heading = _unit_words(headings, body, [*hours, date])
    return Table(name=name, headings=("date", "start time", heading), rows=tuple(rows))


def _no_headings(name: str, rows: Sequence[Sequence[object]]) -> str:
    first = next(row for row in rows if any(map(text_of, row)))
    headings = [text for text in map(text_of, first) if text]
    columns = find_columns(headings)
    key = "bill_file.no_quantity" if columns.has_dates else "bill_file.no_dates"
    return told(key, name=name, headings=headings)
