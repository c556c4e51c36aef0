"""The lesson page as one widget: takes what the browser sends, changes the state, shows what follows."""

from collections.abc import Callable, Mapping
from typing import Any

import traitlets

from retrofit_lab.app.lesson import wording
from retrofit_lab.app.lesson.class_view import class_content, class_words, student_content
from retrofit_lab.app.lesson.content import (
    boxes,
    explored_content,
    group_content,
    later_content,
    marked_content,
    page_content,
    revealed_content,
)
from retrofit_lab.app.lesson.guess_box import GuessBox, class_box, voter_of
from retrofit_lab.app.lesson.state import LessonState
from retrofit_lab.app.lesson.trainer_word import is_trainers
from retrofit_lab.app.shared.fields import checked_numbers
from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.scripts import page_script, page_style
from retrofit_lab.app.shared.served_widget import ServedWidget
from retrofit_lab.app.shared.surroundings import CHART_LIBRARY
from retrofit_lab.base.values import InputError
from retrofit_lab.classroom.lessons import lesson_of

MOST_LETTERS = 200


class LessonPage(ServedWidget):
    """One lesson as the browser sees it: what stays, and what opens step by step."""

    _esm = page_script("connection.js", "lesson.js")
    _css = page_style("lesson_base.css", "lesson.css")
    page = traitlets.Dict().tag(sync=True)
    later = traitlets.Dict().tag(sync=True)
    revealed = traitlets.Dict().tag(sync=True)
    explored = traitlets.Dict().tag(sync=True)
    marked = traitlets.Dict().tag(sync=True)
    group = traitlets.Dict().tag(sync=True)
    class_view = traitlets.Dict().tag(sync=True)
    student = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)

    def __init__(self, number: int, box: GuessBox | None = None) -> None:
        super().__init__()
        self.turn = 0
        self.state = LessonState(lesson_of(number), box or class_box(number))
        self.page = page_content(self.state)
        self.on_msg(self._on_message)

    def failed(self) -> None:
        """Say on the page that something failed, and keep what it showed."""
        self.said = {"problem": wording.FAILED, "turn": self.turn}

    @guarded(lambda page: page.failed())
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        kind = content.get("kind") if isinstance(content, dict) else None
        if kind == "library":
            self.send({"kind": "library", "text": CHART_LIBRARY.read_text(encoding="utf-8")})
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
        action = _ACTIONS.get(kind) if isinstance(kind, str) else None
        if action is None:
            return ""
        if kind in AFTER_THE_GUESS and not self.state.revealed:
            return wording.FIRST_GUESS
        if kind in FOR_THE_TRAINER and not self.state.trainer:
            return str(class_words()["not_trainer"])
        return action(self, content)

    def _guess(self, content: Any) -> str:
        # another tab of this browser may have guessed, or the trainer begun anew
        self._follow({})
        if not self.state.take_guess(content.get("guess")):
            predict = self.state.lesson.predict
            return wording.refused_guess(predict.low, predict.high)
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

    def _show(self) -> None:
        """Show what is open by now, once, and where the class is."""
        if self.state.revealed and not self.revealed:
            self.later = later_content(self.state)
            self.revealed = revealed_content(self.state)
        if self.state.box.open:
            self.student = student_content(self.state)

    def _watch(self, _content: Any) -> str:
        if not self.state.open_without_guess():
            return str(class_words()["not_trainer"])
        self._show()
        return ""

    def _explore(self, content: Any) -> str:
        state = self.state
        values = checked_numbers(boxes(state.lesson, state.values), content.get("values"))
        try:
            self.explored = explored_content(state, state.explore(values))
        except InputError as error:
            return str(error)
        return ""

    def _answer(self, content: Any) -> str:
        self.state.answer(str(content.get("text", ""))[:MOST_LETTERS])
        self.marked = {**marked_content(self.state), "turn": self.turn}
        return ""

    def _group(self, _content: Any) -> str:
        self.group = {**group_content(self.state, answer=True), "turn": self.turn}
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


AFTER_THE_GUESS = ("explore", "answer", "group")
QUIET = ("hello", "follow")
FOR_THE_TRAINER = ("watch", "class", "stage", "empty")
_ACTIONS: Mapping[str, Callable[[LessonPage, Any], str]] = {
    "guess": LessonPage._guess,
    "hello": LessonPage._hello,
    "follow": LessonPage._follow,
    "watch": LessonPage._watch,
    "explore": LessonPage._explore,
    "answer": LessonPage._answer,
    "group": LessonPage._group,
    "trainer": LessonPage._trainer,
    "class": LessonPage._class,
    "stage": LessonPage._stage,
    "empty": LessonPage._empty,
}
"""What a page may ask for."""


def show(number: int) -> LessonPage:
    """The page of a lesson."""
    return LessonPage(number)
