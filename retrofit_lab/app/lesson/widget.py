"""The lesson page as one widget: takes what the browser sends, changes the state, shows what follows."""

import os
from collections.abc import Callable, Mapping
from typing import Any, TypeGuard

import traitlets

from retrofit_lab.app.lesson.class_view import class_content, class_words, student_content
from retrofit_lab.app.lesson.content import (
    boxes,
    explored_content,
    group_content,
    guess_bounds,
    later_content,
    marked_content,
    page_content,
    revealed_content,
)
from retrofit_lab.app.lesson.guess_box import GuessBox, class_box, voter_of
from retrofit_lab.app.lesson.state import LessonState
from retrofit_lab.app.lesson.trainer_word import is_trainers
from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.scripts import page_script, page_style
from retrofit_lab.app.shared.served_widget import ServedWidget
from retrofit_lab.app.shared.surroundings import (
    HOUSE_VARIABLE,
    LANGUAGE_VARIABLE,
    LESSON_HOUSE_VARIABLE,
    PLACE_VARIABLE,
    PRICES_VARIABLE,
)
from retrofit_lab.base.values import InputError
from retrofit_lab.classroom.lesson_houses import LessonHouse, lesson_house
from retrofit_lab.classroom.lesson_texts import read_from_box
from retrofit_lab.classroom.lesson_units import SYSTEMS, unit_of
from retrofit_lab.classroom.lessons import Lesson, lesson_of
from retrofit_lab.classroom.typed_numbers import UnclearError, read_typed_number
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.refusals import in_language

MOST_LETTERS = 200


class LessonPage(ServedWidget):
    """One lesson as the browser sees it: what stays, and what opens step by step."""

    _esm = page_script(
        "connection.js", "say.js", "house.js", "lesson_parts.js", "lesson_steps.js", "class_view.js",
        "lesson.js",
    )  # fmt: skip
    _css = page_style("lesson.css")
    page = traitlets.Dict().tag(sync=True)
    later = traitlets.Dict().tag(sync=True)
    revealed = traitlets.Dict().tag(sync=True)
    explored = traitlets.Dict().tag(sync=True)
    marked = traitlets.Dict().tag(sync=True)
    group = traitlets.Dict().tag(sync=True)
    class_view = traitlets.Dict().tag(sync=True)
    student = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)

    def __init__(
        self, number: int, box: GuessBox | None = None, where: LessonHouse | None = None
    ) -> None:
        super().__init__()
        self.turn = 0
        self.state = LessonState(lesson_of(number), box or class_box(number), where)
        self.page = page_content(self.state)
        self.on_msg(self._on_message)

    def failed(self) -> None:
        """Say on the page that something failed, and keep what it showed."""
        self.said = {"problem": self.state.told.say("said.failed"), "turn": self.turn}

    @guarded(lambda page: page.failed())
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        kind = content.get("kind") if isinstance(content, dict) else None
        if kind == "library":
            self.send_library()
            return
        if kind in QUIET:
            # a page that looks now and then says nothing, and takes no sentence away
            with self.hold_sync():
                self._do(kind, content)
            return
        self.turn += 1
        with self.hold_sync():
            self.said = {"problem": self._do(kind, content), "turn": self.turn}

    def _do(self, kind: Any, content: Any) -> str:
        """Do what was asked; what was wrong about it in words, or nothing."""
        action, state = _ACTIONS.get(kind) if isinstance(kind, str) else None, self.state
        if action is None:
            return ""
        if kind in (*AFTER_THE_GUESS, *AFTER_THE_ANSWER) and not state.opened:
            return state.told.say("said.first_guess")
        if kind in AFTER_THE_ANSWER and not state.revealed:
            return state.told.say("said.first_try")
        if kind in FOR_THE_TRAINER and not state.trainer:
            return str(class_words()["not_trainer"])
        return action(self, content)

    def _guess(self, content: Any) -> str:
        # another tab of this browser may have guessed, or the trainer begun anew
        self._follow({})
        if not self.state.take_guess(self._in_trade(content.get("guess"))):
            low, high = guess_bounds(self.state.told)
            return self.state.told.say("said.refuse_guess", low=f"{low:,g}", high=f"{high:,g}")
        self._show()
        return ""

    def _hello(self, content: Any) -> str:
        """Know a browser again, however the page came to be opened."""
        self.state.meet(voter_of(content.get("voter")))
        self._show()
        return ""

    def _follow(self, _content: Any) -> str:
        """Go on with the class."""
        if self.state.follow():
            self.later = self.revealed = self.explored = self.marked = self.group = {}
        self._show()
        return ""

    def _in_trade(self, sent: Any) -> float | None:
        """A guess, as it was typed or as a number, in the unit of the trade; nothing where it is no number."""
        if isinstance(sent, str):
            sent = _typed(sent[:MOST_LETTERS])
        if not _is_number(sent):
            return None
        guess, (low, high) = self.state.lesson.guess, guess_bounds(self.state.told)
        if not low <= sent <= high:
            return None
        value = unit_of(guess.unit).read(float(sent), self.state.system)
        return min(max(value, guess.low), guess.high)

    def _watch(self, _content: Any) -> str:
        if not self.state.open_without_guess():
            return str(class_words()["not_trainer"])
        self._show()
        return ""

    def _answer_now(self, _content: Any) -> str:
        self.state.open_answer()
        self._show()
        return ""

    def _show(self, *, again: bool = False) -> None:
        """Show what is open by now, once or in other words again, and where the class is."""
        state = self.state
        if state.opened and (again or not self.later or (state.revealed and not self.revealed)):
            self.later = later_content(state)
            if state.lesson.puzzle and not self.explored:
                self.explored = explored_content(state, "", "")
        if state.revealed and (again or not self.revealed):
            self.revealed = revealed_content(state)
        if state.box.open:
            self.student = student_content(state)

    def _explore(self, content: Any) -> str:
        state, values = self.state, dict(self.state.values)
        sent, said = (content.get(name) for name in ("values", "said"))
        problem, changed = self._take_boxes(sent if isinstance(sent, dict) else {}, values)
        way = said.get(changed) if isinstance(said, dict) else None
        if not problem and changed and not state.lesson.puzzle and way not in DIRECTIONS:
            problem = state.told.say("said.refuse_direction", box=label_of_box(state, changed))
        if problem:
            return problem
        try:
            state.explore(values)
        except InputError as error:
            return in_language(error, state.told.language)
        self.explored = explored_content(state, changed, way if way in DIRECTIONS else "")
        self._show()
        return ""

    def _take_boxes(self, sent: Mapping[str, Any], values: dict[str, float]) -> tuple[str, str]:
        """Take what a page sent into the values; what is wrong, and the first box that changed."""
        changed = ""
        fields = {field.name: field for field in boxes(self.state)}
        for box in self.state.lesson.boxes:
            value, field = sent.get(box.name, fields[box.name].value), fields[box.name]
            if not _is_number(value) or not field.low <= value <= field.high:
                bounds = {"low": f"{field.low:,g}", "high": f"{field.high:,g}"}
                return self.state.told.say("said.refuse_box", box=field.label, **bounds), ""
            now = values[box.name]
            new = read_from_box(float(value), box.unit, self.state.system, now)
            values[box.name] = min(max(new, box.low), box.high)
            if abs(new - now) > 1e-9 and not changed:
                changed = box.name
        return "", changed

    def _answer(self, content: Any) -> str:
        self.state.answer(str(content.get("text", ""))[:MOST_LETTERS])
        self.marked = {**marked_content(self.state), "turn": self.turn}
        return ""

    def _group(self, _content: Any) -> str:
        self.group = {**group_content(self.state, answer=True), "turn": self.turn}
        return ""

    def _tell(self, content: Any) -> str:
        """Say everything in another language or other units."""
        state, wanted = self.state, (content.get("language"), content.get("system"))
        if wanted[0] in LANGUAGES:
            state.language = wanted[0]
        if wanted[1] in SYSTEMS:
            state.system = wanted[1]
        self._show(again=True)
        if self.explored:
            self.explored = explored_content(state, "", "")
        self.marked = {}
        self.page = {**page_content(state), "turn": self.turn}
        return ""

    def _trainer(self, content: Any) -> str:
        if not is_trainers(content.get("word")):
            return str(class_words()["not_trainer"])
        self.state.trainer = True
        return self._class({})

    def _class(self, content: Any) -> str:
        self.class_view = class_content(
            self.state, content.get("show"), wall=content.get("wall") is True
        )
        return ""

    def _stage(self, content: Any) -> str:
        self.state.box.go_to(str(content.get("stage")))
        return self._class(content)

    def _empty(self, content: Any) -> str:
        self.state.box.empty()
        self._follow({})
        return self._class({"wall": content.get("wall")})


