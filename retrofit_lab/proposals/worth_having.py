"""The plans of a house among which a page without a model looks for the best: none that another one beats in all.

They come from every combination of the measures that matter most and from what a search among all of them found;
each is worked out by the model. No words.
"""

from collections.abc import Iterator

import numpy as np

from retrofit_lab.base.values import IntArray
from retrofit_lab.proposals.all_plans import AllSets
from retrofit_lab.proposals.pace import BUDGET, LOAN, PAYMENT
from retrofit_lab.savings.choosing import Limits, Sets
from retrofit_lab.study.advice import Advice, Proposal
from retrofit_lab.study.plan_tables import table_of

BUDGETS = 6
LEAST_BUDGET = 250.0
"""Budgets for which the best plan is searched for, from the least one up to all that can be spent. [dollars]"""
MOVES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15)
"""Years until a move for which it is searched for."""
STEPS = (1.0, 0.1, 1.0)
"""Steps of worth, yearly saving and carbon below which two plans are equal. [dollars, dollars/year, kg/year]"""


def plans_worth_having(advice: Advice, sets: AllSets) -> Sets:
    """Plans of a house that no other one equals or beats in cost, worth, saving and carbon, and those searched for.

    Parameters
    ----------
    advice : Advice
        Of the house.
    sets : AllSets
        The measures that matter most in all their plans.
    """
    study = advice.study
    every = table_of(study, sets.masks, found=sets.energy)
    masks = (study.mask(plan.keys) for plan in searched(advice))
    found = {mask.tobytes(): mask for mask in masks}
    return every.rows(not_beaten(every)).joined(table_of(study, np.array(list(found.values()))))


def searched(advice: Advice) -> Iterator[Proposal]:
    """The best plans for a row of budgets, for a payment, and for paying within some years."""
    most = float(advice.study.money.costs[1].sum())
    yield from advice.frontier()
    for budget in (BUDGET, *np.geomspace(LEAST_BUDGET, most, BUDGETS).tolist()):
        yield advice.best(Limits(budget=budget))
    yield advice.best_for_payment(PAYMENT, LOAN)
    for years in MOVES:
        yield advice.best(Limits(payback=float(years)))


def not_beaten(sets: Sets) -> IntArray:
    """Rows of the allowed sets that no cheaper one equals or beats in all that counts, by rising cost."""
    brings = np.floor(np.column_stack([sets.net_savings, sets.saving, sets.co2]) / np.array(STEPS))
    rows = np.flatnonzero(sets.allowed)
    order = rows[np.lexsort((-sets.net_savings[rows], -sets.saving[rows], sets.cost[rows]))]
    kept: list[int] = []
    best = np.empty((0, len(STEPS)))
    for row in order.tolist():
        if not (best >= brings[row]).all(axis=1).any():
            kept.append(row)
            best = np.vstack([best[~(best <= brings[row]).all(axis=1)], brings[row]])
    return np.array(kept, dtype=np.intp)
