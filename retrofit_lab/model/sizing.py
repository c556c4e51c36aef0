"""Heaters that are too small for their house at its heating design temperature, told with both numbers."""

from collections.abc import Iterator

import numpy as np

from retrofit_lab.base.values import Value
from retrofit_lab.house.checking import Oddity
from retrofit_lab.model.heating import DUCTED_KINDS
from retrofit_lab.model.year import YearEnergy, heat_demand

BTU_PER_H = ",.0f"


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
    """Heat that the rooms of one house ask for at the heating design temperature, its gains taken off. [Btu/h]"""
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
                f"{path}: the heater makes {heater.capacity:{BTU_PER_H}} Btu/h; at {outdoor:.0f} F outdoors "
                f"the house asks it for {needed:{BTU_PER_H}} Btu/h. Check the label; if it is right, "
                f"the rooms get colder than the thermostat asks.",
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