LARGEST = 1e300
"""Beyond any number of a lesson; what is not smaller is no number, nor is what cannot be compared."""
DIRECTIONS = ("up", "down", "same")
AFTER_THE_GUESS = ("explore", "group", "answer_now")
AFTER_THE_ANSWER = ("answer",)
QUIET = ("hello", "follow")
FOR_THE_TRAINER = ("watch", "class", "stage", "empty")
_ACTIONS: Mapping[str, Callable[[LessonPage, Any], str]] = {
    "guess": LessonPage._guess,
    "hello": LessonPage._hello,
    "follow": LessonPage._follow,
    "watch": LessonPage._watch,
    "answer_now": LessonPage._answer_now,
    "explore": LessonPage._explore,
    "answer": LessonPage._answer,
    "group": LessonPage._group,
    "tell": LessonPage._tell,
    "trainer": LessonPage._trainer,
    "class": LessonPage._class,
    "stage": LessonPage._stage,
    "empty": LessonPage._empty,
}
"""What a page may ask for."""


def label_of_box(state: LessonState, name: str) -> str:
    """What a box is called on the page."""
    return next(field.label for field in boxes(state) if field.name == name)


def _is_number(value: Any) -> TypeGuard[float]:
    """Whether a page sent a finite number; a whole number may be too large to be one here."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return -LARGEST < value < LARGEST


def _typed(text: str) -> float | None:
    try:
        return read_typed_number(text)
    except UnclearError:
        return None


def show(number: int) -> LessonPage:
    """The page of a lesson, with the house, place and prices that the page server names."""
    lesson = lesson_of(number)
    page = LessonPage(number, where=_served_house(lesson))
    language = os.environ.get(LANGUAGE_VARIABLE, "")
    if language in LANGUAGES[1:]:
        page._tell({"language": language})
    return page


def _served_house(lesson: Lesson) -> LessonHouse | None:
    """House of one's own in a place of one's own, or None for the lesson's house as it is shipped."""
    own = bool(os.environ.get(LESSON_HOUSE_VARIABLE))
    house = os.environ.get(HOUSE_VARIABLE, "") if own else ""
    place, prices = (os.environ.get(name, "") for name in (PLACE_VARIABLE, PRICES_VARIABLE))
    if not (house or place or prices):
        return None
    return lesson_house(lesson.house, house=house, place=place, prices=prices)
