"""One house told in one language and one system of units: titles, money, paybacks, notes."""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from retrofit_lab.app.shared.shown_units import carbon_dioxide
from retrofit_lab.app.shared.si_text import in_si
from retrofit_lab.app.shared.systems import SI
from retrofit_lab.app.shared.wording import adding_up, dollars, lowered, rounded
from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.proposals.in_real_houses import Expected
from retrofit_lab.safety.cautions import Caution
from retrofit_lab.safety.hazards import Hazard
from retrofit_lab.study.results import Range
from retrofit_lab.study.study import Study

PAGE = "page"
LEAST_PRICE = 0.5
"""Price below which something is free. [dollars]"""


@dataclass(frozen=True)
class Told:
    """How one study is told."""

    study: Study
    words: Words

    @cached_property
    def titles(self) -> dict[str, str]:
        """Titles of the measures by key."""
        return {o.key: self.plain(self.words.names.title(o.measure)) for o in self.study.offers}

    def say(self, key: str, **values: object) -> str:
        """Sentence of the page's catalog; see `Words.say`."""
        return self.words.say(key, **values)

    def all(self, key: str) -> list[str]:
        """Sentences of a list in the catalog."""
        return self.words.all(key)

    def plain(self, text: str) -> str:
        """Sentence of the data with its numbers in the chosen units."""
        return in_si(text) if self.words.system == SI else text

    def quoted_rule(self, text: str) -> str:
        """Sentence of the data that quotes a rule, with SI beside its numbers where SI is chosen."""
        return in_si(text, beside=True) if self.words.system == SI else text

    def names(self, keys: Iterable[str]) -> str:
        """Titles of measures inside a sentence."""
        return "; ".join(lowered(self.titles[key]) for key in keys)

    def name(self, key: str) -> str:
        """Title of one measure inside a sentence."""
        return lowered(self.titles[key])

    def yearly(self, amount: float, write: Callable[[float], str] = dollars) -> str:
        """A yearly saving under a heading that says so; what costs more says that itself."""
        if amount < -0.5:
            return self.say("form.more", amount=write(-amount))
        return write(max(amount, 0.0))

    def price(self, cost: Range) -> str:
        """What something costs, most likely."""
        return self.amount(cost.likely)

    def amount(self, likely: float, write: Callable[[float], str] = dollars) -> str:
        """The same for a price alone."""
        return self.say("form.free") if likely < LEAST_PRICE else write(likely)

    def price_range(self, cost: Range) -> str:
        """What something costs, with its range where it has one that is seen."""
        low, likely, high = map(dollars, (cost.low, cost.likely, cost.high))
        if cost.high <= 0:
            return self.say("form.free")
        return likely if low == high else self.words.within(likely, low, high)

    def years(self, span: float) -> str:
        """A payback as people say it."""
        return self.words.years(span)

    def count_of_years(self, count: float) -> str:
        """A number of years."""
        return (
            self.say("form.year_one") if count == 1 else self.say("form.years", count=f"{count:g}")
        )

    def chance(self, chance: float) -> str:
        """A chance as people say it; neither end is certain."""
        tenths = round(10 * chance)
        if tenths in (0, 10):
            return self.say("form.likely_all" if tenths else "form.likely_none")
        return self.say("form.likely_some", tenths=tenths)

    def co2(self, kg: float) -> str:
        """Carbon dioxide of a year."""
        return carbon_dioxide(kg, self.words.system)

    def caution(self, caution: Caution) -> dict[str, str]:
        """A caution as the page shows it."""
        title, text, source = self.words.names.caution(caution)
        return {
            "title": title,
            "text": self.quoted_rule(text),
            "source": self.say("row.source", source=source),
        }

    def hazard(self, hazard: Hazard) -> dict[str, str]:
        """A hazard in words."""
        return {
            name: self.quoted_rule(text) for name, text in self.words.names.hazard(hazard).items()
        }

    def released(self, hazard: Hazard) -> str:
        """What releases a hazard and who settles it."""
        said = self.hazard(hazard)
        return self.say("row.held_release", release=said["release"], settled_by=said["settled_by"])

    def held(self, hazards: Sequence[Hazard]) -> str:
        """What a measure waits for; empty where no hazard holds it."""
        if not hazards:
            return ""
        titles = "; ".join(lowered(self.hazard(hazard)["title"]) for hazard in hazards)
        return self.say("row.held", hazards=titles)

    def client(self) -> dict[str, Any]:
        """Texts that the page's script uses itself."""
        return dict(self.words.texts["client"])


def told(study: Study, language: str, system: str) -> Told:
    """A study told in a language, with numbers in one of `SYSTEMS`; see `words`."""
    return Told(study, words(language, system, PAGE))


def shown_lines(expected: Expected, ticked: Collection[str]) -> dict[str, int]:
    """What each line of a list says that it saves; those of the plan add up to its saving as shown. [dollars/year]"""
    lines = expected.lines
    on = [key for key in lines if key in ticked]
    shares = adding_up([lines[key] for key in on], rounded(expected.saving))
    return {key: rounded(saves) for key, saves in lines.items()} | dict(
        zip(on, shares, strict=True)
    )
