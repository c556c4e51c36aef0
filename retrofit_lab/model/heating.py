"""Fuel and electricity that the heaters of a described house take for the heat they make."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import FuelHeater, HeatPump, House
from retrofit_lab.model.hour_groups import (
    HourGroups,
    beyond,
    hour_groups,
    load_rates,
    share_of_clock,
    with_groups,
)
from retrofit_lab.model.indoor import NIGHT
from retrofit_lab.physics.annual_balance import HOURS_PER_DAY
from retrofit_lab.physics.elementwise import is_nought, larger, smaller
from retrofit_lab.physics.fan import fan_energy, fan_heat
from retrofit_lab.physics.fuel_heater import fuel_input, pilot_input, run_hours
from retrofit_lab.physics.heat_pump import (
    BTU_PER_KWH,
    capacity_share,
    heat_pump_months,
    ratings_from_hspf,
)
from retrofit_lab.physics.thermostat import LONGEST_RECOVERY, SlowRecovery

DUCTED_KINDS = ("furnace",)
RATED_FAN_WATTS_PER_CFM = 0.365
"""Blower power that the seasonal ratings of heat pumps and air conditioners already hold. [W/cfm]"""
SPARED_HOURS = (22, 23, 0, 1, 2, 3, 4, 5, 6, 7, 8)
"""Hours of the clock of a night's setback and of the recovery before backup may help. (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonEnergy:
    """What a season takes, by month.

    Parameters
    ----------
    fuel : mapping of str to Value
        By fuel; of heaters as heat content [Btu], of air conditioners as electricity. [kWh]
    fan : Value
        Electricity of the furnace fan. [kWh]
    backup : Value
        Backup heat of heat pumps, part of ``fuel``. [kWh]
    """

    fuel: Mapping[str, Value]
    fan: Value
    backup: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatDemand:
    """Heat that the rooms ask for in a month and the line behind it.

    Parameters
    ----------
    month : Value, shape (..., 12)
        Heat. [Btu]
    slope : Value
        Loss per degree of outdoor temperature. [Btu/(h F)]
    base : Value
        Base of the degree days: where loss equals what of the gains is of use. [F]
    idle_above : Value
        Outdoor temperature at which all gains together hold the rooms. [F]
    recovery_per_day : Value
        Heat that brings rooms back up after setbacks. [Btu/day]
    fallen : Value
        By how much setbacks make rooms colder in the mean of day and night. [F]
    by_night : Value
        Share of the heat of recovery that ends nights. [1]
    falling : Value
        Share of all hours, at night, in which rooms fall to a lower setting and no heat is made. [1]
    mornings : mapping of str to SlowRecovery
        How each heat pump brings the rooms back up, by its key.
    """

    month: Value
    slope: Value
    base: Value
    idle_above: Value
    recovery_per_day: Value
    fallen: Value = 0.0
    by_night: Value = 1.0
    falling: Value = 0.0
    mornings: Mapping[str, SlowRecovery] = field(default_factory=dict)


def ducted_share(house: House) -> Value:
    """Share of the heat that goes through the ducts. [1]

    Parameters
    ----------
    house : House
        Its furnaces, and heat pumps with ducts.

    Returns
    -------
    Value
        Share.

    Examples
    --------
    >>> ducted_share(replace(house, fuel_heaters=(), heat_pumps=()))
    0.0
    """
    furnaces = [h.share for h in house.fuel_heaters if h.kind in DUCTED_KINDS]
    pumps = [pump.share for pump in house.heat_pumps if pump.ducted == "yes"]
    return total([*furnaces, *pumps])


