"""Charts of a lesson as the page gets them: the numbers as shown, the names in words, and a table beside each."""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab import texts
from retrofit_lab.app.lesson.figures import (
    bars_figure,
    curves_figure,
    heat_color,
    heat_picture,
    is_upright,
)
from retrofit_lab.app.lesson.wording import column, measured, whole_dollars, with_minus
from retrofit_lab.app.shared.figures import overlap_bars
from retrofit_lab.app.shared.section_drawing import arrows, drawn_parts, section_drawing
from retrofit_lab.app.shared.words import Words, words
from retrofit_lab.classroom.lesson_numbers import Bars, Chart, Curves, Drawn, Field
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lesson_units import unit_of
from retrofit_lab.classroom.months import MONTHS
from retrofit_lab.house.parts import LOSING
from retrofit_lab.house.section import section_of
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.study.results import PlanResult

Content = dict[str, Any]


def chart_content(
    told: LessonTexts, chart: Chart, sentence: str, before: Chart | None = None
) -> Content:
    """One chart with its table; beside its bars stand those of the house as it was, where these are given."""
    if isinstance(chart, Bars):
        return _bars(told, chart, sentence, before if isinstance(before, Bars) else None)
    if isinstance(chart, Curves):
        return _curves(told, chart, sentence)
    return _overlap(told, chart)


def _bars(told: LessonTexts, bars: Bars, sentence: str, before: Bars | None) -> Content:
    unit, measure = unit_of(bars.unit), told.unit(bars.unit)
    series = {
        told.word(name): [unit.shown(value, told.system) for value in values]
        for name, values in bars.series.items()
    }
    if before is not None and before != bars and len(series) == len(before.series) == 1:
        series = _beside(told, bars, before, *series.values())
    labels = [label_of(told, bars, name) for name in bars.labels]
    upright = is_upright(len(labels)) and not bars.measures
    columns = [column(values) for values in series.values()]
    rows = [list(row) for row in zip(labels, *columns, strict=True)]
    heads = [told.word(bars.of), *(series if len(series) > 1 else [measure])]
    figure = bars_figure(labels, series, stacked=bars.stacked, upright=upright)
    return {
        "chart": {"figure": figure, "sentence": f"{measure}: {sentence}", "unit": measure},
        "table": _table(told, heads, rows if upright else rows[::-1]),
    }


def _beside(
    told: LessonTexts, bars: Bars, before: Bars, now: Sequence[float]
) -> dict[str, list[float]]:
    """Two states of one series side by side, label by label of the second."""
    ((_, old),) = before.series.items()
    known = dict(zip(before.labels, old, strict=True))
    unit = unit_of(bars.unit)
    was = [unit.shown(known.get(label, 0.0), told.system) for label in bars.labels]
    return {told.say("page.now"): list(now), told.say("page.was"): was}


def label_of(told: LessonTexts, bars: Bars, name: str) -> str:
    """What a label of a chart is called: a measure, a month, or a word of the lesson."""
    if bars.measures:
        return measure_titles(told.language)[name]
    if name in MONTHS:
        return str(told.catalog["words"]["months"][MONTHS.index(name)])
    return told.word(name)


def measure_titles(language: str) -> dict[str, str]:
    """Titles of all measures in a language."""
    said = _words(language)
    return {measure.key: said.names.title(measure) for measure in catalog()}


def _words(language: str) -> Words:
    return words(language, page="lessons")


def _curves(told: LessonTexts, chart: Curves, sentence: str) -> Content:
    x_unit, y_unit = unit_of(chart.x_unit), unit_of(chart.y_unit)
    curves, rows = [], []
    for name, curve in chart.curves.items():
        x = [x_unit.shown(value, told.system) for value in curve.x]
        y = [y_unit.shown(value, told.system) for value in curve.y]
        curves.append((told.word(name), x, y, curve.joined))
        rows += [[told.word(name), *pair] for pair in zip(column(x), column(y), strict=True)]
    units = told.unit(chart.x_unit), told.unit(chart.y_unit)
    return {
        "chart": {"figure": curves_figure(curves, *units), "sentence": sentence, "unit": units[1]},
        "table": _table(told, ["", *units], rows),
    }


