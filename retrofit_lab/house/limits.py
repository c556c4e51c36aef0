"""Readings of a house beyond their limits, from ``data/test_limits.csv``; one within clears nothing."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.description import House
from retrofit_lab.house.measured import NOTHING_MEASURED

COLD, HOT = 10.0, 90.0
STRONGEST, WEAKEST = 2.5, 0.5
WEAKER, AT_LEAST = "weaker", "at least"
FILL_TOLD = "vermiculite"
LEAK = "leak"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit of ``data/test_limits.csv``; ``limit`` is None where it depends on the weather. [unit]"""

    key: str
    list: str
    field: str
    beyond: str
    limit: float | None
    unit: str
    word: str
    source: str
    edition: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Beyond:
    """One reading beyond its limit: where it stands, what was read, the limit it was held against. [unit of limit]"""

    path: str
    label: str
    value: float
    allowed: float
    limit: Limit


@cache
def limits() -> tuple[Limit, ...]:
    """Every limit, in the order of the file."""
    return tuple(
        Limit(limit=float(number) if (number := row.pop("limit")) else None, **row)
        for row in map(dict, read_rows("test_limits.csv"))
    )


def least_draft(outdoor: float) -> float:
    """Least draft that passes at an outdoor temperature [F], below 0 where the chimney draws. [Pa]

    References
    ----------
    Combustion test standards of the trade before 2014 (memory); newer editions go by spillage alone.

    Examples
    --------
    >>> least_draft(0.0), least_draft(50.0), least_draft(95.0)
    (-2.5, -1.5, -0.5)
    """
    share = min(max((outdoor - COLD) / (HOT - COLD), 0.0), 1.0)
    return -(STRONGEST + share * (WEAKEST - STRONGEST))


def beyond_limits(house: House) -> tuple[Beyond, ...]:
    """Readings of a house that are beyond their limits, in the order of the limits."""
    return tuple(_beyond(house))


def told_by_readings(house: House) -> frozenset[str]:
    """Words of observations that readings tell, whether or not anyone recorded them too."""
    if house.measured == NOTHING_MEASURED:
        return frozenset()
    words = {found.limit.word for found in beyond_limits(house) if found.limit.word}
    if house.measured.gas.found == LEAK:
        words.add("gas_smell")
    if any(fill.kind == FILL_TOLD for fill in house.measured.fills):
        words.add(FILL_TOLD)
    return frozenset(words)


def recorded_words(house: House) -> frozenset[str]:
    """Words of observations of a house: those that were recorded, and those that its readings tell."""
    return told_by_readings(house) | frozenset(house.observations)


def words_in_order(house: House) -> tuple[str, ...]:
    """Every word of observations of a house: first those recorded, as they stand, then those that readings tell."""
    return (*house.observations, *sorted(told_by_readings(house) - set(house.observations)))


def _beyond(house: House) -> Iterator[Beyond]:
    for limit in limits():
        for reading in getattr(house.measured, limit.list):
            value = getattr(reading, limit.field)
            allowed = _allowed(limit, reading)
            if value is not None and allowed is not None and _is_beyond(limit, value, allowed):
                yield Beyond(
                    path=f"measured.{limit.list}.{reading.key}.{limit.field}",
                    label=reading.label,
                    value=float(value),
                    allowed=allowed,
                    limit=limit,
                )


def _allowed(limit: Limit, reading: Any) -> float | None:
    """The limit for one reading; the strictest draft where no one wrote the outdoor temperature down."""
    if limit.beyond != WEAKER:
        return limit.limit
    if reading.kind in ("fan assisted", "sealed"):
        return None
    outdoor = reading.outdoor_temperature
    return least_draft(COLD if outdoor is None else float(outdoor))


def _is_beyond(limit: Limit, value: float, allowed: float) -> bool:
    return value >= allowed if limit.beyond == AT_LEAST else value > allowed
