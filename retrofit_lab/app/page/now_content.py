"""What a pick changes on the page, as plain data: the strip, the lines, the bars, the sentence that is spoken."""

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import Any

from retrofit_lab.app.page.told import Told, shown_lines
from retrofit_lab.app.shared.wording import as_rounded, dollars, shown_after
from retrofit_lab.proposals.in_real_houses import Expected
from retrofit_lab.proposals.stretches import Stretches, stretches
from retrofit_lab.safety.hazards import STOPS
from retrofit_lab.study.results import MeasureResult, Overlap, PlanResult
from retrofit_lab.uncertainty.outcomes import Outcome

LEAST_TOLD = 1.0
"""Overlap of a whole plan from which it is told. [dollars/year]"""
LIVE_LETTERS = 200
MOST_YEARS = 60


def now_content(
    told: Told, result: PlanResult, expected: Expected, newest: str = ""
) -> dict[str, Any]:
    """What a pick changes; ``newest`` is what was last picked or taken out."""
    bars = stretches(expected, result.ticked)
    saves = {
        key: told.yearly(amount, as_rounded)
        for key, amount in shown_lines(expected, result.ticked).items()
    }
    return {
        "ticked": list(result.ticked),
        "strip": strip(told, result, expected),
        "live": live(told, result, expected, newest),
        "rows": {
            key: _row(told, row, expected, saves[key]) for key, row in result.measures.items()
        },
        "total": dollars(expected.saving) if result.ticked else told.say("form.none"),
        "picture": _picture(told, result, expected, bars, saves),
        "cost": result.cost.likely,
        "saving": expected.saving,
    }


def strip(told: Told, result: PlanResult, expected: Expected) -> list[list[str]]:
    """The six facts at the top: name, value, and a few words more."""
    some, none = bool(result.ticked), told.say("form.none")
    likely = told.say("strip.saves_likely", amount=dollars(expected.saving))
    more = likely if expected.saving > -0.5 else ""
    after = as_rounded(shown_after(result.before.cost, expected.left))
    return [
        [told.say("strip.now"), dollars(result.before.cost), ""],
        [told.say("strip.after"), after if some else none, ""],
        [
            told.say("strip.saves"),
            told.yearly(expected.saving) if some else none,
            more if some else told.say("strip.after_none"),
        ],
        [
            told.say("strip.costs"),
            told.price(result.cost) if some else none,
            _cost_range(told, result),
        ],
        [told.say("strip.pays"), told.years(expected.payback) if some else none, ""],
        [told.say("strip.safety"), *_safety(told, result)],
    ]


def _cost_range(told: Told, result: PlanResult) -> str:
    low, high = dollars(result.cost.low), dollars(result.cost.high)
    return told.say("form.between", low=low, high=high) if result.ticked and low != high else ""


def _safety(told: Told, result: PlanResult) -> tuple[str, str]:
    """What must be settled first, and how many notes the plan calls for; having none is never called safe."""
    count = len(result.cautions)
    notes = told.say("strip.safety_notes_one" if count == 1 else "strip.safety_notes", count=count)
    if any(hazard.does == STOPS for hazard in result.hazards):
        return told.say("strip.safety_stop"), notes if count else ""
    if result.hazards:
        return told.say("strip.safety_settle", count=len(result.hazards)), notes if count else ""
    return (notes if count else told.say("strip.safety_none")), ""


def live(told: Told, result: PlanResult, expected: Expected, newest: str) -> str:
    """The one sentence that a screen reader hears after a pick, short enough to be listened to."""
    if not result.ticked:
        return told.say("live.none")
    less = expected.saving > -0.5
    plan = told.say(
        "live.plan" if less else "live.plan_more",
        saving=dollars(abs(expected.saving)),
        cost=told.price(result.cost),
        payback=told.years(expected.payback),
    )
    if newest not in told.titles:
        return plan
    moved = "live.added" if newest in result.ticked else "live.removed"
    first = told.say(moved, title=told.titles[newest])
    return f"{first} {plan}" if len(first) + len(plan) < LIVE_LETTERS else plan


