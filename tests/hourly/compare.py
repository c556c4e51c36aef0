"""The product beside the hourly house: pairs of numbers for each end use and measure; printed by table.py."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hourly.describe import WORK, RefHouse, states
from hourly.results import Results
from hourly.translate import as_measured, climate_of, house_record, measure_for
from retrofit_lab.house.description import House
from retrofit_lab.measures.catalog import Measure, catalog
from retrofit_lab.model.year import year_energy
from retrofit_lab.study.study import Study

BTU_PER_KWH = 3412.14
LEAST_HEAT, LEAST_COOLING = 3000.0, 500.0
"""End uses smaller than this are not compared. [kWh of heat, kWh of electricity]"""

PRICES = {
    "heating and cooling": {"electricity": 1.0, "gas": 1.0},
    "dollars": {"electricity": 0.15, "gas": 0.045},
}
"""What a kWh counts: itself, or dollars (gas at $1.32 a therm; invented)."""
OURS = ("heating",), ("cooling", "blower")
"""Uses of the product for heat, and for what is always electric."""


@dataclass(frozen=True, kw_only=True)
class Pair:
    """One quantity of one house by both: ``whole`` is the end use that a saving belongs to."""

    kind: str
    house: str
    ours: float
    hourly: float
    whole: float

    @property
    def error(self) -> float:
        """Relative error, signed; of a saving below 2 % of its end use, the error over the end use, in units
        that make 0.5 % of the end use count like the whole allowance of 20 %."""
        if self.small:
            return (self.ours - self.hourly) / self.whole / 0.005 * 0.20
        return (self.ours - self.hourly) / abs(self.hourly)

    @property
    def small(self) -> bool:
        return self.kind.startswith("saving") and abs(self.hourly) < 0.02 * self.whole


@dataclass(frozen=True, kw_only=True)
class Product:
    """Energy of the product [kWh/year] as found and after each work, by end use; heat made and backup."""

    heat: float
    backup: float
    energy: dict[str, dict[str, float]]
    natural: float


def product_of(h: RefHouse, record: House, off: frozenset[str] = frozenset()) -> Product:
    """The product's numbers for a house and each work on it."""
    climate = climate_of(h.place, off)
    keys = {key: measure_for(h, key) for key, _ in states(h) if key != "as_found"}
    wanted = [_as_done(m) for m in catalog() if m.key in keys.values()]
    study = Study(record, climate, wanted)
    rows = dict(zip(("as_found", *study.keys), study.energies.single.energy, strict=True))
    energy = {"as_found": _uses(study, rows["as_found"])}
    for work, measure in keys.items():
        if measure in rows:
            energy[work] = _uses(study, rows[measure])
        elif work == "air_sealing":
            sealed = replace(
                record, leakage=replace(record.leakage, flow=0.7 * record.leakage.flow)
            )
            other = Study(sealed, climate, [])
            energy[work] = _uses(other, other.energy(np.zeros((1, 0), bool)).energy[0])
    year = year_energy(study.as_found, climate)
    demand = year.heating.demand
    made = demand / np.maximum(year.heating.ducts.useful, 1e-9)
    natural = np.broadcast_to(year.parts.flows.natural, (12,))
    return Product(
        heat=float(np.sum(made)) / BTU_PER_KWH, backup=float(np.sum(year.backup)), energy=energy,
        natural=float((natural * demand).sum() / max(float(np.sum(demand)), 1e-9)),
    )  # fmt: skip


def _as_done(measure: Measure) -> Measure:
    """A measure as the hourly house has it: its fill of walls closes no leak, as the product's does."""
    if measure.key != "wall_fill":
        return measure
    kept = tuple(c for c in measure.changes if not c.where.startswith("leakage."))
    return replace(measure, changes=kept)


def _uses(study: Study, row) -> dict[str, float]:
    uses: dict[str, float] = {}
    for (_, use), amount in zip(study.uses, row, strict=True):
        uses[use] = uses.get(use, 0.0) + float(amount) / BTU_PER_KWH
    return uses


def with_air_of(h: RefHouse, record: House, target: float, off: frozenset[str]) -> House:
    """Record whose reading is set so that its natural air in the heating season is the hourly house's. [cfm]"""
    for _ in range(3):
        found = product_of(replace(h, name=h.name), record, off).natural
        flow = record.leakage.flow * target / max(found, 1e-9)
        record = replace(record, leakage=replace(record.leakage, flow=flow))
    return record


