"""Answers one row of a table of houses: what the best set within a budget brings there, or why there is none."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from retrofit_lab.advice import Advice
from retrofit_lab.measures.catalogue import Measure, catalogue, measure_named
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.portfolio.table import TableRow, house_of
from retrofit_lab.results import Range
from retrofit_lab.stacks.choosing import Limits
from retrofit_lab.study import Study
from retrofit_lab.values import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked of every house: limits of the choice, terms of money, measures (none means all)."""

    limits: Limits = field(default_factory=Limits)
    terms: MoneyTerms = field(default_factory=MoneyTerms)
    measures: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for key in self.measures:
            measure_named(key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One house with the best set for it.

    ``before`` and ``saving`` [dollars/year], ``cost`` and ``net_savings`` [dollars], ``payback`` [year],
    ``sir`` [1], ``co2_before`` and ``co2_saved`` [kg/year]. ``measures`` says how many measures apply,
    ``one_by_one`` how many of them were too many for every combination and were tried singly; ``cautions``
    are the keys of what to heed.
    """

    before: float
    best: tuple[str, ...]
    saving: float
    cost: Range
    payback: float
    sir: float
    net_savings: float
    co2_before: float
    co2_saved: float
    cautions: tuple[str, ...]
    measures: int
    one_by_one: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RowResult:
    """One row of the table: its line, its house's name, and the answer or a sentence on what is wrong."""

    line: int
    name: str
    answer: Answer | None = None
    error: str = ""


def answer_rows(question: Question, rows: Sequence[TableRow]) -> tuple[RowResult, ...]:
    """Results of some rows; a row that cannot be worked out says so and stops nothing."""
    return tuple(_result(question, row) for row in rows)


def _result(question: Question, row: TableRow) -> RowResult:
    empty = RowResult(line=row.line, name=row.name)
    try:
        return replace(empty, answer=_answer(question, row))
    except InputError as error:
        return replace(empty, error="; ".join(str(error).splitlines()))
    except Exception as error:  # noqa: BLE001 - one house that the model trips over must not cost all others
        what = f"{type(error).__name__}: {error}"
        return replace(empty, error=f"this house cannot be worked out ({what}). Please report it.")


def _answer(question: Question, row: TableRow) -> Answer:
    measures = _wanted(question.measures)
    study = Study(house_of(row), measures=measures, terms=question.terms, folder=row.folder)
    proposal = Advice(study).best(question.limits)
    result = study.stack(proposal.keys)
    return Answer(
        before=result.before.cost,
        best=result.ticked,
        saving=result.saved,
        cost=result.cost,
        payback=result.payback,
        sir=result.sir,
        net_savings=result.net_savings,
        co2_before=result.before.co2,
        co2_saved=result.before.co2 - result.after.co2,
        cautions=tuple(raised.caution.key for raised in result.cautions),
        measures=len(study.keys),
        one_by_one=len(proposal.one_by_one),
    )


def _wanted(keys: Sequence[str]) -> tuple[Measure, ...]:
    return tuple(m for m in catalogue() if not keys or m.key in keys)