def _overlap(told: LessonTexts, plan: PlanResult) -> Content:
    """Measures together, with what each saves first, last and as its fair share, all to the dollar."""
    titles = measure_titles(told.language)
    kept = [(key, plan.measures[key]) for key in plan.ticked]
    rows = [
        [titles[key], *map(whole_dollars, (row.alone, row.now, row.share))] for key, row in kept
    ]
    whole = told.say("said.overlap_all")
    rows.append([whole, whole_dollars(plan.sum_alone), "", whole_dollars(plan.saved)])
    bars = overlap_bars(plan)
    amounts = [(row.share, row.alone) for _, row in kept] + [(plan.saved, plan.sum_alone)]
    for row, name, (share, alone) in zip(
        bars["rows"], [*(titles[key] for key, _ in kept), whole], amounts, strict=True
    ):
        row["label"] = name
        row["amount"] = told.say(
            "said.share_of", share=whole_dollars(share), alone=whole_dollars(alone)
        )
    bars["legend"] = [[name, told.say(f"said.overlap_{name}")] for name in bars["legend"]]
    return {
        "chart": {"bars": bars, "sentence": overlap_sentence(told, plan)},
        "table": _table(told, list(told.catalog["said"]["overlap_columns"]), rows),
    }


def overlap_sentence(told: LessonTexts, plan: PlanResult) -> str:
    """What a plan saves against the sum of its measures, in words."""
    key = "said.overlap_sentence" if plan.lost_to_overlap >= 0 else "said.help_sentence"
    return told.say(
        key,
        sum=whole_dollars(plan.sum_alone),
        both=whole_dollars(plan.saved),
        overlap=whole_dollars(plan.lost_to_overlap),
    )


def _table(told: LessonTexts, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Content:
    return {
        "columns": list(heads),
        "rows": [list(row) for row in rows],
        "fold": told.say("page.table"),
    }


def drawing_content(told: LessonTexts, drawn: Drawn | None, *, answered: bool) -> Content:
    """The house in section, before the answer without its arrows."""
    if drawn is None:
        return {}
    section = section_of(drawn.house)
    parts = drawn_parts(section, LOSING)
    short = texts.catalog(told.language, "page")["part_short"]
    names = {part: str(short[part]) for part in parts}
    found = arrows(section, drawn.now, drawn.then) if answered else {}
    return {
        "drawing": {
            "svg": section_drawing(section, names),
            "title": told.say("page.drawing"),
            "parts": {part: _part(part, found, drawn, answered=answered) for part in parts},
        }
    }


def _part(
    part: str, found: Mapping[str, Mapping[str, str]], drawn: Drawn, *, answered: bool
) -> Content:
    now = f"{drawn.now.get(part, 0.0):.0f}%"
    then = "" if drawn.then is None else f" → {drawn.then.get(part, 0.0):.0f}%"
    return {
        "before": found.get(part, {}).get("before", ""),
        "after": found.get(part, {}).get("after", ""),
        "numbers": f"{now}{then}" if answered else "",
    }


def heat_content(told: LessonTexts, fields: Sequence[Field]) -> Content:
    """A heat picture with a key of its temperatures, and where it comes from."""
    if not fields:
        return {}
    low, high = (pick(field.temperature for field in fields) for pick in (min, max))
    by_name = {field.name: field.temperature for field in fields}
    unit = unit_of("F")
    key = [
        [
            heat_color(temperature, low, high),
            f"{told.word(name)}: "
            + measured(unit.shown(temperature, told.system), told.unit("F"), 0.1),
        ]
        for name, temperature in sorted(by_name.items(), key=lambda item: -item[1])
    ]
    return {
        "heat": {
            "svg": heat_picture(fields),
            "key": key,
            "note": with_minus(told.say("page.heat_picture")),
        }
    }
