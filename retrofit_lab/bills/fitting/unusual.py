"""What is peculiar about bills, as a record, and what is known when looking for it; the looking is done elsewhere."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from retrofit_lab.base.values import FloatArray
from retrofit_lab.bills.fitting.model_months import fuel_months, month_shares
from retrofit_lab.bills.fitting.period_weather import BillWeather
from retrofit_lab.bills.fitting.splitting import FuelSplit
from retrofit_lab.bills.reading.fuels import fuel_names, heat_contents
from retrofit_lab.bills.reading.record import BillSet
from retrofit_lab.climate.monthly import MonthlyClimate
from retrofit_lab.house.description import House
from retrofit_lab.model.year import YearEnergy
from retrofit_lab.texts import LANGUAGES, Word, told
from retrofit_lab.texts.refusals import in_language

MUCH_MORE = 1.5
"""How far the low end of what is billed must lie above what is explained. [1] judgment

Of houses drawn from what is stated of two examples, 98 in 100 lie below: 1.34, 1.40 and 1.51 (hot water and
habits that no one asked about; windows that are never opened).
"""
PAPER = "paper"
"""How keys of findings begin that are about the bills themselves, not about the use."""
DAYS_A_YEAR = 365.0
WATTS_PER_KWH_A_DAY = 1000.0 / 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something peculiar: its key, the fuel, what fills its sentence, and the rows of the bills it is about.

    The words stand in ``texts/LANGUAGE/data/unusual.toml``: what was seen by ``key`` and ``way`` (up or down, say),
    what to look for by ``key``. ``values`` may hold `Word`.
    """

    key: str
    fuel: str
    values: Mapping[str, Any] = field(default_factory=dict)
    way: str = ""
    rows: tuple[int, ...] = ()

    def seen(self, language: str = LANGUAGES[0]) -> str:
        """Sentence on what was seen."""
        return self._said("seen", f"{self._kind}_{self.way}" if self.way else self._kind, language)

    def look(self, language: str = LANGUAGES[0]) -> str:
        """What to look for in the house."""
        return self._said("look_for", self._kind, language)

    def told(self, language: str = LANGUAGES[0]) -> str:
        """Both, one after the other."""
        return f"{self.seen(language)} {self.look(language)}"

    @property
    def _kind(self) -> str:
        """What the words are kept under: what is odd about the bills themselves says its own sentences."""
        return PAPER if self.key.startswith(PAPER) else self.key

    def _said(self, table: str, key: str, language: str) -> str:
        values = {name: _in_language(value, language) for name, value in self.values.items()}
        fuel = Word("fuels", self.fuel, fuel_names().get(self.fuel, ""))
        return told(language, table, key, {"fuel": fuel, **values})


def _in_language(value: object, language: str) -> str:
    """A value as a sentence shows it; several sentences follow one another."""
    parts = value if isinstance(value, tuple) else (value,)
    return " ".join(in_language(part, language) for part in parts)


@dataclass(frozen=True, slots=True)
class Setting:
    """House and bills to look at, with the model's year of the house."""

    house: House
    climate: MonthlyClimate
    bills: BillSet
    weather: BillWeather
    year: YearEnergy

    def months(self, fuel: str) -> FloatArray:
        """Use of one fuel by month, by the model. [unit] shape (12,)"""
        return np.asarray(fuel_months(self.year, fuel, 1)[0])

    def daily(self, fuel: str, end_uses: Sequence[str]) -> float:
        """Use of one fuel for some end uses by the model. [unit/day]"""
        energy = sum(float(np.sum(self.year.annual(fuel, use))) for use in end_uses)
        return energy / heat_contents()[fuel] / DAYS_A_YEAR

    def modeled(self, split: FuelSplit) -> FloatArray:
        """Use in each period by the model. [unit]"""
        return month_shares(split.periods, self.weather, split.fit) @ self.months(split.fuel)
