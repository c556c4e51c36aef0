"""Cooling load and energy of a described house, with windows opened while it is mild outdoors."""

import numpy as np

from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.model.heating import SeasonEnergy, fan_watts
from retrofit_lab.physics.air_conditioner import latent_load_infiltration, seasonal_input
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY, LossLine
from retrofit_lab.sums import total
from retrofit_lab.values import Value

INDOOR_HUMIDITY_RATIO = 0.0100
"""Moisture of indoor air that cooling keeps, about 50 % at 76 F. [lb/lb] (common practice)"""
WINDOW_STEP = 0.5


def cooling_demand(
    house: House, climate: MonthlyClimate, line: LossLine, room: Value, gains: Value
) -> Value:
    """Sensible cold to be delivered in a month. [Btu]

    On days milder than the temperature below which windows are opened nothing is asked of the
    cooler; on warmer days the whole load above the base temperature is.
    """
    base = line.base_temperature(room, gains)
    windows = house.site.open_window_below
    table = climate.degree_days
    days = (table.cooling(windows - WINDOW_STEP) - table.cooling(windows + WINDOW_STEP)) / (
        2.0 * WINDOW_STEP
    )
    below = table.cooling(windows) + (windows - base) * days
    degree_days = np.where(base < windows, below, table.cooling(np.maximum(base, windows)))
    return HOURS_PER_DAY * line.outside * np.maximum(degree_days, 0.0)


def latent_share(climate: MonthlyClimate, airflow: Value, sensible: Value, people: Value) -> Value:
    """Moisture load in a month in step with the hours of sensible cooling. [Btu]"""
    hours = HOURS_PER_DAY * climate.days
    moist = latent_load_infiltration(airflow, climate.humidity_ratio, INDOOR_HUMIDITY_RATIO)
    active = np.minimum(sensible / (hours * 6_000.0), 1.0)
    return (np.maximum(moist, 0.0) + people) * hours * active


def cooling_energy(house: House, demand: Value, latent: Value, useful: Value) -> SeasonEnergy:
    """Electricity that the coolers take for a month's demand. [Btu]"""
    fuel: Value = 0.0
    fan: Value = 0.0
    for unit in house.air_conditioners:
        ducted = unit.ducted == "yes"
        load = unit.share * (demand / (useful if ducted else 1.0) + latent)
        hours = load / unit.capacity
        own, rated = fan_watts(house, ducted=ducted)
        rated_kwh = seasonal_input(load, unit.seer) - hours * rated / 1000.0
        fuel = fuel + np.maximum(rated_kwh, 0.0)
        fan = fan + hours * own / 1000.0
    return SeasonEnergy(fuel={"electricity": fuel}, fan=fan, backup=0.0)


def cool_rate(house: House) -> Value:
    """Cold that the ducted cooler makes while it runs. [Btu/h]"""
    ducted = [unit.capacity for unit in house.air_conditioners if unit.ducted == "yes"]
    return total(ducted) if ducted else 30_000.0
