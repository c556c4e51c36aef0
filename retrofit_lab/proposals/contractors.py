"""The scope of work for each trade: places, quantities and what must be reached, as records without words."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from retrofit_lab.base.parameters import Parameter
from retrofit_lab.house.description import House
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.measures.catalogue import vocabulary
from retrofit_lab.measures.fitted_measures import Offer, offers_for, with_offers
from retrofit_lab.model.air import reading_at_50, site_shares
from retrofit_lab.proposals.recommend import Step
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.safety.cautions import Raised
from retrofit_lab.study.study import Study


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """One number that the work changes: at which place, what, from how much to how much.

    ``rule`` is None for air leakage at 50 Pa [cfm]; else the declaration of the number.
    """

    place: str
    rule: Parameter | None
    now: float
    reach: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One measure on a contractor's page; the offer is that of the house as described."""

    step: Step
    offer: Offer
    targets: tuple[Target, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What one trade is asked to do, with the cautions that its measures raise."""

    trade: str
    tasks: tuple[Task, ...]
    cautions: tuple[Raised, ...]


def scopes(
    study: Study, steps: tuple[Step, ...], cautions: tuple[Raised, ...]
) -> tuple[Scope, ...]:
    """Work of each trade that is needed, in the order of the trades' table.

    Parameters
    ----------
    study : Study
        House and measures.
    steps : tuple of Step
        Chosen measures in order; what the owner does alone is left out.
    cautions : tuple of Raised
        Cautions of the chosen set.
    """
    house, offers = _as_described(study)
    trades = vocabulary("trade")
    found = [_scope(house, offers, trade, steps, cautions) for trade in trades]
    return tuple(scope for scope in found if scope.tasks)


def _as_described(study: Study) -> tuple[House, Mapping[str, Offer]]:
    """The described house with its additions, and its offers: a fit to bills moves areas on paper only."""
    measures = [offer.measure for offer in study.offers]
    factor = study.terms.cost_factor
    house, offers = offers_for(stated_house(study), measures, factor, study.case.around)
    return house, {offer.key: offer for offer in offers}


def _scope(
    house: House,
    offers: Mapping[str, Offer],
    trade: str,
    steps: tuple[Step, ...],
    cautions: tuple[Raised, ...],
) -> Scope:
    mine = [(step, offers.get(step.key, step.offer)) for step in steps if _is_for(step, trade)]
    keys = {step.key for step, _ in mine}
    return Scope(
        trade=trade,
        tasks=tuple(Task(step=s, offer=o, targets=targets(house, o)) for s, o in mine),
        cautions=tuple(raised for raised in cautions if keys & set(raised.measures)),
    )


def _is_for(step: Step, trade: str) -> bool:
    return step.offer.measure.doer != "owner" and step.offer.measure.trade == trade


def targets(house: House, offer: Offer) -> tuple[Target, ...]:
    """What a measure changes, number by number; where nothing would change there is no line."""
    return tuple(target for target in _targets(house, offer) if target.now != target.reach)


def _targets(house: House, offer: Offer) -> Iterator[Target]:
    after = with_offers(house, [offer], [True])
    shares, reading = site_shares(house), float(reading_at_50(house))
    for path in dict.fromkeys(change.path for change in offer.changes):
        now, reach = float(number_at(house, path)), float(number_at(after, path))
        owner = number_at(house, path.rpartition(".")[0])
        leak = path.startswith("leakage.sites.") and path.endswith(".sealed")
        flow = reading * float(shares[owner.key]) if leak else 0.0  # type: ignore[union-attr]
        yield Target(
            place=getattr(owner, "label", ""),
            rule=None if leak else parameter_at(house, path),
            now=flow * (1.0 - now) if leak else now,
            reach=flow * (1.0 - reach) if leak else reach,
        )
