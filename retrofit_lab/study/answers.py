"""What a notebook gets back: the records of a study with their ranges, able to show themselves; nothing is drawn."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from retrofit_lab.base.presenting import Shown
from retrofit_lab.base.values import FloatArray, InputError
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.study.results import PlanResult, Range, YearResult
from retrofit_lab.texts.refusals import told
from retrofit_lab.uncertainty.narrowing import Narrowing
from retrofit_lab.uncertainty.outcomes import Outcome, Span

if TYPE_CHECKING:
    from retrofit_lab.bills.fitting.house_fit import Compared, HouseFit
    from retrofit_lab.study.billed import BilledHouse


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class EnergyAnswer(Shown):
    """A year of a house, as it stands or with a plan done.

    ``year`` has energy, bills and CO2; ``bills`` are what each of the ``fuels`` costs month by month, fixed
    charges included, shape (fuels, 12). [dollars/month]
    """

    house: str
    keys: tuple[str, ...]
    year: YearResult
    fuels: tuple[str, ...]
    bills: FloatArray

    @property
    def cost(self) -> float:
        """Energy bills. [dollars/year]"""
        return self.year.cost

    @property
    def co2(self) -> float:
        """CO2 of all energy. [kg/year]"""
        return self.year.co2


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class PlanAnswer(Shown):
    """A plan: its measures in the order in which they are done, what it brings and how sure that is.

    ``result`` holds everything as worked out; ``saving`` and ``payback`` are the ranges in which real houses
    like this one come out, drawn when first asked for. ``measures`` are all that fit the house. ``exact`` is
    False where a search proposed the plan without looking at every other.
    """

    house: str
    keys: tuple[str, ...]
    measures: Mapping[str, Measure]
    result: PlanResult
    draw: Callable[[], Outcome]
    exact: bool = True

    @cached_property
    def outcome(self) -> Outcome:
        """The 80 % ranges of the plan, and the chance that it pays back."""
        return self.draw()

    @property
    def saving(self) -> Span:
        """What it saves on energy bills. [dollars/year]"""
        return self.outcome.saving

    @property
    def payback(self) -> Span:
        """Simple payback. [year]"""
        return self.outcome.payback

    @property
    def cost(self) -> Range:
        """First cost after rebates. [dollars]"""
        return self.result.cost

    @property
    def net_savings(self) -> float:
        """Present worth of its savings less that of its cost, over the study period. [dollars]"""
        return self.result.net_savings


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class RangesAnswer(Shown):
    """How sure the saving of a plan is: thousands of houses that could be this one, and what to measure.

    ``outcome`` has the middle and the 80 % ranges, ``savings`` the saving in each drawn house [dollars/year];
    ``to_measure`` what would narrow the range most, the best first.
    """

    house: str
    keys: tuple[str, ...]
    outcome: Outcome
    to_measure: tuple[Narrowing, ...]

    @property
    def saving(self) -> Span:
        """What the plan saves on energy bills. [dollars/year]"""
        return self.outcome.saving

    @property
    def savings(self) -> FloatArray:
        """Saving in each house that was drawn. shape (draws,) [dollars/year]"""
        return self.outcome.savings


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class BillsAnswer(Shown):
    """A house beside its bills: what they say, which numbers of the house moved, and how well both agree.

    ``fit`` holds the house before and after, ``compared`` each fuel period by period, ``splits`` the line of use
    against temperature of each fuel. The table lists the numbers that moved.
    """

    house: str
    billed: "BilledHouse"

    @property
    def fit(self) -> "HouseFit":
        """The house fitted to its bills."""
        return self.billed.fit

    @property
    def compared(self) -> "tuple[Compared, ...]":
        """Billed use and use by the model, before and after, of each fuel."""
        return self.fit.compared

    @property
    def sentences(self) -> tuple[str, ...]:
        """What must be known first, then how well model and bills agree."""
        return (*self.billed.verdict, *(one.sentence for one in self.compared))


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class Several(Shown):
    """The same asked of several houses or budgets: one answer for each, in order.

    ``given`` says by name what each differs in, and ``units`` in which unit. Whatever can be asked of one of
    the answers (``energy``, ``plan``, ``best``) can be asked of all at once.
    """

    given: tuple[Mapping[str, Any], ...]
    units: Mapping[str, str]
    answers: tuple[Any, ...]

    def __len__(self) -> int:
        return len(self.answers)

    def __iter__(self) -> Iterator[Any]:
        return iter(self.answers)

    def __getitem__(self, place: int) -> Any:
        return self.answers[place]

    def of_each(self, ask: Callable[[Any], Any]) -> "Several":
        """The answers to one question to each."""
        return Several(given=self.given, units=self.units, answers=tuple(map(ask, self.answers)))

    def energy(self, keys: tuple[str, ...] = ()) -> "Several":
        """Energy of each; see `retrofit_lab.study.lab.Lab.energy`."""
        return self.of_each(lambda lab: lab.energy(keys))

    def plan(self, keys: tuple[str, ...]) -> "Several":
        """A plan in each; see `retrofit_lab.study.lab.Lab.plan`."""
        return self.of_each(lambda lab: lab.plan(keys))

    def best(self, **limits: Any) -> "Several":
        """The best plan in each; see `retrofit_lab.study.lab.Lab.best`."""
        return self.of_each(lambda lab: lab.best(**limits))


def one_or_several(
    given: Mapping[str, Any], units: Mapping[str, str], answer: Callable[[Mapping[str, Any]], Any]
) -> Any:
    """One answer where every value is single; `Several` where some are lists or arrays of one length.

    Parameters
    ----------
    given : mapping of str to value, or to sequence of values
        What the answers differ in.
    units : mapping of str to str
        Unit of each number, as it is shown.
    answer : callable
        Gives the answer for single values.

    Raises
    ------
    InputError
        When lists have different lengths.
    """
    lists = {name: list(value) for name, value in given.items() if _is_list(value)}
    if not lists:
        return answer(given)
    rows = [
        {name: _plain(value) for name, value in zip(lists, row, strict=True)}
        for row in _rows(lists)
    ]
    return Several(
        given=tuple(rows), units=units, answers=tuple(answer({**given, **row}) for row in rows)
    )


def _is_list(value: Any) -> bool:
    return hasattr(value, "__len__") and not isinstance(value, str)


def _plain(value: Any) -> Any:
    return value.item() if hasattr(value, "item") else value


def _rows(lists: Mapping[str, list[Any]]) -> Iterator[tuple[Any, ...]]:
    lengths = {name: len(values) for name, values in lists.items()}
    if len(set(lengths.values())) > 1:
        each = [told("study.length", name=name, count=count) for name, count in lengths.items()]
        raise InputError(told("study.lengths", lengths=each))
    yield from zip(*lists.values(), strict=True)
