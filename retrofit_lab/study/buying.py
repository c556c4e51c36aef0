"""What buying the measures of a case costs: visits of trades that are shared, and what must be bought anyway."""

from collections.abc import Iterator

import numpy as np

from retrofit_lab.measures.catalog import VISITS
from retrofit_lab.measures.replacing import equipment, replacing
from retrofit_lab.money.purchase import Anyway, Purchases, Visit
from retrofit_lab.study.case import Case


def purchases_of(case: Case) -> Purchases:
    """What buying the measures of a case costs on its terms."""
    return Purchases(
        keys=case.keys,
        lives=np.array([offer.measure.life.years for offer in case.offers]),
        terms=case.terms,
        anyway=tuple(_anyway(case)),
        visits=tuple(_visits(case)),
    )


def _visits(case: Case) -> Iterator[Visit]:
    """Visits of trades that could do more than one measure of this house."""
    for name in VISITS:
        mine = [offer for offer in case.offers if offer.measure.cost.visit == name]
        if len(mine) > 1:
            setups = tuple(offer.setup for offer in mine)
            yield Visit(measures=tuple(offer.key for offer in mine), setups=setups)


def _anyway(case: Case) -> Iterator[Anyway]:
    """What must be bought whatever is decided."""
    known, measures = equipment(case.as_found), [offer.measure for offer in case.offers]
    for path in case.terms.replaced_anyway:
        yield Anyway(
            price=case.terms.cost_factor * known[path].price,
            life=known[path].life,
            measures=replacing(case.as_found, measures, path),
        )
