"""What was answered, line by line beside the house file, before the file itself is written; no house is changed here.

A line says which file it was meant for by its fingerprint. So after a crash the lines that the file does not
hold yet are known: those at the end that were meant for the file as it stands.
"""

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

MOST_BYTES = 20_000_000
"""Beyond this a journal is begun anew, and the old one kept beside it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing that was done: its own name, the device, when, the fingerprint of the file before, and the act."""

    id: str
    device: str
    at: str
    before: str
    act: Mapping[str, Any]


def journal_path(house_file: str | Path) -> Path:
    """Where the journal of a house file stands."""
    path = Path(house_file)
    return path.with_name(f"{path.stem}.journal.jsonl")


def fingerprint(path: str | Path) -> str:
    """Fingerprint of a file as it stands; empty where there is none."""
    path = Path(path)
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16] if path.is_file() else ""


def note(house_file: str | Path, entry: Entry) -> None:
    """Add a line that is on the disk before anything else is done.

    Raises
    ------
    OSError
        When the disk does not take it.
    """
    path = journal_path(house_file)
    if path.is_file() and path.stat().st_size > MOST_BYTES:
        path.replace(path.with_suffix(".old.jsonl"))
    line = {name: getattr(entry, name) for name in ("id", "device", "at", "before", "act")}
    with path.open("ab") as file:
        # a line that a crash cut short must not swallow the next one
        file.write(b"" if _ends_well(path) else b"\n")
        file.write(json.dumps(line, ensure_ascii=False).encode("utf-8", "replace") + b"\n")
        file.flush()
        os.fsync(file.fileno())


def entries(house_file: str | Path) -> tuple[Entry, ...]:
    """All whole lines of the journal; one that a crash cut short is left out."""
    path = journal_path(house_file)
    return tuple(_read(path)) if path.is_file() else ()


def not_in_the_file(house_file: str | Path) -> tuple[Entry, ...]:
    """Lines at the end that the house file does not hold yet."""
    now, found = fingerprint(house_file), []
    for entry in reversed(entries(house_file)):
        if entry.before != now:
            break
        found.append(entry)
    return tuple(reversed(found))


def _read(path: Path) -> Iterator[Entry]:
    for line in path.read_bytes().splitlines():
        try:
            row = json.loads(line)
            yield Entry(**row)
        except (ValueError, TypeError):
            continue


def _ends_well(path: Path) -> bool:
    if not path.stat().st_size:
        return True
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
