"""Units that lessons count in: numbers of the trade shown in SI, and back; what units are called is elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.units import SI as SHOWN

KWH_PER_THERM = 29.307107
US_SYSTEM, SI_SYSTEM = SYSTEMS = ("us", "si")


@dataclass(frozen=True, slots=True)
class Unit:
    """SI number from a number of the trade: what is taken off, then what it is multiplied by."""

    factor: float = 1.0
    before: float = 0.0

    def shown(self, value: float, system: str) -> float:
        """The number in a system of units."""
        return (value - self.before) * self.factor if system == SI_SYSTEM else value

    def read(self, value: float, system: str) -> float:
        """A shown number in the unit of the trade."""
        return value / self.factor + self.before if system == SI_SYSTEM else value


def _as_shown(written: str) -> Unit:
    _, factor, before = SHOWN[written]
    return Unit(factor, before)


UNITS: Mapping[str, Unit] = {
    "cfm": _as_shown("cfm"),
    "F": _as_shown("F"),
    "dF": _as_shown("F difference"),
    "Fday": _as_shown("F day"),
    "ft": _as_shown("ft"),
    "ft2": _as_shown("ft2"),
    "ft3": _as_shown("ft3"),
    "in2": Unit(6.4516),
    "R": _as_shown("R"),
    "U": _as_shown("U"),
    "UA": _as_shown("Btu/h/F"),
    "Btuh": _as_shown("Btu/h"),
    "MBtu": _as_shown("million Btu"),
    "coef": _as_shown("Btu/(h F cfm)"),
    "therm": Unit(KWH_PER_THERM),
    "thermday": Unit(KWH_PER_THERM),
    "out": _as_shown("F"),
    "cold_axis": _as_shown("F day"),
    "thermF": Unit(KWH_PER_THERM * 9.0 / 5.0),
}
"""Units whose numbers differ between the systems, by the name that data and texts use."""
PLAIN = Unit()


def unit_of(name: str) -> Unit:
    """Unit of a name; percent, dollars, years, pascals and plain numbers are the same everywhere."""
    return UNITS.get(name, PLAIN)


def fuel_amount(amount: float, fuel: str, system: str) -> float:
    """An amount of a fuel as it is shown: in its unit of sale, or in SI as kWh of its heat."""
    heat = {key: one.heat_content for key, one in fuels().items()}
    return amount * heat[fuel] / heat["electricity"] if system == SI_SYSTEM else amount


def facts_shown(
    facts: Mapping[str, float], units: Mapping[str, str], system: str
) -> dict[str, float]:
    """Facts as the system of units shows them."""
    return {
        name: unit_of(units.get(name, "")).shown(float(value), system)
        for name, value in facts.items()
    }
