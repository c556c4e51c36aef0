"""Reads a table of houses, one a row, and makes the house that a row stands for; nothing is studied here.

A row holds the few answers of a starting house, in columns named like its questions, or the path of a
house file in the column ``house``. A column named like a number of the house, such as ``leakage.flow``,
replaces that number. Empty cells are not answered. Lines that start with # are notes.
"""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import with_answer
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.texts.english_only import sentence

FILE = "house"
"""Column with the path of a house file, from the folder of the table."""
MOST_BYTES = 20_000_000
OLD_HEADS = {"storeys": "stories"}
"""Columns of tables that were made before they had the name of today."""
MOST_ROWS = 20_000


class TableError(InputError):
    """A table of houses that cannot be used; names file, row or column, rule and way out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """One row: its line in the file, what its cells say by column, and the folder of the table."""

    line: int
    cells: Mapping[str, str]
    folder: str

    @property
    def name(self) -> str:
        """What the row calls its house."""
        return self.cells.get("name") or Path(self.cells.get(FILE, "")).stem


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseTable:
    """A table of houses that has been looked through; its rows are read again as they are asked for."""

    path: Path
    heads: tuple[str, ...]
    count: int

    def __len__(self) -> int:
        """Number of houses."""
        return self.count

    def __iter__(self) -> Iterator[TableRow]:
        """Rows in the order of the file; never more than one is held."""
        lines = _lines(self.path)
        next(lines)
        for line, text in lines:
            row = _parts(self.path.name, line, text)
            cells = _cells(self.path.name, line, self.heads, row)
            yield TableRow(line=line, cells=cells, folder=str(self.path.parent))


def read_table(path: str | Path) -> HouseTable:
    """A table of houses; a wrong house in a row is found when that row is worked out.

    Raises
    ------
    TableError
        When the file cannot be read, is too large, or has columns that no one knows.
    """
    path = Path(path)
    first = next(_lines(path), None)
    heads = [_head(cell) for cell in _parts(path.name, *first)] if first else []
    if first:
        _check_heads(path.name, heads)
    count = sum(1 for _ in HouseTable(path=path, heads=tuple(heads), count=0)) if first else 0
    if not count:
        raise TableError(sentence("portfolio_table.house_give", file=path.name))
    if count > MOST_ROWS:
        raise TableError(
            sentence(
                "portfolio_table.rows_most",
                file=path.name,
                count=f"{count:,}",
                most=f"{MOST_ROWS:,}",
            )
        )
    return HouseTable(path=path, heads=tuple(heads), count=count)


def _parts(name: str, line: int, text: str) -> list[str]:
    try:
        return next(csv.reader([text], strict=True))
    except csv.Error as error:
        raise TableError(
            sentence("portfolio_table.line_put", name=name, line=line, why=error)
        ) from error


def _lines(path: Path) -> Iterator[tuple[int, str]]:
    """Lines that hold something, with their numbers."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise TableError(
                sentence(
                    "portfolio_table.larger_than", file=path.name, most=f"{MOST_BYTES / 1e6:g}"
                )
            )
        with path.open(encoding="utf-8-sig") as file:
            for number, line in enumerate(file, 1):
                if line.strip() and not line.startswith("#"):
                    yield number, line.rstrip("\n")
    except FileNotFoundError as error:
        raise TableError(sentence("portfolio_table.such_file", file=path.name)) from error
    except (OSError, UnicodeDecodeError) as error:
        raise TableError(
            sentence("portfolio_table.cannot_read", file=path.name, why=error)
        ) from error


def _head(cell: str) -> str:
    name = cell.strip()
    return OLD_HEADS.get(name, name)


def _check_heads(name: str, heads: Sequence[str]) -> None:
    known = (*default_answers(), FILE)
    for head in heads:
        if head not in known and "." not in head:
            raise TableError(
                sentence(
                    "portfolio_table.column_unknown", name=name, head=head, known=", ".join(known)
                )
            )
        if heads.count(head) > 1:
            raise TableError(sentence("portfolio_table.column_appears", name=name, head=head))


def _cells(name: str, line: int, heads: Sequence[str], row: Sequence[str]) -> dict[str, str]:
    if len(row) != len(heads):
        raise TableError(
            sentence(
                "portfolio_table.line_cells",
                name=name,
                line=line,
                count=len(row),
                columns=len(heads),
            )
        )
    cells = {head: cell.strip() for head, cell in zip(heads, row, strict=True)}
    return {head: cell for head, cell in cells.items() if cell}


def house_of(row: TableRow) -> House:
    """House that a row stands for.

    Raises
    ------
    InputError
        When the row's answers, its file or its numbers cannot be used.
    """
    house = _described(row)
    numbers = [(head, cell) for head, cell in row.cells.items() if "." in head]
    for path, text in numbers:
        try:
            house = with_answer(house, path, text)
        except HouseError as error:
            raise HouseError(f"{path}: {error}") from error
    if numbers:
        check_house(house)
    return house


def _described(row: TableRow) -> House:
    answers = {head: row.cells[head] for head in default_answers() if head in row.cells}
    if FILE not in row.cells:
        return starting_house(first_answers({**default_answers(), **answers}))
    others = list(_others(answers))
    if others:
        raise HouseError(sentence("portfolio_table.said_in_house", others=others[0]))
    return load_house(Path(row.folder) / row.cells[FILE])


def _others(answers: Mapping[str, str]) -> Iterator[str]:
    return (head for head in answers if head != "name")
