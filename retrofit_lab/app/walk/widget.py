"""The form as one widget: takes what the browser sends, changes the state, shows what follows; no texts of its own."""

import os
import threading
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

import traitlets

from retrofit_lab.app.page.background import Afterwards, Piece
from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.scripts import STATIC, page_script
from retrofit_lab.app.shared.served_widget import ServedWidget
from retrofit_lab.app.shared.surroundings import FOLDER_VARIABLE, HOUSE_VARIABLE, LANGUAGE_VARIABLE
from retrofit_lab.app.walk import acts
from retrofit_lab.app.walk.ahead import Ahead, ahead_content, ahead_of
from retrofit_lab.app.walk.content import door_content, walk_content, whole_content
from retrofit_lab.app.walk.drawn_house import drawn_content
from retrofit_lab.app.walk.places import places_content
from retrofit_lab.app.walk.route import asked, stop_named, stops
from retrofit_lab.app.walk.state import NotWrittenError, WalkthroughState
from retrofit_lab.app.walk.wording import WalkWords, walk_words
from retrofit_lab.base.units import registry
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillQuestion
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.paths import number_at
from retrofit_lab.texts import LANGUAGES

MOST_LETTERS = 5000
MOST_ANSWERS = 50
MOST_MESSAGE = 12_000_000
"""A picture and a grid of bills are the longest that a browser sends. [letters]"""


SCRIPTS = (
    "say.js", "connection.js", "walk_parts.js", "walk_kept.js", "walk_agreed.js", "walk_ahead.js",
    "walk_picture.js", "house.js", "walk_house.js", "place_box.js", "walkthrough.js",
)  # fmt: skip


