"""Cooling load and energy of a described house, with windows opened while it is mild outdoors."""

from dataclasses import dataclass

import numpy as np

from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import INSIDE, AirConditioner, House
from retrofit_lab.model.balance import Balance, Parts, Season
from retrofit_lab.model.distribution import leaks_outside
from retrofit_lab.model.heating import SeasonEnergy, fan_watts
from retrofit_lab.physics.air_conditioner import (
    cooling_capacity,
    latent_load,
    latent_share,
    room_humidity,
    seasonal_input,
    site_seer,
)
from retrofit_lab.physics.air_properties import air_heat_coefficient
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY, regain
from retrofit_lab.physics.elementwise import larger, smaller
from retrofit_lab.physics.fan import fan_energy, fan_heat
from retrofit_lab.physics.internal_gains import people_latent_gain
from retrofit_lab.sums import total
from retrofit_lab.values import FloatArray, Value

USUAL_HUMIDITY = 0.0100
"""Moisture of rooms that are cooled in a damp climate, about 50 % at 76 F. [lb/lb] (common practice)"""
SUN_AT_ONCE = 0.75
"""Share of the sun through windows that is a load within three hours; the rest is given off by floors and
furniture over day and night. [1] Radiant time series of light and medium construction, ASHRAE Fundamentals
(memory)"""
BLOCK = 2
"""Hours of the clock, and groups of sorted hours, that are taken together to find when the cooler runs.
Chosen by convergence, see `tests/model/test_cooling_hours.py`. [1]"""
LEAST_LOAD = 1e-6
"""Keeps means defined where nothing is cooled. [F]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingHours:
    """The hours of a month in which the cooler runs, each weighted by its load.

    ``outdoor`` is their mean temperature [F], ``sun`` the sun in them against that of day and night
    together [1], ``shape`` the load in equal groups of hours, cold to warm, against that of day and night,
    shape (..., 12, groups). [1]
    """

    outdoor: Value
    sun: Value
    shape: FloatArray

    @property
    def peak(self) -> Value:
        """Load in the hours of the cooler against that of day and night. [1]"""
        return np.asarray(
            np.einsum("...g,...g->...", self.shape, self.shape) / self.shape.shape[-1]
        )

    def beyond(self, mean: Value, most: Value) -> Value:
        """Part of a mean load that a cooler of limited output cannot make, in the unit of both."""
        over = np.maximum(self.shape * _with_groups(mean) - _with_groups(most), 0.0)
        return np.asarray(over.mean(axis=-1))


def cooling_days(house: House, climate: MonthlyClimate, base: Value) -> tuple[Value, Value]:
    """Days on which the cooler is asked for, and their degree days above a base. [day, F day]

    On days milder than the temperature below which windows are opened nothing is asked of the cooler;
    on warmer days the whole load above the base temperature is.
    """
    windows = house.site.open_window_below
    table = climate.degree_days
    limit = np.maximum(base, windows)
    days = climate.days - table.days_below(limit)
    return days, table.cooling(limit) + (limit - base) * days


def cooling_demand(parts: Parts, state: Balance, room: Value) -> Value:
    """Sensible cold to be delivered in a month. [Btu]"""
    base = state.line.base_temperature(room, state.gains)
    _, degree_days = cooling_days(parts.house, parts.climate, base)
    return HOURS_PER_DAY * state.line.outside * np.maximum(degree_days, 0.0)


def cooling_hours(parts: Parts, state: Balance, room: Value) -> CoolingHours:
    """When the cooler runs: by temperature over all hours of the month, by sun over those of a day.

    In an hour the load is a straight line in outdoor temperature and sun. Over the sorted hours of the
    month, hot days among them, the sun follows the temperature as it does by the clock.
    """
    hours = parts.climate.hours
    base = state.line.base_temperature(room, state.gains)
    days, degree_days = cooling_days(parts.house, parts.climate, base)
    excess = np.maximum(degree_days, 0.0) / np.maximum(days, 1e-9)
    clock = _blocks(hours.clock_temperature)
    clock = clock - clock.mean(axis=-1, keepdims=True)
    sun = _against_mean(_blocks(hours.clock_sun)) - 1.0
    felt = _sun_felt(parts, state)
    by_clock = np.maximum(
        _with_groups(excess + 0.0 * felt) + clock + _with_groups(felt) * sun, LEAST_LOAD
    )
    groups = _blocks(hours.groups)
    warmer = groups - groups.mean(axis=-1, keepdims=True)
    follows = (clock * sun).mean(axis=-1) / np.maximum(groups.var(axis=-1), 1e-9)
    start = np.maximum(base, parts.house.site.open_window_below)
    above = _with_groups(parts.climate.temperature - start + 0.0 * felt)
    load = np.maximum(above + (1.0 + _with_groups(felt * follows)) * warmer, LEAST_LOAD)
    return CoolingHours(
        outdoor=_mean_by(load, groups),
        sun=1.0 + _mean_by(by_clock, sun),
        shape=load / load.mean(axis=-1, keepdims=True),
    )


def _sun_felt(parts: Parts, state: Balance) -> Value:
    """By how much the mean sun, as a load of the same hours, is like warmer outdoor air. [F]"""
    through = SUN_AT_ONCE * parts.shell.sun.get(INSIDE, 0.0)
    roofs = [parts.shell.sun.get(place, 0.0) * regain(node) for place, node in state.nodes.items()]
    return (through + total(roofs)) / state.line.outside


def _with_groups(value: Value) -> Value:
    return value[..., None] if isinstance(value, np.ndarray) else value


def _blocks(hours: FloatArray) -> FloatArray:
    """Means of a few of the 24 at a time."""
    shape = (*hours.shape[:-1], hours.shape[-1] // BLOCK, BLOCK)
    return np.asarray(hours.reshape(shape).mean(axis=-1))


def _against_mean(values: FloatArray) -> FloatArray:
    mean = values.mean(axis=-1, keepdims=True)
    return np.asarray(values / np.where(mean > 0.0, mean, 1.0))


def _mean_by(weight: FloatArray, values: FloatArray) -> FloatArray:
    letters = "...mh,mh->...m" if values.ndim == 2 else "...mh,...mh->...m"
    return np.asarray(np.einsum(letters, weight, values) / weight.sum(axis=-1))


def unmet_cold(parts: Parts, season: Season, when: CoolingHours) -> Value:
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
