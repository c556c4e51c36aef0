"""The kitchen-table page: one widget that shows a study's results and takes picks; no numbers of its own.

The browser owns ``ticked``, ``units``, ``language`` and ``anyway``; what it sends for any other trait is not taken.
"""

import os
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from retrofit_lab.app.page.kept_plans import (
    KeepingError,
)
from retrofit_lab.app.page.messages import ACTIONS, tell, tick
from retrofit_lab.app.page.told import PAGE
from retrofit_lab.app.page.view import SCRIPT, STYLE, PageView, ReportMaker
from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.surroundings import (
    BILLS_VARIABLE,
    HOUSE_VARIABLE,
    LANGUAGE_VARIABLE,
    PRICES_VARIABLE,
)
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.study.opening import open_study
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES
from retrofit_lab.texts.refusals import in_language

EXAMPLE = "alder_street"


class KitchenTable(PageView):
    """The page that takes picks and messages."""

    def __init__(
        self, study: Study, language: str = LANGUAGES[0], maker: ReportMaker | None = None
    ) -> None:
        super().__init__(study, language, maker)
        tell(self)
        self.observe(self._on_ticked, names="ticked")
        self.observe(self._on_telling, names=["units", "language"])
        self.observe(self._on_anyway, names="anyway")
        self.on_msg(self._on_message)

    @guarded(lambda page: page.failed())
    def _on_ticked(self, change: Any) -> None:
        sent = change["new"] if isinstance(change["new"], list) else [None]
        if tuple(sent) != self.state.ticked:
            tick(self, sent)

    @guarded(lambda page: page.failed())
    def _on_telling(self, change: Any) -> None:
        name, wanted, state = change["name"], change["new"], self.state
        if wanted == getattr(state, name):
            return
        if (
            not isinstance(wanted, str)
            or wanted not in {"units": SYSTEMS, "language": LANGUAGES}[name]
        ):
            self.set_trait(name, getattr(state, name))
            self.say("note.not_understood", problem=True)
            return
        setattr(state, name, wanted)
        tell(self)

    @guarded(lambda page: page.failed())
    def _on_anyway(self, change: Any) -> None:
        if change["new"] == list(self.state.anyway):
            return
        whole = self.state.replace_anyway(change["new"])
        self.count()
        tell(self)
        names = [text for path, text in self.page["anyway"] if path in self.state.anyway]
        if not whole:
            self.say("note.not_understood", problem=True)
        elif names:
            self.say("note.anyway", names="; ".join(names))
        else:
            self.say("note.anyway_none")

    @guarded(lambda page: page.failed())
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        kind = content.get("kind") if isinstance(content, dict) else None
        action = ACTIONS.get(kind) if isinstance(kind, str) else None
        if action is None:
            return
        try:
            action(self, content)
        except KeepingError as error:
            self.say(f"kept.{error.key}", problem=True, **error.blanks)
        except InputError as error:
            self.put(in_language(error, self.state.language), problem=True)


class ProblemPage(anywidget.AnyWidget):
    """The page when the house cannot be shown: the same sentences that the command line prints."""

    _esm = SCRIPT
    _css = STYLE
    page = traitlets.Dict().tag(sync=True)

    def __init__(self, problem: str, language: str = LANGUAGES[0]) -> None:
        super().__init__()
        texts = dict(words(language, page=PAGE).texts["client"])
        self.page = {"problem": problem, "texts": texts, "language": language}


def house_path() -> Path:
    """House file that the server was started with, or the example."""
    return Path(os.environ.get(HOUSE_VARIABLE) or data_path("houses", f"{EXAMPLE}.toml"))


def page_language() -> str:
    """Language that the server was started with; the first one where it names none of ours."""
    wanted = os.environ.get(LANGUAGE_VARIABLE, "")
    return wanted if wanted in LANGUAGES else LANGUAGES[0]


def show(maker: ReportMaker | None = None) -> anywidget.AnyWidget:
    """The page of the house that the server was started with, or a page that says what is wrong.

    ``maker`` makes the report of a plan, where the page hands reports out.
    """
    bills, prices = (os.environ.get(name, "") for name in (BILLS_VARIABLE, PRICES_VARIABLE))
    try:
        study = open_study(house_path(), bills=BillFiles.of_text(bills), prices=prices)
        return KitchenTable(study, page_language(), maker)
    except InputError as error:
        return ProblemPage(in_language(error, page_language()), page_language())
