"""Turns a lesson and its numbers into plain data that the page draws; nothing is worked out here."""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab.app.lesson.charts import Content, chart_content, drawing_content, heat_content
from retrofit_lab.app.lesson.figures import spread_figure
from retrofit_lab.app.lesson.guess_box import FIRST
from retrofit_lab.app.lesson.state import LessonState
from retrofit_lab.app.lesson.wording import (
    answer_said,
    guess_said,
    marked,
    measured,
    spread_sentence,
    with_minus,
)
from retrofit_lab.app.shared.fields import Field, field_content
from retrofit_lab.classroom.guesses import Spread, spread
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lesson_units import SYSTEMS, facts_shown, unit_of
from retrofit_lab.classroom.lessons import idea_of, moved
from retrofit_lab.texts import LANGUAGES

LEAST_GUESSES = 3
"""From so many guesses on a class is shown its spread; fewer would point at one student."""


def boxes(state: LessonState) -> tuple[Field, ...]:
    """The number boxes of a lesson as fields of a page, in the units that are shown."""
    told = state.told
    return tuple(
        Field(
            name=box.name,
            label=told.box_label(box),
            value=told.shown(state.values[box.name], box.unit),
            low=told.shown(box.low, box.unit),
            high=told.shown(box.high, box.unit),
            step=box.step,
        )
        for box in state.lesson.boxes
    )


def guess_bounds(told: LessonTexts) -> tuple[float, float]:
    """Least and most that can be guessed, as shown."""
    guess = told.lesson.guess
    return told.shown(guess.low, guess.unit), told.shown(guess.high, guess.unit)


def page_content(state: LessonState) -> Content:
    """What stands on the page before the guess: no answer, and nothing that leads to one."""
    told, numbers = state.told, state.numbers
    facts = told.facts(numbers.facts)
    text = with_minus(told.own["predict"].format(**facts))
    low, high = guess_bounds(told)
    shown: Content = {"sentences": [], "charts": []}
    if numbers.before is not None:
        shown["charts"] = [chart_content(told, numbers.before, text)]
    return {
        "number": told.lesson.number,
        "title": told.say("page.title", number=told.lesson.number, title=told.own["title"]),
        "about": with_minus(told.own["about"].format(**facts)),
        "aim": told.own["aim"],
        "caution": list(told.own.get("caution", ())),
        "texts": dict(told.catalog["page"]),
        "class": state.box.open,
        "language": told.language,
        "system": told.system,
        "choices": {"language": list(LANGUAGES), "system": list(SYSTEMS)},
        "predict": {
            "text": text,
            "unit": told.unit(told.lesson.guess.unit),
            "low": low,
            "high": high,
            "shown": {**shown, **drawing_content(told, numbers.drawn, answered=False)},
        },
    }


def later_content(state: LessonState) -> Content:
    """What there is to do after the guess; what stands below the puzzle comes with its answer."""
    told, lesson = state.told, state.lesson
    content: Content = {
        "boxes": [field_content(box) for box in boxes(state)],
        "title": str(told.own.get("boxes_title", told.say("page.try"))),
        "watched": "" if lesson.puzzle else told.own["watched"],
        "puzzle": bool(lesson.puzzle),
    }
    if state.revealed:
        content |= _hand_content(state)
    return content


def _hand_content(state: LessonState) -> Content:
    told = state.told
    facts = told.facts(state.numbers.facts)
    return {
        "hand": {
            "text": with_minus(told.hand.text.format(**facts)),
            "unit": told.hand.unit,
            "given": [[name, with_minus(value)] for name, value in told.hand.shown(facts)],
        },
        "further": [with_minus(text.format(**facts)) for text in told.own["further"]],
    }


def said_answer(state: LessonState) -> str:
    """The answer to the question that was guessed, with its unit."""
    return answer_said(state.told, state.numbers.facts[state.lesson.guess.fact])


def revealed_content(state: LessonState) -> Content:
    """What opens after the guess."""
    told, numbers = state.told, state.numbers
    facts = told.facts({**numbers.facts, **state.revealed_facts})
    first = _beside_the_answer(state)
    texts = [with_minus(text) for text in told.filled(told.own["reveal"], facts)]
    charts = numbers.charts[1:] if state.lesson.puzzle else numbers.charts
    return {
        "sentences": [first, *_idea(state, facts), *texts],
        "charts": [chart_content(told, chart, first) for chart in charts],
        "way": [with_minus(line) for line in told.guess_way(facts)],
        **drawing_content(told, numbers.drawn, answered=True),
        **heat_content(told, numbers.heat_picture),
    }