def heat_rate(house: House, outdoor: Value) -> Value:
    """Heat that the ducted equipment makes while it runs, at an outdoor temperature.

    Parameters
    ----------
    house : House
        Its furnaces and heat pumps; where nothing is ducted a usual size is used, on which nothing depends.
    outdoor : Value
        Outdoor temperature, weighted by the load. [F]

    Returns
    -------
    Value
        Heat, weighted by the shares of the heaters. [Btu/h]

    Examples
    --------
    A furnace alone makes what its label says, however cold it is:

    >>> furnace = replace(house.fuel_heaters[0], kind="furnace", share=1.0, capacity=60_000.0)
    >>> float(heat_rate(replace(house, fuel_heaters=(furnace,), heat_pumps=()), -10.0))
    60000.0
    """
    makers = [(h.share, h.capacity) for h in house.fuel_heaters if h.kind in DUCTED_KINDS]
    left = capacity_share(outdoor) if house.heat_pumps else 1.0
    makers += [(p.share, p.capacity * left) for p in house.heat_pumps if p.ducted == "yes"]
    shares = total(share for share, _ in makers) if makers else 1.0
    rate = total(share * power for share, power in makers) if makers else 40_000.0
    return rate / np.maximum(shares, 1e-9)


def heating_energy(
    house: House, climate: MonthlyClimate, demand: HeatDemand, useful: Value
) -> SeasonEnergy:
    """What all heaters take to deliver a month's demand through ducts of given effectiveness.

    Parameters
    ----------
    house : House
        Its heaters, each by its share of the heat.
    climate : MonthlyClimate
        Its hours, for heat pumps, and its days, for pilots.
    demand : HeatDemand
        What the rooms ask for.
    useful : Value
        Share of what goes into the ducts that counts in the rooms, from `Distribution`. [1]

    Returns
    -------
    SeasonEnergy
        Fuel [Btu], electricity of the fan and backup heat. [kWh]

    Examples
    --------
    A boiler of 80 % without ducts burns 1.25 times the heat:

    >>> boiler = replace(
    ...     house.fuel_heaters[0], kind="boiler", fuel="natural_gas", share=1.0, efficiency=0.8, pilot=0.0
    ... )
    >>> plain = replace(house, fuel_heaters=(boiler,), heat_pumps=())
    >>> demand = HeatDemand(
    ...     month=np.full(12, 8.0e6), slope=400.0, base=60.0, idle_above=60.0, recovery_per_day=0.0
    ... )
    >>> heating_energy(plain, climate, demand, 1.0).fuel["natural_gas"][:2].tolist()
    [10000000.0, 10000000.0]
    """
    fuel: defaultdict[str, Value] = defaultdict(float)
    fan: Value = 0.0
    backup: Value = 0.0
    for heater in house.fuel_heaters:
        burned, blown = _fuel_heater(house, heater, heater_load(heater, demand, useful))
        # never in place: what comes later may have axes that what came first has not
        fuel[heater.fuel] = fuel[heater.fuel] + burned + _pilot(heater, climate, demand)
        fan = fan + blown
    for pump in house.heat_pumps:
        part = useful if pump.ducted == "yes" else 1.0
        taken, blown, extra = _heat_pump(house, pump, climate, demand, part)
        fuel["electricity"] = fuel["electricity"] + taken
        fan, backup = fan + blown, backup + extra
    return SeasonEnergy(fuel=fuel, fan=fan, backup=backup)


def heater_load(heater: FuelHeater, demand: HeatDemand, useful: Value) -> Value:
    """Heat that one heater is to make in a month, what its ducts lose included.

    Parameters
    ----------
    heater : FuelHeater
        Its share and kind; only a furnace heats through the ducts.
    demand : HeatDemand
        What the rooms ask for.
    useful : Value
        Share that the ducts bring. [1]

    Returns
    -------
    Value, shape (..., 12)
        Heat. [Btu]

    Examples
    --------
    >>> furnace = replace(house.fuel_heaters[0], kind="furnace", share=0.5)
    >>> demand = HeatDemand(month=8.0e6, slope=400.0, base=60.0, idle_above=60.0, recovery_per_day=0.0)
    >>> heater_load(furnace, demand, 0.8)
    5000000.0
    """
    return heater.share * demand.month / _reaches(heater, useful)