class Walkthrough(ServedWidget):
    """The form as the browser sees it: the door, the present stop, and what was said last.

    Each message has a name; ``said`` gives back the names of those that are done, so that the browser can
    forget them. What it did not hear of it sends again, and what is known already is done once.
    """

    _esm = page_script(*SCRIPTS)
    _css = STATIC / "walkthrough.css"
    browser_owns = ("language",)
    language = traitlets.Any(LANGUAGES[0]).tag(sync=True)
    door = traitlets.Dict().tag(sync=True)
    walk = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)
    places = traitlets.Dict().tag(sync=True)
    ahead = traitlets.Dict().tag(sync=True)
    whole = traitlets.Dict().tag(sync=True)
    drawn = traitlets.Dict().tag(sync=True)
    bills: traitlets.List[list[str]] = traitlets.List().tag(sync=True)

    def __init__(
        self,
        folder: str | Path = ".",
        house: str | Path | None = None,
        language: str = LANGUAGES[0],
    ) -> None:
        super().__init__()
        self.language = language
        self.state = WalkthroughState(folder)
        self.turn = 0
        self._afterwards = Afterwards(lambda: None)
        self._known: Ahead | None = None
        self.door = door_content(self.state.folder, self.told)
        if house is not None:
            self._do({"kind": "open", "file": str(house)})
        self.on_msg(self._on_message)
        self.observe(self._on_language, names="language")

    @property
    def told(self) -> WalkWords:
        """Words in the chosen language; those of the first one where it is none of ours."""
        return walk_words(str(self.language))

    @guarded(lambda form: form.failed())
    def _on_language(self, _change: Any) -> None:
        """Say everything in the chosen language."""
        with self.hold_sync():
            self.door = door_content(self.state.folder, self.told)
            self.walk = walk_content(self.state, self.told)
            self.drawn = drawn_content(self.state.house, self.told)
            self.ahead = ahead_content(self._known, self.told)
            self.turn += 1
            self.said = {**self.said, "text": "", "wrong": False, "turn": self.turn}

    def failed(self) -> None:
        """Say on the form that something failed, and keep what it showed."""
        self.said = {
            "text": self.told.say("said.failed"),
            "wrong": True,
            "turn": self.turn,
            "done": [],
        }

    @guarded(lambda form: form.failed())
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        if not isinstance(content, dict):
            return
        if content.get("kind") == "places":
            self.places = places_content(str(content.get("text", ""))[:MOST_LETTERS], self.told)
            return
        if content.get("kind") == "look":
            self._look()
            return
        if content.get("kind") == "ahead":
            self._look_ahead()
            return
        if content.get("kind") == "whole":
            self.whole = whole_content(self.state, self.told)
            return
        self.turn += 1
        self._do(content)

    def _look(self) -> None:
        """Answer that the form is there, and show what changed elsewhere."""
        if self.state.path is not None:
            try:
                self.state.look()
            except InputError as error:
                self._show(self.told.refusal(error), True, unwritten=True)
                return
        if self.state.elsewhere:
            self._show("", False)
        else:
            self.said = {**self.said, "pulse": self.said.get("pulse", 0) + 1}

    def _look_ahead(self) -> None:
        """Work out beside the form where the house stands and what to ask next."""
        house, folder = self.state.house, self.state.beside
        if house is not None:
            piece = Piece(work=lambda: ahead_of(house, folder), show=self._show_ahead)
            self._afterwards.begin({"ahead": piece})

    def _show_ahead(self, known: Ahead | None) -> None:
        self._known = known
        self.ahead = ahead_content(known, self.told)

    def _do(self, message: Mapping[str, Any]) -> None:
        done = [str(message["id"])] if isinstance(message.get("id"), str) else []
        try:
            text, wrong = self._act(message), False
        except BillQuestion as question:
            choices = [
                [question.key, choice, self.told.refusal(words)]
                for choice, words in question.choices
            ]
            self._show(self.told.refusal(question), True, choices, done)
            return
        except NotWrittenError as error:
            self._show(self.told.refusal(error), True, unwritten=True)
            return
        except InputError as error:
            text, wrong = self.told.refusal(error), True
        self._show(text, wrong, (), done)

    def _act(self, message: Mapping[str, Any]) -> str:
        kind = str(message.get("kind", ""))
        act = ACTS.get(kind)
        if act is None:
            raise InputError(self.told.say("said.unknown"))
        if kind not in CHANGES or self.state.path is None:
            text = act(self.state, message, self.told)
            if kind in OPENING:
                self.bills = acts.typed_bills(self.state)
                self._show_ahead(None)
            if kind == "open":
                self._do_what_is_left()
            return text
        if len(str(message)) > MOST_MESSAGE:
            raise InputError(self.told.say("said.too_long"))
        if kind == "answer":
            # as it is read, so that the journal says the same in every language
            message = {**message, "text": self.told.typed(_text(message, "text"))}
        kept = {name: value for name, value in message.items() if name != "picture"}
        with self.state.acting({**kept, "stop": self.state.here}) as still_to_do:
            return act(self.state, message, self.told) if still_to_do else ""

    def _do_what_is_left(self) -> None:
        """Do what a session that ended early took down but did not write."""
        for entry in acts.left_over(self.state):
            with self.state.acting(entry.act, anew=False):
                act = CHANGES.get(str(entry.act.get("kind", "")))
                # the answer was refused then as well
                with suppress(InputError):
                    act(self.state, entry.act, self.told) if act else None

    def _show(
        self,
        text: str,
        wrong: bool,
        choices: Sequence[Sequence[str]] = (),
        done: Sequence[str] = (),
        *,
        unwritten: bool = False,
    ) -> None:
        """Show the house, and what is said; ``unwritten`` offers another folder."""
        with self.hold_sync():
            self.walk = walk_content(self.state, self.told)
            self.drawn = drawn_content(self.state.house, self.told)
            self.state.elsewhere = ()
            self.said = {
                "text": text,
                "wrong": wrong,
                "turn": self.turn,
                "choices": list(choices),
                "done": list(done),
                "unwritten": unwritten,
            }


def _text(message: Mapping[str, Any], name: str) -> str:
    value = message.get(name, "")
    if not isinstance(value, str) or len(value) > MOST_LETTERS:
        raise HouseError(walk_words().say("said.too_long"))
    return value


