"""Loads of a described house at the design temperatures of its place, and heaters too small for it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.checking import Oddity
from retrofit_lab.house.description import INSIDE, OUTDOORS, Buffer, Surface
from retrofit_lab.model.balance import Parts
from retrofit_lab.model.cooling import USUAL_HUMIDITY, ducted_cooling
from retrofit_lab.model.envelope import (
    ROOF_ABSORPTANCE,
    ROOF_KINDS,
    SHADED_KINDS,
    surface_conductance,
    window_conductance,
)
from retrofit_lab.model.heating import DUCTED_KINDS, ducted_share
from retrofit_lab.model.hot_water import mains
from retrofit_lab.model.year import YearEnergy, heat_demand
from retrofit_lab.physics.air_conditioner import latent_load
from retrofit_lab.physics.air_properties import air_density_ratio
from retrofit_lab.physics.below_grade import FREEZING_POINT, frost_depth
from retrofit_lab.physics.design_day import (
    DesignDay,
    people_and_machines,
    surface_difference,
    window_load,
)

BTU_PER_H = ",.0f"
WARM_ROOM, COOL_ROOM = 70.0, 75.0
"""Temperatures of the rooms that equipment is sized for in winter and in summer. [F] (Manual J, memory)"""
BEYOND = {
    "attic": "below attic", "kneewall": "below attic", "garage": "shaded wall", "crawlspace": "floor over crawl space",
}  # fmt: skip
"""Published kind of a surface, by the place behind it. Basements, cool in summer, bring no load."""


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
        Heat and moisture to take out in the hour of the largest load of a hot day. [Btu/h]
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
        Heat of the coldest and of the hottest day, moisture of the dampest month.

    References
    ----------
    Heating: steady loss at the 99 % temperature without gains; cooling: the residential load factor method at the
    1 % temperature; both ASHRAE Handbook Fundamentals, residential load calculations (memory). Air, and what ducts
    lose, are this house's own.

    Examples
    --------
    >>> loads = design_loads(year_energy(house, climate))
    >>> loads.heating > 0.0, loads.cooling > loads.sensible > 0.0
    (True, True)
    """
    climate = year.parts.climate
    cold = float(climate.design_heating)
    return DesignLoads(
        cold=cold,
        hot=float(climate.design_cooling),
        heating=max(float(np.max(_loss_without_gains(year, cold))), 0.0),
        sensible=max(float(_sensible(year)), 0.0),
        latent=float(np.max(_moisture(year))),
    )


def _loss_without_gains(year: YearEnergy, outdoor: float) -> Value:
    """Loss of the house at a steady outdoor temperature, with that of its ducts. [Btu/h]"""
    line, season = year.heating.state.line, year.heating
    loss = line.inside * WARM_ROOM - line.outside * outdoor - line.fixed
    return _through_ducts(loss, ducted_share(year.parts.house), season.ducts.useful)


def _sensible(year: YearEnergy) -> Value:
    """Heat to take out in the hour of the largest load of a hot day, with that of the ducts. [Btu/h]"""
    parts, state = year.parts, year.cooling.state
    day, month = design_day(parts.climate), int(np.argmax(parts.climate.temperature))
    straight = np.maximum(state.airflow - parts.flows.recovered, 0.0)
    air = _of_month(parts.flows.heat_coefficient * straight, month) * day.difference
    size = parts.house.size
    load = _through_surfaces(parts, day) + _through_windows(parts, day) + air
    load = load + people_and_machines(size.floor_area, size.occupants)[0]
    useful = _of_month(year.cooling.ducts.useful, month)
    return _through_ducts(load, ducted_cooling(parts.house), useful)


def design_day(climate: MonthlyClimate) -> DesignDay:
    """The hot day of a place: its 1 % temperature, and the range of the days of its hottest month.

    Parameters
    ----------
    climate : MonthlyClimate
        Of the place.

    Examples
    --------
    >>> design_day(climate).daily_range > 5.0
    True
    """
    clock = climate.hours.clock_temperature[int(np.argmax(climate.temperature))]
    return DesignDay(
        difference=float(climate.design_cooling) - COOL_ROOM,
        daily_range=float(clock.max() - clock.min()),
        latitude=climate.latitude,
    )


def _of_month(values: Value, month: int) -> float:
    """What holds in one month, of values by month or of one for all. [any]"""
    return float(np.broadcast_to(values, (12,))[month])


def _through_surfaces(parts: Parts, day: DesignDay) -> Value:
    """Heat through what bounds the rooms, without windows. [Btu/h]"""
    buffers = {buffer.key: buffer for buffer in parts.house.buffers}
    load: Value = 0.0
    for surface in parts.house.surfaces:
        kind = _follows(surface, buffers)
        if surface.inside == INSIDE and kind:
            beyond = buffers.get(surface.outside)
            dark = beyond.sun_absorptance if beyond else ROOF_ABSORPTANCE
            passed = surface_conductance(surface, parts.shell.films)
            load = load + passed * surface_difference(day, kind, dark)
    return load


def _follows(surface: Surface, buffers: Mapping[str, Buffer]) -> str:
    """Which of the published kinds a surface is; empty where the cool ground keeps heat away from it."""
    if surface.outside == OUTDOORS:
        if surface.kind in ROOF_KINDS:
            return "roof"
        return "open floor" if surface.kind in SHADED_KINDS else "sunlit wall"
    return BEYOND.get(buffers[surface.outside].kind, "")


def _through_windows(parts: Parts, day: DesignDay) -> Value:
    """Heat through the windows of the rooms, sun and warmth. [Btu/h]"""
    load: Value = 0.0
    for window in parts.house.windows:
        if window.inside == INSIDE:
            passed = window_conductance(window, parts.shell.films)
            glass = window.area * window.shading
            load = load + window_load(day, passed, glass, window.shgc, float(window.facing))
    return load


def _moisture(year: YearEnergy) -> Value:
    """Moisture to take out by month. [Btu/h]"""
    climate, size = year.parts.climate, year.parts.house.size
    moist = np.maximum(climate.humidity_ratio - USUAL_HUMIDITY, 0.0)
    density = air_density_ratio(climate.elevation_ft)
    air = latent_load(year.cooling.state.airflow, moist, density)
    return air + people_and_machines(size.floor_area, size.occupants)[1]


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
    """Heat that the rooms of one house ask for at the heating design temperature, its gains taken off.

    Parameters
    ----------
    year : YearEnergy
        Year of one house.

    Returns
    -------
    float
        Heat of the month that asks for most. [Btu/h]

    Examples
    --------
    It lies below the load that heaters are sized by, which takes no gains off:

    >>> year = year_energy(house, climate)
    >>> design_heat_load(year) < design_loads(year).heating
    True
    """
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
                "small_heater",
                {
                    "makes": f"{heater.capacity:{BTU_PER_H}}",
                    "outdoor": f"{outdoor:.0f}",
                    "asked": f"{needed:{BTU_PER_H}}",
                },
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
