"""Turns a lesson and its numbers into plain data that the page draws; nothing is worked out here."""

from collections.abc import Mapping
from typing import Any

from retrofit_lab.app.lesson import wording
from retrofit_lab.app.lesson.figures import (
    bars_figure,
    beside,
    is_upright,
    spread_figure,
)
from retrofit_lab.app.lesson.guess_box import FIRST
from retrofit_lab.app.lesson.state import LessonState
from retrofit_lab.app.shared.fields import Field, field_content
from retrofit_lab.app.shared.figures import ALL_TOGETHER, overlap_bars
from retrofit_lab.app.shared.wording import chart_sentence
from retrofit_lab.classroom.guesses import spread
from retrofit_lab.classroom.lesson_numbers import Bars, LessonNumbers
from retrofit_lab.classroom.lessons import Lesson, reveal_facts
from retrofit_lab.measures.catalogue import catalogue
from retrofit_lab.study.results import PlanResult

Content = dict[str, Any]
LEAST_GUESSES = 3
"""From so many guesses on a class is shown its spread; fewer would point at one student."""
TEXTS = {
    "aim": wording.AIM,
    "predict": wording.PREDICT,
    "see": wording.SEE,
    "hand": wording.BY_HAND,
    "further": wording.FURTHER,
    "group": wording.GROUP,
    "guess": wording.GUESS_BUTTON,
    "watch": wording.WATCH_BUTTON,
    "check": wording.ANSWER_BUTTON,
    "again": wording.AGAIN_BUTTON,
    "guess_note": wording.GUESS_NOTE,
    "try_note": wording.TRY_NOTE,
    "group_note": wording.GROUP_NOTE,
    "way": wording.WAY,
}


def boxes(lesson: Lesson, values: Mapping[str, float]) -> tuple[Field, ...]:
    """The number boxes of a lesson as fields of a page."""
    return tuple(
        Field(
            name=box.name,
            label=box.label,
            value=values[box.name],
            low=box.low,
            high=box.high,
            step=box.step,
        )
        for box in lesson.explore
    )


def page_content(state: LessonState) -> Content:
    """What stands on the page before the guess: no answer, and nothing that leads to one."""
    lesson, numbers = state.lesson, state.numbers
    predict, text = lesson.predict, lesson.predict.text.format(**numbers.facts)
    shown = {} if numbers.before is None else bars_content(numbers.before, text)
    return {
        "number": lesson.number,
        "title": f"Lesson {lesson.number}: {lesson.title}",
        "about": lesson.about,
        "aim": lesson.aim,
        "texts": {**TEXTS, "try": f"{wording.TRY}{lesson.boxes_title}"},
        "class": state.box.open,
        "predict": {
            "text": text,
            "unit": predict.unit,
            "low": predict.low,
            "high": predict.high,
            "step": predict.step,
            "shown": {"sentences": [], **shown},
        },
    }


def later_content(state: LessonState) -> Content:
    """What there is to do after the guess."""
    lesson, facts = state.lesson, state.numbers.facts
    return {
        "boxes": [field_content(box) for box in boxes(lesson, state.values)],
        "hand": {
            "text": lesson.hand.text.format(**facts),
            "unit": lesson.hand.unit,
            "given": [list(pair) for pair in lesson.hand.shown(facts)],
        },
        "extension": list(lesson.extension),
    }


def said_answer(state: LessonState) -> str:
    """What the program says to the question that was guessed, with its unit."""
    predict = state.lesson.predict
    return wording.measured(state.numbers.guessed, predict.unit, predict.step)


def revealed_content(state: LessonState) -> Content:
    """What opens after the guess."""
    lesson, numbers = state.lesson, state.numbers
    facts = {**numbers.facts, **reveal_facts(lesson)}
    first = wording.beside_the_answer(state.guess, said_answer(state))
    told = [wording.with_minus(text.format(**facts)) for text in lesson.reveal]
    return {
        "sentences": [first, *told, *numbers.sentences],
        **chart_content(numbers, first),
    }


def explored_content(state: LessonState, numbers: LessonNumbers) -> Content:
    """What follows from other numbers in the boxes, beside the house as it was."""
    explored = state.lesson.explored
    sentences = [wording.with_minus(text.format(**numbers.facts)) for text in explored]
    return {
        "values": dict(state.values),
        "sentences": sentences,
        **chart_content(numbers, sentences[0], state.numbers.bars),
    }


def chart_content(numbers: LessonNumbers, sentence: str, before: Bars | None = None) -> Content:
    """Chart and table of a lesson; two measures together are drawn as on the kitchen table."""
    if numbers.plan is not None:
        return together_content(numbers.plan)
    bars = numbers.bars
    if bars is None:
        return {}
    if before is not None and len(bars.series) == len(before.series) == 1:
        bars = beside(before, bars, (wording.AS_IT_WAS, wording.NOW))
    return bars_content(bars, sentence)


def bars_content(bars: Bars, sentence: str) -> Content:
    """Bars as a chart with its unit above it, and as a table."""
    columns = [wording.column(values) for values in bars.series.values()]
    rows = [list(row) for row in zip(bars.labels, *columns, strict=True)]
    heads = [bars.of, *(bars.series if len(bars.series) > 1 else [bars.unit])]
    chart = {
        "figure": bars_figure(bars),
        "sentence": f"{bars.unit}: {sentence}",
        "unit": bars.unit,
    }
    rows = rows if is_upright(bars) else rows[::-1]
    return {"chart": chart, "table": {"columns": heads, "rows": rows, "fold": wording.TABLE}}


def together_content(plan: PlanResult) -> Content:
    """Measures together, with what each saves first, last and as its fair share."""
    titles = {measure.key: measure.title for measure in catalogue()}
    said = wording.whole_dollars
    rows = [
        [titles[key], said(row.alone), said(row.now), said(row.share)]
        for key, row in ((key, plan.measures[key]) for key in plan.ticked)
    ]
    rows.append([ALL_TOGETHER, said(plan.sum_alone), "", said(plan.saved)])
    return {
        "chart": {"bars": overlap_bars(plan, titles), "sentence": chart_sentence(plan)},
        "table": {"columns": wording.TOGETHER_COLUMNS, "rows": rows, "fold": wording.TABLE},
    }


def marked_content(state: LessonState) -> Content:
    """What is said of the last answer, and the way where it is open."""
    if state.mark is None:
        return {}
    lines = state.lesson.hand.lines(state.numbers.facts) if state.way_is_open else ()
    return {
        "sentence": wording.marked(state.mark),
        "right": state.mark.right,
        "way": list(lines),
    }


def group_content(state: LessonState, *, answer: bool, round: int = FIRST) -> Content:
    """How the guesses of the class lie, with the answer or without; only a count while they are few."""
    guesses = state.box.guesses(round)
    found = spread(guesses, state.numbers.guessed if answer else None)
    if found is None or found.count < LEAST_GUESSES:
        return {"sentences": [wording.count_of_guesses(len(guesses), LEAST_GUESSES)]}
    unit = state.lesson.predict.unit
    sentences = [wording.spread_sentence(found, unit)]
    if answer:
        sentences.append(wording.answer_sentence(found, said_answer(state)))
    figure = spread_figure(found, unit)
    return {"sentences": sentences, "chart": {"figure": figure, "sentence": " ".join(sentences)}}
