"""What the form shows of where the house stands: bill, heat loss, best plan so far, and what to ask next; no widget."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.walk.route import Stop, asked, stops
from retrofit_lab.app.walk.wording import WalkWords, number
from retrofit_lab.base.values import InputError
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.checking import check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.intake import STATUSES
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.model.sizing import design_heat_load
from retrofit_lab.model.year import year_energy
from retrofit_lab.proposals.ask_next import Asking, ask_next
from retrofit_lab.study.advice import drawn_for, setting_of
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.outcomes import Span, plan_outcome

Content = dict[str, Any]
DRAWS = 512
"""Draws behind the range of the best plan so far: its ends are read to two digits."""
MOST_NAMED = 3
"""Measures of the plan that are named. [1]"""
LEAST_SHARE = 0.003
"""What is worth less than this share of the plan is not asked for its sake. [1] (judgment)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """Where a house stands: yearly bill, heat loss [Btu/h], best plan so far with its range, and what to ask."""

    house: House
    bill: float
    loss: float
    titles: tuple[Any, ...]
    saving: Span
    cost: float
    asking: Asking


def ahead_of(house: House, folder: Path) -> Ahead | None:
    """Where a house stands; None where it does not fit together yet, or its weather or bills cannot be read."""
    try:
        check_house(house)
        climate = find_climate(house.site.climate, str(folder))
        study = Study(house, climate, folder=str(folder))
    except InputError:
        return None
    paths = {path for stop in stops() for path in asked(house, stop)}
    asking = ask_next(study, asked=paths.__contains__)
    outcome = plan_outcome(setting_of(study), study.mask(asking.plan), drawn_for(study, DRAWS))
    return Ahead(
        house=house,
        bill=study.plan(()).before.cost,
        loss=design_heat_load(year_energy(house, climate)),
        titles=tuple(study.offer(key).measure for key in asking.plan),
        saving=outcome.saving,
        cost=outcome.cost.middle,
        asking=asking,
    )


def ahead_content(ahead: Ahead | None, told: WalkWords) -> Content:
    """What the form shows of it, as finished texts; questions by stop, in the order of the walk."""
    if ahead is None:
        return {}
    groups = [group for stop in stops() if (group := _group(ahead, stop, told))["fields"]]
    count = sum(len(group["fields"]) for group in groups)
    return {
        "head": told.say(
            "next.enough" if ahead.asking.enough or not count else "next.ask", count=count
        ),
        "enough": ahead.asking.enough or not count,
        "may_end": ahead.house.job.status == STATUSES[0],
        "lines": [
            told.say("next.bill", amount=dollars(ahead.bill)),
            told.say("next.loss", amount=number(ahead.loss, 2)),
            _plan(ahead, told),
            told.say(
                "next.to_gain",
                gain=dollars(ahead.asking.to_gain),
                net=dollars(ahead.asking.net_savings),
            ),
        ],
        "stops": groups,
    }


def _plan(ahead: Ahead, told: WalkWords) -> str:
    if not ahead.titles:
        return told.say("next.no_plan")
    names = [told.words.names.title(measure) for measure in ahead.titles[:MOST_NAMED]]
    more = len(ahead.titles) - len(names)
    plan = "; ".join([*names, *([told.say("next.more", count=more)] if more else [])])
    low, high = dollars(ahead.saving.low), dollars(ahead.saving.high)
    return told.say("next.plan", plan=plan, low=low, high=high, cost=dollars(ahead.cost))


def _group(ahead: Ahead, stop: Stop, told: WalkWords) -> Content:
    least = LEAST_SHARE * max(ahead.asking.net_savings, 0.0)
    matter = {q.path for q in ahead.asking.questions if q.worth >= least}
    paths = [path for path in asked(ahead.house, stop) if path in matter]
    return {
        "stop": stop.key,
        "title": told.stop(stop)["title"],
        "fields": [{"path": path, "text": _named(ahead.house, path, told)} for path in paths],
    }


def _named(house: House, path: str, told: WalkWords) -> str:
    """A number with the part that it belongs to."""
    owner = path.rpartition(".")[0]
    part = told.single(owner) or told.part_title(number_at(house, owner))
    return f"{part}: {told.words.names.parameter(parameter_at(house, path))}"
