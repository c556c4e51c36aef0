"""Where the measured use of survey homes lies in the ranges drawn for them: no bounds are chosen here."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from homes import Home
from ratios import BOUNDS
from rebuilding import rebuilt
from typical_years import nearest, typical_year

from retrofit_lab.house.paths import with_numbers
from retrofit_lab.house.place import Place
from retrofit_lab.model.year import year_energy
from retrofit_lab.uncertainty.sampling import draw

DRAWS, TURNS = 64, 4
"""Draws of a home, and how often what the survey leaves open is dealt anew among them."""
FEWEST = 100
"""Classes with fewer homes are printed and held to nothing."""
WHOLE, CLASS = (0.77, 0.83), (0.70, 0.90)
EACH_WAY, MIDDLE_HALF = (0.07, 0.13), (0.45, 0.55)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A home and the share of its draws that use less than was measured. [1]"""

    home: Home
    below: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One line: how many homes, the share of them and the bounds it is held to. [1]"""

    name: str
    count: int
    share: float
    low: float
    high: float

    @property
    def holds(self) -> bool:
        """Whether it lies in its bounds, or the class is too small to say."""
        return self.count < FEWEST or self.low <= self.share <= self.high


def place_all(chosen: Iterable[Home], count: int = DRAWS) -> list[Placed]:
    """Every home with where its measured use of all fuels stands among its draws."""
    return [_placed(home, count) for home in chosen]


def _placed(home: Home, count: int) -> Placed:
    drawn = drawn_use(home, count)
    return Placed(home=home, below=float(np.mean(drawn < home.total)))


def drawn_use(home: Home, count: int = DRAWS) -> np.ndarray:
    """Use of all fuels in each draw; what the survey leaves open is dealt anew by turns. [kBtu/year]"""
    return np.concatenate([_turn(home, turn, count // TURNS) for turn in range(TURNS)])


def _turn(home: Home, turn: int, count: int) -> np.ndarray:
    station = nearest(home.heating_degree_days, home.cooling_degree_days)
    place = Place(home.heating_degree_days, home.cooling_degree_days)
    house = rebuilt(home, place, turn)
    numbers = {
        path: drawn[turn::TURNS]
        for path, drawn in draw(house, (), (), count=count * TURNS).numbers.items()
    }
    energy = year_energy(with_numbers(house, numbers), typical_year(station))
    total = sum(energy.annual(*use) for use in energy.monthly)
    return np.broadcast_to(np.asarray(total, float) / 1000.0, (count,))


def whole(found: Sequence[Placed]) -> list[Share]:
    """All homes: inside the 80 % range, below it, above it, and in its middle half."""
    return [
        _share("inside the 80 % range", found, 0.1, 0.9, WHOLE),
        _share("below it", found, -1.0, 0.1, EACH_WAY),
        _share("above it", found, 0.9, 2.0, EACH_WAY),
        _share("in the middle half of the draws", found, 0.25, 0.75, MIDDLE_HALF),
    ]


def by_class(found: Sequence[Placed]) -> list[Share]:
    """Inside the 80 % range by degree days, age, heat, kind and insulation as told."""
    lines = []
    for low, high in pairwise(BOUNDS):
        mine = [p for p in found if low <= p.home.heating_degree_days < high]
        lines.append(_share(f"degree days {low:.0f} to {high:.0f}", mine, 0.1, 0.9, CLASS))
    for what in ("built", "heat", "kind", "insulation"):
        for word in sorted({getattr(p.home, what) for p in found}):
            mine = [p for p in found if getattr(p.home, what) == word]
            lines.append(_share(f"{what}: {word}", mine, 0.1, 0.9, CLASS))
    return lines


def _share(
    name: str, found: Sequence[Placed], low: float, high: float, held: tuple[float, float]
) -> Share:
    """Share of homes whose place lies above one bound and up to the other."""
    inside = sum(low < p.below <= high for p in found)
    return Share(
        name=name, count=len(found), share=inside / max(len(found), 1), low=held[0], high=held[1]
    )


def as_text(lines: Iterable[Share]) -> str:
    """Lines as a table."""
    rows = [f"{'':48}{'homes':>6}{'share':>8}"]
    for line in lines:
        mark = "" if line.holds else "  outside"
        rows.append(f"{line.name:48}{line.count:>6}{line.share:>8.1%}{mark}")
    return "\n".join(rows)
