"""Numbers that follow from others of the same part: a rating from the year, studs from the fill they hold."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.units import R_UNIT, read_quantity
from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import OUTDOORS
from retrofit_lab.physics.conduction import BEST_PER_INCH, WOOD_PER_INCH, framing_resistance
from retrofit_lab.physics.rating_by_age import rating_by_age

_RATED = {
    "fuelheater.efficiency": "",
    "heatpump.hspf": "heat_pump",
    "airconditioner.seer": "air_conditioner",
}
_FUELS = {"natural_gas": "gas", "propane": "gas", "heating_oil": "oil"}


@cache
def _rows() -> tuple[dict[str, str], ...]:
    return tuple(read_rows("equipment_by_age.csv"))


def usual_number(name: str, table: Mapping[str, Any]) -> float | None:
    """Number that other entries of the record make likely, or None where the declared default stands.

    Parameters
    ----------
    name : str
        Parameter, such as ``"heatpump.hspf"`` or ``"surface.r_framing"``.
    table : mapping
        The record as the house file holds it, or its fields.
    """
    if name == "surface.r_framing":
        return _framing(table)
    return second_hand_rating(name, table)


def _framing(table: Mapping[str, Any]) -> float | None:
    """Resistance of studs, rafters or joists as deep as the cavity or its fill needs. [h ft2 F/Btu]"""
    try:
        depth = _number(table, "cavity_depth", "inch")
        r_label = _number(table, "r_label", R_UNIT)
    except (InputError, TypeError):
        return None
    if depth > 0:
        return WOOD_PER_INCH * depth
    fill = table.get("fill", "none")
    open_above = table.get("kind") == "ceiling" and table.get("outside") != OUTDOORS
    if open_above or fill not in BEST_PER_INCH:
        return None
    needed = framing_resistance(r_label, fill)
    return needed if needed > framing_resistance(0.0) else None


def _number(table: Mapping[str, Any], key: str, unit: str) -> float:
    value = table.get(key, 0.0)
    return value if isinstance(value, int | float) else read_quantity(value, unit)


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
