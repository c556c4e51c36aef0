"""What newer labels of equipment say in the ratings that the model runs on, from ``data/rating_conversions.csv``."""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.description import House, WaterHeater
from retrofit_lab.physics.hot_water import fuel_for_standby, standby_coefficient

ELECTRICITY = "electricity"
JACKETS = (1.0, 50.0)
"""Range that the R-value of a jacket cannot leave, whatever the label says. [h ft2 F/Btu]"""
MOST_FLUE_LOSS = 20.0
"""Most that a flue takes. [Btu/(h F)]"""


@cache
def conversions() -> Mapping[tuple[str, str], tuple[float, float]]:
    """Slope and offset of each conversion by kind of equipment and new rating. [1]"""
    return {
        (row["kind"], row["from"]): (float(row["slope"]), float(row["offset"]))
        for row in read_rows("rating_conversions.csv")
    }


def converted(kind: str, rating: str, value: float) -> float:
    """Old rating of equipment from the new one on its label. [unit of the rating]

    Examples
    --------
    >>> round(converted("heat_pump_ducted", "hspf2", 7.5), 2)
    8.82
    >>> round(converted("air_conditioner_ducted", "seer2", 14.3), 2)
    15.05
    """
    slope, offset = conversions()[kind, rating]
    return slope * value + offset


def label_values(house: House) -> dict[str, float]:
    """Numbers of a house that follow from the labels of its equipment, by path."""
    return dict(_values(house))


def energy_factor(tank: WaterHeater) -> float | None:
    """Energy factor of a water heater by its older label, or by its newer one; None where there is neither. [1]"""
    if tank.ef is not None:
        return float(tank.ef)
    if tank.uef is None:
        return None
    return converted(_tank_kind(tank), "uef", float(tank.uef))


def _tank_kind(tank: WaterHeater) -> str:
    if tank.kind != "storage":
        return tank.kind
    return "storage_electricity" if tank.fuel == ELECTRICITY else "storage_fuel"


def _values(house: House) -> Iterator[tuple[str, float]]:
    lists: tuple[tuple[str, str, str, str], ...] = (
        ("heat_pumps", "heat_pump", "hspf2", "hspf"),
        ("air_conditioners", "air_conditioner", "seer2", "seer"),
    )
    for name, kind, new, old in lists:
        for unit in getattr(house, name):
            rating: Any = getattr(unit, new)
            if rating is not None:
                of = f"{kind}_{'ducted' if unit.ducted == 'yes' else 'ductless'}"
                yield f"{name}.{unit.key}.{old}", converted(of, new, float(rating))
    for tank in house.water_heaters:
        factor = energy_factor(tank)
        if factor is not None:
            yield from _tank_values(tank, factor)


def _tank_values(tank: WaterHeater, factor: float) -> Iterator[tuple[str, float]]:
    """What an energy factor says of one heater: of a tank its standby, of the others how well they heat."""
    path = f"water_heaters.{tank.key}"
    if tank.kind != "storage":
        yield f"{path}.efficiency", factor
        return
    burned, efficiency = float(fuel_for_standby(factor, tank.efficiency)), float(tank.efficiency)
    if tank.fuel != ELECTRICITY:
        jacket = float(standby_coefficient(tank.volume, tank.r_tank)) / efficiency
        yield f"{path}.flue_loss", min(max(burned - jacket, 0.0), MOST_FLUE_LOSS)
    elif burned > 0.0 and float(tank.volume) > 0.0:
        low, high = JACKETS
        thin = float(standby_coefficient(tank.volume, 1.0))
        yield f"{path}.r_tank", min(max(thin / (burned * efficiency), low), high)
