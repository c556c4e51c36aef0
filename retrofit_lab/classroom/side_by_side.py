"""Paths of heat side by side through one surface, with some of its bays empty; by hand and by wrong ideas."""

from collections.abc import Mapping
from dataclasses import dataclass

from retrofit_lab.house.description import House, Surface
from retrofit_lab.house.paths import number_at, with_numbers
from retrofit_lab.model.envelope import (
    fill_resistance,
    film_resistance_of,
    framing_path,
    surface_u,
)

WOOD, FILLED, EMPTY = "framing", "filled", "empty"


@dataclass(frozen=True, slots=True, kw_only=True)
class SideBySide:
    """Shares of a surface [1] and R-values through them [h ft2 F/Btu], by name, and R of the whole."""

    shares: Mapping[str, float]
    r_values: Mapping[str, float]
    whole: float
    label: float
    around: float

    @property
    def facts(self) -> dict[str, float]:
        """What texts name: each share in percent, and each R."""
        percent = {name: 100.0 * share for name, share in self.shares.items()}
        return percent | {f"r_{name}": r_value for name, r_value in self.r_values.items()}

    @property
    def slips(self) -> dict[str, float]:
        """R-values that wrong ideas give. [h ft2 F/Btu]"""
        wood, filled, empty = (self.shares[name] for name in (WOOD, FILLED, EMPTY))
        u_value = {name: 1.0 / r_value for name, r_value in self.r_values.items()}
        bays = filled + empty
        return {
            "mean_of_r": sum(share * self.r_values[name] for name, share in self.shares.items()),
            "u_value": 1.0 / self.whole,
            "no_empty": 1.0 / (wood * u_value[WOOD] + bays * u_value[FILLED]),
            "no_framing": bays / (filled * u_value[FILLED] + empty * u_value[EMPTY]),
            "label": self.label,
            "promised": self.label + self.around,
        }


def side_by_side(house: House, path: str, empty: float) -> SideBySide:
    """What lies side by side in a surface of a house.

    Parameters
    ----------
    house : House
        The house.
    path : str
        Path of the surface.
    empty : float
        Share of its bays that are taken to be empty. [1]
    """
    surface = surface_at(house, path)
    wood = float(surface.framing_fraction)
    around = float(surface.r_continuous) + float(film_resistance_of(surface))
    return SideBySide(
        shares={WOOD: wood, FILLED: (1.0 - wood) * (1.0 - empty), EMPTY: (1.0 - wood) * empty},
        r_values={
            WOOD: float(framing_path(surface, fill_resistance(surface))) + around,
            FILLED: whole_r(house, path, framing_fraction=0.0, missing_fraction=0.0),
            EMPTY: whole_r(house, path, framing_fraction=0.0, missing_fraction=1.0),
        },
        whole=whole_r(house, path, missing_fraction=empty),
        label=float(surface.r_label),
        around=around,
    )


def whole_r(house: House, path: str, **numbers: float) -> float:
    """R of a surface as it is but for some of its numbers. [h ft2 F/Btu]"""
    changed = with_numbers(house, {f"{path}.{name}": value for name, value in numbers.items()})
    return 1.0 / float(surface_u(surface_at(changed, path)))


def surface_at(house: House, path: str) -> Surface:
    """Surface of a path."""
    found: Surface = number_at(house, path)  # type: ignore[assignment]
    return found
