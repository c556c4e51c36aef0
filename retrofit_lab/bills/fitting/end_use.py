"""What the energy of a year is used for, as shares with ranges, beside the shares that are usual in the trade."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.model.year import END_USES, YearEnergy, year_energy

LOW, HIGH = 0.1, 0.9
"""Ends of an 80 % range, as quantiles."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualShare:
    """Share of an end use that the trade expects, in words and numbers. [1]"""

    low: float
    high: float
    of: str
    mark: str = "common practice, no source"


USUAL: Mapping[str, UsualShare] = MappingProxyType(
    {
        "heating": UsualShare(low=0.30, high=0.55, of="houses in places with a winter"),
        "cooling": UsualShare(low=0.03, high=0.20, of="houses with cooling"),
        "hot_water": UsualShare(low=0.10, high=0.15, of="most houses"),
        "lighting": UsualShare(low=0.10, high=0.20, of="older homes with old light bulbs"),
        "standby": UsualShare(low=0.05, high=0.10, of="most houses, of their electricity"),
        "appliances": UsualShare(low=0.10, high=0.25, of="most houses"),
    }
)
"""Rules of thumb, each marked as common practice; none was checked against a survey."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndUseShare:
    """One end use: energy a year [Btu/year] and share of the whole [1], both with an 80 % range."""

    end_use: str
    energy: float
    energy_low: float
    energy_high: float
    share: float
    share_low: float
    share_high: float
    usual: UsualShare | None

    @property
    def is_unusual(self) -> bool:
        """Whether even the range of the share lies outside what is usual."""
        if self.usual is None:
            return False
        return self.share_high < self.usual.low or self.share_low > self.usual.high


def end_use_table(
    house: House,
    climate: MonthlyClimate,
    draws: Mapping[str, FloatArray],
    weights: Mapping[str, float] | None = None,
) -> tuple[EndUseShare, ...]:
    """Shares of all end uses, the largest first.

    Parameters
    ----------
    house : House
        House, fitted to its bills where there are some.
    climate : MonthlyClimate
        Its weather.
    draws : mapping
        Numbers of the house by path, each of shape (draws, 1): from `HouseFit.drawn_numbers`, or from
        the ranges of the inputs where there are no bills. Empty for no ranges.
    weights : mapping, optional
        What a Btu of each fuel counts, such as its price [dollars/Btu]; by default each counts the same.
    """
    likely = _by_use(year_energy(house, climate), weights)
    drawn = _by_use(year_energy(with_numbers(house, draws), climate), weights) if draws else likely
    total, drawn_total = sum(likely.values()), sum(drawn.values())
    rows = [
        _row(use, likely[use], drawn[use], likely[use] / total, drawn[use] / drawn_total)
        for use in END_USES
        if np.any(drawn[use] > 0)
    ]
    return tuple(sorted(rows, key=lambda row: (-row.share, row.end_use)))


def _by_use(year: YearEnergy, weights: Mapping[str, float] | None) -> dict[str, FloatArray]:
    result = {use: np.zeros(1) for use in END_USES}
    for fuel, use in year.monthly:
        weight = 1.0 if weights is None else weights[fuel]
        result[use] = result[use] + weight * np.asarray(year.annual(fuel, use))
    return result


def _row(
    end_use: str, likely: FloatArray, drawn: FloatArray, share: FloatArray, drawn_share: FloatArray
) -> EndUseShare:
    low, high = np.quantile(drawn, [LOW, HIGH])
    share_low, share_high = np.quantile(drawn_share, [LOW, HIGH])
    return EndUseShare(
        end_use=end_use,
        energy=float(likely[0]),
        energy_low=float(low),
        energy_high=float(high),
        share=float(share[0]),
        share_low=float(share_low),
        share_high=float(share_high),
        usual=USUAL.get(end_use),
    )
