"""What a study would advise: best sets within limits, what next, plans over years, and how sure all that is.

Answers are worked out when they are asked for and kept; the numbers are the study's.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from retrofit_lab.money.loan import monthly_payment
from retrofit_lab.money.worth import replacements
from retrofit_lab.ranges.narrowing import Narrowing, what_to_measure
from retrofit_lab.ranges.outcomes import Outcome, Setting, stack_outcome
from retrofit_lab.ranges.sampling import DRAWS, REALISED, Draws, draw, realising
from retrofit_lab.stacks.choosing import (
    Limits,
    Sets,
    best_set,
    frontier,
    in_working_order,
    scores,
)
from retrofit_lab.stacks.combinations import MOST_MEASURES, all_stacks
from retrofit_lab.stacks.improving import Search, filled, improved
from retrofit_lab.stacks.staging import staged_plan
from retrofit_lab.study import Study
from retrofit_lab.values import BoolArray

MONTHS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the saving of a stack is, and what to measure to be surer."""

    outcome: Outcome
    to_measure: tuple[Narrowing, ...]
    realistic: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A set of measures proposed, with what it costs and brings. [dollars]

    ``one_by_one`` are the measures that were too many for every combination: they were tried singly and in
    exchange for others.
    """

    keys: tuple[str, ...]
    cost: float
    saving: float
    net_savings: float
    co2: float
    one_by_one: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What one measure costs [dollars] and brings [dollars/year, dollars] beside the others of a set."""

    key: str
    cost: float
    saving: float
    net_savings: float


@dataclass(frozen=True, slots=True, kw_only=True)
class YearOfPlan:
    """What a plan does in one year, with what is spent and carried forward. [dollars]"""

    year: int
    keys: tuple[str, ...]
    spent: float
    left: float
    saving: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LoanTerms:
    """Terms of a loan before its size is known: interest [percent/year] and time to pay [year]."""

    percent: float
    years: float

    def payment(self, principal: float) -> float:
        """Monthly payment on a principal. [dollars/month]"""
        months = round(12 * self.years)
        return float(monthly_payment(principal, self.percent / 100.0, months))


def setting_of(study: Study) -> Setting:
    """What the ranges of a study are worked out for."""
    return Setting(
        house=study.house,
        climate=study.climate,
        offers=study.offers,
        uses=study.uses,
        prices=study.prices,
        left_to_pay=study.purchases.left_to_pay,
    )


def drawn_for(study: Study, count: int = DRAWS) -> Draws:
    """Draws for a study, only as unsure as its bills leave the house, where there are bills."""
    fuels = [fuel for fuel, _ in study.uses]
    draws = draw(study.house, study.offers, fuels, count=count)
    if study.billed is None:
        return draws
    return replace(draws, numbers={**draws.numbers, **study.billed.drawn(count)})


