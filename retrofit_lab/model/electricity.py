"""Lamps, standby, appliances and fans of a described house: what they use and what heat stays inside."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.house.description import House
from retrofit_lab.physics.electricity import lighting_season_at
from retrofit_lab.physics.internal_gains import people_gain

DAYS_PER_YEAR = 365.0
ELECTRICITY = "electricity"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plugs:
    """Power by end use, monthly mean, that of appliances by fuel. [W]; ``inside`` is what warms the rooms. [W]"""

    lighting: Value
    standby: Value
    appliances: Mapping[str, Value]
    ventilation: Value
    inside: Value


def plugs(house: House, latitude: float) -> Plugs:
    """Mean power of all that is plugged or screwed in, by month; lamps follow the dark hours. [degree]"""
    season = _lighting_season(latitude)
    indoor = [lamp.watts * lamp.count * lamp.hours / 24.0 for lamp in house.lamps]
    lamps_inside = [w * lamp.inside for w, lamp in zip(indoor, house.lamps, strict=True)]
    standby = [load.watts * load.hours / 24.0 for load in house.standby]
    standby_inside = [w * load.inside for w, load in zip(standby, house.standby, strict=True)]
    appliances = [item.use * 1000.0 / (24.0 * DAYS_PER_YEAR) for item in house.appliances]
    kept = [w * item.inside for w, item in zip(appliances, house.appliances, strict=True)]
    return Plugs(
        lighting=season * total(indoor),
        standby=total(standby),
        appliances=_by_fuel(house, appliances),
        ventilation=total([fan.watts * fan.hours / 24.0 for fan in house.fans]),
        inside=season * total(lamps_inside) + total(standby_inside) + total(kept),
    )


def _by_fuel(house: House, power: list[Value]) -> dict[str, Value]:
    found: dict[str, Value] = {ELECTRICITY: 0.0}
    for item, watts in zip(house.appliances, power, strict=True):
        found[item.fuel] = found.get(item.fuel, 0.0) + watts
    return found


@cache
def _lighting_season(latitude: float) -> FloatArray:
    """Lighting of each month at a latitude; the same for every house of a climate, so kept. [1]"""
    season = lighting_season_at(latitude)
    season.flags.writeable = False
    return season


def internal_gain(house: House, power: Plugs) -> Value:
    """Sensible heat from people and from what is switched on. [Btu/h]"""
    return people_gain(house.size.occupants) + power.inside * 3.41214
