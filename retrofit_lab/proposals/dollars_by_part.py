"""What each part of a house costs in a year: bills for heat by where it leaves, all else by what it is used for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from retrofit_lab.base.sums import total
from retrofit_lab.house.parts import LOSING
from retrofit_lab.study.results import YearResult
from retrofit_lab.study.study import Study

ROOMS = ("heating", "blower")
"""End uses that are paid for heat that leaves the rooms."""
OTHERS = {
    "cooling": ("cooling",),
    "hot_water": ("hot_water",),
    "plugs": ("lighting", "standby", "appliances"),
    "fresh_air": ("ventilation",),
}
"""Other parts of the bill and their end uses."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dollars:
    """A year's bill by part, which adds up to ``whole``; ``fixed`` are fixed charges. [dollars/year]"""

    parts: Mapping[str, float]
    fixed: float
    whole: float

    def toward(self, then: "Dollars", ratio: float) -> "Dollars":
        """The bill when only a share of what is saved comes about, from this bill toward another. [1]"""

        def between(now: float, later: float) -> float:
            return now + (later - now) * ratio

        return Dollars(
            parts={part: between(amount, then.parts[part]) for part, amount in self.parts.items()},
            fixed=between(self.fixed, then.fixed),
            whole=between(self.whole, then.whole),
        )


def dollars_by_part(study: Study, ticked: Iterable[str], year: YearResult) -> Dollars:
    """A year's bill by the parts of the house.

    Parameters
    ----------
    study : Study
        The house.
    ticked : iterable of str
        The plan that ``year`` is worked out for.
    """
    leaving = study.energies.season_losses(ticked)
    whole = float(leaving.total)
    rooms = _paid(year, ROOMS)
    shares = {part: float(leaving.by_part[part]) / whole if whole > 0 else 0.0 for part in LOSING}
    parts = {part: rooms * share for part, share in shares.items()}
    parts |= {part: _paid(year, uses) for part, uses in OTHERS.items()}
    return Dollars(parts=parts, fixed=year.fixed, whole=year.cost)


def _paid(year: YearResult, uses: Iterable[str]) -> float:
    return float(total(year.cost_by_use.get(use, 0.0) for use in uses))
