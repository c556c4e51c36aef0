"""Equipment past its usual life in the proposed plan: judged by the difference, added last, within the budget."""

from dataclasses import replace
from functools import cache

from examples import example

from retrofit_lab.house.description import House
from retrofit_lab.proposals.end_of_life import replacing_due
from retrofit_lab.proposals.steps import Proposal, rater_plan
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

OLD, NEW = "1995", "2024"
UPGRADE = "furnace_upgrade"


def with_furnace_of(year: str) -> House:
    house = example("larkspur_drive").as_found
    heaters = tuple(replace(heater, made=year) for heater in house.fuel_heaters)
    return replace(house, fuel_heaters=heaters)


@cache
def plan(year: str, budget: float = float("inf")) -> Proposal:
    return rater_plan(Advice(Study(with_furnace_of(year))), Limits(budget=budget), sure=False)


def test_what_pays_only_by_its_difference_is_proposed_when_the_old_one_must_go() -> None:
    assert UPGRADE in replacing_due(Study(with_furnace_of(OLD)))
    assert UPGRADE in plan(OLD).ticked
    assert UPGRADE not in plan(NEW).ticked


def test_the_rest_of_the_plan_stays() -> None:
    assert set(plan(OLD).ticked) - {UPGRADE} == set(plan(NEW).ticked)


def test_its_step_is_judged_by_the_difference_and_costs_its_whole_price() -> None:
    step = next(step for step in plan(OLD).steps if step.key == UPGRADE)
    whole = Study(with_furnace_of(NEW)).plan([*plan(NEW).ticked, UPGRADE])
    assert step.by_difference
    assert step.cost is not None
    assert step.cost.likely > 2_000.0
    assert step.net_savings > 0.0 > whole.net_savings - plan(NEW).result.net_savings
    assert not any(other.by_difference for other in plan(OLD).steps if other is not step)


def test_a_budget_is_kept() -> None:
    budget = plan(NEW).cost.likely + 500.0
    assert plan(OLD, budget).cost.likely <= budget
    assert UPGRADE not in plan(OLD, budget).ticked