class Advice:
    """Advice on one study."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self._found: dict[tuple[Limits, str], Proposal] = {}

    @cached_property
    def looked_at(self) -> tuple[str, ...]:
        """Measures of which every combination is looked at: all, or those worth most by themselves, in order."""
        return self._first(self.study.keys, "net_savings")

    def _first(self, keys: Sequence[str], aim: str, before: Sequence[str] = ()) -> tuple[str, ...]:
        """Those of some measures that bring most by themselves, after some others, as many as can be combined."""
        alone = scores(self._worth_of(np.eye(len(self.study.keys), dtype=np.bool_)), aim)
        brings = dict(zip(self.study.keys, alone.tolist(), strict=True))
        best = sorted(keys, key=lambda key: (key not in before, -brings[key]))[:MOST_MEASURES]
        return tuple(key for key in self.study.keys if key in best)

    @cached_property
    def one_by_one(self) -> tuple[str, ...]:
        """Measures that are too many for every combination."""
        return tuple(key for key in self.study.keys if key not in self.looked_at)

    @cached_property
    def sets(self) -> Sets:
        """Every set of the measures looked at, with what it costs and brings."""
        return self._sets_of(self.looked_at)

    def _sets_of(self, keys: Sequence[str]) -> Sets:
        return self._worth_of(self._wide(all_stacks(len(keys)), [(key,) for key in keys]))

    def _worth_of(self, masks: BoolArray) -> Sets:
        """What any sets cost and bring."""
        study = self.study
        nothing = study.single.energy[0]
        saved = nothing - study.energy(masks).energy
        prices = study.prices_of(masks)
        return Sets(
            cost=study.purchases.first_cost(prices),
            net_savings=study.present_savings(saved) - study.purchases.present_cost(prices),
            saving=np.asarray(saved @ study.prices),
            co2=np.asarray(saved @ study.carbon),
            allowed=study.allowed(masks),
        )

    def best(self, limits: Limits, aim: str = "net_savings") -> Proposal:
        """Best set within limits.

        Exact where every combination of the measures can be looked at. Beyond that it is the better of two sets:
        the best of all combinations of those that bring most, and one filled by what each dollar brings; both
        changed and exchanged by one and two measures as long as that helps.

        Raises
        ------
        ChoiceError
            When no set keeps the limits.
        """
        asked = (limits, aim)
        if asked not in self._found:
            self._found[asked] = self._best(limits, aim)
        return self._found[asked]

    def _best(self, limits: Limits, aim: str) -> Proposal:
        study, keys = self.study, self._first(self.study.keys, aim)
        sets = self.sets if keys == self.looked_at else self._sets_of(keys)
        chosen = self._mask(best_set(sets, limits, aim), keys)
        if self.one_by_one:
            search = Search(
                worth_of=self._worth_of,
                cost_of=lambda masks: study.purchases.first_cost(study.prices_of(masks)),
                limits=limits,
                aim=aim,
            )
            starts = (chosen, filled(search, len(study.keys)))
            ends = np.array([improved(search, start) for start in starts])
            chosen = ends[int(np.argmax(search.scored(ends)[0]))]
        return self._proposal(chosen, self._worth_of(chosen[None]), 0)

    def best_for_payment(self, payment: float, terms: LoanTerms) -> Proposal:
        """Best set whose whole cost a loan of a monthly payment covers. [dollars/month]

        Raises
        ------
        ChoiceError
            When no set keeps the payment.
        """
        limits = Limits(monthly_payment=payment, payment_per_dollar=terms.payment(1.0))
        return self.best(limits)

    def by_the_month(self, proposal: Proposal, terms: LoanTerms) -> tuple[float, float]:
        """Payment of a loan on a proposal's cost, and what the bills fall. [dollars/month]"""
        paid = terms.payment(proposal.cost) if proposal.cost > 0 else 0.0
        return paid, proposal.saving / MONTHS

    def frontier(self, ticked: Sequence[str] = ()) -> tuple[Proposal, ...]:
        """Sets that no cheaper one equals in yearly saving, by rising cost.

        Found among all combinations of the ticked measures and of those that are worth most by themselves, as
        many as can be combined; so the ticked set itself lies on the line or below it.
        """
        keys = self._first(self.study.keys, "net_savings", ticked)
        sets = self.sets if keys == self.looked_at else self._sets_of(keys)
        numbers = frontier(sets)
        masks = self._wide(all_stacks(len(keys))[numbers], [(key,) for key in keys])
        return tuple(
            self._proposal(mask, sets, int(number))
            for mask, number in zip(masks, numbers, strict=True)
        )

    def next_steps(self, ticked: Sequence[str]) -> tuple[Change, ...]:
        """Measures that are worth adding to the ticked ones, the best first, each after what must precede it."""
        study, mask = self.study, self.study.mask(ticked)
        free = np.flatnonzero(~mask)
        found = self._changes(mask, [int(place) for place in free])
        worth = {change.key: change for change in found if change.net_savings > 0}
        rules = [
            [study.keys.index(k) for k in study.offer(key).measure.after if k in worth]
            for key in study.keys
        ]
        order = in_working_order([study.keys.index(key) for key in worth], rules)
        return tuple(worth[study.keys[place]] for place in order)

    def regretted(self, ticked: Sequence[str]) -> tuple[Change, ...]:
        """Ticked measures that bring less than they cost beside the others, the worst first.

        One that another ticked measure needs is not among them: it cannot go alone.
        """
        mask = self.study.mask(ticked)
        found = self._changes(mask, [int(place) for place in np.flatnonzero(mask)])
        return tuple(change for change in reversed(found) if change.net_savings < 0)

    def _changes(self, mask: BoolArray, places: Sequence[int]) -> list[Change]:
        """What each measure brings to the others of a set, the most first; those against the rules are left out."""
        one = np.eye(len(mask), dtype=np.bool_)[list(places)]
        sets = self._worth_of(np.vstack([mask[None], mask ^ one]))
        sign = np.where(mask[list(places)], -1.0, 1.0)
        found = [
            Change(
                key=self.study.keys[place],
                cost=float(sign[row] * (sets.cost[row + 1] - sets.cost[0])),
                saving=float(sign[row] * (sets.saving[row + 1] - sets.saving[0])),
                net_savings=float(sign[row] * (sets.net_savings[row + 1] - sets.net_savings[0])),
            )
            for row, place in enumerate(places)
            if sets.allowed[row + 1]
        ]
        return sorted(found, key=lambda change: -change.net_savings)

    def plan(self, ticked: Sequence[str], budgets: Sequence[float]) -> tuple[YearOfPlan, ...]:
        """Years in which the ticked measures are done, with money carried forward.

        Where more than `MOST_MEASURES` are ticked, the cheapest that wait for nothing else are done together.

        Raises
        ------
        ChoiceError
            When the budgets cannot be used.
        """
        steps = self._steps(ticked)
        sets = self._worth_of(self._wide(all_stacks(len(steps)), steps))
        everything, rate = 2 ** len(steps) - 1, self.study.terms.discount_rate
        stages = staged_plan(sets, everything, budgets, self._after(steps), rate).stages
        return tuple(
            YearOfPlan(
                year=stage.year,
                keys=tuple(key for place in stage.added for key in steps[place]),
                spent=stage.spent,
                left=stage.left,
                saving=stage.saving,
            )
            for stage in stages
        )

    def _steps(self, ticked: Sequence[str]) -> tuple[tuple[str, ...], ...]:
        """Ticked measures one by one, the first of them together where there are too many to plan singly."""
        keys = [key for key in self.study.keys if key in ticked]
        together: list[str] = []
        while len(keys) - len(together) + bool(together) > MOST_MEASURES:
            left = [key for key in keys if key not in together]
            ready = [
                key for key in left if not set(self.study.offer(key).measure.after) & set(left)
            ]
            together.append(min(ready, key=lambda key: self.study.offer(key).cost_likely))
        singly = tuple((key,) for key in keys if key not in together)
        return (tuple(together), *singly) if together else singly

    def balance_by_year(self, ticked: Sequence[str]) -> tuple[float, ...]:
        """Money saved less money spent at the end of each year, without interest. [dollars]

        Starts with year 0, when all is bought; what wears out within the study period is bought again, then
        without rebates.
        """
        study, period = self.study, self.study.terms.period_years
        saved = study.stack(ticked).saved * np.arange(period + 1)
        prices = study.prices_of(study.mask(ticked))
        spent = np.full(period + 1, float(study.purchases.first_cost(prices)))
        for price, life in zip(prices, study.purchases.lives, strict=True):
            for year in replacements(float(life), period):
                spent[year:] += price
        return tuple((saved - spent).tolist())

    def how_sure(self, ticked: Sequence[str], *, realistic: bool = False) -> Sureness:
        """80 % ranges of a stack, the chance that it pays back, and what would narrow it most.

        Parameters
        ----------
        ticked : sequence of str
            The stack.
        realistic : bool
            Whether to count on the share of savings that published studies saw come about.
        """
        outcome = self.outcome(ticked, realistic=realistic)
        to_measure = what_to_measure(self.study.house, self.draws, outcome.savings)
        return Sureness(outcome=outcome, to_measure=to_measure, realistic=realistic)

    def outcome(self, ticked: Sequence[str], *, realistic: bool = False) -> Outcome:
        """80 % ranges of a stack and the chance that it pays back; see `how_sure`."""
        draws = realising(self.draws, REALISED) if realistic else self.draws
        return stack_outcome(self.setting, self.study.mask(ticked), draws)

    @cached_property
    def setting(self) -> Setting:
        """What ranges are worked out for."""
        return setting_of(self.study)

    @cached_property
    def draws(self) -> Draws:
        """Draws of all that is not known, made once."""
        return drawn_for(self.study)

    def _after(self, steps: Sequence[Sequence[str]]) -> tuple[tuple[int, ...], ...]:
        """For each step those that must not be done in a later year than it."""
        place = {key: number for number, step in enumerate(steps) for key in step}
        return tuple(
            tuple(
                place[other]
                for key in step
                for other in self.study.offer(key).measure.after
                if other in place and place[other] != number
            )
            for number, step in enumerate(steps)
        )

    def _wide(self, small: BoolArray, steps: Sequence[Sequence[str]]) -> BoolArray:
        """Sets of steps as sets of all measures. (sets, steps) -> (sets, measures)"""
        masks = np.zeros((len(small), len(self.study.keys)), dtype=np.bool_)
        for column, step in enumerate(steps):
            for key in step:
                masks[:, self.study.keys.index(key)] = small[:, column]
        return masks

    def _mask(self, number: int, keys: Sequence[str]) -> BoolArray:
        """Set of a number of a lattice, over all measures."""
        bits = number >> np.arange(len(keys)) & 1
        return np.asarray(self._wide(bits[None].astype(np.bool_), [(key,) for key in keys])[0])

    def _proposal(self, chosen: BoolArray, sets: Sets, row: int) -> Proposal:
        return Proposal(
            keys=tuple(key for key, on in zip(self.study.keys, chosen, strict=True) if on),
            cost=float(sets.cost[row]),
            saving=float(sets.saving[row]),
            net_savings=float(sets.net_savings[row]),
            co2=float(sets.co2[row]),
            one_by_one=self.one_by_one,
        )
