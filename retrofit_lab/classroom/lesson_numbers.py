"""What a lesson needs of numbers, as a record: facts by name and what is drawn, with names in place of words."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from retrofit_lab.house.description import House
from retrofit_lab.model.losses import SeasonLosses
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """A chart as numbers: a value of each series for each label.

    ``of`` says what the labels are, ``unit`` what the numbers count in; these, the labels and the series are names
    that texts translate. ``measures`` says that the labels are measures.
    """

    of: str
    labels: tuple[str, ...]
    series: Mapping[str, tuple[float, ...]]
    unit: str
    stacked: bool = False
    measures: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Points of one meaning, joined by a line where they are ``joined``."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    joined: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Curves:
    """A chart of one number over another, by the name of each curve; units are names too."""

    x_unit: str
    y_unit: str
    curves: Mapping[str, Curve]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A rectangle of a heat picture with the temperature of its surface. [share of the picture, F]"""

    name: str
    left: float
    top: float
    width: float
    height: float
    temperature: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A house to be drawn with the heat that leaves it, now and with a plan, by part. [percent]"""

    house: House
    now: Mapping[str, float]
    then: Mapping[str, float] | None = None


Chart = Bars | Curves | PlanResult
"""What is drawn; of a plan it is what the kitchen table draws."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonNumbers:
    """Numbers of one lesson for one house.

    ``facts`` are what texts name, what is guessed and what is worked out by hand among them. ``charts`` open with
    the answer, the first of them follows the boxes; ``before`` is what students look at before they guess.
    """

    facts: Mapping[str, float]
    charts: tuple[Chart, ...]
    before: Chart | None = None
    heat_picture: tuple[Field, ...] = ()
    drawn: Drawn | None = None


def drawn(study: Study, plan: tuple[str, ...] = ()) -> Drawn:
    """The house of a study with its losses, and with those that a plan leaves."""
    losses = study.energies.season_losses(())

    def shares(which: SeasonLosses) -> dict[str, float]:
        return {part: float(share) for part, share in which.of_hundred(losses.total).items()}

    then = shares(study.energies.season_losses(plan)) if plan else None
    return Drawn(house=study.as_found, now=shares(losses), then=then)


Workings = Callable[[Study, Mapping[str, float]], LessonNumbers]
"""Numbers of a lesson from the study of its house and the values that no number of the house stands for."""
