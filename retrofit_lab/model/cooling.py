"""Cooling load and energy of a described house, with windows opened while it is mild outdoors."""

import numpy as np

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import AirConditioner, House
from retrofit_lab.model.balance import Balance, Parts, Season
from retrofit_lab.model.distribution import leaks_outside
from retrofit_lab.model.heating import SeasonEnergy, fan_watts
from retrofit_lab.model.indoor import house_time_constant
from retrofit_lab.model.running_hours import RunningHours, running_hours
from retrofit_lab.physics.air_conditioner import (
    cooling_capacity,
    latent_load,
    latent_share,
    room_humidity,
    seasonal_input,
    site_seer,
)
from retrofit_lab.physics.air_properties import air_heat_coefficient
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY, need_after_gains
from retrofit_lab.physics.elementwise import larger, smaller
from retrofit_lab.physics.fan import fan_energy, fan_heat
from retrofit_lab.physics.internal_gains import people_latent_gain

USUAL_HUMIDITY = 0.0100
"""Moisture of rooms that are cooled in a damp climate, about 50 % at 76 F. [lb/lb] (common practice)"""


def cooling_days(parts: Parts) -> tuple[FloatArray, FloatArray]:
    """Days on which the air conditioner is asked for, and the sum of their temperatures.

    On days milder than the temperature below which windows are opened nothing is asked of the air conditioner.

    Parameters
    ----------
    parts : Parts
        Climate, and ``site.open_window_below`` of the house. [F]

    Returns
    -------
    tuple of ndarray, shape (..., 12)
        Days [day] and the sum of their mean temperatures. [F day]

    Examples
    --------
    No day counted is milder than the limit:

    >>> parts = year_energy(house, climate).parts
    >>> days, temperatures = cooling_days(parts)
    >>> bool((temperatures >= parts.house.site.open_window_below * days - 1e-6).all())
    True
    """
    windows, table = parts.house.site.open_window_below, parts.climate.degree_days
    days = parts.climate.days - table.days_below(windows)
    return days, table.cooling(windows) + windows * days


def cooling_demand(parts: Parts, state: Balance, room: Value) -> Value:
    """Sensible cold to be delivered in a month.

    Parameters
    ----------
    parts : Parts
        House, climate and what does not hang on the season.
    state : Balance
        Loss line and gains.
    room : Value
        Mean temperature of the cooled rooms. [F]

    Returns
    -------
    Value, shape (..., 12)
        Cold, not below 0. [Btu]

    Notes
    -----
    What leaves the house on the days of the air conditioner spares cooling only as far as its mass carries the cool
    of the night into the day: the same factor as for gains in winter, the two changed over.

    References
    ----------
    EN ISO 13790:2008, 12.2.1.2, utilization of losses (memory).

    Examples
    --------
    Warmer rooms ask for less:

    >>> year = year_energy(house, climate)
    >>> cool, warm = (cooling_demand(year.parts, year.cooling.state, room).sum() for room in (74.0, 78.0))
    >>> bool(cool > warm >= 0.0)
    True
    """
    days, temperatures = cooling_days(parts)
    line = state.line
    leaves = line.outside * (line.base_temperature(room, 0.0) * days - temperatures)
    comes = state.gains * days
    constant = house_time_constant(parts.house, line)
    return need_after_gains(HOURS_PER_DAY * comes, HOURS_PER_DAY * leaves, constant)


def cooling_hours(parts: Parts, state: Balance, room: Value) -> RunningHours:
    """When the air conditioner runs, on days on which it is asked for.

    Parameters
    ----------
    parts : Parts
        House and climate.
    state : Balance
        Loss line and gains.
    room : Value
        Mean temperature of the cooled rooms. [F]

    Returns
    -------
    RunningHours
        Outdoor temperature and sun of the hours in which there is a load, weighted by it.
    """
    base = state.line.base_temperature(room, state.gains)
    days, temperatures = cooling_days(parts)
    excess = np.maximum(temperatures / np.maximum(days, 1e-9) - base, 0.0)
    start = np.maximum(base, parts.house.site.open_window_below)
    return running_hours(parts, state, excess, start, cooling=True)


def unmet_cold(parts: Parts, season: Season, when: RunningHours) -> Value:
    """Part of a month's demand that the air conditioners are too small for in the hottest hours.

    Parameters
    ----------
    parts : Parts
        House, with its air conditioners, and climate.
    season : Season
        Cooling, with the demand that the rooms would have at their setting.
    when : RunningHours
        From `cooling_hours`.

    Returns
    -------
    Value, shape (..., 12), or 0
        Cold that is missing. [Btu]
    """
    hours = HOURS_PER_DAY * parts.climate.days
    unmet: Value = 0.0
    for unit in parts.house.air_conditioners:
        reaches = season.ducts.useful if unit.ducted == "yes" else 1.0
        able = (
            sensible_rate(parts.climate, cooling_capacity(unit.capacity, season.outdoor)) * reaches
        )
        asked = unit.share * season.demand / hours
        if np.any(asked * when.shape[..., -1] > able):
            unmet = unmet + when.beyond(asked, able) * hours
    return unmet


