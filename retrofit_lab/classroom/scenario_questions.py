"""The questions of a scenario with their answers, the ways there, and what each wrong idea would give."""

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Any

import numpy as np

from retrofit_lab.classroom.faults import HiddenFault
from retrofit_lab.classroom.hand import Hand
from retrofit_lab.classroom.lesson_units import SI_SYSTEM, US_SYSTEM, facts_shown
from retrofit_lab.classroom.marking import ChoiceQuestion, Question
from retrofit_lab.classroom.scenario import BY_CLUE, CLUE, LETTERS, Scenario, base_fuel
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.classroom.side_by_side import side_by_side
from retrofit_lab.model.air import reading_at_50
from retrofit_lab.money.factors import single_present_value, uniform_present_value
from retrofit_lab.study.results import MeasureResult, Overlap
from retrofit_lab.study.study import Study

HOURLY = {US_SYSTEM: 60.0, SI_SYSTEM: 3.6}
"""Volume an hour that a flow of one is, as sheets count them: cubic feet from cfm, cubic meters from L/s."""
CEILING = "surfaces.attic_floor"
EMPTY_ATTIC = 0.05
"""Bays of the attic floor that the question takes to be empty. [1]"""
MOST_LOOKED_AT = 8
"""Measures among which a pair with an overlap is sought: those that save most by themselves."""
LEAST_SAVING = 10.0
LEAST_LEAD = 100.0
"""By how much the best of the three offers must lead the next. [dollars]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question, what the sheet gives to answer it, and the way to the answer for the trainer."""

    question: Question
    given: tuple[tuple[str, str], ...] = ()
    way: tuple[str, ...] = ()


def questions_of(made: Scenario, said: ScenarioTexts | None = None) -> tuple[Asked, ...]:
    """All questions of a scenario, by its level, in English and units of the trade unless told otherwise."""
    told = said or ScenarioTexts()
    askers = [_changes, _attic, _base, _faults, _share]
    askers += [_worth] if made.level > 1 else []
    askers += [_late] if made.late is not None else []
    return tuple(asker(made, told) for asker in askers)


def _by_hand(
    key: str, hand: Hand, facts: Mapping[str, Any], answer: float, slips: Mapping[str, float]
) -> Asked:
    return Asked(
        question=hand.question(key, facts, answer, slips),
        given=hand.shown(facts),
        way=hand.lines(facts),
    )


def _changes(made: Scenario, told: ScenarioTexts) -> Asked:
    size, flow = made.true.size, float(reading_at_50(made.true))
    volume, area = float(size.volume), float(size.floor_area)
    facts = told.facts(
        {"flow": flow, "volume": volume, "area": area},
        {"flow": "cfm", "volume": "ft3", "area": "ft2"},
        usual=made.usual_flow * 60.0 / volume,
        hourly=HOURLY[told.system],
        changes_unit=told.say("question.changes.unit"),
    )
    answer = flow * 60.0 / volume
    slips = {
        "no_minutes": answer / facts["hourly"],
        "area": facts["flow"] * facts["hourly"] / facts["area"],
        "upside_down": 1.0 / answer,
    }
    return _by_hand("1", told.hand("changes"), facts, answer, slips)


def _attic(made: Scenario, told: ScenarioTexts) -> Asked:
    floor = side_by_side(made.true, CEILING, EMPTY_ATTIC)
    facts = told.facts(
        {**floor.facts, "label": floor.label, "whole": floor.whole},
        {**{f"r_{name}": "R" for name in floor.r_values}, "label": "R", "whole": "R"},
        bays=100.0 * EMPTY_ATTIC,
    )
    wrong = {name: value for name, value in floor.slips.items() if name != "promised"}
    slips = facts_shown(wrong, dict.fromkeys(wrong, "R") | {"u_value": "U"}, told.system)
    hand = told.hand("attic", told.units["R"].rstrip("-"))
    return _by_hand("2", hand, facts, facts["whole"], slips)


