"""Opens files of bills and tells each back in a line; how cells, tables and meters are read is done elsewhere."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from retrofit_lab.base.fuels import several
from retrofit_lab.bills.reading.cells import text_of
from retrofit_lab.bills.reading.columns import SENT
from retrofit_lab.bills.reading.entries import Asked
from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units, plain_fuel, plain_unit
from retrofit_lab.bills.reading.interval_xml import read_interval_xml
from retrofit_lab.bills.reading.meters import Meter, meter_of, together
from retrofit_lab.bills.reading.record import Bill, BillError, BillQuestion, BillSet, Problem
from retrofit_lab.bills.reading.tables import Table, file_bytes, tables_of
from retrofit_lab.bills.reading.telling_apart import TableRead, read_table
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import chain, told, word

TYPED = "typed bills"
_SHORT = {"electricity": "electric", "natural_gas": "gas", "heating_oil": "oil"}
"""Names of fuels before the word bills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRead:
    """Meters of one file or grid, rows left out with the reason, and what was taken for granted."""

    name: str
    meters: tuple[Meter, ...]
    refused: tuple[tuple[int, str], ...] = ()
    notes: tuple[str, ...] = ()


def read_bills(
    paths: str | Path | Sequence[str | Path],
    *,
    fuel: str = "",
    unit: str = "",
    answers: Mapping[str, str] | None = None,
    prices: Mapping[str, tuple[float, float]] | None = None,
) -> BillSet:
    """Bills of one or several files: text with headings, spreadsheets, or NAESB ESPI interval readings.

    Parameters
    ----------
    paths : str, Path, or sequence of them
        Files; several meters or years may stand in files of their own.
    fuel, unit : str
        Fuel and unit where the files do not say them, such as ``"propane"`` and ``"gallon"``.
    answers : mapping, optional
        Answers to what a file leaves open, such as ``{"dates": "day-first"}``.
    prices : mapping, optional
        Price [dollars/unit] and fixed charge [dollars/month] by fuel, for bills that state dollars alone.

    Raises
    ------
    BillError
        Naming file, row, value, rule and way out.
    BillQuestion
        When a file can be read in two ways; it holds both readings.
    """
    files = [Path(paths)] if isinstance(paths, str | Path) else [Path(path) for path in paths]
    name = " and ".join(path.name for path in files)
    asked = Asked(fuel=_known_fuel(fuel, name), unit=_known_unit(unit, name), prices=prices)
    return bill_set_of([_read_file(path, asked, answers or {}) for path in files])


def bills_from_rows(
    rows: Iterable[Mapping[str, object]],
    *,
    name: str = TYPED,
    fuel: str = "",
    unit: str = "",
    answers: Mapping[str, str] | None = None,
) -> BillSet:
    """Bills of a grid of rows with any sensible headings.

    A row needs an end date (or a month) and a quantity; without a start date it runs from the end of
    the row before, as meter readings and deliveries do.

    Parameters
    ----------
    rows : iterable of mapping
        Cells by heading: text, numbers or dates.
    name : str
        What messages call the grid.
    fuel, unit : str
        Used where neither heading nor cell says them.
    answers : mapping, optional
        Answers to what the grid leaves open.

    Raises
    ------
    BillError
        When more than half of the rows cannot be read, or there are none.
    BillQuestion
        When the grid can be read in two ways.
    """
    given = [dict(row) for row in rows]
    headings = tuple(dict.fromkeys(heading for row in given for heading in row))
    numbered = tuple(
        (number, tuple(row.get(heading) for heading in headings))
        for number, row in enumerate(given, start=1)
        if any(text_of(cell) for cell in row.values())
    )
    if not numbered:
        raise BillError(told("bills.empty", name=name))
    asked = Asked(fuel=_known_fuel(fuel, name), unit=_known_unit(unit, name))
    table = Table(name=name, headings=headings, rows=numbered)
    return bill_set_of([_from_tables(name, [table], asked, answers or {})])


def bill_set_of(files: Sequence[FileRead]) -> BillSet:
    """All bills of some files, each file told back in a line."""
    name = " and ".join(file.name for file in files)
    whole = together(name, [meter for file in files for meter in file.meters])
    refused = tuple(
        Problem(
            kind="unreadable",
            fuel="",
            row=row,
            used=False,
            sentence=told("bill.left_out", why=sentence),
        )
        for file in files
        for row, sentence in file.refused
    )
    alone = [_file_line(file, whole if len(files) == 1 else None) for file in files]
    last = [_sum_line(whole)] if len(files) > 1 else []
    return replace(
        whole,
        problems=(*refused, *whole.problems),
        notes=(
            *(
                told("read.note", name=file.name, note=note)
                for file in files
                for note in file.notes
            ),
            *whole.notes,
        ),
        read=(*alone, *last, *(told("read.set_aside", why=why) for _, why in whole.set_aside)),
    )


