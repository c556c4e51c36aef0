"""Physical amounts in words, in the units that the visitor chose; the factors are in `retrofit_lab.base.units`."""

from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.base.fuels import fuels, several
from retrofit_lab.base.units import for_people, in_si
from retrofit_lab.base.values import Value

US, SI = SYSTEMS
KG_PER_LB = 0.45359237


def shown(value: float, written: str, units: str) -> tuple[float, str]:
    """Number and unit as they are shown, for a number in a unit of the trade."""
    return in_si(value, written) if units == SI else (value, for_people(written))


def carbon_dioxide(kg: float, units: str) -> str:
    """Carbon dioxide of a year, in tens of pounds or kilograms."""
    number, unit = shown(kg / KG_PER_LB, "lb", units)
    return f"{round(number, -1):,.0f} {unit}"


def heat(btu: Value, units: str) -> str:
    """Heat of a season: tenths of a million Btu, or kWh by tens."""
    number, unit = shown(float(btu) / 1e6, "million Btu", units)
    return f"{round(number, -1):,.0f} {unit}" if units == SI else f"{number:.1f} {unit}"


def fuel_amount(used: float, fuel: str, units: str) -> tuple[float, str]:
    """Energy of a fuel in its own unit of sale, or in kWh of its heat content, with the unit."""
    if units == SI:
        return shown(used * fuels()[fuel].heat_content, "Btu", units)
    return used, several(fuels()[fuel].unit)
