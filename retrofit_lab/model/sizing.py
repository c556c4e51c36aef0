"""Loads of a described house at the design temperatures of its place, and heaters too small for it."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.house.checking import Oddity
from retrofit_lab.model.cooling import USUAL_HUMIDITY, ducted_cooling
from retrofit_lab.model.heating import DUCTED_KINDS, ducted_share
from retrofit_lab.model.hot_water import mains
from retrofit_lab.model.year import YearEnergy, heat_demand
from retrofit_lab.physics.air_conditioner import latent_load
from retrofit_lab.physics.air_properties import air_density_ratio
from retrofit_lab.physics.below_grade import FREEZING_POINT, frost_depth
from retrofit_lab.physics.internal_gains import people_latent_gain

BTU_PER_H = ",.0f"
WARM_ROOM, COOL_ROOM = 70.0, 75.0
"""Temperatures of the rooms that equipment is sized for in winter and in summer. [F] (Manual J, memory)"""
FELT_AT_ONCE = 0.75
"""Share of the sun of the brightest hour that the rooms feel in it, the rest is stored. [1] (handbook tables of
cooling loads of shaded glass run from 0.6 to 0.85, memory)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DesignLoads:
    """What a house asks of its equipment at the design temperatures of its place, ducts included. [Btu/h]

    Parameters
    ----------
    cold, hot : float
        Outdoor temperatures that 99 % and 1 % of the hours of a year lie above. [F]
    heating : float
        Steady loss of the house, with no credit for sun, people or machines, as the handbooks size heaters.
    sensible, latent : float
        Heat and moisture to take out in the brightest hour of a hot day. [Btu/h]
    """

    cold: float
    hot: float
    heating: float
    sensible: float
    latent: float

    @property
    def cooling(self) -> float:
        """Heat and moisture together. [Btu/h]

        Examples
        --------
        >>> DesignLoads(cold=10.0, hot=90.0, heating=4e4, sensible=2e4, latent=5e3).cooling
        25000.0
        """
        return self.sensible + self.latent


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """What a contractor sizes by: loads, and the ground and the water of the place.

    Parameters
    ----------
    loads : DesignLoads
        At the design temperatures.
    frost : float
        Depth of frost in bare soil in a usual winter; footings go by the local code. [ft]
    ground : float
        Deep ground: the year's mean. [F]
    mains_low, mains_high : float
        Water mains in their coldest and warmest month. [F]
    """

    loads: DesignLoads
    frost: float
    ground: float
    mains_low: float
    mains_high: float


def sizing_of(year: YearEnergy) -> Sizing:
    """Loads of one house, and ground and water of its place.

    Parameters
    ----------
    year : YearEnergy
        Year of one house.

    Examples
    --------
    >>> found = sizing_of(year_energy(house, climate))
    >>> found.mains_low < found.ground < found.mains_high
    True
    """
    climate = year.parts.climate
    water = mains(climate)
    return Sizing(
        loads=design_loads(year),
        frost=float(
            frost_depth(
                climate.degree_days.heating(FREEZING_POINT).sum(),
                climate.degree_days.days_below(FREEZING_POINT).sum(),
                climate.annual_mean,
            )
        ),
        ground=float(climate.annual_mean),
        mains_low=float(water.min()),
        mains_high=float(water.max()),
    )


def design_loads(year: YearEnergy) -> DesignLoads:
    """Loads of one house at the design temperatures of its place.

    Parameters
    ----------
    year : YearEnergy
        Year of one house, not of many at once.

    Returns
    -------
    DesignLoads
        The largest of the months.

    References
    ----------
    Heating: steady loss at the 99 % temperature without gains, ASHRAE Handbook Fundamentals, residential load
    calculations (memory). Cooling follows the same balance at the 1 % temperature, with the sun of the month's
    brightest hour less what the rooms store; it is no room-by-room calculation.

    Examples
    --------
    >>> loads = design_loads(year_energy(house, climate))
    >>> loads.heating > 0.0, loads.cooling > loads.sensible > 0.0
    (True, True)
    """
    climate = year.parts.climate
    cold, hot = float(climate.design_heating), float(climate.design_cooling)
    sensible, latent = _heat_to_take_out(year, hot)
    month = int(np.argmax(sensible + latent))
    return DesignLoads(
        cold=cold,
        hot=hot,
        heating=max(float(np.max(_loss_without_gains(year, cold))), 0.0),
        sensible=max(float(sensible[month]), 0.0),
        latent=float(latent[month]),
    )


