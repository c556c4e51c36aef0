"""Ratings of equipment whose label cannot be read, from its kind and the year it was made."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from retrofit_lab.physics.rating_by_age import rating_by_age
from retrofit_lab.reference_data import read_rows

_RATED = {
    "fuelheater.efficiency": "",
    "heatpump.hspf": "heat_pump",
    "airconditioner.seer": "air_conditioner",
}
_FUELS = {"natural_gas": "gas", "propane": "gas", "heating_oil": "oil"}


@cache
def _rows() -> tuple[dict[str, str], ...]:
    return tuple(read_rows("equipment_by_age.csv"))


def second_hand_rating(name: str, table: Mapping[str, Any]) -> float | None:
    """Usual rating for the year of making, or None where the record does not tell enough.

    Parameters
    ----------
    name : str
        Parameter, such as ``"heatpump.hspf"``.
    table : mapping
        The record as the house file holds it; ``made`` is the year.
    """
    year = table.get("made")
    if name not in _RATED or not isinstance(year, str) or not year.isdigit():
        return None
    kind = _RATED[name] or f"{_FUELS.get(table.get('fuel', ''), '')}_{table.get('kind', '')}"
    known = {row["kind"] for row in _rows()}
    return rating_by_age(kind, int(year), _rows()).likely if kind in known else None
