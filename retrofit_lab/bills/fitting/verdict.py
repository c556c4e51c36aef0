"""What must be known of bills and house before any number is used, as keys and values; words stand in texts/."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from retrofit_lab.bills.reading.fuels import fuel_names
from retrofit_lab.texts import Word, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One thing to know: its key, the fuel it is about, what fills its sentence; ``serious`` comes first."""

    key: str
    fuel: str
    values: Mapping[str, str] = field(default_factory=dict)
    serious: bool = False

    def sentence(self, language: str = "en") -> str:
        """The sentence in a language."""
        fuel = Word("fuels", self.fuel, fuel_names()[self.fuel])
        return told(language, "verdict", self.key, {"fuel": fuel, **self.values})


def foremost(verdicts: Iterable[Verdict], language: str = "en") -> list[str]:
    """Sentences of the serious ones or, where there are none, that house and bills agree."""
    given = list(verdicts)
    serious = [verdict for verdict in given if verdict.serious]
    first = serious or [verdict for verdict in given if verdict.key == "agree"]
    return [verdict.sentence(language) for verdict in first]
