"""The house that a lesson is held with: a shipped one or one's own, in the weather and prices of one's place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.study.opening import prices_and_terms
from retrofit_lab.study.study import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonHouse:
    """A house with its weather, prices and terms; ``own`` says that someone named it."""

    house: House
    climate: MonthlyClimate
    measures: tuple[Measure, ...]
    terms: MoneyTerms
    own: bool = False

    @property
    def name(self) -> str:
        """Name of the house."""
        return self.house.name

    def study(
        self, changes: Mapping[str, float], measures: Sequence[str], terms: Mapping[str, Any]
    ) -> Study:
        """Study of the house with some numbers changed, with some measures or all, on changed terms."""
        wanted = [m for m in self.measures if m.key in measures] if measures else self.measures
        return Study(
            with_numbers(self.house, dict(changes)),
            self.climate,
            wanted,
            terms=replace(self.terms, **terms),
        )


def lesson_house(
    shipped: str, *, house: str | Path = "", place: str = "", prices: str = ""
) -> LessonHouse:
    """House of a lesson.

    Parameters
    ----------
    shipped : str
        Key of the house that the lesson is written for.
    house : str or Path
        House file in its stead.
    place : str
        ZIP code, ``"Town, ST"``, station or weather file, in place of what the house names.
    prices : str
        File with own prices and terms of money.

    Raises
    ------
    InputError
        When one of them cannot be used.
    """
    if not (house or place or prices):
        return _shipped_house(shipped)
    return _house(shipped, house, place, prices)


@cache
def _shipped_house(shipped: str) -> LessonHouse:
    return _house(shipped, "", "", "")


def _house(shipped: str, house: str | Path, place: str, prices: str) -> LessonHouse:
    path = Path(house) if house else data_path("houses", f"{shipped}.toml")
    described = load_house(path)
    if place:
        described = with_numbers(described, {"site.climate": place})
    measures, terms = prices_and_terms(prices)
    return LessonHouse(
        house=described,
        climate=find_climate(described.site.climate, str(path.parent)),
        measures=tuple(measures),
        terms=terms,
        own=bool(house),
    )
