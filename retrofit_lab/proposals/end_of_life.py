"""Equipment past its usual life in a plan: what takes its place is judged beside new equipment of the same kind."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from retrofit_lab.measures.replacing import replacing
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.study import Study


def replacing_due(study: Study) -> tuple[str, ...]:
    """Keys of the measures that take the place of equipment past its usual life, in catalog order."""
    measures = [offer.measure for offer in study.offers]
    found = {
        key for item in study.case.due for key in replacing(study.as_found, measures, item.path)
    }
    return tuple(key for key in study.keys if key in found)


def beside_new_equipment(study: Study) -> Study:
    """The same house in which what is past its life is replaced by its like, whatever is decided."""
    due = tuple(item.path for item in study.case.due)
    named = (*study.terms.replaced_anyway, *due)
    return study.on_terms(replace(study.terms, replaced_anyway=named)) if due else study


def with_due_equipment(
    study: Study, plan: Sequence[str], ready: Iterable[str], limits: Limits
) -> list[str]:
    """A plan with the better equipment that pays by its difference to what must be bought anyway.

    Parameters
    ----------
    study : Study
        House on the terms of its owner.
    plan : sequence of str
        Plan that was chosen at whole prices: the shell comes first, and equipment is bought for what is left.
    ready : iterable of str
        Measures that something speaks for and that no hazard stops.
    limits : Limits
        What the plan must keep to. With a longest payback nothing is added, since that counts whole prices.

    Returns
    -------
    list of str
        One measure more at a time, the one with the most net savings, while any adds some.
    """
    keys = list(plan)
    left = set(replacing_due(study)) & set(ready)
    if not left or limits.payback < float("inf"):
        return keys
    judged = beside_new_equipment(study)
    while True:
        fits = [key for key in sorted(left) if _fits(study, keys, key, limits)]
        worth = _worth(judged, [keys, *([*keys, key] for key in fits if key in judged.keys)])
        best = int(np.argmax(worth))
        if best == 0:
            return keys
        keys.append([key for key in fits if key in judged.keys][best - 1])


def _fits(study: Study, keys: Sequence[str], key: str, limits: Limits) -> bool:
    rivals = study.case.rivals[key]
    if key in keys or rivals & set(keys):
        return False
    prices = study.money.prices_of(study.mask([*keys, key]))
    return float(study.money.purchases.first_cost(prices)) <= limits.most_cost


def _worth(study: Study, plans: Sequence[Sequence[str]]) -> np.ndarray:
    """Net savings of plans, each beside what must be bought anyway. [dollars]"""
    return np.array([study.plan(plan).net_savings for plan in plans])