def pairs(
    houses: Sequence[RefHouse],
    results: Results,
    off: frozenset[str] = frozenset(),
    *,
    same_air: bool = False,
) -> Iterator[Pair]:
    """All comparisons of all houses."""
    for h in houses:
        found = results[h.name, "as_found"]
        read = as_measured({k: np.array([v]) for k, v in found.items()}, 0)
        record = house_record(h, read, off)
        if same_air:
            record = with_air_of(h, record, found["rest_cfm_heating"], off)
        yield from pairs_of(h, product_of(h, record, off), results)


def pairs_of(h: RefHouse, ours: Product, results: Results) -> Iterator[Pair]:
    """Comparisons of one house."""
    found, energy = results[h.name, "as_found"], ours.energy["as_found"]
    name = f"{h.name} {h.place}"
    yield from _whole_savings(h, name, ours, results)
    yield _pair("natural air, heating season", name, ours.natural, found["rest_cfm_heating"])
    if found["heat"] > LEAST_HEAT:
        yield from _heating(h, name, ours, found)
        heating = "pump_kwh" if h.heater == "heat pump" else "fuel"
        yield from _savings(h, name, ours, results, ("heating", heating))
    if found["cool_kwh"] > LEAST_COOLING:
        yield _pair("cooling", name, energy["cooling"], found["cool_kwh"])
        yield from _savings(h, name, ours, results, ("cooling", "cool_kwh"))


def _whole_savings(h: RefHouse, name: str, ours: Product, results: Results) -> Iterator[Pair]:
    """What a work saves of heating, cooling and their fan together: at the meters, and at prices of the year."""
    before, found = ours.energy["as_found"], results[h.name, "as_found"]
    for work in WORK:
        if (h.name, work) in results and work in ours.energy:
            after, left = ours.energy[work], results[h.name, work]
            for what, prices in PRICES.items():
                mine = _bill(h, prices, before, OURS) - _bill(h, prices, after, OURS)
                whole = _bill(h, prices, found, _theirs(h))
                theirs = whole - _bill(h, prices, left, _theirs(h))
                yield _pair(f"saving, {what}: {work}", name, mine, theirs, whole)


def _theirs(h: RefHouse) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Columns of the hourly house for heat, and for what is always electric."""
    heat = "pump_kwh" if h.heater == "heat pump" else "fuel"
    return (heat,), ("cool_kwh", "fan_heat_kwh", "fan_cool_kwh")


def _bill(
    h: RefHouse,
    prices: Mapping[str, float],
    uses: Mapping[str, float],
    names: tuple[tuple[str, ...], tuple[str, ...]],
) -> float:
    heat, electric = names
    fuel = "electricity" if h.heater == "heat pump" else "gas"
    heated = prices[fuel] * sum(uses.get(k, 0.0) for k in heat)
    return heated + prices["electricity"] * sum(uses.get(k, 0.0) for k in electric)


def _pair(kind: str, house: str, ours: float, hourly: float, whole: float = 0.0) -> Pair:
    return Pair(kind=kind, house=house, ours=ours, hourly=hourly, whole=whole)


def _heating(h: RefHouse, name: str, ours: Product, found: dict[str, float]) -> Iterator[Pair]:
    """Heat by the fuel of a furnace, or by what a heat pump and its backup make."""
    used = ours.energy["as_found"]["heating"]
    if h.heater == "furnace":
        yield _pair("annual heat", name, used, found["fuel"])
        return
    yield _pair("annual heat", name, ours.heat, found["heat"])
    yield _pair("heat-pump electricity", name, used, found["pump_kwh"])
    if found["backup_kwh"] > 0.05 * found["pump_kwh"]:
        yield _pair("backup heat", name, ours.backup, found["backup_kwh"])


def _savings(
    h: RefHouse, name: str, ours: Product, results: Results, use: tuple[str, str]
) -> Iterator[Pair]:
    mine, theirs = use
    before, whole = ours.energy["as_found"][mine], results[h.name, "as_found"][theirs]
    for work in WORK:
        if (h.name, work) in results and work in ours.energy:
            saved = before - ours.energy[work][mine]
            expected = whole - results[h.name, work][theirs]
            yield _pair(f"saving, {mine}: {work}", name, saved, expected, whole)
