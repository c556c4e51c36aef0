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
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY
from retrofit_lab.physics.elementwise import larger, smaller
from retrofit_lab.physics.fan import fan_energy, fan_heat
from retrofit_lab.physics.internal_gains import people_latent_gain
from retrofit_lab.sums import total
from retrofit_lab.values import FloatArray, Value

USUAL_LATENT_SHARE = 0.2
"""Moisture's share of a coil's cold in a house of usual moisture. [1] (judgement)"""
SUN_AT_ONCE = 0.5
"""Share of the sun through windows that is a load in the same hours; the rest is given off by floors and
furniture over the day and night. [1] (judgement)"""
CLOCK_BLOCK = 3
"""Hours of the clock that are taken together to find when the cooler runs. [h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingHours:
    """The hours of a month in which the cooler runs, each weighted by its load.

    ``outdoor`` is their mean temperature [F], ``sun`` the sun in them against that of day and night
    together [1], ``peak`` the load in them against that of day and night. [1]
    """

    outdoor: Value
    sun: Value
    peak: Value


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
    """When the cooler runs on a day on which it is asked for, by temperature and sun of the clock's hours."""
    hours = parts.climate.hours
    base = state.line.base_temperature(room, state.gains)
    days, degree_days = cooling_days(parts.house, parts.climate, base)
    excess = np.maximum(degree_days, 0.0) / np.maximum(days, 1e-9)
    warmer = _blocks(hours.clock_temperature)
    warmer = warmer - warmer.mean(axis=-1, keepdims=True)
    sun = _against_mean(_blocks(hours.clock_sun))
    through = SUN_AT_ONCE * parts.shell.sun.get(INSIDE, 0.0) / state.line.outside
    load = np.asarray((excess + 0.0 * through)[..., None] + warmer)
    load = load + np.asarray(through + 0.0 * excess)[..., None] * (sun - 1.0)
    np.maximum(load, 1e-6, out=load)
    whole = load.sum(axis=-1)
    return CoolingHours(
        outdoor=base + excess + _mean_by(load, warmer, whole),
        sun=_mean_by(load, sun, whole),
        peak=load.shape[-1] * np.einsum("...h,...h->...", load, load) / whole**2,
    )


def _blocks(by_clock: FloatArray) -> FloatArray:
    """Means of a few hours of the clock at a time."""
    shape = (*by_clock.shape[:-1], by_clock.shape[-1] // CLOCK_BLOCK, CLOCK_BLOCK)
    return np.asarray(by_clock.reshape(shape).mean(axis=-1))


def _against_mean(values: FloatArray) -> FloatArray:
    mean = values.mean(axis=-1, keepdims=True)
    return np.asarray(values / np.where(mean > 0.0, mean, 1.0))


def _mean_by(weight: FloatArray, values: FloatArray, whole: FloatArray) -> FloatArray:
    letters = "...mh,mh->...m" if values.ndim == 2 else "...mh,...mh->...m"
    return np.asarray(np.einsum(letters, weight, values) / whole)


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
    running = asked / (1.0 - USUAL_LATENT_SHARE) / (HOURS_PER_DAY * parts.climate.days)
    time = smaller(running / unit.capacity, 1.0)
    rooms = room_humidity(
        outdoor=outdoor,
        exchange=unit.share * latent_load(season.state.airflow, 1.0, density),
        people=unit.share * people_latent_gain(house.size.occupants),
        running=running,
        supply_leakage=supply,
        return_leakage=back,
        flow_exchange=time * latent_load(house.ducts.flow, 1.0, density),
    )
    return latent_share(rooms + back * (outdoor - rooms))


def ducted_cooling(house: House) -> Value:
    """Share of the house that is cooled through the ducts. [1]"""
    shares = [unit.share for unit in house.air_conditioners if unit.ducted == "yes"]
    return total(shares)


def cool_rate(house: House) -> Value:
    """Sensible cold that the ducted cooler makes while it runs. [Btu/h]"""
    ducted = [unit.capacity for unit in house.air_conditioners if unit.ducted == "yes"]
    return (1.0 - USUAL_LATENT_SHARE) * (total(ducted) if ducted else 30_000.0)
