"""The questions of a scenario with their answers, the ways there, and what each wrong idea would give."""

from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import Any

import numpy as np

from retrofit_lab.bills.reading.fuels import fuel_names, fuel_units
from retrofit_lab.classroom.faults import HiddenFault, scenario_tables
from retrofit_lab.classroom.hand import hand_from_table
from retrofit_lab.classroom.marking import ChoiceQuestion, Question
from retrofit_lab.classroom.months import MONTHS
from retrofit_lab.classroom.scenario import BY_CLUE, LETTERS, Scenario, base_fuel
from retrofit_lab.classroom.side_by_side import side_by_side
from retrofit_lab.model.air import reading_at_50
from retrofit_lab.money.factors import single_present_value, uniform_present_value
from retrofit_lab.study.results import MeasureResult, Overlap
from retrofit_lab.study.study import Study

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


def questions_of(made: Scenario) -> tuple[Asked, ...]:
    """All questions of a scenario, by its level."""
    asked = [_changes(made), _attic(made), _base(made), _faults(made), _share(made)]
    if made.level > 1:
        asked.append(_worth(made))
    if made.late is not None:
        asked.append(_late(made, made.late))
    return tuple(asked)


def _texts(name: str) -> dict[str, Any]:
    found: dict[str, Any] = scenario_tables()["question"][name]
    return found


def _number(
    key: str, name: str, facts: Mapping[str, Any], answer: float, slips: Mapping[str, float]
) -> Asked:
    texts = {part: text for part, text in _texts(name).items() if part != "left_out"}
    hand = hand_from_table(texts)
    return Asked(
        question=hand.question(key, facts, answer, slips),
        given=hand.shown(facts),
        way=hand.lines(facts),
    )


def _changes(made: Scenario) -> Asked:
    flow, size = float(reading_at_50(made.true)), made.true.size
    volume, area = float(size.volume), float(size.floor_area)
    facts = {"flow": flow, "volume": volume, "area": area, "usual": made.usual_flow * 60.0 / volume}
    slips = {
        "no_minutes": flow / volume,
        "area": flow * 60.0 / area,
        "upside_down": volume / (flow * 60.0),
    }
    return _number("1", "changes", facts, flow * 60.0 / volume, slips)


def _attic(made: Scenario) -> Asked:
    floor = side_by_side(made.true, CEILING, EMPTY_ATTIC)
    facts = {**floor.facts, "label": floor.label, "bays": 100.0 * EMPTY_ATTIC}
    slips = {name: value for name, value in floor.slips.items() if name != "promised"}
    return _number("2", "attic", facts, floor.whole, slips)


def _base(made: Scenario) -> Asked:
    fuel = base_fuel(made.true)
    bills = made.bills.usable(fuel)
    touched = () if made.late is None else (made.late + 1, made.late + 2)
    read = [bill for bill in bills if bill.row not in touched]
    first, second = sorted(read, key=lambda bill: (bill.quantity / bill.days, bill.row))[:2]
    facts = {
        "fuel": fuel_names()[fuel],
        "unit": counted_in(fuel),
        "left_out": _texts("base")["left_out"] if touched else "",
        "first": first.quantity,
        "first_days": first.days,
        "second": second.quantity,
        "second_days": second.days,
    }
    slips = {
        "whole_year": sum(bill.quantity for bill in bills) / sum(bill.days for bill in bills),
        "a_month": (first.quantity + second.quantity) / 2.0,
    }
    answer = (first.quantity / first.days + second.quantity / second.days) / 2.0
    return _number("3", "base", facts, answer, slips)


def _faults(made: Scenario) -> Asked:
    texts, hidden = _texts("faults"), {item.fault.key: item for item in made.hidden}
    why = {
        letter: texts["why"].format(sign=_lowered(fault.sign))
        for letter, fault in made.options.items()
    }
    way = tuple(
        texts["way"].format(
            letter=letter,
            title=_lowered(fault.title),
            told=_told(made, hidden[fault.key]),
            cost=hidden[fault.key].cost,
            mend=fault.mend,
        )
        for letter, fault in made.options.items()
        if fault.key in hidden
    )
    count = len(hidden)
    question = ChoiceQuestion(
        key="4",
        text=texts["one" if count == 1 else "more"].format(count=count),
        options={letter: fault.title for letter, fault in made.options.items()},
        right=made.right_letters,
        why=why,
        points=2.0 * count,
    )
    return Asked(question=question, way=way)