def _read_file(path: Path, asked: Asked, answers: Mapping[str, str]) -> FileRead:
    content = file_bytes(path)
    if not content.strip():
        raise BillError(told("bill_file.empty", name=path.name))
    if _is_xml(path, content):
        series = read_interval_xml(content, path.name)
        meters = tuple(meter_of(path.name, one) for one in series)
        return FileRead(name=path.name, meters=meters)
    return _from_tables(path.name, tables_of(content, path.name), asked, answers)


def _is_xml(path: Path, content: bytes) -> bool:
    start = content[:200].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \r\n\t")
    return path.suffix.lower() == ".xml" or start.startswith((b"<?xml", b"<feed"))


def _from_tables(
    name: str, tables: Sequence[Table], asked: Asked, answers: Mapping[str, str]
) -> FileRead:
    read = [read_table(table, asked, answers) for table in tables]
    meters = [
        meter_of(table.name, series)
        for table, one in zip(tables, read, strict=True)
        for series in one.series
    ]
    return FileRead(
        name=name,
        meters=tuple(meters),
        refused=tuple(pair for one in read for pair in one.refused),
        notes=tuple(dict.fromkeys(note for one in read for note in _all_notes(one))),
    )


def _all_notes(read: TableRead) -> list[str]:
    return [*read.notes, *(note for series in read.series for note in series.notes)]


def _file_line(file: FileRead, whole: BillSet | None) -> str:
    """One line on what a file holds: how many, how much, from when to when, and what was done with it."""
    bills = whole if whole is not None else together(file.name, file.meters)
    parts = [*_amounts(bills), *_done(bills, len(file.refused))]
    intervals = sum(
        len(m.series.readings.start) for m in file.meters if m.series.readings is not None
    )
    if intervals:
        parts.append(told("read.by_month", count=f"{intervals:,}"))
    parts += [note for note in (*file.notes, *bills.notes) if not note.startswith("not needed")]
    return told("read.file", name=file.name, parts=chain(parts))


def _sum_line(whole: BillSet) -> str:
    return told("read.together", parts=chain([*_amounts(whole), *whole.notes]))


def _amounts(bills: BillSet) -> list[str]:
    """Such as: 12 electric bills, 9,110 kWh, 2024-01-04 to 2025-01-03."""
    used = [_amount(sound, fuel) for fuel in bills.fuels if (sound := bills.sound(fuel))]
    sent = [_amount(bills.sent, "electricity", "sent_")] if bills.sent else []
    return [*used, *sent] or [told("read.no_bill")]


def _amount(bills: Sequence[Bill], fuel: str, what: str = "") -> str:
    total = sum(bill.quantity for bill in bills)
    dollars = [bill.cost for bill in bills if bill.cost is not None]
    cost = f", ${sum(dollars):,.0f}" if dollars else ""
    digits = 0 if abs(total) >= 100 else 1
    first, last = min(b.start for b in bills), max(b.end for b in bills)
    unit = fuel_units()[fuel] if abs(total) == 1 else several(fuel_units()[fuel])
    return told(
        f"read.{what}bill" if len(bills) == 1 else f"read.{what}bills",
        count=len(bills),
        fuel=Word("fuels", fuel, _SHORT.get(fuel, fuel_names()[fuel])),
        total=f"{total:,.{digits}f}",
        unit=Word("word", unit, unit),
        cost=cost,
        first=first.isoformat(),
        last=last.isoformat(),
    )


_LEFT_OUT = (
    "no_start", "no_quantity", "duplicate", "overlap", "reversed", "credit", "dead_meter", "missing_readings",
    "missing_meter", "estimated",
)  # fmt: skip


def _done(bills: BillSet, refused: int) -> list[str]:
    """What was joined, estimated or left out, by number."""
    counts = Counter(p.kind for p in bills.problems if not p.used and p.kind != "unreadable")
    joined = sum(p.kind == "estimated" and p.used for p in bills.problems)
    done: list[str] = [told("read.joined", count=joined)] if joined else []
    kinds = ((kind if kind in _LEFT_OUT else "other", count) for kind, count in counts.items())
    done += [told(f"left_out.{kind}", count=count) for kind, count in kinds]
    return done + ([told("left_out.unreadable", count=refused)] if refused else [])


def _known_fuel(fuel: str, name: str) -> str:
    key = fuel if fuel in fuel_names() else plain_fuel(fuel)
    if fuel and not key:
        raise BillError(
            told(
                "bill_file.fuel", name=name, fuel=fuel, allowed=[*map(word, fuel_names().values())]
            )
        )
    return key


def _known_unit(unit: str, name: str) -> str:
    plain = plain_unit(unit)
    if unit and not plain:
        raise BillError(told("bill_file.unit", name=name, unit=unit))
    return plain


__all__ = [
    "SENT",
    "BillError",
    "BillQuestion",
    "BillSet",
    "bill_set_of",
    "bills_from_rows",
    "read_bills",
]
