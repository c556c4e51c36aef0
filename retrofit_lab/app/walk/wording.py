"""What the walkthrough form says in one language: sentences by key, and what the data calls things."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from retrofit_lab.app.shared.words import words
from retrofit_lab.app.walk.data_words import DataWords
from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.units import R_UNIT, U_UNIT, for_people, spelled
from retrofit_lab.house.typed import with_decimal_points
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.refusals import in_language
from retrofit_lab.uncertainty.sampling import ASSUMED_FACTOR

PAGE = "walk"
DECIMAL_COMMAS = ("es",)
"""Languages in which some people write 3,5."""


@cache
def walk_words(language: str = LANGUAGES[0]) -> "WalkWords":
    """Words of the form in a language; those of the first language where it is unknown."""
    return WalkWords(words(language if language in LANGUAGES else LANGUAGES[0], page=PAGE))


@dataclass(frozen=True)
class WalkWords(DataWords):
    """What the form says itself, and what the data is called."""

    @property
    def language(self) -> str:
        """The language."""
        return self.words.language

    def say(self, key: str, **values: object) -> str:
        """Sentence of a key, with its blanks filled."""
        return self.words.say(key, **values)

    def client(self) -> dict[str, str]:
        """Sentences that the form's script says itself."""
        return {key: str(said) for key, said in self.words.texts["client"].items()}

    def part_title(self, record: Any, owner: str = "") -> str:
        """Name of a part, with what it is where the name alone would be mistaken for another part."""
        name = self.part(getattr(record, "label", "")) or record.key.replace("_", " ")
        kinds = self.words.texts["kind"]
        if record.section in kinds:
            name = f"{kinds[record.section]}: {name[:1].lower()}{name[1:]}"
        return f"{name} ({self.part(owner)})" if owner else name

    def quantity(self, value: float, unit: str, digits: int = 5) -> str:
        """A number as the trade writes it, with its unit."""
        return quantity(value, unit, self.unit(unit), digits)

    def unit(self, unit: str) -> str:
        """What stands beside a box."""
        spelling = spelled(unit)
        return self.words.names.word(spelling) if spelling else ""

    def typed_unit(self, unit: str) -> str:
        """A unit that a part has by its kind, such as ft of baseboard or dollars a month."""
        money, _, each = unit.partition(" a ")
        if each:
            return self.say(
                "form.each",
                money=self.words.names.word(money),
                unit=self.words.names.word(for_people(each)),
            )
        return self.words.names.word(for_people(unit)) if unit else ""

    def between(self, low: float, high: float, unit: str) -> str:
        """A range as the trade writes it."""
        first = self.quantity(low, unit, 3) if unit in (R_UNIT, U_UNIT) else number(low, 3)
        return self.say("form.between", low=first, high=self.quantity(high, unit, 3))

    def estimate(self, value: float, rule: Parameter) -> str:
        """What stands in for a number that no one gave, and how far it may be off."""
        half = ASSUMED_FACTOR * rule.half_range(value)
        low, high = max(value - half, rule.legal_low), min(value + half, rule.legal_high)
        used = self.quantity(value, rule.unit, 3)
        if half == 0:
            most = self.between(rule.typical_low, rule.typical_high, rule.unit)
            return self.say("form.usual", used=used, most=most)
        return self.say("form.likely", used=used, likely=self.between(low, high, rule.unit))

    def refusal(self, said: object) -> str:
        """What an error or a sentence of a lower room says in this language."""
        return in_language(said, self.language)

    def typed(self, text: str) -> str:
        """What was typed, with decimal points where this language has commas too."""
        return with_decimal_points(text) if self.language in DECIMAL_COMMAS else text

    def progress(self, given: int, asked: int) -> str:
        """How much of a stop or of the house is answered."""
        return self.say("form.answered", given=given, asked=asked)

    def overall(self, given: int, asked: int, finer: int) -> str:
        """How much of the house is answered, and what else stands on estimates."""
        told = self.progress(given, asked)
        return self.say("form.finer", told=told, finer=finer) if finer else told

    def measure_line(self, title: str, low: str, high: str) -> str:
        """A measure that a stop calls for, with its price."""
        return f"{title}: {self.say('form.between', low=low, high=high) if low != high else low}"

    def bills_kept(self, read: Sequence[str], problems: Sequence[str]) -> str:
        """What was read, what keeping it did, and what is odd about the bills."""
        told = map(self.refusal, (*read, *problems))
        before = [next(told) for _ in read]
        return "\n".join([*before, self.say("said.bills_kept"), *told])

    def standing(self, saved_at: str, *, fits: bool) -> str:
        """Whether what was answered is in the file."""
        if not fits:
            return self.say("form.waits")
        return self.say("form.saved_at", at=saved_at) if saved_at else self.say("form.saved")

    def changed_elsewhere(self, names: Sequence[str]) -> str:
        """What another device answered meanwhile; the last answer to a question stands."""
        return self.say("form.elsewhere", names=", ".join(names)) if names else ""


def number(value: float, digits: int = 5) -> str:
    """A number with few digits and no needless ones."""
    rounded = float(f"{value:.{digits}g}")
    return f"{rounded:,.0f}" if abs(rounded) >= 1000 else f"{rounded:g}"


def quantity(value: float, unit: str, spelling: str, digits: int = 5) -> str:
    """A number as the trade writes it, with its unit behind it; R and U stand in front."""
    if unit in (R_UNIT, U_UNIT):
        return f"{spelled(unit)}-{number(value, digits)}"
    if unit == "year":
        return f"{value:.0f}"
    return f"{number(value, digits)} {spelling}".strip()
