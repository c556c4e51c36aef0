"""What bills are counted in: units of each fuel, words for fuels and units, and their conversion; no bills."""

import re
from functools import cache

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.values import InputError
from retrofit_lab.texts.refusals import told, word

BTU_PER_FT3_GAS = 1037.0
"""Heat content of pipeline gas. [Btu/ft3] EIA (read); editions run from 1,022 to 1,039."""
BTU_PER_FT3_PROPANE_GAS = 2516.0
"""Heat content of propane sold as gas. [Btu/ft3] EPA emission hub 2024 (read)."""
FT3_PER_M3 = 35.31467
GALLONS_PER_LITER = 0.2641721

_HEAT = {
    "wh": 3.41214, "kwh": 3412.14, "mwh": 3_412_140.0, "btu": 1.0, "kbtu": 1e3, "mmbtu": 1e6,
    "therm": 1e5, "thm": 1e5, "dth": 1e6, "dekatherm": 1e6, "decatherm": 1e6, "mj": 947.817,
    "gj": 947_817.0,
}  # fmt: skip
_GAS_VOLUME = {
    "cf": 1.0, "ft3": 1.0, "cubicfeet": 1.0, "cubicfoot": 1.0, "ccf": 100.0, "hcf": 100.0,
    "mcf": 1000.0, "m3": FT3_PER_M3, "cubicmeter": FT3_PER_M3,
}  # fmt: skip
_LIQUID = {
    "gal": 1.0, "gallon": 1.0, "l": GALLONS_PER_LITER, "liter": GALLONS_PER_LITER,
    "litre": GALLONS_PER_LITER,
}  # fmt: skip
_WOOD = {"cord": 1.0, "facecord": 1.0 / 3.0, "rick": 1.0 / 3.0}
UNIT_WORDS = frozenset((*_HEAT, *_GAS_VOLUME, *_LIQUID, *_WOOD))

_FUEL_WORDS = (
    ("propane", ("propane", "lpg", "lp")),
    ("heating_oil", ("oil", "heatingoil", "fueloil", "kerosene")),
    ("wood", ("wood", "firewood", "cordwood")),
    ("electricity", ("electricity", "electric", "elec", "power", "electrical")),
    ("natural_gas", ("gas", "naturalgas")),
)
_USUAL_FUEL = {
    "electricity": {"wh", "kwh", "mwh"},
    "natural_gas": {"therm", "thm", "dth", "dekatherm", "decatherm", *_GAS_VOLUME},
    "wood": set(_WOOD),
}


@cache
def fuel_units() -> dict[str, str]:
    """Unit in which each fuel is counted, by fuel: kWh, therm, gallon or cord."""
    return {key: fuel.unit for key, fuel in fuels().items()}


@cache
def heat_contents() -> dict[str, float]:
    """Heat content of a unit of each fuel. [Btu/unit]"""
    return {key: fuel.heat_content for key, fuel in fuels().items()}


@cache
def fuel_names() -> dict[str, str]:
    """Name of each fuel as people say it."""
    return {key: fuel.name for key, fuel in fuels().items()}


def plain_unit(text: str) -> str:
    """Unit word in its plain spelling, such as ``therm`` for ``Therms``; empty when it is none."""
    word = re.sub(r"[\s._³^-]", lambda m: "3" if m[0] == "³" else "", text.strip().lower())
    for candidate in (word, word.removesuffix("s")):
        if candidate in UNIT_WORDS:
            return candidate
    return ""


def plain_fuel(text: str) -> str:
    """Key of a fuel from the words people use for it; empty when none is recognized."""
    words = re.findall(r"[a-z]+", text.lower().replace("_", " "))
    joined = {*words, "".join(words)}
    for key, names in _FUEL_WORDS:
        if joined & set(names):
            return key
    return ""


def usual_fuel(unit: str) -> str:
    """Fuel that a unit by itself stands for; empty where several are counted in it."""
    return next((fuel for fuel, units in _USUAL_FUEL.items() if unit in units), "")


def to_fuel_unit(quantity: float, unit: str, fuel: str) -> float:
    """Quantity in the unit of its fuel.

    Parameters
    ----------
    quantity : float
        Amount. [unit]
    unit : str
        Plain unit word, see `plain_unit`.
    fuel : str
        Key of the fuel.

    Returns
    -------
    float
        Amount. [kWh, therm, gallon or cord]

    Raises
    ------
    InputError
        When the fuel is not sold in that unit.
    """
    content = heat_contents()[fuel]
    if unit in _HEAT:
        return quantity * (_HEAT[unit] / content)
    if unit in _GAS_VOLUME and fuel in ("natural_gas", "propane"):
        per_ft3 = BTU_PER_FT3_GAS if fuel == "natural_gas" else BTU_PER_FT3_PROPANE_GAS
        return quantity * (_GAS_VOLUME[unit] * per_ft3 / content)
    if unit in _LIQUID and fuel in ("heating_oil", "propane"):
        return quantity * _LIQUID[unit]
    if unit in _WOOD and fuel == "wood":
        return quantity * _WOOD[unit]
    name, own = word(fuel_names()[fuel]), fuel_units()[fuel]
    raise InputError(told("bills.fuel_unit", fuel=name, unit=unit, own=own))
