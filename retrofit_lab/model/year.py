"""The annual energy of one house: the order in which its parts are worked out, and the result.

Every number may carry leading axes (plans, draws); the last axis is months.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from retrofit_lab.base.sums import over_year, total
from retrofit_lab.base.values import Value
from retrofit_lab.climate.monthly import MonthlyClimate, warmer_climate
from retrofit_lab.house.description import House
from retrofit_lab.model.air import air
from retrofit_lab.model.balance import (
    Balance,
    Parts,
    Season,
    balance,
    ducts_of,
    line_within_days,
    place_temperatures,
    rooms_of,
    surroundings,
    with_duct_leaks,
    with_sun,
)
from retrofit_lab.model.cooling import (
    cool_rate,
    cooling_demand,
    cooling_energy,
    cooling_hours,
    ducted_cooling,
    unmet_cold,
)
from retrofit_lab.model.distribution import imbalance, moves_air
from retrofit_lab.model.electricity import Plugs, internal_gain, plugs
from retrofit_lab.model.envelope import envelope
from retrofit_lab.model.heating import (
    HeatDemand,
    SeasonEnergy,
    ducted_share,
    heat_rate,
    heating_energy,
    unmet_heat,
)
from retrofit_lab.model.hot_water import HotWaterEnergy, hot_water_energy, losses, works
from retrofit_lab.model.hour_groups import blocks_of
from retrofit_lab.model.indoor import Indoor, day_setpoint, held_temperature, house_time_constant
from retrofit_lab.model.recovery import recoveries
from retrofit_lab.model.running_hours import RunningHours, running_hours
from retrofit_lab.physics.annual_balance import (
    HOURS_PER_DAY,
    WEATHER_DAYS,
    evened_out,
    monthly_load,
    need_of_spread,
)
from retrofit_lab.physics.ducts import equipment_temperature_rise
from retrofit_lab.physics.elementwise import is_nought, larger, power, smaller
from retrofit_lab.physics.fuel_heater import run_hours
from retrofit_lab.physics.heat_pump import BTU_PER_KWH

END_USES = (
    "heating",
    "cooling",
    "blower",
    "hot_water",
    "lighting",
    "standby",
    "appliances",
    "ventilation",
)

SUN_OF_DAYS = 0.4
"""Standard deviation of the sun of single days against the month's mean. [1] Curves of daily clearness of Liu and
Jordan (memory)"""
USUALLY_ARRIVES = 0.75
"""Share of the heat that ducts deliver, before it is known. [1] (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class YearEnergy:
    """Energy of a year by fuel and end use, by month, with the states behind it.

    Parameters
    ----------
    monthly : mapping of (str, str) to Value
        Site energy by fuel and end use as heat content, electricity included. [Btu/month]
    parts : Parts
        The house in numbers.
    heating, cooling : Season
        The two seasons.
    backup : Value
        Backup heat of heat pumps. [kWh/month]
    """

    monthly: Mapping[tuple[str, str], Value]
    parts: Parts
    heating: Season
    cooling: Season
    backup: Value

    def annual(self, fuel: str, end_use: str) -> Value:
        """Energy in the year of one fuel for one end use; zero where there is none.

        Parameters
        ----------
        fuel : str
            Such as ``"natural_gas"``.
        end_use : str
            One of `END_USES`.

        Returns
        -------
        Value
            Energy. [Btu/year]

        Examples
        --------
        >>> float(year_energy(house, climate).annual("peat", "heating"))
        0.0
        """
        value = self.monthly.get((fuel, end_use), 0.0)
        return over_year(value)


def year_energy(house: House, climate: MonthlyClimate) -> YearEnergy:
    """Energy that a house takes in a year of its climate, warmer or colder than typical as its site says.

    Parameters
    ----------
    house : House
        Any of its numbers may have axes in front: stacks, draws.
    climate : MonthlyClimate
        Typical year of its place.

    Returns
    -------
    YearEnergy
        By month, with the same axes in front.

    Examples
    --------
    A year 5 F warmer takes less heat:

    >>> def burned(warmer):
    ...     site = replace(house.site, warmer_by=warmer)
    ...     found = year_energy(replace(house, site=site), climate)
    ...     return sum(float(found.annual(fuel, "heating")) for fuel, use in found.monthly if use == "heating")
    >>> burned(5.0) < burned(0.0)
    True
    """
    if not is_nought(house.site.warmer_by):
        climate = warmer_climate(climate, house.site.warmer_by)
    parts = _parts(house, climate)
    state = balance(parts)
    heating = heating_season(parts, state)
    cooling = cooling_season(parts, state)
    ambient = _year_temperatures(parts, heating, cooling)
    water = hot_water_energy(house, climate, parts.water, ambient)
    heat = _heating_energy(parts, heating)
    cold = cooling_energy(parts, cooling)
    return YearEnergy(
        monthly=_by_use(parts, heat, cold, water),
        parts=parts,
        heating=heating,
        cooling=cooling,
        backup=heat.backup,
    )


def _parts(house: House, climate: MonthlyClimate) -> Parts:
    """The house in numbers that do not hang on the season.

    Parameters
    ----------
    house : House
        As described, any number with axes in front.
    climate : MonthlyClimate
        Of its place, already as warm as its year.
    """
    water = losses(house)
    power = plugs(house, climate.latitude)
    parts = Parts(
        house=house,
        climate=climate,
        shell=envelope(house, climate),
        flows=air(house, climate, day_setpoint(house, "heating"), day_setpoint(house, "cooling")),
        water=water,
        plugs=power,
        internal=internal_gain(house, power),
        blocks=blocks_of(climate),
        taken={},
    )
    if not any(tank.kind == "heat_pump" and works(tank) for tank in house.water_heaters):
        return parts
    return replace(parts, taken=_heat_taken(parts))


def _heat_taken(parts: Parts) -> Mapping[str, Value]:
    """Heat that heat-pump tanks take from their place, at the place's temperature without them.

    Parameters
    ----------
    parts : Parts
        Without what they take.

    Returns
    -------
    mapping of str to Value
        By place. [Btu/h]
    """
    state = balance(parts)
    room = day_setpoint(parts.house, "heating")
    places = place_temperatures(state, room, parts.climate.temperature)
    return hot_water_energy(parts.house, parts.climate, parts.water, places).taken


def heating_season(parts: Parts, state: Balance) -> Season:
    """Heating of the house; leaky ducts move air for the share of time that the furnace fan runs.

    Parameters
    ----------
    parts : Parts
        House and climate.
    state : Balance
        While the fan rests.

    Returns
    -------
    Season
        With rooms as cold as heaters that are too small leave them.
    """
    season = _heating(parts, state)
    share = ducted_share(parts.house)
    # also where ducts leak nothing: how warm their air is depends on how much of the heat arrives
    if is_nought(share):
        return _as_far_as_heaters_go(parts, season)
    hours = HOURS_PER_DAY * parts.climate.days
    made = share * season.demand / season.ducts.useful
    run = smaller(run_hours(made, heat_rate(parts.house, season.outdoor)) / hours, 1.0)
    season = _heating(parts, with_duct_leaks(parts, season.state, run), season.ducts.useful)
    return _as_far_as_heaters_go(parts, replace(season, imbalance=imbalance(parts.house) * run))


def _heating(parts: Parts, state: Balance, arrives: Value = USUALLY_ARRIVES) -> Season:
    """Heating of a house whose balance is known, and about how much of its heat arrives."""
    house, flows = parts.house, parts.flows
    hours = HOURS_PER_DAY * parts.climate.days
    held = held_temperature(house, state.line, surroundings(parts, state))
    leaving = heat_leaving(parts, state, held)
    demand = heating_demand(parts, state, held, leaving)
    useful = (leaving - demand) / hours
    rooms = rooms_of(parts, "heating", state, (state.gains - useful) / state.line.inside)
    demand = demand - spared(parts, state, rooms, demand)
    made = demand * ducted_share(house) / hours
    start = state.line.base_temperature(rooms.temperature, useful)
    excess = demand / (hours * state.line.outside)
    when = running_hours(parts, state, excess, start, cooling=False)
    outdoor = when.outdoor
    # where a heat pump cannot make it all, backup warms the same air
    rate = larger(heat_rate(house, outdoor), made / arrives)
    rise = equipment_temperature_rise(rate, house.ducts.flow, flows.heat_coefficient)
    sunny = with_sun(state, when.sun)
    places = place_temperatures(sunny, rooms.temperature, outdoor)
    return Season(
        state=state,
        rooms=rooms,
        demand=demand,
        useful=useful,
        # what is spared while rooms fall leaves the heat of a day to fewer hours
        ducts=ducts_of(
            parts, sunny, places, rise, made=made, peak=when.peak / (1.0 - rooms.falling)
        ),
        imbalance=0.0,
        outdoor=outdoor,
    )


def _as_warmed_up(parts: Parts, season: Season) -> Season:
    """The same season with rooms that heat pumps bring back up as slowly as they can after setbacks.

    Parameters
    ----------
    parts : Parts
        House and climate.
    season : Season
        With rooms that come back at once.

    Returns
    -------
    Season
        With less demand, as the rooms are later.
    """
    if is_nought(season.rooms.recovery) or not parts.house.heat_pumps:
        return season
    mornings = recoveries(parts, season)
    pumps = [pump for pump in parts.house.heat_pumps if pump.key in mornings]
    late = total([pump.share * mornings[pump.key].late for pump in pumps]) / HOURS_PER_DAY
    late = smaller(late, season.rooms.far)
    behind = replace(season.rooms, fallen=late)
    demand = season.demand - spared(parts, season.state, behind, season.demand)
    rooms = replace(
        season.rooms,
        temperature=season.rooms.temperature - late,
        fallen=season.rooms.fallen + late,
    )
    return replace(season, rooms=rooms, demand=larger(demand, 0.0), mornings=mornings)


def _as_far_as_heaters_go(parts: Parts, season: Season) -> Season:
    """The same season with rooms as cold as heaters that are too small leave them.

    Parameters
    ----------
    parts : Parts
        House, with its heaters, and climate.
    season : Season
        With rooms at their setting.

    Returns
    -------
    Season
        What is missing is in ``unmet``. [Btu/month]
    """
    season = _as_warmed_up(parts, season)
    demand = heat_demand(season)
    unmet = unmet_heat(parts.house, parts.climate, demand, season.ducts.useful)
    if is_nought(unmet):
        return season
    hours = HOURS_PER_DAY * parts.climate.days
    room = season.rooms.temperature - unmet / (season.state.line.inside * hours)
    rooms = replace(season.rooms, temperature=room)
    return replace(season, rooms=rooms, demand=season.demand - unmet, unmet=unmet)


def heat_demand(season: Season) -> HeatDemand:
    """What the rooms ask of the heaters in a season, with the line behind it.

    Parameters
    ----------
    season : Season
        Heating of one house.

    Returns
    -------
    HeatDemand
        By month.

    Examples
    --------
    >>> season = year_energy(house, climate).heating
    >>> heat_demand(season).month is season.demand
    True
    """
    line, rooms = season.state.line, season.rooms
    return HeatDemand(
        month=season.demand,
        slope=line.outside,
        base=line.base_temperature(season.rooms.temperature, season.useful),
        idle_above=line.base_temperature(season.rooms.temperature, season.state.gains),
        recovery_per_day=rooms.recovery,
        fallen=rooms.fallen,
        by_night=rooms.by_night,
        falling=rooms.falling,
        mornings=season.mornings,
    )


def heat_leaving(parts: Parts, state: Balance, room: Value) -> Value:
    """Heat that leaves rooms of a given temperature in a month, on days colder than they are.

    Parameters
    ----------
    parts : Parts
        For the degree days.
    state : Balance
        Loss line.
    room : Value
        Temperature of the rooms. [F]

    Returns
    -------
    Value, shape (..., 12)
        Heat. [Btu]

    Examples
    --------
    >>> parts = year_energy(house, climate).parts
    >>> state = balance(parts)
    >>> bool((heat_leaving(parts, state, 72.0) >= heat_leaving(parts, state, 68.0)).all())
    True
    """
    base = state.line.base_temperature(room, 0.0)
    return monthly_load(state.line, parts.climate.degree_days.heating(base))


def heating_demand(parts: Parts, state: Balance, room: Value, leaving: Value) -> Value:
    """Heat that the rooms ask for in a month, when sun, people and machines make up for their part.

    What is missing varies with the temperature of the hours and the sun in them, and with warm and cold, bright
    and dull days; the mass of the house evens that out. Heat is made where anything is left above zero.

    Parameters
    ----------
    parts, state : Parts, Balance
        House, climate and its balance.
    room : Value
        Held temperature of the rooms. [F]
    leaving : Value
        From `heat_leaving`. [Btu]

    Returns
    -------
    Value, shape (..., 12)
        Heat; between what leaves and that less all gains. [Btu]

    Examples
    --------
    >>> year = year_energy(house, climate)
    >>> state, hours = year.heating.state, 24.0 * climate.days
    >>> left = heat_leaving(year.parts, state, 70.0)
    >>> need = heating_demand(year.parts, state, 70.0, left)
    >>> bool(np.all(need <= left)), bool(np.all(need >= left - state.gains * hours))
    (True, True)
    """
    hours, line = HOURS_PER_DAY * parts.climate.days, state.line
    missing = line.outside * (line.base_temperature(room, state.gains) - parts.climate.temperature)
    need = hours * need_of_spread(missing, deviation_of_need(parts, state))
    least = leaving - state.gains * hours
    # something may take more from the rooms than people and sun give them
    return smaller(larger(need, least), larger(leaving, least))


def deviation_of_need(parts: Parts, state: Balance) -> Value:
    """Standard deviation over hours and days of what rooms miss, evened out by mass. [Btu/h]

    Parameters
    ----------
    parts, state : Parts, Balance
        House, climate and its balance.

    Examples
    --------
    Twice the mass evens out more:

    >>> year = year_energy(house, climate)
    >>> heavy = replace(house, size=replace(house.size, heat_capacity=2.0 * house.size.heat_capacity))
    >>> more = replace(year.parts, house=heavy)
    >>> state = year.heating.state
    >>> bool(np.all(deviation_of_need(more, state) < deviation_of_need(year.parts, state)))
    True
    """
    line = line_within_days(parts, state, "heating")
    blocks, slope, sun = parts.blocks, line.outside, state.sun
    constant = house_time_constant(parts.house, line)
    by_clock = slope * (slope * blocks.clock_spread + 2.0 * sun * blocks.together)
    by_clock = by_clock + sun * sun * blocks.sun_spread
    by_days = slope * slope * blocks.spread + (SUN_OF_DAYS * SUN_OF_DAYS) * sun * sun
    variance = evened_out(constant, HOURS_PER_DAY) * by_clock
    variance = variance + evened_out(constant, WEATHER_DAYS * HOURS_PER_DAY) * by_days
    return power(variance, 0.5)


def spared(parts: Parts, state: Balance, rooms: Indoor, demand: Value) -> Value:
    """Heat of a month that colder rooms in periods with another setting spare.

    Parameters
    ----------
    parts, state : Parts, Balance
        House, climate and its balance.
    rooms : Indoor
        By how much rooms have fallen, and how far they tend.
    demand : Value
        Heat of the month without these periods. [Btu]

    Returns
    -------
    Value, shape (..., 12)
        Heat. [Btu]

    Notes
    -----
    What leaves less then is heat that would have been made: no one uses the sun of noon at night. But no
    more than the heater makes in such periods can be spared; in mild months the mass of the house carries
    part of them. Colder rooms draw less air, too.

    Examples
    --------
    Where nothing is asked of the heater, nothing can be spared:

    >>> season = year_energy(house, climate).heating
    >>> parts, fallen = year_energy(house, climate).parts, replace(season.rooms, fallen=2.0, far=5.0)
    >>> float(np.max(spared(parts, season.state, fallen, 0.0)))
    0.0
    >>> bool(np.all(spared(parts, season.state, fallen, season.demand) <= season.demand))
    True
    """
    if is_nought(rooms.fallen):
        return 0.0
    hours = HOURS_PER_DAY * parts.climate.days
    drawn = parts.flows.heat_coefficient * parts.flows.natural * parts.flows.by_stack
    made = smaller(demand / larger(state.line.inside * rooms.far * hours, 1.0), 1.0)
    return (state.line.inside + drawn) * rooms.fallen * hours * made


def cooling_season(parts: Parts, state: Balance) -> Season:
    """Cooling of the house; leaky ducts move air for the share of time that the furnace fan runs.

    Parameters
    ----------
    parts : Parts
        House and climate.
    state : Balance
        While the fan rests.

    Returns
    -------
    Season
        With rooms as warm as air conditioners that are too small leave them.
    """
    house = parts.house
    rooms = rooms_of(parts, "cooling", state)
    when = cooling_hours(parts, state, rooms.temperature)
    season = _cooling(parts, state, rooms, when)
    share = ducted_cooling(house)
    if is_nought(share) or not moves_air(house):
        return _as_far_as_coolers_go(parts, season, when)
    hours = HOURS_PER_DAY * parts.climate.days
    made = share * season.demand / season.ducts.useful
    run = smaller(run_hours(made, cool_rate(house, parts.climate)) / hours, 1.0)
    leaky = with_duct_leaks(parts, state, run)
    season = _cooling(parts, leaky, rooms_of(parts, "cooling", leaky), when)
    season = replace(season, imbalance=imbalance(house) * run)
    return _as_far_as_coolers_go(parts, season, when)


def _cooling(parts: Parts, state: Balance, rooms: Indoor, when: RunningHours) -> Season:
    """Cooling of a house whose balance is known, its ducts where they are in the hours of the air conditioner."""
    house, flows = parts.house, parts.flows
    cold = -cool_rate(house, parts.climate)
    rise = equipment_temperature_rise(cold, house.ducts.flow, flows.heat_coefficient)
    demand = cooling_demand(parts, state, rooms.temperature)
    made = -demand * ducted_cooling(house) / (HOURS_PER_DAY * parts.climate.days)
    hot = with_sun(state, when.sun)
    places = place_temperatures(hot, rooms.temperature, when.outdoor)
    return Season(
        state=state,
        rooms=rooms,
        demand=demand,
        ducts=ducts_of(parts, hot, places, rise, made=made, peak=when.peak),
        imbalance=0.0,
        outdoor=when.outdoor,
    )


def _as_far_as_coolers_go(parts: Parts, season: Season, when: RunningHours) -> Season:
    """The same season with rooms as warm as air conditioners that are too small leave them.

    Parameters
    ----------
    parts : Parts
        House, with its air conditioners, and climate.
    season : Season
        With rooms at their setting.
    when : RunningHours
        Shape of the load.

    Returns
    -------
    Season
        What is missing is in ``unmet``. [Btu/month]
    """
    unmet = unmet_cold(parts, season, when)
    if is_nought(unmet):
        return season
    hours = HOURS_PER_DAY * parts.climate.days
    room = season.rooms.temperature + unmet / (season.state.line.inside * hours)
    rooms = replace(season.rooms, temperature=room)
    return replace(season, rooms=rooms, demand=season.demand - unmet, unmet=unmet)


def _year_temperatures(parts: Parts, heating: Season, cooling: Season) -> dict[str, Value]:
    """Temperatures of a month in which the house heats, cools or does neither.

    Parameters
    ----------
    parts : Parts
        Climate.
    heating, cooling : Season
        Bounds between which the rooms float.

    Returns
    -------
    dict of str to Value
        By place. [F]
    """
    state = heating.state
    outdoor = parts.climate.temperature
    floating = state.line.floating_temperature(outdoor, state.gains)
    room = np.minimum(np.maximum(floating, heating.rooms.temperature), cooling.rooms.temperature)
    return place_temperatures(state, room, outdoor)


def _heating_energy(parts: Parts, season: Season) -> SeasonEnergy:
    """What the heaters take for the heating of a house.

    Parameters
    ----------
    parts : Parts
        House, with its heaters, and climate.
    season : Season
        Demand and ducts.

    Returns
    -------
    SeasonEnergy
        By month.
    """
    return heating_energy(parts.house, parts.climate, heat_demand(season), season.ducts.useful)


def _by_use(
    parts: Parts, heat: SeasonEnergy, cold: SeasonEnergy, water: HotWaterEnergy
) -> dict[tuple[str, str], Value]:
    """Energy of the months by fuel and end use, as heat content.

    Parameters
    ----------
    parts : Parts
        Power of what is switched on.
    heat, cold : SeasonEnergy
        What heaters and air conditioners take.
    water : HotWaterEnergy
        What the water takes.

    Returns
    -------
    dict of (str, str) to Value
        Site energy. [Btu/month]
    """
    hours = HOURS_PER_DAY * parts.climate.days
    result: defaultdict[tuple[str, str], Value] = defaultdict(float)
    for fuel, used in heat.fuel.items():
        result[fuel, "heating"] = result[fuel, "heating"] + used
    for fuel, used in cold.fuel.items():
        result[fuel, "cooling"] = result[fuel, "cooling"] + used * BTU_PER_KWH
    for fuel, used in water.fuel.items():
        result[fuel, "hot_water"] = result[fuel, "hot_water"] + used * hours
    result["electricity", "blower"] = (heat.fan + cold.fan) * BTU_PER_KWH
    for end_use, watts in _electric(parts.plugs).items():
        result["electricity", end_use] = watts * hours * BTU_PER_KWH / 1000.0
    for fuel, watts in parts.plugs.appliances.items():
        result[fuel, "appliances"] = watts * hours * BTU_PER_KWH / 1000.0
    return dict(result)


def _electric(power: Plugs) -> dict[str, Value]:
    return {
        "lighting": power.lighting,
        "standby": power.standby,
        "ventilation": power.ventilation,
    }
