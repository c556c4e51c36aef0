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
    """Days on which the cooler is asked for, and the sum of their temperatures. [day, F day]

    On days milder than the temperature below which windows are opened nothing is asked of the cooler.
    """
    windows, table = parts.house.site.open_window_below, parts.climate.degree_days
    days = parts.climate.days - table.days_below(windows)
    return days, table.cooling(windows) + windows * days


def cooling_demand(parts: Parts, state: Balance, room: Value) -> Value:
    """Sensible cold to be delivered in a month. [Btu]

    What leaves the house on the days of the cooler spares cold only as far as its mass carries the cool
    of the night into the day: the same factor as for gains in winter, the two changed over.
    """
    days, temperatures = cooling_days(parts)
    line = state.line
    leaves = line.outside * (line.base_temperature(room, 0.0) * days - temperatures)
    comes = state.gains * days
    constant = house_time_constant(parts.house, line)
    return need_after_gains(HOURS_PER_DAY * comes, HOURS_PER_DAY * leaves, constant)


def cooling_hours(parts: Parts, state: Balance, room: Value) -> RunningHours:
    """When the cooler runs, on days on which it is asked for."""
    base = state.line.base_temperature(room, state.gains)
    days, temperatures = cooling_days(parts)
    excess = np.maximum(temperatures / np.maximum(days, 1e-9) - base, 0.0)
    start = np.maximum(base, parts.house.site.open_window_below)
    return running_hours(parts, state, excess, start, cooling=True)


def unmet_cold(parts: Parts, season: Season, when: RunningHours) -> Value:
    """Part of a month's demand that the coolers are too small for in the hottest hours. [Btu]"""
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
    """Sensible part of the cold that a coil makes while it runs, at the usual moisture of the rooms. [Btu/h]"""
    return (1.0 - latent_share(np.minimum(climate.humidity_ratio, USUAL_HUMIDITY))) * capacity


def cooling_energy(parts: Parts, season: Season) -> SeasonEnergy:
    """Electricity that the coolers take for a month's demand, moisture included. [kWh]"""
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
    """Moisture's share of what a unit's coil takes out, from the moisture balance of the rooms. [1]"""
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
    """Share of the house that is cooled through the ducts. [1]"""
    shares = [unit.share for unit in house.air_conditioners if unit.ducted == "yes"]
    return total(shares)


def cool_rate(house: House, climate: MonthlyClimate) -> Value:
    """Sensible cold that the ducted cooler makes while it runs. [Btu/h]"""
    ducted = [unit.capacity for unit in house.air_conditioners if unit.ducted == "yes"]
    return sensible_rate(climate, total(ducted) if ducted else 30_000.0)
