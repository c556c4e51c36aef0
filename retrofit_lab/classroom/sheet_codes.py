"""Codes that join a sheet to its key: which house it is, in which units it was written, and where the house stands."""

import hashlib
from dataclasses import dataclass

from retrofit_lab.classroom.faults import scenario_tables
from retrofit_lab.classroom.lesson_units import SI_SYSTEM, US_SYSTEM

MOST_LOOKED_FOR = 10_000
"""Seeds below this are found again by the code of their sheet."""
SI_MARK = "-SI"


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCode:
    """What a code says: letters of the house, units of the sheet, and the place that was asked for, or nothing."""

    letters: str
    system: str
    place: str


def sheet_code(seed: int, level: int, place: str = "", system: str = US_SYSTEM) -> str:
    """Letters and digits that join a sheet to its key; they do not tell the seed."""
    secret = f"retrofit-lab scenario {seed} {level}"
    code = hashlib.sha256(secret.encode()).hexdigest()[:6].upper()
    code += SI_MARK if system == SI_SYSTEM else ""
    return f"{code}@{place}" if place else code


def read_code(code: str) -> SheetCode:
    """What a code says, however it was typed."""
    letters, _, place = code.partition("@")
    letters = letters.strip().upper()
    return SheetCode(
        letters=letters.removesuffix(SI_MARK),
        system=SI_SYSTEM if letters.endswith(SI_MARK) else US_SYSTEM,
        place=place.strip(),
    )


def sheet_of_code(code: str) -> tuple[int, int] | None:
    """Seed and level of a sheet, where the seed is one that people choose; None where it is not found."""
    levels = [int(row["number"]) for row in scenario_tables()["level"]]
    pairs = ((seed, level) for seed in range(MOST_LOOKED_FOR) for level in levels)
    letters = read_code(code).letters
    return next((pair for pair in pairs if sheet_code(*pair) == letters), None)
