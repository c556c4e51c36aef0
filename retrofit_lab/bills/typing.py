"""Bills that are typed in a grid, and the CSV file beside the house that they are kept in."""

import csv
import io
import os
import tempfile
from collections.abc import Sequence
from pathlib import Path

from retrofit_lab.bills.grid import bills_from_rows
from retrofit_lab.bills.record import BillError, BillSet

COLUMNS = ("start", "end", "fuel", "quantity", "unit", "cost")
MOST_ROWS = 400
MOST_LETTERS = 60


def typed_bills(rows: Sequence[Sequence[str]]) -> BillSet:
    """Bills of typed rows in the order of `COLUMNS`; empty rows are left out.

    Raises
    ------
    BillError
        Naming the row, the value, the rule and the way out.
    """
    if len(rows) > MOST_ROWS:
        raise BillError(f"{len(rows)} rows were typed; at most {MOST_ROWS} are taken. Give a file.")
    return bills_from_rows(
        [dict(zip(COLUMNS, row, strict=True)) for row in _filled(rows)], name="typed bills"
    )


def keep_typed_bills(rows: Sequence[Sequence[str]], path: str | Path) -> BillSet:
    """Check typed bills and write them to a CSV file, so that a crash leaves the old file or the new one.

    Raises
    ------
    BillError
        When a row cannot be used, or the folder cannot be written to; nothing is changed then.
    """
    bills = typed_bills(rows)
    path = Path(path)
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([COLUMNS, *_filled(rows)])
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text.getvalue())
        Path(temporary).replace(path)
    except OSError as error:
        raise BillError(
            f"{path.name} cannot be written ({error}). Choose another folder."
        ) from error
    return bills


def _filled(rows: Sequence[Sequence[str]]) -> list[list[str]]:
    wide = [[str(cell).strip()[:MOST_LETTERS] for cell in row] for row in rows]
    return [(row + [""] * len(COLUMNS))[: len(COLUMNS)] for row in wide if any(row)]
