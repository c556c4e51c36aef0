"""Turns a lesson and its numbers into plain data that the page draws; nothing is worked out here."""

from collections.abc import Mapping
from typing import Any

from retrofit_lab.classroom.guesses import spread
from retrofit_lab.classroom.lesson_numbers import LessonNumbers
from retrofit_lab.classroom.lessons import Lesson, reveal_facts
from retrofit_lab.measures.catalogue import catalogue
from retrofit_lab.presentation.classroom import wording
from retrofit_lab.presentation.classroom.figures import bars_figure, is_upright, spread_figure
from retrofit_lab.presentation.classroom.guess_box import GuessBox
from retrofit_lab.presentation.classroom.state import LessonState
from retrofit_lab.presentation.figures import TABLE_COLUMNS, overlap_figure, overlap_table
from retrofit_lab.presentation.panels import Field, field_content
from retrofit_lab.presentation.wording import chart_sentence

Content = dict[str, Any]
LEAST_GUESSES = 3
"""From so many guesses on a class is shown its spread; fewer would point at one student."""
TEXTS = {
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
    """What stays on the page, without the answers."""
    lesson, facts = state.lesson, state.numbers.facts
    predict, hand = lesson.predict, lesson.hand
    return {
        "title": f"Lesson {lesson.number}: {lesson.title}",
        "about": lesson.about,
        "aim": lesson.aim,
        "texts": {**TEXTS, "try": lesson.boxes_title},
        "predict": {
            "text": predict.text.format(**facts),
            "unit": predict.unit,
            "low": predict.low,
            "high": predict.high,
            "step": predict.step,
        },
        "boxes": [field_content(box) for box in boxes(lesson, state.values)],
        "hand": {
            "text": hand.text.format(**facts),
            "unit": hand.unit,
            "given": [list(pair) for pair in hand.shown(facts)],
        },
        "extension": list(lesson.extension),
    }


def revealed_content(state: LessonState) -> Content:
    """What opens after the guess."""
    lesson, numbers = state.lesson, state.numbers
    facts = {**numbers.facts, **reveal_facts(lesson)}
    first = wording.beside_the_answer(state.guess, numbers.guessed, lesson.predict.unit)
    sentences = [first, *(text.format(**facts) for text in lesson.reveal), *numbers.sentences]
    return {"sentences": sentences, **chart_content(numbers, first)}


def explored_content(
    lesson: Lesson, numbers: LessonNumbers, values: Mapping[str, float]
) -> Content:
    """What follows from other numbers in the boxes."""
    sentences = [text.format(**numbers.facts) for text in lesson.explored]
    return {"values": dict(values), "sentences": sentences, **chart_content(numbers, sentences[0])}


def chart_content(numbers: LessonNumbers, sentence: str) -> Content:
    """Chart and table of a lesson; two measures together are drawn as on the kitchen table."""
    if numbers.stack is not None:
        titles = {measure.key: measure.title for measure in catalogue()}
        chart = {
            "figure": overlap_figure(numbers.stack, titles),
            "sentence": chart_sentence(numbers.stack),
        }
        table = {
            "columns": TABLE_COLUMNS,
            "rows": overlap_table(numbers.stack, titles),
            "fold": wording.TABLE,
        }
        return {"chart": chart, "table": table}
    if numbers.bars is None:
        return {}
    bars = numbers.bars
    rows = [
        [label, *(wording.number(values[place]) for values in bars.series.values())]
        for place, label in enumerate(bars.labels)
    ]
    columns = [bars.of, *(bars.series if len(bars.series) > 1 else [bars.unit])]
    chart = {"figure": bars_figure(bars).to_plotly_json(), "sentence": f"{bars.unit}: {sentence}"}
    rows = rows if is_upright(bars) else rows[::-1]
    return {"chart": chart, "table": {"columns": columns, "rows": rows, "fold": wording.TABLE}}


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


def group_content(box: GuessBox, state: LessonState) -> Content:
    """The guesses of the class: their number before the reveal, their spread after it."""
    if not box.open:
        return {"sentences": [wording.NO_GROUP]}
    guesses = box.guesses()
    found = spread(guesses, state.numbers.guessed) if state.revealed else None
    if found is None or found.count < LEAST_GUESSES:
        return {"sentences": [wording.count_of_guesses(len(guesses), LEAST_GUESSES)]}
    unit = state.lesson.predict.unit
    sentence = wording.spread_sentence(found, unit)
    chart = {"figure": spread_figure(found, unit).to_plotly_json(), "sentence": sentence}
    return {"sentences": [sentence], "chart": chart}