def _loss_without_gains(year: YearEnergy, outdoor: float) -> Value:
    """Loss of the house at a steady outdoor temperature, with that of its ducts. [Btu/h]"""
    line, season = year.heating.state.line, year.heating
    loss = line.inside * WARM_ROOM - line.outside * outdoor - line.fixed
    return _through_ducts(loss, ducted_share(year.parts.house), season.ducts.useful)


def _heat_to_take_out(year: YearEnergy, outdoor: float) -> tuple[FloatArray, FloatArray]:
    """Sensible and latent load of the brightest hour of each month at one outdoor temperature. [Btu/h]"""
    parts, season = year.parts, year.cooling
    state, climate = season.state, parts.climate
    line, sun = state.line, climate.hours.clock_sun
    brightest = sun.max(axis=-1) / np.maximum(sun.mean(axis=-1), 1e-9)
    gains = state.inside + state.sun * brightest * FELT_AT_ONCE
    heat = line.outside * outdoor + line.fixed + gains - line.inside * COOL_ROOM
    moist = np.maximum(climate.humidity_ratio - USUAL_HUMIDITY, 0.0)
    air = latent_load(state.airflow, moist, air_density_ratio(climate.elevation_ft))
    people = people_latent_gain(parts.house.size.occupants)
    ducted = ducted_cooling(parts.house)
    sensible = _through_ducts(heat, ducted, season.ducts.useful)
    months = climate.temperature.shape
    return np.broadcast_to(sensible, months), np.broadcast_to(air + people, months)


def _through_ducts(load: Value, ducted: Value, useful: Value) -> Value:
    """What equipment must make so that a load is met, a share of it through ducts. [Btu/h]"""
    return load * (1.0 - ducted + ducted / useful)


def short_heaters(year: YearEnergy) -> tuple[Oddity, ...]:
    """Fuel heaters of one house that cannot keep it warm at the design temperature.

    Parameters
    ----------
    year : YearEnergy
        Year of one house, not of many at once.

    Returns
    -------
    tuple of Oddity
        One for each heater that is too small, with what it makes and what is asked of it. [Btu/h] Heat pumps
        have backup heat and are never named.

    Examples
    --------
    A heater of any size is enough:

    >>> heaters = tuple(replace(heater, capacity=1e9) for heater in house.fuel_heaters)
    >>> short_heaters(year_energy(replace(house, fuel_heaters=heaters), climate))
    ()
    """
    return tuple(_short(year))


def design_heat_load(year: YearEnergy) -> float:
    """Heat that the rooms of one house ask for at the heating design temperature, its gains taken off. [Btu/h]"""
    outdoor = float(year.parts.climate.design_heating)
    demand = heat_demand(year.heating)
    return float(np.max(demand.slope * (demand.base - outdoor) + _unmet_rate(year)))


def _short(year: YearEnergy) -> Iterator[Oddity]:
    outdoor = float(year.parts.climate.design_heating)
    demand = heat_demand(year.heating)
    asked = demand.slope * (demand.base - outdoor) + _unmet_rate(year)
    for heater in year.parts.house.fuel_heaters:
        reaches = year.heating.ducts.useful if heater.kind in DUCTED_KINDS else 1.0
        needed = float(np.max(heater.share * asked / reaches))
        if needed > heater.capacity:
            path = f"fuel_heaters.{heater.key}.capacity"
            yield Oddity(
                path,
                f"{path}: the heater makes {heater.capacity:{BTU_PER_H}} Btu/h; at {outdoor:.0f} F outdoors "
                f"the house asks it for {needed:{BTU_PER_H}} Btu/h. Check the label; if it is right, "
                f"the rooms get colder than the thermostat asks.",
            )


def _unmet_rate(year: YearEnergy) -> Value:
    """Heat per hour that brings rooms, which a small heater leaves cold, to their setting.

    Parameters
    ----------
    year : YearEnergy
        Year of one house.

    Returns
    -------
    Value
        Heat. [Btu/h]
    """
    return year.heating.unmet / (24.0 * year.parts.climate.days)
