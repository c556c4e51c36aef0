"""Words of scenario sheets in one language and system of units; no sheet is made here."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units
from retrofit_lab.classroom.faults import Fault, HiddenFault, scenario_tables
from retrofit_lab.classroom.hand import Hand, hand_of
from retrofit_lab.classroom.lesson_texts import written_units
from retrofit_lab.classroom.lesson_units import SI_SYSTEM, US_SYSTEM, facts_shown, fuel_amount
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.texts import LANGUAGES, catalog, data_words

PAGE = "scenario"
SI_FUEL_UNIT = "kWh"


@dataclass(frozen=True)
class ScenarioTexts:
    """What sheets of invented houses say in a language, with numbers in a system of units."""

    language: str = LANGUAGES[0]
    system: str = US_SYSTEM

    @cached_property
    def catalog(self) -> Mapping[str, Any]:
        """All sentences."""
        return catalog(self.language, PAGE)

    @cached_property
    def units(self) -> dict[str, str]:
        """How units are written, by their names."""
        return written_units(self.language, self.system)

    @cached_property
    def months(self) -> tuple[str, ...]:
        """Names of the months, short."""
        return tuple(catalog(self.language, "lessons")["words"]["months"])

    def say(self, key: str, /, **blanks: object) -> str:
        """Sentence of a key such as ``"sheet.title"``, with its blanks and units filled."""
        found: Any = self.catalog
        for name in key.split("."):
            found = found[name]
        return str(found).format(**self.units | blanks)

    def fault(self, fault: Fault, name: str) -> str:
        """Title, sign or fix of a fault."""
        return str(self.catalog["fault"][fault.key][name])

    def told(self, item: HiddenFault, name: str) -> str:
        """Clue, hint or what is seen where a fault is not, with its numbers."""
        scale, unit = item.fault.scale, item.fault.unit
        numbers = {"was": item.was * scale, "now": item.now * scale}
        shown = facts_shown(numbers, dict.fromkeys(numbers, unit), self.system)
        return self.fault(item.fault, name).format(**self.units | shown)

    def measure(self, measure: Measure) -> str:
        """Title of a measure."""
        return str(self._data("measure").get(measure.key, {}).get("title", measure.title))

    def answered(self, word: str) -> str:
        """What an answer to a question before the walk is called, such as a kind of heating."""
        return str(self._data("option").get(word, word))

    def fuel(self, fuel: str) -> str:
        """Name of a fuel."""
        return str(self._data("fuels").get(fuel, fuel_names()[fuel]))

    def fuel_unit(self, fuel: str, *, many: bool = True) -> str:
        """Unit that a fuel is counted in on the sheet; SI counts heat."""
        unit = SI_FUEL_UNIT if self.system == SI_SYSTEM else fuel_units()[fuel]
        return str(self.catalog["bills"]["many" if many else "one"][unit])

    def used(self, amount: float, fuel: str) -> float:
        """An amount of a fuel as it is shown."""
        return fuel_amount(amount, fuel, self.system)

    def facts(
        self, numbers: Mapping[str, float], units: Mapping[str, str], **words: object
    ) -> dict[str, Any]:
        """What the blanks of a question are filled with: numbers as they are shown, units, and words."""
        return {**self.units, **facts_shown(numbers, units, self.system), **words}

    def hand(self, name: str, unit: str = "") -> Hand:
        """A question that is worked out with a pencil."""
        words = dict(self.catalog["question"][name])
        asked = words.pop("unit", unit)
        return hand_of(words, scenario_tables()["question"][name], asked)

    def _data(self, kind: str) -> Mapping[str, Any]:
        return data_words(self.language).get(kind, {})