def _begin(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    given = message.get("answers")
    if not isinstance(given, dict) or len(given) > MOST_ANSWERS:
        raise HouseError(told.say("said.not_arrived"))
    answers = {str(key): str(value)[:MOST_LETTERS] for key, value in given.items()}
    acts.begin(state, answers, _text(message, "file"))
    return told.say("said.began", file=state.open_path.name)


def _open(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    name = _text(message, "file")
    if not name.strip():
        raise HouseError(told.say("said.which_file"))
    acts.open_file(state, name)
    return told.say("said.opened", file=state.open_path.name)


def _answer(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    path = _text(message, "path")
    acts.answer(state, path, _text(message, "text"))
    return _refusal(state, path, told)


def _choose(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    path = _text(message, "path")
    acts.choose(state, path, _text(message, "word"))
    return _refusal(state, path, told)


def _observe(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    word = _text(message, "word")
    acts.note(state, word, message.get("seen") is True)
    return _refusal(state, f"observations.{word}", told)


def _refusal(state: WalkthroughState, path: str, told: WalkWords) -> str:
    return told.refusal(state.refused[path][1]) if path in state.refused else ""


def _add(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    path = acts.add(state, _text(message, "list"), _text(message, "name"))
    return told.say("said.added", part=told.part(_part_name(state, path)))


def _part_name(state: WalkthroughState, path: str) -> str:
    """What a part is called, or its key where it has no name."""
    try:
        record: Any = number_at(state.open_house, path)
    except InputError:
        record = None
    return str(getattr(record, "label", "")) or path.rpartition(".")[2].replace("_", " ")


def _confirm(state: WalkthroughState, message: Mapping[str, Any], _told: WalkWords) -> str:
    path = _text(message, "path")
    stop = stop_named(state.here) or stops()[0]
    here = asked(state.open_house, stop)
    acts.confirm(state, [p for p in here if p.rpartition(".")[0] == path])
    return ""


def _remove(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    path = _text(message, "path")
    name = _part_name(state, path)
    acts.remove(state, path)
    return told.say("said.removed", part=told.part(name))


def _copy(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    path = acts.copy(state, _text(message, "path"))
    return told.say("said.added", part=told.part(_part_name(state, path)))


def _same(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    acts.same_windows(state, _text(message, "path"))
    return told.say("said.same_windows")


def _agree(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    text = message.get("text", "")
    acts.agree(state, acts.plan_beside(state) if message.get("beside") is True else str(text))
    plan = state.open_house.job.plan
    return told.say("said.agreed", count=len(plan)) if plan else told.say("said.no_plan")


def _go(state: WalkthroughState, message: Mapping[str, Any], _told: WalkWords) -> str:
    acts.go(state, _text(message, "stop"))
    return ""


def _back(state: WalkthroughState, _message: Mapping[str, Any], told: WalkWords) -> str:
    return told.say("said.back" if state.step_back() else "said.nothing_back")


def _forward(state: WalkthroughState, _message: Mapping[str, Any], told: WalkWords) -> str:
    return told.say("said.forward" if state.step_forward() else "said.nothing_forward")


def _elsewhere(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    return told.say("said.goes_on", file=acts.save_as(state, _text(message, "folder")))


def _keep_bills(state: WalkthroughState, message: Mapping[str, Any], told: WalkWords) -> str:
    rows = message.get("rows")
    if not isinstance(rows, list) or not all(isinstance(row, list) for row in rows):
        raise HouseError(told.say("said.not_arrived"))
    given = message.get("answers")
    answers = given if isinstance(given, dict) and len(given) <= MOST_ANSWERS else {}
    bills = acts.keep_bills(state, rows, {str(key): str(choice) for key, choice in answers.items()})
    return told.bills_kept(bills.read, [p.sentence for p in bills.problems])


def _report(state: WalkthroughState, _message: Mapping[str, Any], told: WalkWords) -> str:
    if state.unsaved:
        raise HouseError(told.say("said.fits_first"))
    page = acts.write_report(state)
    return told.say("said.report", file=f"{page.parent.name}/{page.name}")


def _attach(state: WalkthroughState, message: Mapping[str, Any], _told: WalkWords) -> str:
    acts.attach(state, _text(message, "file"), _text(message, "note"))
    return ""


def _picture(state: WalkthroughState, message: Mapping[str, Any], _told: WalkWords) -> str:
    acts.take_picture(state, message.get("picture"), _text(message, "name"), _text(message, "note"))
    return ""


def _detach(state: WalkthroughState, message: Mapping[str, Any], _told: WalkWords) -> str:
    place = message.get("place")
    if isinstance(place, int):
        acts.detach(state, place)
    return ""


Act = Callable[[WalkthroughState, Mapping[str, Any], WalkWords], str]
CHANGES: Mapping[str, Act] = {
    "answer": _answer,
    "choose": _choose,
    "observe": _observe,
    "add": _add,
    "confirm": _confirm,
    "remove": _remove,
    "copy": _copy,
    "same": _same,
    "agree": _agree,
    "back": _back,
    "forward": _forward,
    "bills": _keep_bills,
    "attach": _attach,
    "picture": _picture,
    "detach": _detach,
}
"""What changes the house or what lies beside it: in the journal before it is done."""
OPENING = ("begin", "open")
ACTS: Mapping[str, Act] = {
    "begin": _begin,
    "open": _open,
    "go": _go,
    "report": _report,
    "elsewhere": _elsewhere,
    **CHANGES,
}


def show() -> Walkthrough:
    """The form in the folder and with the house that the command named, or in this folder with none."""
    # the first unit that is not the plain one would wait a second for the registry
    threading.Thread(target=registry, daemon=True).start()
    house = os.environ.get(HOUSE_VARIABLE) or None
    folder = os.environ.get(FOLDER_VARIABLE) or (Path(house).parent if house else ".")
    return Walkthrough(folder, house, os.environ.get(LANGUAGE_VARIABLE) or LANGUAGES[0])
