"""Answers one row of a table of houses: what the best set within a budget brings there, or why there is none."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from retrofit_lab.base.values import InputError
from retrofit_lab.measures.catalog import measure_named
from retrofit_lab.money.rebates import among
from retrofit_lab.portfolio.table import TableRow, house_of
from retrofit_lab.proposals.known import has_evidence, is_lacking
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.savings.choosing import Limits, known_aim
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.opening import prices_and_terms
from retrofit_lab.study.results import PlanResult, Range
from retrofit_lab.study.study import Study
from retrofit_lab.texts.english_only import sentence
from retrofit_lab.uncertainty.outcomes import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked of every house.

    ``limits`` and ``aim`` of the choice, one of `retrofit_lab.savings.choosing.AIMS`; ``measures`` to consider
    (none means all); ``prices``, a file with own prices, rebates and terms of money.
    """

    limits: Limits = field(default_factory=Limits)
    aim: str = "net_savings"
    measures: tuple[str, ...] = ()
    prices: str = ""

    def __post_init__(self) -> None:
        known_aim(self.aim)
        for key in self.measures:
            measure_named(key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One house with the best set for it.

    ``before`` and ``saving`` [dollars/year], with the 80 % range of the saving in ``saving_range``;
    ``cost`` and ``net_savings`` [dollars], ``payback`` [year], ``sir`` [1], ``co2_before`` and ``co2_saved``
    [kg/year]. ``measures`` says how many measures apply, ``exact`` whether every set of them was looked at;
    ``cautions`` are the keys of the safety notes. ``held`` are those of the best that wait for a hazard, ``guesses``
    those for which nothing known of the house speaks; ``needed`` is what it lacks for health or to last.
    """

    before: float
    best: tuple[str, ...]
    saving: float
    saving_range: Span
    cost: Range
    payback: float
    sir: float | None
    net_savings: float
    co2_before: float
    co2_saved: float
    cautions: tuple[str, ...]
    held: tuple[str, ...]
    needed: tuple[str, ...]
    guesses: tuple[str, ...]
    measures: int
    exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RowResult:
    """One row of the table: its line, its house's name, and the answer or a sentence on what is wrong."""

    line: int
    name: str
    answer: Answer | None = None
    error: str = ""


def answer_row(question: Question, row: TableRow) -> RowResult:
    """Result of a row; one that cannot be worked out says so and stops nothing."""
    empty = RowResult(line=row.line, name=row.name)
    try:
        return replace(empty, answer=_answer(question, row))
    except InputError as error:
        return replace(empty, error="; ".join(str(error).splitlines()))
    except Exception as error:  # noqa: BLE001 - one house that the model trips over must not cost all others
        what = f"{type(error).__name__}: {error}"
        return replace(empty, error=sentence("portfolio_answer.house_cannot", what=what))


def _answer(question: Question, row: TableRow) -> Answer:
    measures, terms = prices_and_terms(question.prices)
    wanted = tuple(m for m in measures if not question.measures or m.key in question.measures)
    terms = replace(terms, rebates=among(terms.rebates, [m.key for m in wanted]))
    study = Study(house_of(row), measures=wanted, terms=terms, folder=row.folder)
    advice = Advice(study)
    proposal = advice.best(question.limits, question.aim)
    result = study.plan(proposal.keys)
    return Answer(
        before=result.before.cost,
        best=result.ticked,
        saving=result.saved,
        saving_range=advice.outcome(proposal.keys).saving,
        cost=result.cost,
        payback=result.payback,
        sir=result.sir,
        net_savings=result.net_savings,
        co2_before=result.before.co2,
        co2_saved=result.before.co2 - result.after.co2,
        cautions=tuple(raised.caution.key for raised in result.cautions),
        held=proposal.held,
        needed=_needed(study, result),
        guesses=_guesses(study, result.ticked),
        measures=len(study.keys),
        exact=proposal.exact,
    )


def _needed(study: Study, result: PlanResult) -> tuple[str, ...]:
    """Measures that the house lacks whatever they pay, with the fan that the plan calls for."""
    house, fan = stated_house(study), result.fresh_air
    lacking = {o.key for o in study.offers if is_lacking(house, o.measure)}
    lacking |= {fan.measure} if fan else set()
    return tuple(key for key in study.keys if key in lacking)


def _guesses(study: Study, ticked: Sequence[str]) -> tuple[str, ...]:
    house = stated_house(study)
    return tuple(key for key in ticked if not has_evidence(house, study.offer(key).measure))
