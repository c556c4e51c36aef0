"""What a study would advise: best sets within limits, what next, plans over years, and how sure all that is.

Answers are worked out when they are asked for and kept; the numbers are the study's.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from retrofit_lab.base.values import BoolArray
from retrofit_lab.money.financing import Financed, financed
from retrofit_lab.money.loan import Loan, monthly_payment
from retrofit_lab.money.worth import replacements
from retrofit_lab.savings.choosing import Limits, Sets, frontier, in_working_order
from retrofit_lab.study.over_years import PlanOverYears, over_years
from retrofit_lab.study.plan_tables import Chooser, table_of
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import working_order
from retrofit_lab.uncertainty.narrowing import Narrowing, air_model_share, what_to_measure
from retrofit_lab.uncertainty.outcomes import Outcome, Setting, plan_outcome
from retrofit_lab.uncertainty.sampling import DRAWS, Draws, as_worked_out, draw

MONTHS = 12
LEAST_BUDGET = 100.0
"""Least budget for which the frontier is searched. [dollars]"""
BUDGETS = 10
"""Budgets for which it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the saving of a plan is, and what to measure to be surer.

    ``air_share`` is the share of the doubt that two published models of natural air make, which no visit
    settles. [1]
    """

    outcome: Outcome
    to_measure: tuple[Narrowing, ...]
    air_share: float
    worked_out: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A set of measures proposed, in working order, with what it costs and brings. [dollars, kg/year of CO2]

    ``exact`` says whether it is the best of all sets; otherwise it is the best that a search found.
    ``held`` are those of the measures that cannot be started before a hazard of the house is settled.
    """

    keys: tuple[str, ...]
    cost: float
    saving: float
    net_savings: float
    co2: float
    exact: bool
    held: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One measure, with what it needs and lacks, and what it costs and brings beside others. [dollars]"""

    key: str
    needs: tuple[str, ...]
    cost: float
    saving: float
    net_savings: float


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
    """What the ranges of a study are worked out for; energy counts as it does in the study's own results."""
    return Setting(
        house=study.house,
        climate=study.climate,
        offers=study.offers,
        uses=study.uses,
        fuels=study.fuels,
        charged=study.money.charged,
        left_to_pay=study.money.purchases.left_to_pay,
        needless=study.money.purchases.needless if study.money.purchases.anyway else None,
    )


def drawn_for(study: Study, count: int = DRAWS) -> Draws:
    """Draws for a study, only as unsure as its bills leave the house, where there are bills."""
    fuels = [fuel for fuel, _ in study.uses]
    billed = study.billed is not None and study.billed.fit.used
    draws = draw(study.house, study.offers, fuels, count=count, billed=billed)
    draws = replace(draws, realized=draws.realized * study.case.learned.factor)
    if study.billed is None:
        return draws
    return replace(draws, numbers={**draws.numbers, **study.billed.drawn(count)})


