"""In which units a report shows numbers, those of the trade or SI; the converting is done by the one registry."""

from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.units import R_UNIT, U_UNIT, for_people, registry, spelled

SYSTEMS = ("us", "si")
SI = "si"
SI_UNITS = {
    "degF": ("degC", "°C"),
    "delta_degF": ("delta_degC", "°C difference"),
    "ft": ("meter", "m"),
    "ft2": ("meter**2", "m²"),
    "ft3": ("meter**3", "m³"),
    "inch": ("millimeter", "mm"),
    "lb": ("kilogram", "kg"),
    "inH2O": ("pascal", "Pa"),
    "picocurie/liter": ("becquerel/meter**3", "Bq/m³"),
    "cfm": ("liter/second", "L/s"),
    "gallon": ("liter", "L"),
    "gallon/minute": ("liter/minute", "L/min"),
    "gallon/day": ("liter/day", "L/day"),
    "Btu/hour": ("watt", "W"),
    "Btu/hour/delta_degF": ("watt/delta_degC", "W/K"),
    "Btu/ft2/delta_degF": ("kilojoule/meter**2/delta_degC", "kJ/(m²·K)"),
    "Btu/W/hour": ("watt/watt", "W/W"),
    R_UNIT: ("meter**2*delta_degC/watt", "RSI"),
    U_UNIT: ("watt/meter**2/delta_degC", "W/(m²·K)"),
}
"""Declared units that SI shows otherwise: the unit by the registry's name, and as it is written."""
SI_FUELS = {
    "natural_gas": "kWh",
    "heating_oil": "L",
    "propane": "L",
    "wood": "m³",
}
SI_QUANTITIES = {"ft2": ("ft2", "m²"), "ft": ("ft", "m")}
LITERS_PER_GALLON = 3.785411784
CUBIC_METERS_PER_CORD = 3.624556363776
_FUEL_FACTORS = {"L": LITERS_PER_GALLON, "m³": CUBIC_METERS_PER_CORD}


@dataclass(frozen=True, slots=True)
class Shown:
    """How a unit is shown: what a number is multiplied by, what is then added, and how it is written."""

    factor: float
    offset: float
    spelling: str

    def number(self, value: float) -> float:
        """The number to show. [shown unit]"""
        return self.factor * value + self.offset


@cache
def shown(unit: str, system: str) -> Shown:
    """How a declared unit is shown in a system of units."""
    if system != SI or unit not in SI_UNITS:
        return Shown(1.0, 0.0, spelled(unit))
    name, spelling = SI_UNITS[unit]
    written = unit.replace("ft2", "ft**2").replace("ft3", "ft**3")
    at_zero, at_one = (
        float(registry().Quantity(number, written).to(name).magnitude) for number in (0.0, 1.0)
    )
    return Shown(at_one - at_zero, at_zero if abs(at_zero) > 1e-9 else 0.0, spelling)


def fuel_shown(fuel: str, system: str) -> Shown:
    """How amounts of a fuel are shown."""
    entry = fuels()[fuel]
    if system != SI or fuel not in SI_FUELS:
        return Shown(1.0, 0.0, entry.unit)
    unit = SI_FUELS[fuel]
    heat = entry.heat_content / fuels()["electricity"].heat_content
    return Shown(_FUEL_FACTORS.get(unit, heat), 0.0, unit)


def quantity_shown(word: str, system: str) -> Shown:
    """How the quantity of a measure is shown, such as ``ft2 of duct``."""
    first, *rest = word.split(" ")
    if system != SI or first not in SI_QUANTITIES:
        return Shown(1.0, 0.0, for_people(word))
    unit, spelling = SI_QUANTITIES[first]
    return Shown(shown(unit, SI).factor, 0.0, " ".join([spelling, *rest]))
