"""The kitchen-table page: one widget that shows a study's results and takes ticks; no numbers of its own.

The browser owns two traits, ``ticked`` and ``units``; what it sends for any other is not taken.
"""

import os
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from retrofit_lab.app.page.background import Afterwards, Piece
from retrofit_lab.app.page.comparison import comparison
from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.kept_plans import Scenarios, kept, removed, renamed, scenarios_from
from retrofit_lab.app.page.page_content import now_content, page_content
from retrofit_lab.app.page.panels import PANELS, Panel, answered, panel_named
from retrofit_lab.app.page.plan_file import choice_csv, choice_json, read_choice
from retrofit_lab.app.page.state import KitchenTableState
from retrofit_lab.app.shared import wording
from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.scripts import STATIC, page_script
from retrofit_lab.app.shared.served_widget import ServedWidget
from retrofit_lab.app.shared.shown_units import SYSTEMS, US, Telling
from retrofit_lab.app.shared.surroundings import (
    BILLS_VARIABLE,
    CHART_LIBRARY,
    HOUSE_VARIABLE,
    PRICES_VARIABLE,
)
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.opening import open_study
from retrofit_lab.study.study import Study

SCRIPT = page_script("connection.js", "section.js", "choices.js", "kitchen_table.js")
EXAMPLE = "alder_street"
FILES = {
    "json": ("retrofit-lab-choice.json", "application/json"),
    "csv": ("retrofit-lab-choice.csv", "text/csv;charset=utf-8"),
}


