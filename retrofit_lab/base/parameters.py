"""Every number of a house declared once: label, unit, legal and typical range, default, spread, source.

The declarations stand in ``data/parameters.csv``; what the numbers do belongs to the rooms above.
"""

from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.texts.english_only import sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One declared number; the bounds are in its unit."""

    name: str
    label: str
    unit: str
    legal_low: float
    legal_high: float
    typical_low: float
    typical_high: float
    default: float | None
    spread: float
    spread_is_relative: bool
    way_out: str
    source: str
    mark: str

    def half_range(self, value: float) -> float:
        """Half of the 80 % range around a value that no one measured more closely. [unit]"""
        return abs(value) * self.spread if self.spread_is_relative else self.spread


class _Declared(dict[str, Parameter]):
    """Numbers by name; one that is not declared is told where it is declared."""

    def __missing__(self, name: str) -> Parameter:
        raise KeyError(sentence("base_parameters.not_declared", name=name))


@cache
def parameters() -> MappingProxyType[str, Parameter]:
    """All declared parameters by name, such as ``surface.area``."""
    rows = read_rows("parameters.csv")
    return MappingProxyType(_Declared({row["name"]: _parameter(row) for row in rows}))


def _parameter(row: dict[str, str]) -> Parameter:
    spread = row["spread"]
    relative = spread.endswith("%")
    return Parameter(
        name=row["name"],
        label=row["label"],
        unit=row["unit"],
        legal_low=float(row["legal_low"]),
        legal_high=float(row["legal_high"]),
        typical_low=float(row["typical_low"]),
        typical_high=float(row["typical_high"]),
        default=float(row["default"]) if row["default"] else None,
        spread=float(spread.rstrip("%")) / (100.0 if relative else 1.0),
        spread_is_relative=relative,
        way_out=row["way_out"],
        source=row["source"],
        mark=row["mark"],
    )