def _row(told: Told, row: MeasureResult, expected: Expected, shown: str) -> list[str]:
    """Saving, cost, what it cannot go with, then what its details tell: alone, last, payback."""
    key, none = row.key, told.say("form.none")
    blocked = told.names(row.blocked_by)
    saves = expected.lines[key]
    pays = row.payback * row.now / saves if saves > 0 and row.now > 0 else row.payback
    return [
        none if blocked else shown,
        told.price(row.cost),
        told.say("row.blocked", names=blocked) if blocked else "",
        told.yearly(expected.alone[key]),
        none if blocked else told.yearly(expected.last[key]),
        none if blocked else told.years(pays),
    ]


def _picture(
    told: Told, result: PlanResult, expected: Expected, bars: Stretches, saves: Mapping[str, str]
) -> dict[str, Any]:
    return {
        "sentence": _sentence(told, result, expected),
        "less": _less(told, result, expected),
        "promised": _across(bars.promised, bars.end),
        "real": _across(bars.real, bars.end),
        "parts": {
            key: told.say(
                "picture.part",
                title=told.titles[key],
                alone=told.yearly(expected.alone[key]),
                share=saves[key],
            )
            for key in result.ticked
        },
        "ends": [
            _place(max(expected.one_by_one, 0.0), bars.end),
            _place(max(expected.saving, 0.0), bars.end),
        ],
        "amounts": [told.yearly(expected.one_by_one), told.yearly(expected.saving)],
        "columns": told.all("picture.columns"),
        "marks": [[dollars(mark), _place(mark, bars.end)] for mark in bars.marks],
        "table": [
            [told.titles[key], told.yearly(expected.alone[key]), saves[key]]
            for key in result.ticked
        ],
    }


def _across(
    parts: Sequence[tuple[str, float, float]], end: float
) -> list[tuple[str, float, float]]:
    return [(key, _place(left, end), _place(right - left, end)) for key, left, right in parts]


def _place(amount: float, end: float) -> float:
    """Place on the scale. [of 100]"""
    return round(100.0 * amount / end, 2)


def _sentence(told: Told, result: PlanResult, expected: Expected) -> str:
    if not result.ticked:
        return told.say("picture.none")
    if len(result.ticked) == 1:
        more = expected.saving < -0.5
        return told.say(
            "picture.one_more" if more else "picture.one", saving=dollars(abs(expected.saving))
        )
    alone, together = dollars(expected.one_by_one), dollars(expected.saving)
    lost = expected.one_by_one - expected.saving
    if alone == together or abs(lost) < LEAST_TOLD:
        return told.say("picture.even", alone=alone, together=together)
    why = _why(told, result.overlaps, lost)
    key = "picture.lost" if lost > 0 else "picture.won"
    return told.say(key, alone=alone, together=together, why=why).strip()


def _why(told: Told, overlaps: Sequence[Overlap], lost: float) -> str:
    """Why the two that overlap, or help each other, most do so."""
    pair = next((p for p in overlaps if p.lost * lost > 0), None)
    return told.plain(told.words.names.word(pair.why)) if pair else ""


def _less(told: Told, result: PlanResult, expected: Expected) -> list[str]:
    """Why the number is smaller than what someone who sells one fix says."""
    if not result.ticked:
        return [told.say("picture.less_none")]
    alone, together = dollars(expected.one_by_one), dollars(expected.saving)
    said = []
    if len(result.ticked) > 1 and expected.one_by_one > expected.saving and alone != together:
        said.append(told.say("picture.less_overlap", alone=alone, together=together))
    calculated = dollars(result.sum_alone)
    return [*said, told.say("picture.less_calculated", calculated=calculated, together=together)]


def sure_content(told: Told, ticked: Sequence[str], outcome: Outcome, end: float) -> dict[str, Any]:
    """The range of the saving and of the payback, in words, and its place on the scale."""
    span, payback = outcome.saving, outcome.payback
    low, high = dollars(span.low), dollars(span.high)
    return {
        "ticked": list(ticked),
        "saves": told.say("form.between", low=low, high=high),
        "pays": _pays_range(told, payback.low, payback.high),
        "sentence": told.say("picture.range", low=low, high=high),
        "places": [_place(min(max(n, 0.0), end), end) for n in (span.low, span.high)],
    }


def _pays_range(told: Told, low: float, high: float) -> str:
    """Earliest and latest payback; empty where the two are said alike."""
    first, last = told.years(low), told.years(high)
    if isfinite(high) and low >= 0.5 and round(low) < round(high) <= MOST_YEARS:
        return told.say("strip.pays_range", low=f"{low:.0f}", high=f"{high:.0f}")
    return "" if first == last else told.say("form.between", low=first, high=last)