class KitchenTable(ServedWidget):
    """The page as the browser sees it: what stays, what changes with a tick, and what is ticked."""

    browser_owns = ("ticked", "units")
    _esm = SCRIPT
    _css = STATIC / "kitchen_table.css"
    page = traitlets.Dict().tag(sync=True)
    now = traitlets.Dict().tag(sync=True)
    drawing = traitlets.Dict().tag(sync=True)
    panels = traitlets.Dict().tag(sync=True)
    choices = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)
    sure = traitlets.Dict().tag(sync=True)
    ticked = traitlets.Any([]).tag(sync=True)
    units = traitlets.Any(US).tag(sync=True)

    def __init__(self, study: Study) -> None:
        super().__init__()
        self.advice = Advice(study)
        self._asked: dict[str, Any] = {}
        self._answers: dict[str, Any] = {}
        self._due: set[str] = set()
        self._turn = 0
        self._afterwards = Afterwards(self.failed)
        self.state = KitchenTableState(study)
        self.house = HouseDrawing(study)
        self.titles = {offer.key: offer.measure.title for offer in study.offers}
        self.page = {**page_content(study, self.house.parts), "drawing": self.house.shape()}
        self._show()
        self._compare()
        self.observe(self._on_ticked, names="ticked")
        self.observe(self._on_units, names="units")
        self.on_msg(self._on_message)

    def failed(self) -> None:
        """Say on the page that something failed, and keep what it showed."""
        self.say(wording.FAILED, problem=True)

    def say(self, text: str, *, problem: bool = False) -> None:
        """Show a sentence on the page; the turn lets the page see the same one again."""
        self._turn += 1
        self.said = {"text": text, "problem": problem, "turn": self._turn}

    @guarded(lambda page: page.failed())
    def _on_ticked(self, change: Any) -> None:
        sent = change["new"] if isinstance(change["new"], list) else [None]
        if tuple(sent) != self.state.ticked:
            self._tick(sent)

    def _tick(self, keys: list[Any]) -> None:
        newest = keys[-1] if keys and isinstance(keys[-1], str) else ""
        whole = self.state.choose(keys)
        problem = "" if whole else wording.UNKNOWN_TICKED
        if self.state.dropped:
            names = [self.titles[key] for key in self.state.dropped]
            problem = wording.conflict_note(self.titles.get(newest, ""), names)
        self._show(problem)
        after = {"ahead": self._ahead(), "sure": self._how_sure()}
        asked = (p for p in PANELS if p.key in self._asked and (p.of_ticks or p.key in self._due))
        self._afterwards.begin({**after, **{f"panel {p.key}": self._answer(p) for p in asked}})

    @guarded(lambda page: page.failed())
    def _on_units(self, change: Any) -> None:
        if change["new"] == self.state.units:
            return
        known = isinstance(change["new"], str) and change["new"] in SYSTEMS
        if not known:
            self.units = self.state.units
            self.say(wording.NOT_UNDERSTOOD, problem=True)
            return
        self.state.units = change["new"]
        self._show()
        self._compare()
        for key in self._asked:
            self._ask({"panel": key, "values": self._asked[key]})

    @guarded(lambda page: page.failed())
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        kind = content.get("kind") if isinstance(content, dict) else None
        action = _ACTIONS.get(kind) if isinstance(kind, str) else None
        if action is None:
            return
        try:
            action(self, content)
        except InputError as error:
            self.say(str(error), problem=True)

    def _send_library(self, _content: Any) -> None:
        self.send({"kind": "library", "text": CHART_LIBRARY.read_text(encoding="utf-8")})

    def _ask(self, content: Any) -> None:
        panel = panel_named(content.get("panel"))
        if panel:
            self._asked[panel.key] = content.get("values")
            self._afterwards.add({f"panel {panel.key}": self._answer(panel)})

    def _close(self, content: Any) -> None:
        panel = panel_named(content.get("panel"))
        if panel:
            self._asked.pop(panel.key, None)
            self._afterwards.drop(f"panel {panel.key}")

    def _ahead(self) -> Piece:
        """What the next tick will ask for, whichever it is."""
        study, ticked = self.state.study, self.state.ticked
        return Piece(work=lambda: study.energies.work_ahead(ticked), show=lambda _done: None)

    def _how_sure(self) -> Piece:
        """How sure the ticked set is."""
        ticked = self.state.ticked

        def work() -> dict[str, str]:
            return wording.sure_texts(self.advice.outcome(ticked)) if ticked else {}

        def show(texts: dict[str, str]) -> None:
            self.sure = {"ticked": list(ticked), **texts}

        return Piece(work=work, show=show)

    def _answer(self, panel: Panel) -> Piece:
        """The answer to a question of the page."""
        result, values = self.state.result, self._asked[panel.key]
        self._due.add(panel.key)
        telling = Telling(titles=self.titles, units=self.state.units)

        def show(content: dict[str, Any]) -> None:
            self._due.discard(panel.key)
            self._answers[panel.key] = content
            self.panels = dict(self._answers)

        return Piece(work=lambda: answered(panel, self.advice, result, values, telling), show=show)

    def _keep(self, content: Any) -> None:
        self._set_kept(kept(self.state.kept, content.get("name"), self.state.ticked))
        self.say(wording.kept_note(self.state.kept[-1].name))

    def _rename(self, content: Any) -> None:
        self._set_kept(renamed(self.state.kept, content.get("place"), content.get("name")))
        self.say(wording.renamed_note(self.state.kept[content["place"]].name))

    def _remove(self, content: Any) -> None:
        before = self.state.kept
        self._set_kept(removed(before, content.get("place")))
        self.say(wording.removed_note(before[content["place"]].name))

    def _take_link(self, content: Any) -> None:
        self._set_kept(scenarios_from(content.get("kept"), self.state.usable))

    def _download(self, content: Any) -> None:
        wanted = content.get("format")
        if not isinstance(wanted, str) or wanted not in FILES:
            raise InputError(wording.NOT_UNDERSTOOD)
        study, result = self.state.study, self.state.result
        text = (
            choice_csv(study, result)
            if wanted == "csv"
            else choice_json(study, result, self.state.kept)
        )
        name, kind = FILES[wanted]
        self.send({"kind": "file", "name": name, "type": kind, "text": text})

    def _open(self, content: Any) -> None:
        opened = read_choice(content.get("text"), self.state.study)
        self._set_kept(scenarios_from(opened.kept, self.state.usable))
        self._tick(list(opened.ticked))
        self.say(opened.message)

    def _set_kept(self, scenarios: Scenarios) -> None:
        self.state.kept = scenarios
        self._compare()

    def _show(self, problem: str = "") -> None:
        state = self.state
        with self.hold_sync():  # one message, so that the page is laid out once
            self.now = {**now_content(state.result, self.titles, state.units), "problem": problem}
            self.ticked = list(state.ticked)
            self.drawing = self.house.content(state.ticked, state.units)

    def _compare(self) -> None:
        self.choices = comparison(self.state.study, self.state.kept, self.state.units)


_ACTIONS = {
    "library": KitchenTable._send_library,
    "ask": KitchenTable._ask,
    "close": KitchenTable._close,
    "keep": KitchenTable._keep,
    "rename": KitchenTable._rename,
    "remove": KitchenTable._remove,
    "link": KitchenTable._take_link,
    "download": KitchenTable._download,
    "open": KitchenTable._open,
}
"""What a page may ask for, beside ticking and choosing units."""


class ProblemPage(anywidget.AnyWidget):
    """The page when the house cannot be shown: the same sentences that the command line prints."""

    _esm = SCRIPT
    _css = STATIC / "kitchen_table.css"
    page = traitlets.Dict().tag(sync=True)

    def __init__(self, problem: str) -> None:
        super().__init__()
        self.page = {"problem": problem}


def house_path() -> Path:
    """House file that the server was started with, or the example."""
    return Path(os.environ.get(HOUSE_VARIABLE) or data_path("houses", f"{EXAMPLE}.toml"))


def show() -> anywidget.AnyWidget:
    """The page of the house that the server was started with, or a page that says what is wrong."""
    bills, prices = (os.environ.get(name, "") for name in (BILLS_VARIABLE, PRICES_VARIABLE))
    try:
        return KitchenTable(open_study(house_path(), bills=BillFiles.of_text(bills), prices=prices))
    except InputError as error:
        return ProblemPage(str(error))