def _base(made: Scenario, told: ScenarioTexts) -> Asked:
    fuel = base_fuel(made.true)
    bills = made.bills.usable(fuel)
    touched = () if made.late is None else (made.late + 1, made.late + 2)
    read = [bill for bill in bills if bill.row not in touched]
    first, second = sorted(read, key=lambda bill: (bill.quantity / bill.days, bill.row))[:2]
    facts = told.facts(
        {"first": told.used(first.quantity, fuel), "second": told.used(second.quantity, fuel)},
        {},
        first_days=first.days,
        second_days=second.days,
        fuel=told.fuel(fuel),
        counted=told.fuel_unit(fuel),
        a_day=told.say("question.base.unit", counted=told.fuel_unit(fuel)),
        left_out=told.say("question.base.left_out") if touched else "",
    )
    year = told.used(sum(bill.quantity for bill in bills), fuel)
    slips = {
        "whole_year": year / sum(bill.days for bill in bills),
        "a_month": (facts["first"] + facts["second"]) / 2.0,
    }
    answer = (facts["first"] / first.days + facts["second"] / second.days) / 2.0
    return _by_hand("3", told.hand("base"), facts, answer, slips)


def _faults(made: Scenario, told: ScenarioTexts) -> Asked:
    hidden = {item.fault.key: item for item in made.hidden}
    why = {
        letter: told.say("question.faults.why", sign=_lowered(told.fault(fault, "sign")))
        for letter, fault in made.options.items()
    }
    way = tuple(
        told.say(
            "question.faults.way",
            letter=letter,
            title=_lowered(told.fault(fault, "title")),
            told=_told(made, hidden[fault.key], told),
            cost=hidden[fault.key].cost,
            fix=told.fault(fault, "fix"),
        )
        for letter, fault in made.options.items()
        if fault.key in hidden
    )
    count = len(hidden)
    question = ChoiceQuestion(
        key="4",
        text=told.say(f"question.faults.{'one' if count == 1 else 'more'}", count=count),
        options={letter: told.fault(fault, "title") for letter, fault in made.options.items()},
        right=made.right_letters,
        why=why,
        points=2.0 * count,
    )
    return Asked(question=question, way=way)


def _told(made: Scenario, item: HiddenFault, told: ScenarioTexts) -> str:
    """What tells a hidden fault: a clue, the bills, or the blower door."""
    how = made.told[item.fault.key]
    if how == BY_CLUE:
        return told.told(item, CLUE)
    flows = {"now": item.now, "usual": made.usual_flow}
    shown = facts_shown(flows, dict.fromkeys(flows, "cfm"), told.system)
    sign = _lowered(told.fault(item.fault, "sign"))
    return told.say(f"question.faults.by_{how}", sign=sign, **shown)


def _share(made: Scenario, told: ScenarioTexts) -> Asked:
    pair, first, second = overlapping_pair(made)
    both = first.alone + second.alone - pair.lost
    last = both - second.alone
    facts = told.facts(
        {"p": first.alone, "q": second.alone, "both": both},
        {},
        p_title=told.measure(made.described.offer(pair.first).measure),
        q_title=told.measure(made.described.offer(pair.second).measure),
    )
    helping = "" if pair.lost > 0 else "_helping"
    slips = {f"first{helping}": first.alone, f"last{helping}": last, "half": both / 2.0}
    hand = told.hand("share", told.units["dollars_year"])
    return _by_hand("5", hand, facts, (first.alone + last) / 2.0, slips)


def overlapping_pair(made: Scenario) -> tuple[Overlap, MeasureResult, MeasureResult]:
    """The two measures that save much by themselves and lose most by each other, or win most."""
    study = made.described
    alone = study.plan(()).measures
    chosen: list[str] = []
    for key in sorted(alone, key=lambda k: -alone[k].alone):
        if alone[key].alone >= LEAST_SAVING and not study.case.conflict((*chosen, key)):
            chosen.append(key)
        if len(chosen) == MOST_LOOKED_AT:
            break
    pair = max(study.plan(chosen).overlaps, key=lambda overlap: abs(overlap.lost))
    return pair, alone[pair.first], alone[pair.second]


