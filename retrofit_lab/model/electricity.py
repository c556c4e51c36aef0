"""Lights, standby, appliances and fans of a described house: what they use and what heat stays inside."""

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
    """Power of what is plugged or screwed in, monthly mean. [W]

    Parameters
    ----------
    lighting : Value, shape (..., 12)
        Lights, more of it in the dark months. [W]
    standby : Value
        Sets that wait. [W]
    appliances : mapping of str to Value
        By fuel, a gas dryer as the heat in its gas. [W]
    ventilation : Value
        Fans that run by the clock. [W]
    inside : Value
        Part of all of it that warms the rooms. [W]
    """

    lighting: Value
    standby: Value
    appliances: Mapping[str, Value]
    ventilation: Value
    inside: Value


def plugs(house: House, latitude: float) -> Plugs:
    """Mean power of all that is plugged or screwed in, by month; lights follow the dark hours.

    Parameters
    ----------
    house : House
        Its lights, standby loads, appliances and fans.
    latitude : float
        Of the place, north positive. [degree]

    Returns
    -------
    Plugs
        Power by end use. [W]

    Examples
    --------
    A bulb of 60 W that burns 6 h a day takes 15 W in the mean of the year:

    >>> bulb = replace(house.lamps[0], watts=60.0, count=1.0, hours=6.0)
    >>> round(float(plugs(replace(house, lamps=(bulb,)), 40.0).lighting.mean()), 9)
    15.0
    """
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
    """Power of appliances by their fuel, electricity always among them. [W]

    Parameters
    ----------
    house : House
        Its appliances.
    power : list of Value
        Of each, in their order. [W]
    """
    found: dict[str, Value] = {ELECTRICITY: 0.0}
    for item, watts in zip(house.appliances, power, strict=True):
        found[item.fuel] = found.get(item.fuel, 0.0) + watts
    return found


@cache
def _lighting_season(latitude: float) -> FloatArray:
    """Lighting of each month at a latitude; the same for every house of a climate, so kept.

    Parameters
    ----------
    latitude : float
        North positive. [degree]

    Returns
    -------
    ndarray, shape (12,)
        Factor, not to be written to. [1]
    """
    season = lighting_season_at(latitude)
    season.flags.writeable = False
    return season


def internal_gain(house: House, power: Plugs) -> Value:
    """Sensible heat from people and from what is switched on. [Btu/h]

    Parameters
    ----------
    house : House
        How many live there.
    power : Plugs
        From `plugs`; what of it stays inside is counted.

    Returns
    -------
    Value
        Heat, mean of day and night. [Btu/h]

    Examples
    --------
    Nothing switched on and no one home leaves nothing:

    >>> empty = replace(house, lamps=(), standby=(), appliances=(), size=replace(house.size, occupants=0.0))
    >>> float(np.max(internal_gain(empty, plugs(empty, 40.0))))
    0.0
    """
    return people_gain(house.size.occupants) + power.inside * 3.41214
