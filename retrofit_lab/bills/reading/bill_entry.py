"""Bills that are typed in a grid, and the CSV file beside the house that they are kept in."""

import csv
import io
from collections.abc import Mapping, Sequence
from pathlib import Path

from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.bills.reading.bill_files import TYPED, bills_from_rows
from retrofit_lab.bills.reading.cells import read_number
from retrofit_lab.bills.reading.dates import read_date
from retrofit_lab.bills.reading.entries import Asked, Way
from retrofit_lab.bills.reading.record import BillError, BillSet
from retrofit_lab.bills.reading.tables import Table
from retrofit_lab.bills.reading.telling_apart import read_table
from retrofit_lab.texts.refusals import Sentence, lines, told

COLUMNS = ("start", "end", "fuel", "quantity", "unit", "cost")
DATES, NUMBERS = (0, 1), (3, 5)
"""Places of the columns that are kept in one plain form, whatever form they were typed in."""
MOST_ROWS = 400
MOST_LETTERS = 60
MOST_TYPED_BYTES = 200_000


def typed_bills(rows: Sequence[Sequence[str]], answers: Mapping[str, str] | None = None) -> BillSet:
    """Bills of typed rows in the order of `COLUMNS`; empty rows are left out.

    Raises
    ------
    BillQuestion
        When they can be read in two ways and ``answers`` does not say which.
    BillError
        Naming the row, the value, the rule and the way out.
    """
    if len(rows) > MOST_ROWS:
        raise BillError(told("bills.rows", count=len(rows), most=MOST_ROWS))
    found = bills_from_rows(
        [dict(zip(COLUMNS, row, strict=True)) for row in _filled(rows)], answers=answers
    )
    bad = [problem.sentence for problem in found.problems if problem.kind == "unreadable"]
    if bad:  # whoever types can correct it at once
        raise BillError(lines(map(_without_end, bad)))
    return found


def _without_end(sentence: str) -> str:
    """What is wrong with a row, without what happens to a row of a file."""
    return sentence.values["why"] if isinstance(sentence, Sentence) else sentence


def keep_typed_bills(
    rows: Sequence[Sequence[str]], path: str | Path, answers: Mapping[str, str] | None = None
) -> BillSet:
    """Check typed bills and write them to a CSV file, so that a crash leaves the old file or the new one.

    Dates and numbers are kept in the one form that reads the same everywhere.

    Raises
    ------
    BillQuestion
        When they can be read in two ways; nothing is changed then.
    BillError
        When a row cannot be used, or the folder cannot be written to; nothing is changed then.
    """
    bills = typed_bills(rows, answers)
    path = Path(path)
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([COLUMNS, *_plain(_filled(rows), answers)])
    try:
        write_whole(path, text.getvalue())
    except OSError as error:
        raise BillError(told("bills.written", file=path.name, why=str(error))) from error
    return bills


def _plain(rows: Sequence[list[str]], answers: Mapping[str, str] | None) -> list[list[str]]:
    """Rows with dates as 2025-01-31 and numbers with a point, as the whole grid reads."""
    numbered = tuple(enumerate(rows, start=1))
    table = Table(name=TYPED, headings=COLUMNS, rows=numbered)
    way = read_table(table, Asked(), answers or {}).way
    return [[_plain_cell(place, cell, way) for place, cell in enumerate(row)] for row in rows]


def _plain_cell(place: int, cell: str, way: Way) -> str:
    if not cell:
        return cell
    if place in DATES:
        return read_date(cell, way.order).isoformat()
    if place in NUMBERS:
        value, unit = read_number(cell, way.decimals)
        return f"{value:.10g} {unit}".strip()
    return cell


def _filled(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    wide = [[str(cell).strip()[:MOST_LETTERS] for cell in row] for row in rows]
    return [(row + [""] * len(COLUMNS))[: len(COLUMNS)] for row in wide if any(row)]


def typed_rows(house_file: str | Path, bills: str) -> tuple[tuple[str, ...], ...]:
    """Rows of the bills that were typed for a house, to go on with; none where its bills are another file."""
    path = typed_bills_path(house_file)
    if bills != path.name or not path.is_file() or path.stat().st_size > MOST_TYPED_BYTES:
        return ()
    with path.open(encoding="utf-8", newline="") as file:
        rows = [tuple(row) for row in csv.reader(file)]
    return tuple(rows[1:]) if rows and rows[0] == COLUMNS else ()


def typed_bills_path(house_file: str | Path) -> Path:
    """Where typed bills of a house stand."""
    path = Path(house_file)
    return path.with_name(f"{path.stem}.bills.csv")