def sensible_rate(climate: MonthlyClimate, capacity: Value) -> Value:
    """Sensible part of the cold that a coil makes while it runs, at the usual moisture of the rooms.

    Parameters
    ----------
    climate : MonthlyClimate
        In months drier than cooled rooms usually are, the rooms are as dry as the air outdoors.
    capacity : Value
        Cold with moisture. [Btu/h]

    Returns
    -------
    Value, shape (..., 12)
        Cold without moisture. [Btu/h]

    Examples
    --------
    >>> part = sensible_rate(climate, 36_000.0) / 36_000.0
    >>> bool((part > 0.5).all() and (part <= 1.0).all())
    True
    """
    return (1.0 - latent_share(np.minimum(climate.humidity_ratio, USUAL_HUMIDITY))) * capacity


def cooling_energy(parts: Parts, season: Season) -> SeasonEnergy:
    """Electricity that the air conditioners take for a month's demand, moisture included.

    Parameters
    ----------
    parts : Parts
        House, with its air conditioners and ducts, and climate.
    season : Season
        Cooling, from `cooling_season`.

    Returns
    -------
    SeasonEnergy
        Electricity of compressors and of the furnace fan. [kWh] Seasonal ratings hold the power of a usual fan,
        which is taken out again; what the fan takes beyond it is a load as well.

    Examples
    --------
    >>> without = year_energy(replace(house, air_conditioners=()), climate)
    >>> cooling_energy(without.parts, without.cooling).fuel["electricity"]
    0.0
    """
    fuel: Value = 0.0
    fan: Value = 0.0
    for unit in parts.house.air_conditioners:
        ducted = unit.ducted == "yes"
        own, rated = fan_watts(parts.house, ducted=ducted)
        asked = unit.share * season.demand / (season.ducts.useful if ducted else 1.0)
        able = cooling_capacity(unit.capacity, season.outdoor)
        # the fan's heat beyond that in the rating is one more load
        asked = asked * (1.0 + fan_heat(own - rated) / able)
        load = asked / (1.0 - _moisture(parts, season, unit, asked))
        taken = seasonal_input(load, site_seer(unit.seer, season.outdoor))
        fuel = fuel + larger(taken - fan_energy(load, able, rated), 0.0)
        fan = fan + fan_energy(load, able, own)
    return SeasonEnergy(fuel={"electricity": fuel}, fan=fan, backup=0.0)


def _moisture(parts: Parts, season: Season, unit: AirConditioner, asked: Value) -> Value:
    """Moisture's share of what a unit's coil takes out, from the moisture balance of the rooms.

    Parameters
    ----------
    parts : Parts
        House, its people and ducts, and the moisture outdoors.
    season : Season
        Outdoor air that comes in.
    unit : AirConditioner
        Its share and size.
    asked : Value
        Sensible cold of the month. [Btu]

    Returns
    -------
    Value, shape (..., 12)
        Share. [1]
    """
    house, outdoor = parts.house, parts.climate.humidity_ratio
    supply, back = leaks_outside(house) if unit.ducted == "yes" else (0.0, 0.0)
    density = parts.flows.heat_coefficient / air_heat_coefficient(1.0)
    time: Value = (
        asked / sensible_rate(parts.climate, unit.capacity) / (HOURS_PER_DAY * parts.climate.days)
    )
    time = smaller(time, 1.0)
    rooms = room_humidity(
        outdoor=outdoor,
        exchange=unit.share * latent_load(season.state.airflow, 1.0, density),
        people=unit.share * people_latent_gain(house.size.occupants),
        running=time * unit.capacity,
        supply_leakage=supply,
        return_leakage=back,
        flow_exchange=time * latent_load(house.ducts.flow, 1.0, density),
    )
    return latent_share(rooms + back * (outdoor - rooms))


def ducted_cooling(house: House) -> Value:
    """Share of the house that is cooled through the ducts. [1]

    Parameters
    ----------
    house : House
        Its air conditioners; room units stand in their rooms.

    Returns
    -------
    Value
        Share.

    Examples
    --------
    >>> ducted_cooling(replace(house, air_conditioners=()))
    0.0
    """
    shares = [unit.share for unit in house.air_conditioners if unit.ducted == "yes"]
    return total(shares)


def cool_rate(house: House, climate: MonthlyClimate) -> Value:
    """Sensible cold that the ducted cooler makes while it runs.

    Parameters
    ----------
    house : House
        Its air conditioners; where none has ducts a usual size is used, on which nothing depends.
    climate : MonthlyClimate
        For the moisture of the rooms.

    Returns
    -------
    Value, shape (..., 12)
        Cold. [Btu/h]
    """
    ducted = [unit.capacity for unit in house.air_conditioners if unit.ducted == "yes"]
    return sensible_rate(climate, total(ducted) if ducted else 30_000.0)
