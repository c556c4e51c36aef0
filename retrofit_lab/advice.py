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
from retrofit_lab.stacks.choosing import Limits, Sets, best_set, frontier, regrets, what_next
from retrofit_lab.stacks.combinations import MOST_MEASURES, all_stacks
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
    """A set of measures proposed, with what it costs and brings; the rest was not looked at. [dollars]"""

    keys: tuple[str, ...]
    cost: float
    saving: float
    net_savings: float
    co2: float
    left_out: tuple[str, ...]


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

    @cached_property
    def looked_at(self) -> tuple[str, ...]:
        """Measures that proposals are made of: all, or those worth most by themselves, in order."""
        study = self.study
        if len(study.keys) <= MOST_MEASURES:
            return study.keys
        alone = study.stack(()).measures
        best = sorted(study.keys, key=lambda key: -alone[key].net_savings)[:MOST_MEASURES]
        return tuple(key for key in study.keys if key in best)

    @property
    def left_out(self) -> tuple[str, ...]:
        """Measures that proposals leave out because too many apply."""
        return tuple(key for key in self.study.keys if key not in self.looked_at)

    @cached_property
    def sets(self) -> Sets:
        """Every set of the measures looked at, with what it costs and brings."""
        study = self.study
        small = all_stacks(len(self.looked_at))
        masks = self._wide(small)
        energy = study.energy(masks).energy
        saved = energy[0] - energy
        purchases = study.purchases.only(self.looked_at)
        prices = study.costs[1, [study.keys.index(key) for key in self.looked_at]] * small
        return Sets(
            cost=purchases.first_cost(prices),
            net_savings=study.present_savings(saved) - purchases.present_cost(prices),
            saving=np.asarray(saved @ study.prices),
            co2=np.asarray(saved @ study.carbon),
            allowed=study.allowed(masks),
        )

    def best(self, limits: Limits, aim: str = "net_savings") -> Proposal:
        """Best set within limits, found among all.

        Raises
        ------
        ChoiceError
            When no set keeps the limits.
        """
        return self._proposal(best_set(self.sets, limits, aim))

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

    def frontier(self) -> tuple[Proposal, ...]:
        """Sets that no cheaper one equals in yearly saving, by rising cost."""
        return tuple(self._proposal(int(number)) for number in frontier(self.sets))

    def next_steps(self, ticked: Sequence[str]) -> tuple[str, ...]:
        """Measures worth adding to the ticked ones, the best first."""
        found = what_next(self.sets, self._number(ticked), after=self._after)
        return tuple(self.looked_at[s.measure] for s in found if s.net_savings > 0)

    def regretted(self, ticked: Sequence[str]) -> tuple[str, ...]:
        """Ticked measures that bring less than they cost beside the others, the worst first."""
        found = regrets(self.sets, self._number(ticked))
        worst = sorted(found, key=lambda s: s.net_savings)
        return tuple(self.looked_at[s.measure] for s in worst if s.net_savings < 0)

    def plan(self, ticked: Sequence[str], budgets: Sequence[float]) -> tuple[YearOfPlan, ...]:
        """Years in which the ticked measures are done, with money carried forward.

        Raises
        ------
        ChoiceError
            When the budgets cannot be used.
        """
        number = self._number(ticked)
        rate = self.study.terms.discount_rate
        stages = staged_plan(self.sets, number, budgets, self._after, rate).stages
        return tuple(
            YearOfPlan(
                year=stage.year,
                keys=tuple(self.looked_at[i] for i in stage.added),
                spent=stage.spent,
                left=stage.left,
                saving=stage.saving,
            )
            for stage in stages
        )

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

    @property
    def _after(self) -> tuple[tuple[int, ...], ...]:
        place = {key: i for i, key in enumerate(self.looked_at)}
        measures = [self.study.offer(key).measure for key in self.looked_at]
        return tuple(tuple(place[key] for key in m.after if key in place) for m in measures)

    def _wide(self, small: BoolArray) -> BoolArray:
        masks = np.zeros((len(small), len(self.study.keys)), dtype=np.bool_)
        masks[:, [self.study.keys.index(key) for key in self.looked_at]] = small
        return masks

    def _number(self, ticked: Sequence[str]) -> int:
        return sum(1 << i for i, key in enumerate(self.looked_at) if key in ticked)

    def _proposal(self, number: int) -> Proposal:
        sets = self.sets
        return Proposal(
            keys=tuple(key for i, key in enumerate(self.looked_at) if number >> i & 1),
            cost=float(sets.cost[number]),
            saving=float(sets.saving[number]),
            net_savings=float(sets.net_savings[number]),
            co2=float(sets.co2[number]),
            left_out=self.left_out,
        )
