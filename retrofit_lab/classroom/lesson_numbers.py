"""What a lesson needs of numbers, as a record: facts by name, what is guessed, what is worked out by hand, and bars."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """A chart as numbers: a value of each series for each label; ``of`` says what the labels are."""

    of: str
    labels: tuple[str, ...]
    series: Mapping[str, tuple[float, ...]]
    unit: str
    stacked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonNumbers:
    """Numbers of one lesson for one house.

    ``facts`` are what texts name; ``guessed`` is the number that students predict and ``answer`` the one
    that they work out by hand; ``slips`` are the numbers that wrong ideas lead to, by the name of the idea.
    The chart is ``bars``, or what the kitchen table draws of ``plan``; ``before`` is what students look at
    before they guess.
    """

    facts: Mapping[str, float]
    guessed: float
    answer: float
    slips: Mapping[str, float]
    bars: Bars | None = None
    plan: PlanResult | None = None
    before: Bars | None = None
    sentences: tuple[str, ...] = field(default=())


Workings = Callable[[Study, Mapping[str, float]], LessonNumbers]
"""Numbers of a lesson from the study of its house and the values that no number of the house stands for."""