def unmet_heat(house: House, climate: MonthlyClimate, demand: HeatDemand, useful: Value) -> Value:
    """Part of a month's demand that fuel heaters are too small for in the coldest hours.

    Heat pumps have backup heat and are never too small.

    Parameters
    ----------
    house : House
        Its fuel heaters.
    climate : MonthlyClimate
        Its hours.
    demand : HeatDemand
        What the rooms ask for at their setting.
    useful : Value
        Share that the ducts bring. [1]

    Returns
    -------
    Value, shape (..., 12), or 0
        Heat in the rooms that is missing. [Btu]

    Examples
    --------
    Nothing is missing where heaters are of any size:

    >>> heaters = tuple(replace(heater, capacity=1e9) for heater in house.fuel_heaters)
    >>> demand = HeatDemand(
    ...     month=np.full(12, 8.0e6), slope=400.0, base=60.0, idle_above=60.0, recovery_per_day=0.0
    ... )
    >>> unmet_heat(replace(house, fuel_heaters=heaters), climate, demand, 1.0)
    0.0
    """
    unmet: Value = 0.0
    peak = demand.slope * (demand.base - climate.hours.coldest)
    groups = hour_groups(climate)
    for heater in house.fuel_heaters:
        if np.any(heater.share * peak > heater.capacity * _reaches(heater, useful)):
            rate = load_rates(groups, heater_load(heater, demand, useful), demand.base)
            unmet = unmet + beyond(rate, groups, heater.capacity) * _reaches(heater, useful)
    return unmet


def _reaches(heater: FuelHeater, useful: Value) -> Value:
    """Share of a heater's heat that counts in the rooms: through the ducts, or all of it. [1]

    Parameters
    ----------
    heater : FuelHeater
        Only a furnace heats through the ducts.
    useful : Value
        Share that the ducts bring. [1]
    """
    return useful if heater.kind in DUCTED_KINDS else 1.0


def _fuel_heater(house: House, heater: FuelHeater, made: Value) -> tuple[Value, Value]:
    """Fuel and electricity of the furnace fan for the heat of a month.

    Parameters
    ----------
    house : House
        Its fan.
    heater : FuelHeater
        Its kind, efficiency and size.
    made : Value
        Heat to be made, what ducts lose included. [Btu]

    Returns
    -------
    tuple of Value
        Fuel [Btu], less what the fan's own heat spares, and electricity. [kWh]
    """
    if heater.kind not in DUCTED_KINDS:
        return fuel_input(made, heater.efficiency), 0.0
    watts = house.ducts.fan_watts
    burned = np.maximum(made - run_hours(made, heater.capacity) * fan_heat(watts), 0.0)
    return fuel_input(burned, heater.efficiency), fan_energy(made, heater.capacity, watts)


def _pilot(heater: FuelHeater, climate: MonthlyClimate, demand: HeatDemand) -> Value:
    """Fuel of a standing pilot on the days without heating; on the others the label holds it.

    Parameters
    ----------
    heater : FuelHeater
        Its pilot. [Btu/h]
    climate : MonthlyClimate
        Its days.
    demand : HeatDemand
        Above which temperature no one heats. [F]

    Returns
    -------
    Value, shape (..., 12)
        Fuel. [Btu]
    """
    if is_nought(heater.pilot):
        return 0.0
    idle = HOURS_PER_DAY * (climate.days - climate.degree_days.days_below(demand.idle_above))
    return heater.share * pilot_input(heater.pilot, idle)


def _heat_pump(
    house: House, pump: HeatPump, climate: MonthlyClimate, demand: HeatDemand, useful: Value
) -> tuple[Value, Value, Value]:
    """Electricity, that of the furnace fan and of backup heat for the heat of a month.

    Parameters
    ----------
    house : House
        Its ducts and fan.
    pump : HeatPump
        Share, label, size and cutout.
    climate : MonthlyClimate
        Its hours.
    demand : HeatDemand
        What the rooms ask for, and how they come back after setbacks.
    useful : Value
        Share that the ducts bring. [1]

    Returns
    -------
    tuple of Value
        All of it [Btu], the fan's and the backup's. [kWh]
    """
    if is_nought(pump.share):
        return 0.0, 0.0, 0.0
    groups = _while_heated(hour_groups(climate), climate, demand)
    recovery = _by_backup(pump, climate, demand, useful)
    # what backup makes in the mornings is asked of the compressor at no other hour
    month = larger(pump.share * demand.month / useful - recovery, 0.0)
    warming = pump.share * demand.recovery_per_day * climate.days / useful - recovery
    found = heat_pump_months(
        load_rates(groups, month, demand.base, _less_by_night(groups, climate, demand)),
        groups.hours,
        groups.temperature,
        ratings_from_hspf(with_groups(pump.hspf), with_groups(pump.capacity)),
        allowed=groups.share_above(with_groups(pump.cutout)),
        at_full=_share_at_full(warming, month),
    )
    own, rated = fan_watts(house, ducted=pump.ducted == "yes")
    run = found.run_hours + found.backup / pump.capacity
    fan_warms = found.run_hours * fan_heat(own - rated)
    spared = smaller(fan_warms / larger(month - found.backup, 1.0), 1.0)
    rated_fan = found.run_hours * rated / 1000.0
    backup_kwh = (found.backup + recovery) / BTU_PER_KWH
    compressor = larger(found.compressor - rated_fan, 0.0) * (1.0 - spared)
    return (compressor + backup_kwh) * BTU_PER_KWH, run * own / 1000.0, backup_kwh


