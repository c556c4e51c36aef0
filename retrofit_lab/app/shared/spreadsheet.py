"""Writes tables that a spreadsheet opens without running anything: text that starts like a formula is escaped."""

import csv
import io
import math
import re
from collections.abc import Iterable, Sequence

Cell = str | float | None
STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""How text starts that a spreadsheet may take for a formula."""
_UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""Letters that no spreadsheet file can hold."""


def safe_text(text: str) -> str:
    """Text that stays text in a spreadsheet and can stand in its file."""
    plain = _UNWRITABLE.sub("", text)
    return f"'{plain}" if plain.startswith(STARTS) else plain


def safe_cell(value: Cell) -> str:
    """Cell as text: numbers to a hundredth, nothing where there is no number, text that stays text."""
    if isinstance(value, str):
        return safe_text(value)
    if value is None or not math.isfinite(value):
        return ""
    return str(value) if isinstance(value, int) else f"{value:.2f}"


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Whole table as CSV text, with the line ends that spreadsheets write."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([safe_cell(head) for head in heads])
    writer.writerows([safe_cell(cell) for cell in row] for row in rows)
    return text.getvalue()
