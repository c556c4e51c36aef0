"""The scope of work for each trade: places, quantities and what can be measured when it is done; no words."""

from collections.abc import Iterable, Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from math import ceil
from typing import Any

from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.shipped_files import data_path, read_rows
from retrofit_lab.base.toml_file import toml_table
from retrofit_lab.house.description import House, Surface
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.measures.catalog import vocabulary
from retrofit_lab.measures.fitted_measures import Offer, offers_for, with_offers
from retrofit_lab.measures.look_for import findings
from retrofit_lab.model.envelope import filled_share, lies_open
from retrofit_lab.proposals.stated import stated_house
from retrofit_lab.proposals.steps import OWN, OWNER, SETTLE, Step
from retrofit_lab.safety.cautions import Raised
from retrofit_lab.safety.hazards import Hazard
from retrofit_lab.study.study import Study

LABELS = (
    "window.u_value", "window.shgc", "fuelheater.efficiency", "heatpump.hspf", "heatpump.cutout",
    "airconditioner.seer", "waterheater.efficiency", "appliance.use",
)  # fmt: skip
"""Numbers on the label of a thing that is bought."""
READ_OFF = (
    "surface.r_label", "ducts.supply_r", "ducts.return_r", "fan.flow", "waterheater.setpoint",
)  # fmt: skip
"""Numbers that someone can read off, measure or count when the work is done."""
ADDED = ("surface.r_continuous", "underground.r_value")
"""Boards over what is there: told by what is added."""
DUCT_LEAKS = ("ducts.supply_leakage", "ducts.return_leakage")
REACH, ADD, DEPTH, WEIGHT, DUCT_TEST = "reach", "add", "depth", "weight", "duct_test"
MOST_BYTES = 200_000
OPEN_FILLS = ("cellulose_loose", "fiberglass_loose")
AREA_OF_A_MARKER = 300.0
"""Attic floor for each marker of depth. [ft2] (common practice, no source)"""
FEWEST_MARKERS = 4
DENSE = 3.5
"""Density of cellulose that stays where it is blown into a wall. [lb/ft3] (common practice, no source)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """One number that can be measured when the work is done: at which place, what, and how much to reach.

    ``kind`` is `REACH` for a number of the house with its declaration in ``rule``, at least or at most
    ``reach``; `ADD` for what is put over what is there; `DEPTH` for loose fill, ``reach`` its R-value,
    ``depths`` those of `OPEN_FILLS` to add [in], at ``count`` marked places; `WEIGHT` of cellulose in walls
    [lb]; `DUCT_TEST` for leakage to outside at 25 Pa. [cfm] ``now`` is None where the thing is new.
    """

    kind: str
    place: str
    rule: Parameter | None = None
    now: float | None
    reach: float
    depths: tuple[float, ...] = ()
    count: int = 0

    @property
    def at_least(self) -> bool:
        """Whether more is better."""
        return self.now is None or self.reach > self.now


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One line of a contractor's page; the offer is that of the house as described, ``places`` its parts.

    What the rater recommends in own words has no offer. ``seals`` is whether the blower door tells of it.
    """

    step: Step
    offer: Offer | None
    places: tuple[str, ...]
    targets: tuple[Target, ...] = ()
    seals: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What one trade is asked to do.

    ``cautions`` are those that its measures raise, ``holds`` the hazards that keep some of them waiting,
    ``stops`` the stops of the walk whose photos show where. ``seals`` is whether the blower door tells.
    """

    trade: str
    tasks: tuple[Task, ...]
    cautions: tuple[Raised, ...]
    holds: tuple[Hazard, ...]
    stops: frozenset[str]
    seals: bool


def scopes(
    study: Study, steps: tuple[Step, ...], cautions: tuple[Raised, ...]
) -> tuple[Scope, ...]:
    """Work of each trade that is needed, in the order of the trades' table.

    Parameters
    ----------
    study : Study
        House and measures.
    steps : tuple of Step
        Steps of a proposal in order: chosen measures, what else the house needs, and what the rater recommends
        in own words. What the owner does alone and what settles a hazard is left out.
    cautions : tuple of Raised
        Cautions of the chosen set.
    """
    house, offers = _as_described(study)
    found = [
        _scope(house, offers, trade, [step for step in steps if _is_for(step, trade)], cautions)
        for trade in vocabulary("trade")
    ]
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
    steps: Iterable[Step],
    cautions: tuple[Raised, ...],
) -> Scope:
    tasks = tuple(
        _own_task(step) if step.kind == OWN else _task(house, step, offers[step.key])
        for step in steps
    )
    keys = {task.step.key for task in tasks}
    raised = tuple(raised for raised in cautions if keys & set(raised.measures))
    return Scope(
        trade=trade,
        tasks=tasks,
        cautions=(*raised, *_raised_beside(tasks, raised)),
        holds=tuple(dict.fromkeys(hazard for task in tasks for hazard in task.step.held_by)),
        stops=stops_for(keys),
        seals=any(task.seals for task in tasks),
    )


def _raised_beside(tasks: Iterable[Task], raised: Iterable[Raised]) -> Iterator[Raised]:
    """Cautions of work that no one chose; those of the chosen set are not said twice."""
    known = {item.caution.key for item in raised}
    for task in tasks:
        for tier, found in task.step.cautions.items():
            for caution in found:
                if not task.step.in_plan and caution.key not in known:
                    known.add(caution.key)
                    yield Raised(caution=caution, measures=(task.step.key,), tier=tier)


def stops_for(keys: AbstractSet[str]) -> frozenset[str]:
    """Stops of the walk at which one sees what calls for some measures."""
    calling = {key for key, finding in findings().items() if keys & set(finding.measures)}
    return frozenset(
        stop["key"] for stop in walk_stops() if calling & set(stop.get("findings", ()))
    )


def walk_stops() -> list[dict[str, Any]]:
    """Stops of the walk in their order, as their file has them."""
    return list(toml_table(data_path("route.toml"), "route", MOST_BYTES)["stop"])


def _is_for(step: Step, trade: str) -> bool:
    return step.kind != SETTLE and step.doer != OWNER and step.trade == trade


def _is_leak(path: str) -> bool:
    return path.startswith("leakage.sites.") and path.endswith(".sealed")


def _own_task(step: Step) -> Task:
    return Task(step=step, offer=None, places=step.where)


def _task(house: House, step: Step, offer: Offer) -> Task:
    paths = [change.path for change in offer.changes]
    shell = [path for path in paths if not _is_leak(path)]
    places = (label_of(house, path, offer) for path in shell or paths)
    return Task(
        step=step,
        offer=offer,
        places=tuple(dict.fromkeys(filter(None, places))),
        targets=targets(house, offer),
        seals=len(shell) < len(paths),
    )


def label_of(house: House, path: str, offer: Offer) -> str:
    """Label of the part of a house that a number belongs to; empty where it has none, or where the work brings it."""
    owner = path.rpartition(".")[0]
    if owner in {f"{item.to}.{item.item['key']}" for item in offer.measure.adds}:
        return ""
    return str(getattr(number_at(house, owner), "label", ""))


def targets(house: House, offer: Offer) -> tuple[Target, ...]:
    """What can be measured of a measure when it is done; numbers of the model alone are none of it."""
    after = with_offers(house, [offer], [True])
    paths = tuple(dict.fromkeys(change.path for change in offer.changes))
    found = (target for path in paths for target in _targets(house, after, offer, path))
    tests = (_duct_test(house, after),) if _changes_ducts(house, after) else ()
    return (*dict.fromkeys(found), *tests)


def _targets(house: House, after: House, offer: Offer, path: str) -> Iterator[Target]:
    rule = parameter_at(house, path)
    now, reach = float(number_at(house, path)), float(number_at(after, path))
    if now == reach:
        return
    new, place = offer.measure.replaces or not now, label_of(house, path, offer)
    owner: Any = number_at(house, path.rpartition(".")[0])
    if rule.name in ADDED:
        yield Target(kind=ADD, place=place, rule=rule, now=now, reach=reach - now)
    elif rule.name == "surface.r_label" and lies_open(owner):
        yield _depth(owner, now, reach)
    elif rule.name == "surface.missing_fraction":
        yield from _weight(owner, after, path)
    elif rule.name in READ_OFF or (rule.name in LABELS and (new or rule.name.startswith("window"))):
        yield Target(kind=REACH, place=place, rule=rule, now=now or None, reach=reach)


def _depth(surface: Surface, now: float, reach: float) -> Target:
    """Loose fill over what lies there, by what an inch of each kind is worth."""
    per_inch = {row["key"]: float(row["r_per_inch_h_ft2_F_per_Btu"]) for row in read_rows("materials.csv")}  # fmt: skip
    return Target(
        kind=DEPTH,
        place=surface.label,
        now=now,
        reach=reach,
        depths=tuple((reach - now) / per_inch[fill] for fill in OPEN_FILLS),
        count=max(FEWEST_MARKERS, ceil(float(surface.area) / AREA_OF_A_MARKER)),
    )


def _weight(surface: Surface, after: House, path: str) -> Iterator[Target]:
    """Cellulose that fills the empty bays of a wall, by their volume."""
    filled: Any = number_at(after, path.rpartition(".")[0])
    if surface.kind == "wall" and surface.cavity_depth:
        empty = float(filled_share(filled)) * float(surface.missing_fraction)
        volume = float(surface.area) * empty * float(surface.cavity_depth) / 12.0
        yield Target(kind=WEIGHT, place=surface.label, now=None, reach=DENSE * volume)


def _changes_ducts(house: House, after: House) -> bool:
    return any(number_at(house, path) != number_at(after, path) for path in DUCT_LEAKS)


def _duct_test(house: House, after: House) -> Target:
    """Leakage to outside at 25 Pa: as described, and after; at that pressure about what leaks while the fan runs."""
    now, reach = (_duct_leakage(one) for one in (house, after))
    return Target(kind=DUCT_TEST, place="", now=now, reach=reach)


def _duct_leakage(house: House) -> float:
    """Air that leaks from supply and return ducts. [cfm]"""
    return sum(float(number_at(house, path)) for path in DUCT_LEAKS) * float(house.ducts.flow)
