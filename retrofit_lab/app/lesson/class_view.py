"""What the class view shows the trainer of the guesses; where they are kept and who may look stands elsewhere."""

import os
from collections.abc import Mapping
from typing import Any

import segno

from retrofit_lab.app.lesson.charts import Content
from retrofit_lab.app.lesson.content import group_content
from retrofit_lab.app.lesson.figures import enlarged
from retrofit_lab.app.lesson.guess_box import FIRST, SECOND, STAGES
from retrofit_lab.app.lesson.state import LessonState
from retrofit_lab.app.lesson.wording import guess_said
from retrofit_lab.app.shared.surroundings import JOIN_VARIABLE, LANGUAGE_VARIABLE
from retrofit_lab.texts import LANGUAGES, catalog

SHOWS = ("count", "spread", "answer")
PLAIN_TEXTS = ("title", "address", "words", "qr", "note", "kept", "empty", "sure", "wall", "leave")


def class_words() -> Mapping[str, Any]:
    """Words of the class in the language that the server was started in."""
    language = os.environ.get(LANGUAGE_VARIABLE, "")
    return catalog(language if language in LANGUAGES else LANGUAGES[0], "class")


def class_content(state: LessonState, show: Any, *, wall: bool = False) -> Content:
    """Count, spread or answer, whichever the trainer wants on the wall; ``wall`` makes charts large."""
    words = class_words()
    shown = show if isinstance(show, str) and show in SHOWS else SHOWS[0]
    return {
        "show": shown,
        "shows": {key: words["show"][key] for key in SHOWS},
        "stage": state.box.stage.stage,
        "stages": {key: words["stage"][key] for key in STAGES},
        "count": told_count(state),
        "told": told_guesses(state, shown, wall=wall),
        "texts": {key: words[key] for key in PLAIN_TEXTS},
        "join": joining(),
    }


def told_guesses(state: LessonState, shown: str, *, wall: bool) -> Content:
    """The spread of the guesses, of both rounds where the class has guessed twice."""
    if shown == SHOWS[0]:
        return {"sentences": [], "rounds": []}
    answer = shown == "answer"
    twice = bool(state.box.guesses(SECOND))
    rounds = []
    for which in (FIRST, SECOND) if twice else (FIRST,):
        told = group_content(
            state, answer=answer and which == (SECOND if twice else FIRST), round=which
        )
        if wall:
            told["charts"] = [_on_wall(chart, beside=twice) for chart in told["charts"]]
        rounds.append({**told, "title": class_words()["round"][str(which)] if twice else ""})
    return {"sentences": [], "rounds": rounds}


def _on_wall(content: Content, *, beside: bool) -> Content:
    return {**content, "chart": enlarged(content["chart"], beside=beside)}


def told_count(state: LessonState) -> str:
    """How many guesses have come in, or come in again."""
    words, first = class_words()["count"], len(state.box.guesses())
    if state.box.stage.stage == "second":
        return str(words["second"].format(count=len(state.box.guesses(SECOND)), first=first))
    key = {0: "none", 1: "one"}.get(first, "more")
    return str(words[key].format(count=first))


def joining() -> Content:
    """How others come in: the address, the two words, and both as a picture; nothing where no one can."""
    address, _, code = os.environ.get(JOIN_VARIABLE, "").partition("?code=")
    if not address:
        return {}
    whole = os.environ[JOIN_VARIABLE]
    return {
        "address": address.partition("?")[0],
        "words": code.replace("-", " "),
        # a link with a token is the trainer's own business; only what may be said aloud goes on the wall
        "picture": segno.make(whole, error="l").svg_data_uri(scale=8) if code else "",
    }


def student_content(state: LessonState) -> Content:
    """What a student of a class reads while the answer is held, and whether a second guess is asked for."""
    words, stage = class_words()["student"], state.box.stage
    first, second = state.guess, state.second
    asked = stage.stage == "second" and second is None
    said = ""
    if second is not None:
        key = "second" if state.revealed else "both"
        said = words[key].format(guess=guess_said(state.told, second))
    elif first is not None and stage.held and not state.revealed:
        said = (
            words["again"] if asked else words["held"].format(guess=guess_said(state.told, first))
        )
    return {
        "said": said,
        "again": asked and first is not None and not state.revealed,
        "name": stage.name,
        "guess": None if first is None else state.told.shown(first, state.lesson.guess.unit),
        "forgotten": words["forgotten"],
    }
