"""Hot water of a described house: what is drawn, lost on the way, stored and burned; no room heat balance."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.base.sums import total
from retrofit_lab.base.values import FloatArray, Value
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House, WaterHeater
from retrofit_lab.physics.elementwise import is_nought
from retrofit_lab.physics.hot_water import (
    draw_energy,
    heat_pump_tank_cop,
    heat_taken,
    hot_fraction,
    mains_temperature,
    pipe_loss_coefficient,
    standby_coefficient,
    with_wrap,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """Conductances from hot water to the place where tank and pipes stand. [Btu/(h F)]"""

    tanks: Mapping[str, Value]
    pipes: Mapping[str, Value]
    setpoint: Value

    def conductance(self, place: str) -> Value:
        """All that warms one place per degree of difference. [Btu/(h F)]"""
        return self.tanks.get(place, 0.0) + self.pipes.get(place, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class HotWaterEnergy:
    """Fuel by kind of fuel [Btu/h, monthly mean] and heat taken from a place by heat-pump tanks. [Btu/h]"""

    fuel: Mapping[str, Value]
    taken: Mapping[str, Value]


def losses(house: House) -> Losses:
    """What tanks and pipes give to their surroundings, per degree."""
    tanks: defaultdict[str, Value] = defaultdict(float)
    for tank in house.water_heaters:
        tanks[tank.place] = tanks[tank.place] + tank.share * jacket_coefficient(tank)
    pipe = house.hot_water
    per_foot = pipe_loss_coefficient(pipe.pipe_diameter, pipe.pipe_insulation)
    pipes = {pipe.pipe_place: per_foot * pipe.pipe_length * pipe.pipe_hours / 24.0}
    return Losses(tanks=tanks, pipes=pipes, setpoint=mean_setpoint(house))


def jacket_coefficient(tank: WaterHeater) -> Value:
    """Standby loss of a tank through its jacket, per degree. [Btu/(h F)]"""
    return standby_coefficient(tank.volume, with_wrap(tank.r_tank, tank.r_wrap))


def mean_setpoint(house: House) -> Value:
    """Temperature of the water in the tanks, by share. [F]"""
    return total(tank.share * tank.setpoint for tank in house.water_heaters)


def mains(climate: MonthlyClimate) -> FloatArray:
    """Temperature of the water that comes in, by month. [F]"""
    return mains_temperature(climate.annual_mean, climate.annual_amplitude)


def drawn_hot(house: House, climate: MonthlyClimate) -> Value:
    """Hot water that leaves the tank in a day, with what runs off while waiting. [gal/day]"""
    use = house.hot_water
    people = house.size.occupants
    mixed = people * (
        use.showers * use.shower_minutes * use.shower_flow + use.tap_minutes * use.tap_flow
    )
    at_tap = mixed * hot_fraction(use.mixed_temperature, mains(climate), mean_setpoint(house))
    return at_tap + use.machine_gallons + use.waits * use.wait_volume


def hot_water_energy(
    house: House, climate: MonthlyClimate, water: Losses, ambient: Mapping[str, Value]
) -> HotWaterEnergy:
    """Fuel that the water takes, given the temperature of each place. [F by place]"""
    rise = water.setpoint - mains(climate)
    drawn = draw_energy(drawn_hot(house, climate), rise) / 24.0
    pipes: Value = 0.0
    for place, conductance in water.pipes.items():
        pipes = pipes + conductance * (water.setpoint - ambient[place])
    fuel: defaultdict[str, Value] = defaultdict(float)
    taken: defaultdict[str, Value] = defaultdict(float)
    for tank in house.water_heaters:
        used, cold = _tank(tank, drawn + pipes, ambient[tank.place])
        fuel[tank.fuel] = fuel[tank.fuel] + used
        taken[tank.place] = taken[tank.place] + cold
    return HotWaterEnergy(fuel=fuel, taken=taken)


def works(tank: WaterHeater) -> bool:
    """Whether a tank heats any of the water; one that an improvement only offers does not."""
    return not is_nought(tank.share)


def _tank(tank: WaterHeater, wanted: Value, ambient: Value) -> tuple[Value, Value]:
    """Fuel that a tank takes, and heat that it draws from its place. [Btu/h]"""
    if not works(tank):
        return 0.0, 0.0
    warmer = tank.setpoint - ambient
    heat = tank.share * (wanted + jacket_coefficient(tank) * warmer)
    flue = tank.share * tank.flue_loss * warmer
    if tank.kind != "heat_pump":
        return heat / tank.efficiency + flue, 0.0
    cop = heat_pump_tank_cop(tank.efficiency, ambient, tank.setpoint)
    return heat / cop + flue, heat_taken(heat, cop)