class Advice:
    """Advice on one study."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self._found: dict[tuple[Limits, str], Proposal] = {}
        self._choosers: dict[tuple[tuple[str, ...], bool], Chooser] = {}
        self._frontiers: dict[tuple[str, ...], tuple[Proposal, ...]] = {}

    @property
    def chooser(self) -> Chooser:
        """What chooses among all measures that apply."""
        return self.chooser_among(self.study.keys)

    def chooser_among(self, keys: tuple[str, ...], *, sealed_first: bool = False) -> Chooser:
        """What chooses among some measures, made once: it keeps the sets that it has looked at."""
        asked = keys, sealed_first
        if asked not in self._choosers:
            self._choosers[asked] = Chooser(self.study, keys, sealed_first=sealed_first)
        return self._choosers[asked]

    def best(self, limits: Limits, aim: str = "net_savings") -> Proposal:
        """Best set within limits: the best of all or, where these are too many, the best that a search finds.

        Raises
        ------
        ChoiceError
            When no set keeps the limits.
        """
        asked = (limits, aim)
        if asked not in self._found:
            self._found[asked] = self._proposal(self.chooser.best(limits, aim))
        return self._found[asked]

    def best_for_payment(self, payment: float, terms: LoanTerms) -> Proposal:
        """Best set whose whole cost a loan of a monthly payment covers. [dollars/month]

        Raises
        ------
        ChoiceError
            When no set keeps the payment.
        """
        limits = Limits(monthly_payment=payment, payment_per_dollar=terms.payment(1.0))
        return self.best(limits)

    def financed(
        self,
        ticked: Sequence[str],
        terms: LoanTerms,
        *,
        down_payment: float = 0.0,
        fee: float = 0.0,
    ) -> Financed:
        """A plan paid with a loan on what rebates and a down payment leave of its cost.

        Parameters
        ----------
        ticked : sequence of str
            The plan.
        terms : LoanTerms
            Interest and years of the loan.
        down_payment, fee : float
            What is paid at once, and what the lender keeps back. [dollars]

        Raises
        ------
        MoneyError
            When there is nothing left to borrow, or the loan is impossible.
        """
        study, result = self.study, self.study.plan(ticked)
        loan = Loan(
            principal=result.cost.likely - down_payment + fee,
            yearly_rate=terms.percent / 100.0,
            months=round(MONTHS * terms.years),
            fee=fee,
        )
        return financed(
            loan,
            first_cost=result.cost.likely,
            saved_by_month=study.energies.bills_by_month(())
            - study.energies.bills_by_month(ticked),
            rises=[study.terms.escalation.get(fuel, 0.0) for fuel in study.fuels],
            net_savings=result.net_savings,
            terms=study.terms,
        )

    def frontier(self, ticked: Sequence[str] = ()) -> tuple[Proposal, ...]:
        """Sets that no cheaper one equals in yearly saving, by rising cost; the ticked one is on it or below."""
        asked = tuple(ticked)
        if asked not in self._frontiers:
            self._frontiers[asked] = self._frontier(asked)
        return self._frontiers[asked]

    def _frontier(self, ticked: Sequence[str]) -> tuple[Proposal, ...]:
        sets = self._most_saving.joined(table_of(self.study, self.study.mask(ticked)[None]))
        if not self.chooser.exact:
            same = Limits(budget=float(sets.cost[-1]))
            sets = sets.joined(self.chooser.best(same, "saving", sets))
        return tuple(self._proposal(sets.rows([number])) for number in frontier(sets).tolist())

    @cached_property
    def _most_saving(self) -> Sets:
        """Sets that save most for their cost: all of them, or those found for rising budgets."""
        chooser, sets = self.chooser, self.chooser.known
        if not chooser.exact:
            for most in np.geomspace(
                LEAST_BUDGET, self.study.money.costs[1].sum(), BUDGETS
            ).tolist():
                sets = sets.joined(chooser.best(Limits(budget=most), "saving", starts=1))
        return sets

    def next_steps(self, ticked: Sequence[str]) -> tuple[Change, ...]:
        """Measures worth adding to the ticked ones, the best first, each after what must precede it.

        What one needs comes with it. What a ticked one excludes is not among them, and neither is what
        waits for a hazard of the house to be settled.
        """
        mask, choice = self.study.mask(ticked), self.chooser.choice
        free = np.flatnonzero(~mask & ~(choice.drives_out & mask).any(axis=1)).tolist()
        worth = [
            change
            for change in self._added(mask, free)
            if change.net_savings > 0 and self._can_start(change, ticked)
        ]
        worth.sort(key=lambda change: -change.net_savings)
        keys = [change.key for change in worth]
        by_key = {change.key: change for change in worth}
        before = [
            [keys.index(k) for k in self.study.case.earlier(key) if k in by_key] for key in keys
        ]
        return tuple(by_key[keys[i]] for i in in_working_order(range(len(keys)), before))

    def _can_start(self, change: Change, ticked: Sequence[str]) -> bool:
        return change.key not in self.study.case.waiting([*ticked, *change.needs, change.key])

    def regretted(self, ticked: Sequence[str]) -> tuple[Change, ...]:
        """Ticked measures that bring less than they cost beside the others, the worst first.

        They are what the best part of the ticked set leaves out, each with what it brings to that part.
        Every part is looked at or, where these are too many, the best is searched for.
        """
        keys = tuple(key for key in self.study.keys if key in ticked)
        kept = Chooser(self.study, keys).best(Limits()).masks[0]
        out = [self.study.keys.index(key) for key, on in zip(keys, kept, strict=True) if not on]
        part = self.study.mask([key for key, on in zip(keys, kept, strict=True) if on])
        return tuple(sorted(self._added(part, out), key=lambda change: change.net_savings))

    def _added(self, mask: BoolArray, places: Sequence[int]) -> list[Change]:
        """What measures add to a set, each with what it needs."""
        more = mask | self.chooser.choice.brings[list(places)]
        sets = table_of(self.study, np.vstack([mask[None], more]))
        lacks, one = more & ~mask, np.eye(len(mask), dtype=np.bool_)
        return [
            Change(
                key=self.study.keys[place],
                needs=tuple(self.study.keys[i] for i in np.flatnonzero(lacks[row] & ~one[place])),
                cost=float(sets.cost[row + 1] - sets.cost[0]),
                saving=float(sets.saving[row + 1] - sets.saving[0]),
                net_savings=float(sets.net_savings[row + 1] - sets.net_savings[0]),
            )
            for row, place in enumerate(places)
        ]

    def over_years(self, ticked: Sequence[str], budgets: Sequence[float]) -> PlanOverYears:
        """Years in which the chosen measures are done; see `retrofit_lab.study.over_years.over_years`.

        Raises
        ------
        ChoiceError
            When the budgets cannot be used.
        """
        worse = tuple(change.key for change in self.regretted(ticked))
        return replace(over_years(self.study, ticked, budgets), costs_more=worse)

    def balance_by_year(self, ticked: Sequence[str]) -> tuple[float, ...]:
        """Money saved less money spent at the end of each year, without interest. [dollars]

        Starts with year 0, when all is bought; what wears out within the study period is bought again, then
        without rebates.
        """
        study, period = self.study, self.study.terms.period_years
        saved = study.plan(ticked).saved * np.arange(period + 1)
        prices = study.money.prices_of(study.mask(ticked))
        spent = np.full(period + 1, float(study.money.purchases.first_cost(prices)))
        for price, life in zip(prices, study.money.purchases.lives, strict=True):
            for year in replacements(float(life), period):
                spent[year:] += price
        return tuple((saved - spent).tolist())

    def how_sure(self, ticked: Sequence[str], *, worked_out: bool = False) -> Sureness:
        """80 % ranges of a plan, the chance that it pays back, and what would narrow it most.

        Parameters
        ----------
        ticked : sequence of str
            The plan.
        worked_out : bool
            Whether savings count as worked out; else as they come about in real houses, which is the number
            to show, with its range. Sets, shares and best plans always go by what is worked out.
        """
        outcome = self.outcome(ticked, worked_out=worked_out)
        to_measure = what_to_measure(self.study.house, self.draws, outcome.savings)
        return Sureness(
            outcome=outcome,
            to_measure=to_measure,
            air_share=air_model_share(self.draws, outcome.savings),
            worked_out=worked_out,
        )

    def outcome(self, ticked: Sequence[str], *, worked_out: bool = False) -> Outcome:
        """80 % ranges of a plan and the chance that it pays back; see `how_sure`."""
        draws = as_worked_out(self.draws) if worked_out else self.draws
        return plan_outcome(self.setting, self.study.mask(ticked), draws)

    @cached_property
    def setting(self) -> Setting:
        """What ranges are worked out for."""
        return setting_of(self.study)

    @cached_property
    def draws(self) -> Draws:
        """Draws of all that is not known, made once."""
        return drawn_for(self.study)

    def _proposal(self, sets: Sets) -> Proposal:
        keys = [key for key, on in zip(self.study.keys, sets.masks[0], strict=True) if on]
        waiting = self.study.case.waiting(keys)
        order = working_order(self.study, keys)
        return Proposal(
            keys=order,
            held=tuple(key for key in order if key in waiting),
            cost=float(sets.cost[0]),
            saving=float(sets.saving[0]),
            net_savings=float(sets.net_savings[0]),
            co2=float(sets.co2[0]),
            exact=self.chooser.exact,
        )
