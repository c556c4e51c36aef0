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
    """Conductances from hot water to the place where tank and pipes stand.

    Parameters
    ----------
    tanks, pipes : mapping of str to Value
        By place. [Btu/(h F)]
    setpoint : Value
        Mean temperature of the water in the tanks. [F]
    """

    tanks: Mapping[str, Value]
    pipes: Mapping[str, Value]
    setpoint: Value

    def conductance(self, place: str) -> Value:
        """All that warms one place per degree of difference. [Btu/(h F)]

        Parameters
        ----------
        place : str
            ``"house"`` or the key of a buffer zone.

        Returns
        -------
        Value
            0 where nothing hot stands. [Btu/(h F)]

        Examples
        --------
        >>> Losses(tanks={"basement": 1.5}, pipes={"basement": 0.5}, setpoint=120.0).conductance("basement")
        2.0
        """
        return self.tanks.get(place, 0.0) + self.pipes.get(place, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class HotWaterEnergy:
    """What the water takes, monthly mean.

    Parameters
    ----------
    fuel : mapping of str to Value
        By kind of fuel. [Btu/h]
    taken : mapping of str to Value
        Heat that heat-pump tanks take from the place where they stand. [Btu/h]
    """

    fuel: Mapping[str, Value]
    taken: Mapping[str, Value]


def losses(house: House) -> Losses:
    """What tanks and pipes give to their surroundings, per degree.

    Parameters
    ----------
    house : House
        Its tanks, each by its share of the water, and its pipes.

    Returns
    -------
    Losses
        By place. [Btu/(h F)]

    Examples
    --------
    Half as many hours with warm pipes, half of their loss:

    >>> pipes = house.hot_water
    >>> rarely = replace(house, hot_water=replace(pipes, pipe_hours=pipes.pipe_hours / 2.0))
    >>> losses(house).pipes[pipes.pipe_place] == 2.0 * losses(rarely).pipes[pipes.pipe_place]
    True
    """
    tanks: defaultdict[str, Value] = defaultdict(float)
    for tank in house.water_heaters:
        tanks[tank.place] = tanks[tank.place] + tank.share * jacket_coefficient(tank)
    pipe = house.hot_water
    per_foot = pipe_loss_coefficient(pipe.pipe_diameter, pipe.pipe_insulation)
    pipes = {pipe.pipe_place: per_foot * pipe.pipe_length * pipe.pipe_hours / 24.0}
    return Losses(tanks=tanks, pipes=pipes, setpoint=mean_setpoint(house))


def jacket_coefficient(tank: WaterHeater) -> Value:
    """Standby loss of a tank through its jacket, per degree.

    Parameters
    ----------
    tank : WaterHeater
        Its volume [gal], jacket and blanket. [h ft2 F/Btu]

    Returns
    -------
    Value
        Loss. [Btu/(h F)]

    Examples
    --------
    A tank of 50 gal with R-16 loses what 21 ft2 lose, see `standby_coefficient`:

    >>> tank = replace(house.water_heaters[0], volume=50.0, r_tank=16.0, r_wrap=0.0)
    >>> round(16.0 * jacket_coefficient(tank))
    21
    """
    return standby_coefficient(tank.volume, with_wrap(tank.r_tank, tank.r_wrap))


def mean_setpoint(house: House) -> Value:
    """Temperature of the water in the tanks, by share. [F]

    Parameters
    ----------
    house : House
        Its tanks; their shares add to one.

    Returns
    -------
    Value
        Temperature. [F]

    Examples
    --------
    >>> tank = house.water_heaters[0]
    >>> two = (replace(tank, share=0.25, setpoint=140.0), replace(tank, key="b", share=0.75, setpoint=120.0))
    >>> mean_setpoint(replace(house, water_heaters=two))
    125.0
    """
    return total(tank.share * tank.setpoint for tank in house.water_heaters)


def mains(climate: MonthlyClimate) -> FloatArray:
    """Temperature of the water that comes in, by month.

    Parameters
    ----------
    climate : MonthlyClimate
        Its annual mean and swing are used.

    Returns
    -------
    ndarray, shape (12,)
        Temperature, never below 33. [F]

    Examples
    --------
    In a temperate place the mains are warmest in summer:

    >>> int(np.argmax(mains(climate))) in (6, 7, 8)
    True
    """
    return mains_temperature(climate.annual_mean, climate.annual_amplitude)


def drawn_hot(house: House, climate: MonthlyClimate) -> Value:
    """Hot water that leaves the tank in a day, with what runs off while waiting.

    Parameters
    ----------
    house : House
        People, fixtures and waits.
    climate : MonthlyClimate
        For the mains: the colder they are, the more hot water a mixed tap takes.

    Returns
    -------
    Value, shape (..., 12)
        Hot water. [gal/day]

    Examples
    --------
    Machines take their water hot, whatever the mains:

    >>> machines = replace(
    ...     house.hot_water, showers=0.0, tap_minutes=0.0, waits=0.0, machine_gallons=12.0
    ... )
    >>> float(np.ptp(drawn_hot(replace(house, hot_water=machines), climate)))
    0.0
    """
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
    """Fuel that the water takes, given the temperature of each place.

    Parameters
    ----------
    house : House
        Its tanks and draws.
    climate : MonthlyClimate
        For the mains.
    water : Losses
        From `losses`.
    ambient : mapping of str to Value
        Temperature of the rooms, the buffer zones and outdoors. [F]

    Returns
    -------
    HotWaterEnergy
        Fuel, and heat taken from a place. [Btu/h]

    Notes
    -----
    What is drawn and what the pipes lose is shared out by the tanks' shares; each tank adds its own standby. A
    heat pump water heater takes part of its heat from the place where it stands, which the balance of that place must
    miss: `taken`.

    Examples
    --------
    A burner half as efficient takes twice the fuel, its flue apart:

    >>> tank = replace(house.water_heaters[0], kind="storage", share=1.0, efficiency=0.8, flue_loss=0.0)
    >>> ambient = {"house": 68.0, tank.place: 68.0, house.hot_water.pipe_place: 68.0}
    >>> def fuel(efficiency):
    ...     record = replace(house, water_heaters=(replace(tank, efficiency=efficiency),))
    ...     return hot_water_energy(record, climate, losses(record), ambient).fuel[tank.fuel]
    >>> bool(np.allclose(fuel(0.4), 2.0 * fuel(0.8)))
    True
    """
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
    """Whether a tank heats any of the water; one that an improvement only offers does not.

    Parameters
    ----------
    tank : WaterHeater
        Its share is looked at, in every variant of the house.

    Examples
    --------
    >>> works(replace(house.water_heaters[0], share=0.0)), works(replace(house.water_heaters[0], share=1.0))
    (False, True)
    """
    return not is_nought(tank.share)


def _tank(tank: WaterHeater, wanted: Value, ambient: Value) -> tuple[Value, Value]:
    """Fuel that a tank takes, and heat that it draws from its place.

    Parameters
    ----------
    tank : WaterHeater
        Share, kind, efficiency, flue and setting.
    wanted : Value
        Heat that all tanks together give to water and pipes. [Btu/h]
    ambient : Value
        Temperature round it. [F]

    Returns
    -------
    tuple of Value
        Fuel and heat. [Btu/h]
    """
    if not works(tank):
        return 0.0, 0.0
    warmer = tank.setpoint - ambient
    heat = tank.share * (wanted + jacket_coefficient(tank) * warmer)
    flue = tank.share * tank.flue_loss * warmer
    if tank.kind != "heat_pump":
        return heat / tank.efficiency + flue, 0.0
    cop = heat_pump_tank_cop(tank.efficiency, ambient, tank.setpoint)
    return heat / cop + flue, heat_taken(heat, cop)
