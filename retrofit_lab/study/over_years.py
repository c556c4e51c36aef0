"""A plan spread over years as the money comes in; which plan is best is chosen elsewhere."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from retrofit_lab.savings.combinations import MOST_MEASURES
from retrofit_lab.savings.staging import staged_plan
from retrofit_lab.study.plan_tables import lattice_of
from retrofit_lab.study.study import Study
from retrofit_lab.study.working_order import working_order


@dataclass(frozen=True, slots=True, kw_only=True)
class YearOfPlan:
    """What a plan does in one year, with what is spent and carried forward. [dollars]

    ``saving_for`` is the measure that the money left is kept for, ``to_go`` what it still lacks. [dollars]
    """

    year: int
    keys: tuple[str, ...]
    spent: float
    left: float
    saving: float
    saving_for: str = ""
    to_go: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanOverYears:
    """Years in which chosen measures are done, what the money does not reach, and what costs more than it saves.

    ``held`` are those that cannot be started before a hazard of the house is settled.
    """

    years: tuple[YearOfPlan, ...]
    not_reached: tuple[str, ...]
    costs_more: tuple[str, ...] = ()
    held: tuple[str, ...] = ()


def over_years(study: Study, ticked: Sequence[str], budgets: Sequence[float]) -> PlanOverYears:
    """Years in which the chosen measures are done, each as soon as it can be paid; money is carried forward.

    Where too many are chosen, the cheapest that wait for no other are planned as one.

    Raises
    ------
    ChoiceError
        When the budgets cannot be used.
    """
    groups = _groups(study, [key for key in study.keys if key in ticked])
    after = [_group_rules(study, groups, group) for group in groups]
    everything, rate = 2 ** len(groups) - 1, study.terms.discount_rate
    plan = staged_plan(lattice_of(study, groups), everything, budgets, after, rate)
    named = [
        working_order(study, [k for i in stage.added for k in groups[i]]) for stage in plan.stages
    ]
    years = [
        YearOfPlan(
            year=stage.year, keys=keys, spent=stage.spent, left=stage.left, saving=stage.saving
        )
        for stage, keys in zip(plan.stages, named, strict=True)
    ]
    return PlanOverYears(
        years=tuple(_with_goal(study, years, place) for place in range(len(years))),
        not_reached=working_order(study, [key for i in plan.not_reached for key in groups[i]]),
        held=working_order(study, sorted(study.case.waiting(ticked), key=study.keys.index)),
    )


def _with_goal(study: Study, years: Sequence[YearOfPlan], place: int) -> YearOfPlan:
    """A year of a plan with what its money is kept for: the most expensive of what is done next."""
    here = years[place]
    coming = next((year for year in years[place + 1 :] if year.keys), None)
    if coming is None or coming.spent <= here.left:
        return here
    goal = max(coming.keys, key=lambda key: study.offer(key).cost_likely)
    return replace(here, saving_for=goal, to_go=coming.spent - here.left)


def _groups(study: Study, keys: Sequence[str]) -> list[tuple[str, ...]]:
    """Measures one by one; where they are too many, the cheapest that wait for no other together."""
    together, single = list[str](), list(keys)
    while len(single) + bool(together) > MOST_MEASURES:
        ready = [key for key in single if not set(study.case.earlier(key)) & set(single)]
        cheapest = min(ready, key=lambda key: study.offer(key).cost_likely)
        together.append(cheapest)
        single.remove(cheapest)
    return [*([tuple(together)] if together else []), *((key,) for key in single)]


def _group_rules(study: Study, groups: Sequence[Sequence[str]], group: Sequence[str]) -> list[int]:
    """Groups that should be done before one."""
    earlier = {key for own in group for key in study.case.earlier(own)}
    return [i for i, other in enumerate(groups) if other is not group and earlier & set(other)]
