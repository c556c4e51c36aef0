"""The form as one widget: takes what the browser sends, changes the state, shows what follows; no texts of its own."""

import os
import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.scripts import STATIC, together
from retrofit_lab.app.shared.surroundings import FOLDER_VARIABLE, HOUSE_VARIABLE
from retrofit_lab.app.walk import wording
from retrofit_lab.app.walk.content import door_content, walk_content
from retrofit_lab.app.walk.places import places_content
from retrofit_lab.app.walk.route import asked, stop_named, stops
from retrofit_lab.app.walk.state import WalkthroughState
from retrofit_lab.base.units import registry
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillQuestion
from retrofit_lab.house.checking import HouseError

MOST_LETTERS = 5000
MOST_ANSWERS = 50


def report_failure(form: "Walkthrough") -> None:
    """Say on the form that something failed, and keep what it showed."""
    form.said = {"text": wording.FAILED, "wrong": True, "turn": form.turn}


class Walkthrough(anywidget.AnyWidget):
    """The form as the browser sees it: the door, the present stop, and what was said last."""

    _esm = together("place_box.js", "walkthrough.js")
    _css = STATIC / "walkthrough.css"
    door = traitlets.Dict().tag(sync=True)
    walk = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)
    places = traitlets.Dict().tag(sync=True)

    def __init__(self, folder: str | Path = ".", house: str | Path | None = None) -> None:
        super().__init__()
        self.state = WalkthroughState(folder)
        self.turn = 0
        self.door = door_content(self.state.folder)
        if house is not None:
            self._do({"kind": "open", "file": str(house)})
        self.on_msg(self._on_message)

    @guarded(report_failure)
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        if isinstance(content, dict) and content.get("kind") == "places":
            self.places = places_content(str(content.get("text", ""))[:MOST_LETTERS])
            return
        self.turn += 1
        if isinstance(content, dict):
            self._do(content)

    def _do(self, message: Mapping[str, Any]) -> None:
        act = ACTS.get(str(message.get("kind", "")))
        try:
            text = act(self.state, message) if act else wording.UNKNOWN
            wrong = act is None
        except BillQuestion as question:
            choices = [[question.key, *choice] for choice in question.choices]
            self._show(str(question), True, choices)
            return
        except InputError as error:
            text, wrong = str(error), True
        self._show(text, wrong)

    def _show(self, text: str, wrong: bool, choices: Sequence[Sequence[str]] = ()) -> None:
        with self.hold_sync():
            self.walk = walk_content(self.state)
            self.said = {"text": text, "wrong": wrong, "turn": self.turn, "choices": list(choices)}


def _text(message: Mapping[str, Any], name: str) -> str:
    value = message.get(name, "")
    if not isinstance(value, str) or len(value) > MOST_LETTERS:
        raise HouseError(f"{name}: text of at most {MOST_LETTERS} letters is needed.")
    return value


def _begin(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    given = message.get("answers")
    if not isinstance(given, dict) or len(given) > MOST_ANSWERS:
        raise HouseError("the answers did not arrive. Try again.")
    answers = {str(key): str(value)[:MOST_LETTERS] for key, value in given.items()}
    state.begin(answers, _text(message, "file"))
    return wording.began(state.open_path.name)


def _open(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    name = _text(message, "file")
    if not name.strip():
        raise HouseError("which file? Choose one of the list or type its name.")
    state.open(name)
    return wording.opened(state.open_path.name)


def _answer(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    path = _text(message, "path")
    state.answer(path, _text(message, "text"))
    return _refusal(state, path)


def _choose(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    path = _text(message, "path")
    state.choose(path, _text(message, "word"))
    return _refusal(state, path)


def _observe(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    word = _text(message, "word")
    state.note(word, message.get("seen") is True)
    return _refusal(state, f"observations.{word}")


def _refusal(state: WalkthroughState, path: str) -> str:
    return state.refused[path][1] if path in state.refused else ""


def _add(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    path = state.add(_text(message, "list"), _text(message, "name"))
    return wording.added(path.rpartition(".")[2].replace("_", " "))


def _confirm(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    path = _text(message, "path")
    stop = stop_named(state.here) or stops()[0]
    state.confirm(p for p in asked(state.open_house, stop) if p.rpartition(".")[0] == path)
    return ""


def _remove(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    path = _text(message, "path")
    state.remove(path)
    return wording.removed(path.rpartition(".")[2].replace("_", " "))


def _go(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    state.go(_text(message, "stop"))
    return ""


def _back(state: WalkthroughState, _message: Mapping[str, Any]) -> str:
    return wording.BACK if state.step_back() else wording.NOTHING_BACK


def _save(state: WalkthroughState, _message: Mapping[str, Any]) -> str:
    if state.problems:
        raise HouseError("\n".join((wording.NOT_SAVED, *state.problems)))
    version = state.save()
    return wording.saved(state.open_path.name, version.name if version else "")


def _keep_bills(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    rows = message.get("rows")
    if not isinstance(rows, list) or not all(isinstance(row, list) for row in rows):
        raise HouseError("the rows did not arrive. Try again.")
    given = message.get("answers")
    answers = given if isinstance(given, dict) and len(given) <= MOST_ANSWERS else {}
    bills = state.keep_bills(rows, {str(key): str(choice) for key, choice in answers.items()})
    return wording.bills_kept(bills.read, [p.sentence for p in bills.problems])


def _report(state: WalkthroughState, _message: Mapping[str, Any]) -> str:
    if state.unsaved:
        raise HouseError(wording.SAVE_FIRST)
    page = state.write_report()
    return wording.report_written(f"{page.parent.name}/{page.name}")


def _attach(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    state.attach(_text(message, "file"), _text(message, "note"))
    return ""


def _detach(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    place = message.get("place")
    if isinstance(place, int):
        state.detach(place)
    return ""


def _draft(state: WalkthroughState, message: Mapping[str, Any]) -> str:
    if message.get("take") is True:
        state.take_draft()
    else:
        state.leave_draft()
    return ""


ACTS: Mapping[str, Callable[[WalkthroughState, Mapping[str, Any]], str]] = {
    "begin": _begin,
    "open": _open,
    "answer": _answer,
    "choose": _choose,
    "observe": _observe,
    "add": _add,
    "confirm": _confirm,
    "remove": _remove,
    "go": _go,
    "back": _back,
    "save": _save,
    "bills": _keep_bills,
    "report": _report,
    "attach": _attach,
    "detach": _detach,
    "draft": _draft,
}


def show() -> Walkthrough:
    """The form in the folder and with the house that the command named, or in this folder with none."""
    # the first unit that is not the plain one would wait a second for the registry
    threading.Thread(target=registry, daemon=True).start()
    house = os.environ.get(HOUSE_VARIABLE) or None
    folder = os.environ.get(FOLDER_VARIABLE) or (Path(house).parent if house else ".")
    return Walkthrough(folder, house)