def _told(made: Scenario, item: HiddenFault) -> str:
    """What tells a hidden fault: a clue, the bills, or the blower door."""
    texts, how = _texts("faults"), made.told[item.fault.key]
    if how == BY_CLUE:
        return item.told("clue")
    return str(texts[f"by_{how}"].format(sign=item.fault.sign, now=item.now, usual=made.usual_flow))


def _share(made: Scenario) -> Asked:
    pair, first, second = overlapping_pair(made)
    both = first.alone + second.alone - pair.lost
    last = both - second.alone
    texts = "share" if pair.lost > 0 else "share_helping"
    facts = {
        "p": first.alone,
        "q": second.alone,
        "both": both,
        "p_title": made.described.offer(pair.first).measure.title,
        "q_title": made.described.offer(pair.second).measure.title,
    }
    slips = {"first": first.alone, "last": last, "half": both / 2.0}
    return _number("5", texts, facts, (first.alone + last) / 2.0, slips)


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


def _worth(made: Scenario) -> Asked:
    study, texts = made.described, _texts("worth")
    rows = dict(zip("ABC", offers_to_compare(made), strict=True))
    titles = {letter: study.offer(row.key).measure.title for letter, row in rows.items()}
    why = {letter: _worth_told(study, row) for letter, row in rows.items()}
    offers = tuple(
        (f"{letter}: {titles[letter]}", _offer_told(study, rows[letter])) for letter in rows
    )
    question = ChoiceQuestion(
        key="6",
        text=texts["text"].format(
            years=study.terms.period_years, rate=100.0 * study.terms.discount_rate
        ),
        options=titles,
        right=frozenset({max(rows, key=lambda letter: rows[letter].net_savings)}),
        why=why,
    )
    lives = {_life(study, row) for row in rows.values()}
    way = tuple(f"{letter}: {text}" for letter, text in why.items())
    return Asked(question=question, given=(*offers, *_factors_told(study, lives)), way=way)


def _life(study: Study, row: MeasureResult) -> float:
    return study.offer(row.key).measure.life.years


def _offer_told(study: Study, row: MeasureResult) -> str:
    return str(
        _texts("worth")["given"].format(
            cost=row.cost.likely, saved=row.alone, life=_life(study, row)
        )
    )


def _worth_told(study: Study, row: MeasureResult) -> str:
    """What the savings are worth, what the work takes, and the difference. [dollars of today]"""
    rate, years = study.terms.discount_rate, study.terms.period_years
    savings = row.alone * float(uniform_present_value(rate, years))
    told: str = _texts("worth")["why"].format(
        years=years, savings=savings, paid=savings - row.net_savings, net=row.net_savings
    )
    return told


def _factors_told(study: Study, lives: AbstractSet[float]) -> Iterator[tuple[str, str]]:
    """What later money is worth today: every year, at the end, and where something wears out before."""
    rate, years, texts = study.terms.discount_rate, study.terms.period_years, _texts("worth")
    yearly = float(uniform_present_value(rate, years))
    yield texts["every_year"].format(years=years), f"${yearly:.2f}"
    for year in sorted({life for life in lives if life < years} | {years}):
        once = float(single_present_value(rate, year))
        yield texts["after"].format(years=year), f"${once:.2f}"


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


def _late(made: Scenario, month: int) -> Asked:
    texts = _texts("late")
    months = dict(zip(LETTERS, MONTHS, strict=True))
    question = ChoiceQuestion(
        key="7",
        text=texts["text"].format(fuel=fuel_names()[base_fuel(made.true)]),
        options=months,
        right=frozenset({LETTERS[month]}),
        why=dict.fromkeys(months, texts["why"]),
    )
    way = texts["way"].format(month=MONTHS[month], next=MONTHS[month + 1])
    return Asked(question=question, way=(way,))


def counted_in(fuel: str) -> str:
    """Unit of a fuel when there are many of it."""
    unit = fuel_units()[fuel]
    return unit if unit == "kWh" else f"{unit}s"


def _lowered(text: str) -> str:
    return text[:1].lower() + text[1:]
