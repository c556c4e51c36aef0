"""The fuels: their units, heat contents, CO2 and demo prices, as ``data/fuels.csv`` has them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.shipped_files import read_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuel:
    """One fuel: its unit, heat content [Btu/unit], CO2 [kg/unit] and a demo price. [dollars/unit]"""

    key: str
    name: str
    unit: str
    heat_content: float
    co2: float
    demo_price: float
    price_as_of: str
    price_source: str


SEVERAL = {"therm": "therms", "gallon": "gallons", "cord": "cords"}


def several(unit: str) -> str:
    """What a unit of a fuel is called after a number.

    Examples
    --------
    >>> several("therm"), several("kWh")
    ('therms', 'kWh')
    """
    return SEVERAL.get(unit, unit)


@cache
def fuels() -> Mapping[str, Fuel]:
    """All fuels by key."""
    return MappingProxyType({row["key"]: _fuel(row) for row in read_rows("fuels.csv")})


def _fuel(row: Mapping[str, str]) -> Fuel:
    return Fuel(
        key=row["key"],
        name=row["name"],
        unit=row["unit"],
        heat_content=float(row["Btu_per_unit"]),
        co2=float(row["CO2_kg_per_unit"]),
        demo_price=float(row["price_dollars_per_unit"]),
        price_as_of=row["price_as_of"],
        price_source=row["price_source"],
    )