def fan_watts(house: House, *, ducted: bool) -> tuple[Value, Value]:
    """Power of the furnace fan as it is, and as the seasonal ratings assume it. [W]

    Parameters
    ----------
    house : House
        Its ducts: power of the fan and air flow.
    ducted : bool
        Whether the unit blows through them; a room unit's own fan is in its rating.

    Returns
    -------
    tuple of Value
        Own and rated power.

    References
    ----------
    10 CFR 430 subpart B appendix M: 365 W for 1,000 cfm (memory).

    Examples
    --------
    >>> ducts = replace(house.ducts, flow=1000.0, fan_watts=500.0)
    >>> fan_watts(replace(house, ducts=ducts), ducted=True)
    (500.0, 365.0)
    """
    if not ducted:
        return 0.0, 0.0
    return house.ducts.fan_watts, RATED_FAN_WATTS_PER_CFM * house.ducts.flow


def _by_backup(pump: HeatPump, climate: MonthlyClimate, demand: HeatDemand, useful: Value) -> Value:
    """Backup heat that warms the house up after setbacks. [Btu]"""
    if pump.key not in demand.mornings:
        return 0.0
    per_day = demand.mornings[pump.key].backup
    return smaller(pump.share * per_day * climate.days, demand.month) / useful


def _while_heated(groups: HourGroups, climate: MonthlyClimate, demand: HeatDemand) -> HourGroups:
    """The same groups of hours without those of the night in which rooms fall and the heat pump rests."""
    if is_nought(demand.falling):
        return groups
    rests = share_of_clock(climate, NIGHT) * (HOURS_PER_DAY / len(NIGHT))
    return replace(groups, hours=groups.hours * (1.0 - with_groups(demand.falling) * rests))


def _less_by_night(groups: HourGroups, climate: MonthlyClimate, demand: HeatDemand) -> Value:
    """By how much setbacks lower the load of each group of hours against that of all, as outdoor degrees. [F]

    From the night on until backup may help again the rooms are colder and live on what they hold; that is made
    up for in the hours after. Cold groups have most of the hours of the night. What the hours without any heat
    spare is left out: their load is zero, and not less than another.
    """
    if is_nought(demand.recovery_per_day):
        return 0.0
    share = share_of_clock(climate, SPARED_HOURS)
    part = len(SPARED_HOURS) / HOURS_PER_DAY
    held = demand.recovery_per_day / (HOURS_PER_DAY * demand.slope * (1.0 - part))
    rests = hour_groups(climate).hours - groups.hours
    line = larger(with_groups(demand.base) - groups.temperature, 0.0)
    at_rest = (line * rests).sum(axis=-1) / (HOURS_PER_DAY * climate.days)
    less = larger(demand.by_night * (demand.fallen + held) - at_rest, 0.0)
    return with_groups(less / part) * (share - part)


def _share_at_full(warming: Value, month: Value) -> Value:
    """Share of a month's heat that warms rooms up at full output; a plain zero where nothing does. [1]

    It is at most what the rooms can live on between two days.
    """
    if is_nought(warming):
        return 0.0
    most = 1.0 - LONGEST_RECOVERY / HOURS_PER_DAY
    return smaller(larger(warming, 0.0) / larger(month, 1.0), most)
