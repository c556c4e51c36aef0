"""Looks up what heating and cooling equipment of a kind and year usually reaches, in rows that the caller has read."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from retrofit_lab.base.values import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingByAge:
    """A second-hand rating and how far it may be off, in ``unit``, with where it comes from."""

    low: float
    likely: float
    high: float
    unit: str
    source: str
    mark: str


def rating_by_age(kind: str, year: int, rows: Iterable[Mapping[str, str]]) -> RatingByAge:
    """Usual rating of equipment without a readable label.

    Parameters
    ----------
    kind : str
        Key of a kind in the rows, such as ``"gas_furnace"``.
    year : int
        Year of making; before the first row's the first one serves, after the last the last.
    rows : iterable of mapping
        Rows with ``kind``, ``year_from``, ``year_to``, ``low``, ``likely``, ``high``, ``unit``,
        ``source`` and ``mark``, whose years follow on each other for every kind.

    Returns
    -------
    RatingByAge
        Rating with its unit.

    Raises
    ------
    InputError
        When no row has the kind.
    """
    known = list(rows)
    mine = sorted((row for row in known if row["kind"] == kind), key=lambda row: row["year_from"])
    if not mine:
        kinds = ", ".join(sorted({row["kind"] for row in known}))
        raise InputError(f"there is no equipment '{kind}' in the table by age; known are {kinds}")
    row = next((row for row in mine if year <= int(row["year_to"])), mine[-1])
    return RatingByAge(
        low=float(row["low"]),
        likely=float(row["likely"]),
        high=float(row["high"]),
        unit=row["unit"],
        source=row["source"],
        mark=row["mark"],
    )
