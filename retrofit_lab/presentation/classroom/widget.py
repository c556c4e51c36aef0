"""The lesson page as one widget: takes what the browser sends, changes the state, shows what follows."""

from typing import Any

import traitlets

from retrofit_lab.classroom.lessons import lesson_of
from retrofit_lab.presentation.classroom import wording
from retrofit_lab.presentation.classroom.content import (
    boxes,
    explored_content,
    group_content,
    marked_content,
    page_content,
    revealed_content,
)
from retrofit_lab.presentation.classroom.guess_box import GuessBox, class_box
from retrofit_lab.presentation.classroom.state import LessonState
from retrofit_lab.presentation.guard import guarded
from retrofit_lab.presentation.kitchen_table import CHART_LIBRARY
from retrofit_lab.presentation.panels import checked_numbers
from retrofit_lab.presentation.scripts import page_script, page_style
from retrofit_lab.presentation.served_widget import ServedWidget
from retrofit_lab.values import InputError

MOST_LETTERS = 200


class LessonPage(ServedWidget):
    """One lesson as the browser sees it: what stays, and what opens step by step."""

    _esm = page_script("connection.js", "lesson.js")
    _css = page_style("kitchen_table.css", "lesson.css")
    page = traitlets.Dict().tag(sync=True)
    revealed = traitlets.Dict().tag(sync=True)
    explored = traitlets.Dict().tag(sync=True)
    marked = traitlets.Dict().tag(sync=True)
    group = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)

    def __init__(self, number: int, box: GuessBox | None = None) -> None:
        super().__init__()
        self.turn = 0
        lesson = lesson_of(number)
        self.box = box or class_box(number)
        self.state = LessonState(lesson, self.box)
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
        self.turn += 1
        with self.hold_sync():
            self.said = {"problem": self._do(kind, content), "turn": self.turn}

    def _do(self, kind: Any, content: Any) -> str:
        """Do what was asked; what was wrong about it in words, or nothing."""
        state = self.state
        if kind == "guess" and not state.take_guess(content.get("guess")):
            return wording.refused_guess(state.lesson.predict.low, state.lesson.predict.high)
        if kind == "watch":
            state.open_without_guess()
        if kind in ("guess", "watch"):
            self.revealed = revealed_content(state)
        elif kind == "explore":
            return self._explore(content.get("values"))
        elif kind == "answer":
            state.answer(str(content.get("text", ""))[:MOST_LETTERS])
            self.marked = {**marked_content(state), "turn": self.turn}
        elif kind == "group":
            self.group = {**group_content(self.box, state), "turn": self.turn}
        return ""

    def _explore(self, sent: Any) -> str:
        lesson = self.state.lesson
        values = checked_numbers(boxes(lesson, self.state.values), sent)
        try:
            self.explored = explored_content(lesson, self.state.explore(values), values)
        except InputError as error:
            return str(error)
        return ""


def show(number: int) -> LessonPage:
    """The page of a lesson."""
    return LessonPage(number)
