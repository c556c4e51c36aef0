"""Readings of a house as they count for the model: leakage of house and ducts, fill of the attic, labels, air flows."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.house.labels import label_values
from retrofit_lab.house.measured import FillReading
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.physics.blower_door import PowerLawFit, envelope_flow, fit_power_law

FIT_FROM = 3
REFERENCE_PRESSURE = 50.0
MOST_DUCT_LEAKAGE = 0.6
"""Share of the air flow above which ducts are broken, not leaky: what a house may hold at most. [1]"""
FILLS = {
    "fiberglass_batt": "batt",
    "mineral_wool_batt": "batt",
    "fiberglass_loose": "loose_fiberglass",
    "cellulose_loose": "cellulose",
    "spray_foam_open": "foam",
    "spray_foam_closed": "foam",
}
"""Fill of a surface by the material of its layer; any other counts as one that no air moves in."""


def leakage_fit(house: House) -> PowerLawFit | None:
    """Power law through the readings of a house as they were read, or None where there are fewer than three.

    Raises
    ------
    InputError
        When the readings give no possible power law.
    """
    readings = house.leakage.readings
    if len(readings) < FIT_FROM:
        return None
    pressures = [float(reading.pressure) for reading in readings]
    return fit_power_law(pressures, [float(reading.flow) for reading in readings])


def through_the_leaks(house: House, flow: float) -> float:
    """Flow through the leaks for a flow read at the fan, at the temperatures of the test. [cfm]"""
    leak = house.leakage
    inside, outside = float(leak.indoor_temperature), float(leak.outdoor_temperature)
    blown_in = leak.fan_blows == "in"
    return float(envelope_flow(flow, inside, outside, pressurized=blown_in))


def with_fitted_leakage(house: House) -> House:
    """House whose single reading is the flow through the leaks, by the fit at 50 Pa where there is one."""
    fit = leakage_fit(house)
    leak = house.leakage
    changes = {"leakage.outdoor_temperature": leak.indoor_temperature}
    if fit is None:
        changes["leakage.flow"] = through_the_leaks(house, float(leak.flow))
        return with_numbers(house, changes)
    changes |= {
        "leakage.flow": through_the_leaks(house, fit.flow_50),
        "leakage.pressure": REFERENCE_PRESSURE,
        "leakage.exponent": fit.exponent,
    }
    return with_numbers(house, changes)


def with_readings(house: House) -> House:
    """House in which what was read takes the place of what was described or assumed.

    Leakage of the ducts to outside the house, air flow of the air handler, layers of attic fill and ratings of
    labels; what they replace is no longer assumed, so its range is that of a reading.
    """
    house = with_fitted_leakage(house)
    values = dict(_read(house))
    if not values:
        return house
    return replace(with_numbers(house, values), assumed=house.assumed - values.keys())


def _read(house: House) -> Iterator[tuple[str, Any]]:
    flow = house.measured.air_handler.flow
    if flow is not None:
        yield "ducts.flow", float(flow)
    yield from _duct_leakage(house, float(house.ducts.flow if flow is None else flow))
    yield from _fill(house)
    yield from label_values(house).items()


def _duct_leakage(house: House, flow: float) -> Iterator[tuple[str, float]]:
    """Shares of the air flow that leak outside, shared between supply and return as they were described.

    A reading at 25 Pa stands for the leakage in use, as ASHRAE 152 takes it where no one measured the pressures
    of the ducts (memory). A total alone is the most that can leak outside.
    """
    read, ducts = house.measured.ducts, house.ducts
    sides = {
        "supply_leakage": 0.0 if ducts.supply_place == INSIDE else float(ducts.supply_leakage),
        "return_leakage": 0.0 if ducts.return_place == INSIDE else float(ducts.return_leakage),
    }
    outside = [n for n in sides if getattr(ducts, n.replace("leakage", "place")) != INSIDE]
    described = sum(sides.values())
    if not outside or (read.outside is None and read.total is None):
        return
    if read.outside is None and described <= float(read.total or 0.0) / flow:
        return
    leaks = float(read.total if read.outside is None else read.outside) / flow  # type: ignore[arg-type]
    for name in outside:
        share = sides[name] / described if described > 0.0 else 1.0 / len(outside)
        yield f"ducts.{name}", min(leaks * share, MOST_DUCT_LEAKAGE)


def _fill(house: House) -> Iterator[tuple[str, Any]]:
    """R-value, thickness and fill of each attic floor whose layers were measured."""
    layers: dict[str, list[FillReading]] = {}
    for reading in house.measured.fills:
        if reading.kind and reading.depth is not None:
            layers.setdefault(ceiling_under(house, reading), []).append(reading)
    layers.pop("", None)
    for key, found in layers.items():
        path = f"surfaces.{key}"
        thickest = max(found, key=lambda layer: float(layer.depth or 0.0))
        yield f"{path}.r_label", sum(layer_resistance(layer) for layer in found)
        yield f"{path}.label_thickness", sum(float(layer.depth or 0.0) for layer in found)
        yield f"{path}.fill", FILLS.get(thickest.kind, "none")


def ceiling_under(house: House, reading: FillReading) -> str:
    """Key of the ceiling that a layer lies on: the one it names, or the only one under an attic; else nothing."""
    if reading.of:
        return reading.of
    attics = {buffer.key for buffer in house.buffers if buffer.kind == "attic"}
    found = [s.key for s in house.surfaces if s.kind == "ceiling" and s.outside in attics]
    return found[0] if len(found) == 1 else ""


def layer_resistance(layer: FillReading) -> float:
    """Resistance of one layer by its kind and depth, as ``data/materials.csv`` has it. [h ft2 F/Btu]"""
    return float(layer.depth or 0.0) * _per_inch()[layer.kind]


@cache
def _per_inch() -> dict[str, float]:
    return {
        row["key"]: float(row["r_per_inch_h_ft2_F_per_Btu"]) for row in read_rows("materials.csv")
    }