def _beside_the_answer(state: LessonState) -> str:
    told, answer = state.told, said_answer(state)
    if state.guess is None:
        return told.say("said.answer", answer=answer)
    last = state.guess if state.second is None else state.second
    return told.say(
        "said.guessed" if last == state.guess else "said.guessed_twice",
        first=guess_said(told, state.guess),
        guess=guess_said(told, last),
        answer=answer,
    )


def _idea(state: LessonState, facts: Mapping[str, Any]) -> list[str]:
    """The known wrong idea that the last guess gives away, where it does not lie by the answer."""
    told, guess = state.told, state.lesson.guess
    last = state.guess if state.second is None else state.second
    if last is None:
        return []
    shown = facts_shown(state.numbers.facts, state.lesson.units, told.system)
    unit = unit_of(guess.unit)
    name = idea_of(state.lesson, unit.shown(last, told.system), shown)
    idea = told.own.get("ideas", {}).get(name, "")
    return [told.say("said.idea", idea=with_minus(idea.format(**facts)))] if idea else []


def explored_content(state: LessonState, changed: str, said: str) -> Content:
    """What follows from other numbers in the boxes, beside the house as it was, and whether it went as was said."""
    told, numbers = state.told, state.explored
    facts = told.facts(numbers.facts)
    sentences = [with_minus(text) for text in told.filled(told.own["explored"], facts)]
    first = [_which_way(state, said)] if changed and said else []
    return {
        "values": {field.name: field.value for field in boxes(state)},
        "sentences": [*first, *sentences],
        "charts": [chart_content(told, numbers.charts[0], sentences[0], state.numbers.charts[0])],
        **(
            drawing_content(told, numbers.drawn, answered=True)
            if state.lesson.key == "heat"
            else {}
        ),
        **heat_content(told, numbers.heat_picture),
    }


def _which_way(state: LessonState, said: str) -> str:
    """Whether the watched number went the way that was said."""
    told, fact = state.told, state.lesson.watched
    before, after = (found.facts[fact] for found in (state.before_last, state.explored))
    went = moved(before, after)
    unit = state.lesson.units.get(fact, _unit_of_watched(state))
    numbers = [
        measured(unit_of(unit).shown(value, told.system), told.unit(unit))
        for value in (before, after)
    ]
    key = "right_way" if said == went else "wrong_way"
    if went == "same":
        key = "right_same" if said == went else "wrong_way_same"
    elif said == "same":
        key = "said_same"
    return told.say(
        f"said.{key}",
        said=told.say(f"page.{said}"),
        went=told.say(f"page.{went}"),
        before=numbers[0],
        after=numbers[1],
    )


def _unit_of_watched(state: LessonState) -> str:
    guess = state.lesson.guess
    if state.lesson.watched == guess.fact:
        return guess.unit
    hand = state.lesson.hand
    return hand.unit if state.lesson.watched == hand.fact else ""


def marked_content(state: LessonState) -> Content:
    """What is said of the last answer, and the way where it is open."""
    if state.mark is None:
        return {}
    told = state.told
    lines = told.hand.lines(told.facts(state.numbers.facts)) if state.way_is_open else ()
    return {
        "sentence": marked(state.mark, told.language),
        "right": state.mark.right,
        "way": list(lines),
    }


def group_content(state: LessonState, *, answer: bool, round: int = FIRST) -> Content:
    """How the guesses of the class lie, with the answer or without; only a count while they are few."""
    told, guesses = state.told, state.box.guesses(round)
    found = _spread_of(state, guesses, answer=answer)
    if found is None or found.count < LEAST_GUESSES:
        said = told.say("said.few", count=len(guesses), least=LEAST_GUESSES)
        return {"sentences": [said], "charts": []}
    sentences = [spread_sentence(told, found, "said.spread")]
    if answer:
        sentences.append(
            told.say("said.close", answer=said_answer(state), close=found.close, count=found.count)
        )
    return {"sentences": sentences, "charts": [_spread_chart(told, found, " ".join(sentences))]}


def _spread_of(state: LessonState, guesses: Sequence[float], *, answer: bool) -> Spread | None:
    """Spread of guesses of the trade's unit, as shown."""
    told, guess = state.told, state.lesson.guess
    unit = unit_of(guess.unit)
    right = unit.shown(state.numbers.facts[guess.fact], told.system) if answer else None
    return spread([unit.shown(value, told.system) for value in guesses], right)


def _spread_chart(told: LessonTexts, found: Spread, sentence: str) -> Content:
    names = {
        "guesses": told.say("said.bar_guesses"),
        "other": told.say("said.bar_other"),
        "answer": told.say("said.bar_answer"),
        "from_to": told.say("said.from_to"),
    }
    figure = spread_figure(found, told.unit(told.lesson.guess.unit), names)
    return {"chart": {"figure": figure, "sentence": sentence}}
