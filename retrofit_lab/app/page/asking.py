"""What a question of the page is answered from: the plan, the advice on it, and how it is told."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.page.told import Told
from retrofit_lab.proposals.in_real_houses import Expected, RealHouses
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult

Values = Mapping[str, float]
Content = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question asked about one plan."""

    advice: Advice
    result: PlanResult
    real: RealHouses
    told: Told
    values: Values

    @property
    def ticked(self) -> tuple[str, ...]:
        """The plan's measures."""
        return self.result.ticked

    @property
    def expected(self) -> Expected:
        """What to expect of the plan."""
        return self.real.of_plan(self.result)

    def say(self, key: str, **blanks: object) -> str:
        """Sentence of the catalog."""
        return self.told.say(key, **blanks)

    def number(self, name: str) -> int:
        """A value as a whole number, such as the place of a choice."""
        return int(self.values[name])

    def only(self, key: str) -> Content:
        """An answer of one sentence."""
        return {"sentences": [self.say(key)]}
