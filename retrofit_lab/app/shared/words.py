"""Words of one page in one language: sentences by key, and numbers as people write them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from math import isinf, isnan
from typing import Any

from retrofit_lab.app.shared.names import Names
from retrofit_lab.app.shared.systems import SYSTEMS, fuel_shown, quantity_shown, shown
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.fuels import several
from retrofit_lab.base.units import R_UNIT, U_UNIT, spelled
from retrofit_lab.base.values import InputError
from retrofit_lab.study.results import Range
from retrofit_lab.texts import LANGUAGES, catalog, data_words
from retrofit_lab.texts.english_only import sentence
from retrofit_lab.uncertainty.outcomes import Span


@dataclass(frozen=True, slots=True)
class Words:
    """One language: ``texts`` are the page's own sentences, ``names`` what the data calls things.

    ``system`` says in which units numbers are shown.
    """

    language: str
    texts: Mapping[str, Any]
    names: Names
    system: str = SYSTEMS[0]

    def say(self, key: str, **values: object) -> str:
        """Sentence of a key such as ``"weekend.title"``, with its blanks filled."""
        return str(self._at(key)).format(**values) if values else str(self._at(key))

    def all(self, key: str) -> list[str]:
        """Sentences of a key that holds a list."""
        return [str(item) for item in self._at(key)]

    def _at(self, key: str) -> Any:
        found: Any = self.texts
        for name in key.split("."):
            found = found[name]
        return found

    def listed(self, names: Iterable[str]) -> str:
        """Names in quotation marks, joined as in a sentence."""
        return self.joined(self.say("form.quoted", name=name) for name in names)

    def joined(self, parts: Iterable[str]) -> str:
        """Parts of a sentence with commas and "and" between them."""
        *first, last = parts
        return f"{', '.join(first)} {self.say('form.and')} {last}" if first else last

    def day(self, day: date) -> str:
        """A date in words."""
        month = self.all("form.months")[day.month - 1]
        return self.say("form.date", day=day.day, month=month, year=day.year)

    def years(self, span: float) -> str:
        """A payback as people say it."""
        if isinf(span) or isnan(span):
            return self.say("form.never")
        if span < 0.5:
            return self.say("form.within_months")
        if span < 1.5:
            return self.say("form.about_a_year")
        if span > 60:
            return self.say("form.very_many_years")
        return self.say("form.about_years", count=f"{span:.0f}")

    def ratio(self, sir: float | None) -> str:
        """A savings-to-investment ratio."""
        return self.say("form.costs_nothing") if sir is None else f"{sir:.1f}"

    def cost(self, cost: Range, likely: str = "") -> str:
        """A price with its range; ``likely`` where it is written as a part of a sum."""
        likely = likely or dollars(cost.likely)
        if cost.high <= 0 or round(cost.low) == round(cost.high):
            return likely
        return self.within(likely, dollars(cost.low), dollars(cost.high))

    def saving(self, span: Span, middle: str = "") -> str:
        """A yearly saving in real houses with its 80 % range; ``middle`` where it is written as a part of a sum."""
        return self.within(middle or dollars(span.middle), dollars(span.low), dollars(span.high))

    def within(self, likely: str, low: str, high: str) -> str:
        """A number with its range."""
        return self.say("form.within", likely=likely, low=low, high=high)

    def number(self, value: float, unit: str) -> tuple[float, str]:
        """A number of a declared unit as it is shown, and how its unit is written."""
        how = shown(unit, self.system)
        return how.number(value), self.names.word(how.spelling) if how.spelling else ""

    def quantity(self, value: float, unit: str) -> str:
        """A number in its declared unit, with it."""
        number, spelling = self.number(value, unit)
        text = f"{number:.0f}" if unit == "year" else _digits(number)
        if unit == R_UNIT or spelling == spelled(U_UNIT):
            return f"{spelling}-{text}"
        return f"{text} {spelling}".strip()

    def flow(self, value: float) -> str:
        """An air flow given in cfm."""
        number, spelling = self.number(value, "cfm")
        return f"{number:,.0f} {spelling}"

    def fuel_unit(self, fuel: str) -> str:
        """How the unit of a fuel is written."""
        return self.names.word(fuel_shown(fuel, self.system).spelling)

    def fuel_units(self, fuel: str) -> str:
        """How the unit of a fuel is written after a number."""
        return self.names.word(several(fuel_shown(fuel, self.system).spelling))

    def amount(self, value: float, fuel: str) -> float:
        """An amount of a fuel in the unit that is shown."""
        return fuel_shown(fuel, self.system).number(value)

    def fuel(self, value: float, fuel: str) -> str:
        """An amount of a fuel with its unit."""
        return f"{self.amount(value, fuel):,.0f} {self.fuel_units(fuel)}"

    def several(self, unit: str, one: str) -> str:
        """What more than one of something that is counted is called; other units stay as they are."""
        return str(self.texts.get("several", {}).get(unit, one))

    def measure_quantity(self, value: float, unit: str) -> tuple[float, str]:
        """How much of a measure there is, and how its unit is written."""
        how = quantity_shown(unit, self.system)
        return how.number(value), self.names.word(how.spelling)


def _digits(number: float) -> str:
    """Three digits, or all of them before the point."""
    return f"{number:,.0f}" if abs(number) >= 1000 else f"{number:.3g}"


@cache
def words(language: str, system: str = SYSTEMS[0], page: str = "report") -> Words:
    """Words of a page in a language, with numbers in one of `SYSTEMS`.

    Raises
    ------
    InputError
        When there are no texts in that language, or the system of units is unknown.
    """
    if system not in SYSTEMS:
        raise InputError(sentence("shared_words.no_units", system=system, known=", ".join(SYSTEMS)))
    if language not in LANGUAGES:
        raise InputError(
            sentence("shared_words.no_language", language=language, known=", ".join(LANGUAGES))
        )
    return Words(language, catalog(language, page), Names(data_words(language)), system)
