"""Predicted over measured use of survey homes: sums, classes and end uses, each with the bounds it is held to."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from homes import Home
from rebuilding import by_end_use, rebuilt, used_by
from typical_years import nearest, typical_year

from retrofit_lab.house.place import Place
from retrofit_lab.model.year import year_energy

BOUNDS = (0.0, 2000.0, 4000.0, 5500.0, 7000.0, 99999.0)
USES = ("heating", "cooling", "other")
OPEN = (0.0, 99.0)
FEWEST = 40
"""Classes with fewer homes are printed and held to nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebuilt:
    """A home with what its house uses by fuel and by end use. [kBtu/year]"""

    home: Home
    used: dict[str, float]
    end_uses: dict[str, float]

    @property
    def total(self) -> float:
        """All site energy. [kBtu/year]"""
        return sum(self.used.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratio:
    """One line: how many homes, predicted and measured means [kBtu/year] and their ratio. [1]"""

    name: str
    count: int
    predicted: float
    measured: float
    low: float
    high: float

    @property
    def ratio(self) -> float:
        """Predicted over measured. [1]"""
        return self.predicted / self.measured if self.measured else float("nan")

    @property
    def holds(self) -> bool:
        """Whether it lies in its bounds, or the class is too small to say."""
        return self.count < FEWEST or self.low <= self.ratio <= self.high


def rebuild(chosen: Iterable[Home]) -> list[Rebuilt]:
    """Every home worked out in its typical year."""
    return [_one(home) for home in chosen]


def _one(home: Home) -> Rebuilt:
    station = nearest(home.heating_degree_days, home.cooling_degree_days)
    place = Place(home.heating_degree_days, home.cooling_degree_days)
    energy = year_energy(rebuilt(home, place), typical_year(station))
    return Rebuilt(home=home, used=dict(used_by(energy)), end_uses=dict(by_end_use(energy)))


def gas_heated(home: Home) -> bool:
    """Whether gas makes most of the heat."""
    return home.heat.startswith("Natural gas")


def all_electric(home: Home) -> bool:
    """Whether nothing but electricity is used at all, and it heats."""
    return home.heat == "Electricity" and home.total == home.used["electricity"]


def sums(found: Sequence[Rebuilt]) -> list[Ratio]:
    """The four sums: all energy, gas and electricity of gas-heated homes, all-electric homes."""
    bounds = (0.93, 1.07)
    gas = [r for r in found if gas_heated(r.home)]
    return [
        _ratio("all site energy", found, _total, bounds),
        _ratio("gas in gas-heated homes", gas, _fuel("natural_gas"), bounds),
        _ratio("electricity in gas-heated homes", gas, _fuel("electricity"), bounds),
        _ratio("all-electric homes", [r for r in found if all_electric(r.home)], _total, bounds),
    ]


def classes(found: Sequence[Rebuilt]) -> list[Ratio]:
    """All site energy, and gas of gas-heated homes, by degree days and by age."""
    bounds = (0.8, 1.25)
    gas = [r for r in found if gas_heated(r.home)]
    electric = [r for r in found if all_electric(r.home)]
    lines = []
    for what, group, fuel in (
        ("all", found, _total),
        ("gas", gas, _fuel("natural_gas")),
        ("electricity beside gas", gas, _fuel("electricity")),
        ("all-electric", electric, _total),
    ):
        for low, high in pairwise(BOUNDS):
            mine = [r for r in group if low <= r.home.heating_degree_days < high]
            lines.append(_ratio(f"{what}: degree days {low:.0f} to {high:.0f}", mine, fuel, bounds))
        for built in sorted({r.home.built for r in group}, key=lambda b: (b[0] != "B", b)):
            mine = [r for r in group if r.home.built == built]
            lines.append(_ratio(f"{what}: built {built}", mine, fuel, bounds))
    return lines


def uses(found: Sequence[Rebuilt]) -> list[Ratio]:
    """Heating, cooling and the rest against the survey's own shares."""
    return [
        _ratio(use, found, _end_use(use), (0.8, 1.25)) for use in ("heating", "cooling", "other")
    ]


def more(found: Sequence[Rebuilt]) -> list[Ratio]:
    """End uses by cold, and by what the survey tells of a home: held to nothing."""
    lines = []
    for what, belongs in (("gas", gas_heated), ("all-electric", all_electric)):
        mine = [r for r in found if belongs(r.home)]
        for use, (low, high) in product(USES, pairwise(BOUNDS)):
            some = [r for r in mine if low <= r.home.heating_degree_days < high]
            lines.append(
                _ratio(f"{what} {use}: {low:.0f} to {high:.0f}", some, _end_use(use), OPEN)
            )
    for key in ("kind", "insulation", "heat", "division", "cooling"):
        for word in sorted({getattr(r.home, key) for r in found}):
            some = [r for r in found if getattr(r.home, key) == word]
            lines.append(_ratio(f"{key} {word}", some, _total, OPEN))
            lines += [_ratio(f"   {use}", some, _end_use(use), OPEN) for use in USES]
    return lines


Measure = Callable[[Rebuilt], tuple[float, float]]


def _total(r: Rebuilt) -> tuple[float, float]:
    return r.total, r.home.total


def _fuel(fuel: str) -> Measure:
    return lambda r: (r.used.get(fuel, 0.0), r.home.used[fuel])


def _end_use(use: str) -> Measure:
    return lambda r: (r.end_uses[use], r.home.end_uses[use])


def _ratio(name: str, group: Sequence[Rebuilt], of: Measure, bounds: tuple[float, float]) -> Ratio:
    count = max(len(group), 1)
    predicted, measured = (sum(of(r)[side] for r in group) / count for side in (0, 1))
    low, high = bounds
    return Ratio(
        name=name, count=len(group), predicted=predicted, measured=measured, low=low, high=high
    )


def as_text(lines: Iterable[Ratio]) -> str:
    """Lines as a table."""
    rows = [f"{'':44}{'homes':>6}{'predicted':>11}{'measured':>10}{'ratio':>7}"]
    for line in lines:
        mark = "" if line.holds else "  outside"
        rows.append(
            f"{line.name:44}{line.count:>6}{line.predicted:>11.1f}{line.measured:>10.1f}"
            f"{line.ratio:>7.2f}{mark}"
        )
    return "\n".join(rows)