def _worth(made: Scenario, told: ScenarioTexts) -> Asked:
    study = made.described
    rows = dict(zip("ABC", offers_to_compare(made), strict=True))
    titles = {letter: told.measure(study.offer(row.key).measure) for letter, row in rows.items()}
    why = {letter: _worth_told(study, row, told) for letter, row in rows.items()}
    offers = tuple(
        (
            told.say("question.worth.offer", letter=letter, title=titles[letter]),
            _offer_told(study, row, told),
        )
        for letter, row in rows.items()
    )
    rate, years = 100.0 * study.terms.discount_rate, study.terms.period_years
    question = ChoiceQuestion(
        key="6",
        text=told.say("question.worth.text", years=years, rate=rate),
        options=titles,
        right=frozenset({max(rows, key=lambda letter: rows[letter].net_savings)}),
        why=why,
    )
    lives = {_life(study, row) for row in rows.values()}
    way = tuple(told.say("question.worth.line", letter=letter, text=why[letter]) for letter in why)
    return Asked(question=question, given=(*offers, *_factors_told(study, lives, told)), way=way)


def _life(study: Study, row: MeasureResult) -> float:
    return study.offer(row.key).measure.life.years


def _offer_told(study: Study, row: MeasureResult, told: ScenarioTexts) -> str:
    return told.say(
        "question.worth.given", cost=row.cost.likely, saved=row.alone, life=_life(study, row)
    )


def _worth_told(study: Study, row: MeasureResult, told: ScenarioTexts) -> str:
    """What the savings are worth, what the work takes, and the difference. [dollars of today]"""
    rate, years = study.terms.discount_rate, study.terms.period_years
    savings = row.alone * float(uniform_present_value(rate, years))
    paid = savings - row.net_savings
    return told.say(
        "question.worth.why", years=years, savings=savings, paid=paid, net=row.net_savings
    )


def _factors_told(
    study: Study, lives: AbstractSet[float], told: ScenarioTexts
) -> Iterator[tuple[str, str]]:
    """What later money is worth today: every year, at the end, and where something wears out before."""
    rate, years = study.terms.discount_rate, study.terms.period_years
    yearly = float(uniform_present_value(rate, years))
    yield told.say("question.worth.every_year", years=years), f"${yearly:.2f}"
    for year in sorted({life for life in lives if life < years} | {years}):
        once = float(single_present_value(rate, year))
        yield told.say("question.worth.after", years=year), f"${once:.2f}"


def offers_to_compare(made: Scenario) -> tuple[MeasureResult, ...]:
    """Three measures of which one is clearly worth most, the one that is paid back first among them."""
    rows = [
        row
        for row in made.described.plan(()).measures.values()
        if row.alone >= LEAST_SAVING and row.cost.likely > 0
    ]
    best = max(rows, key=lambda row: row.net_savings)
    behind = [row for row in rows if row.net_savings < best.net_savings - LEAST_LEAD]
    quick = min(behind, key=lambda row: row.payback)
    others = [row for row in behind if row.key != quick.key]
    chance = np.random.default_rng([made.seed, made.level])
    three = (best, quick, others[int(chance.integers(len(others)))])
    return tuple(three[place] for place in chance.permutation(3))


def _late(made: Scenario, told: ScenarioTexts) -> Asked:
    month = made.late or 0
    months = dict(zip(LETTERS, told.months, strict=True))
    question = ChoiceQuestion(
        key="7",
        text=told.say("question.late.text", fuel=told.fuel(base_fuel(made.true))),
        options=months,
        right=frozenset({LETTERS[month]}),
        why=dict.fromkeys(months, told.say("question.late.why")),
    )
    way = told.say("question.late.way", month=told.months[month], next=told.months[month + 1])
    return Asked(question=question, way=(way,))


def _lowered(text: str) -> str:
    return text[:1].lower() + text[1:]
