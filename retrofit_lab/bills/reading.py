"""Opens files of bills: CSV with headings, or open XML interval readings; cells are read elsewhere."""

import csv
from collections.abc import Sequence
from pathlib import Path

from retrofit_lab.bills.grid import bills_from_rows
from retrofit_lab.bills.interval_xml import read_interval_xml
from retrofit_lab.bills.record import BillError, BillSet

MOST_BYTES = 5_000_000


def read_bills(path: str | Path, *, fuel: str = "", unit: str = "") -> BillSet:
    """Bills of a file: CSV with headings, or NAESB ESPI interval readings in an Atom feed.

    Parameters
    ----------
    path : str or Path
        ``.csv`` or ``.xml`` file.
    fuel, unit : str
        Fuel and unit where the file does not say them, such as ``"propane"`` and ``"gallon"``.

    Raises
    ------
    BillError
        Naming file, row, value, rule and way out.
    """
    path = Path(path)
    if path.suffix.lower() == ".xml":
        return read_interval_xml(path)
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BillError(f"{path.name}: larger than {MOST_BYTES:,} bytes. Give fewer years.")
        with path.open(newline="", encoding="utf-8-sig") as file:
            lines = ["\n" if line.startswith("#") else line for line in file]
    except FileNotFoundError:
        raise BillError(f"{path.name}: there is no such file. Check the name.") from None
    except (OSError, UnicodeDecodeError) as error:
        raise BillError(f"{path.name}: cannot be read ({error}). Save it as CSV, UTF-8.") from error
    notes = next((place for place, line in enumerate(lines) if line.strip()), 0)
    rows = _csv_rows(lines[notes:], path.name, notes + 1)
    return bills_from_rows(rows, name=path.name, fuel=fuel, unit=unit, first_row=notes + 2)


def _csv_rows(lines: Sequence[str], name: str, first: int) -> list[dict[str, object]]:
    """Rows below the headings; empty lines stay, so that rows are counted as a spreadsheet counts."""
    try:
        table = list(csv.reader(lines, delimiter=_delimiter(lines)))
    except csv.Error as error:
        raise BillError(f"{name}: is no readable CSV ({error}). Save it again as CSV.") from error
    headings = [heading.strip() for heading in table[0]] if table else []
    twice = sorted({h for h in headings if h and headings.count(h) > 1})
    if twice:
        raise BillError(
            f"{name}: the heading '{twice[0]}' stands twice. Rename one of the columns."
        )
    return [
        _row(headings, cells, f"{name}, row {n}") for n, cells in enumerate(table[1:], first + 1)
    ]


def _row(headings: Sequence[str], cells: Sequence[str], place: str) -> dict[str, object]:
    extra = [cell for cell in cells[len(headings) :] if cell.strip()]
    if extra:
        raise BillError(
            f"{place}: there are more cells than headings (the last is '{extra[-1]}'). "
            f"Look for a comma inside a number and put the number in quotes."
        )
    return dict(zip(headings, cells, strict=False))


def _delimiter(lines: Sequence[str]) -> str:
    head = lines[0] if lines else ""
    return max(",;\t", key=head.count)


__all__ = ["BillError", "BillSet", "bills_from_rows", "read_bills"]
