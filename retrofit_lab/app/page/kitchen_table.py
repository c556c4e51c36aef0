"""The kitchen-table page: one widget that shows a study's results and takes picks; no numbers of its own.

The browser owns ``ticked``, ``units``, ``language`` and ``anyway``; what it sends for any other trait is not taken.
"""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from retrofit_lab.app.page.asking import Asked
from retrofit_lab.app.page.background import Afterwards, Piece
from retrofit_lab.app.page.comparison import comparison
from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.kept_plans import (
    KeepingError,
    KeptPlans,
    kept,
    kept_from,
    removed,
    renamed,
)
from retrofit_lab.app.page.now_content import now_content, sure_content
from retrofit_lab.app.page.page_content import page_content
from retrofit_lab.app.page.panels import PANELS, Panel, answered, panel_named
from retrofit_lab.app.page.plan_file import choice_csv, choice_json, read_choice
from retrofit_lab.app.page.plan_view import plan_content
from retrofit_lab.app.page.starts import STARTS, budget_line, starting_plan, starts_content
from retrofit_lab.app.page.state import KitchenTableState
from retrofit_lab.app.page.told import PAGE, Told, told
from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.scripts import page_script, page_style
from retrofit_lab.app.shared.served_widget import ServedWidget
from retrofit_lab.app.shared.surroundings import (
    BILLS_VARIABLE,
    CHART_LIBRARY,
    HOUSE_VARIABLE,
    LANGUAGE_VARIABLE,
    PRICES_VARIABLE,
)
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.bills.reading.record import BillFiles
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.steps import proposal
from retrofit_lab.proposals.stretches import stretches
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.opening import open_study
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES

SCRIPTS = (
    "connection.js", "say.js", "address.js", "kept.js", "house.js", "picture.js", "list.js",
    "plan.js", "questions.js", "page.js",
)  # fmt: skip
SCRIPT = page_script(*SCRIPTS)
STYLE = page_style("page.css")
EXAMPLE = "alder_street"
MOST_LIBRARIES = 8
"""Times that the chart library is sent over the kernel; a view asks once, and only where no server has it."""
FILES = {
    "json": ("retrofit-lab-plan.json", "application/json"),
    "csv": ("retrofit-lab-plan.csv", "text/csv;charset=utf-8"),
}


REPORT = ("retrofit-lab-report.zip", "application/zip")
ReportMaker = Callable[[Study, tuple[str, ...], str, str], tuple[bytes, bool]]
"""Makes the report of a plan from study, plan, language and units; tells whether the PDF is in it."""


def _or_why(maker: ReportMaker, *how: Any) -> tuple[bytes, bool] | InputError:
    """A report, or what is wrong with what it is made of."""
    try:
        return maker(*how)
    except InputError as error:
        return error


class KitchenTable(ServedWidget):
    """The page as the browser sees it: what stays, what changes with a pick, and what is picked."""

    browser_owns = ("ticked", "units", "language", "anyway")
    _esm = SCRIPT
    _css = STYLE
    page = traitlets.Dict().tag(sync=True)
    now = traitlets.Dict().tag(sync=True)
    drawing = traitlets.Dict().tag(sync=True)
    plan = traitlets.Dict().tag(sync=True)
    starts = traitlets.Dict().tag(sync=True)
    line: traitlets.List[Any] = traitlets.List().tag(sync=True)
    panels = traitlets.Dict().tag(sync=True)
    choices = traitlets.Dict().tag(sync=True)
    said = traitlets.Dict().tag(sync=True)
    sure = traitlets.Dict().tag(sync=True)
    ticked = traitlets.Any([]).tag(sync=True)
    units = traitlets.Any(SYSTEMS[0]).tag(sync=True)
    language = traitlets.Any(LANGUAGES[0]).tag(sync=True)
    anyway = traitlets.Any([]).tag(sync=True)
    reporting = traitlets.Bool(default_value=False).tag(sync=True)

    def __init__(
        self, study: Study, language: str = LANGUAGES[0], maker: ReportMaker | None = None
    ) -> None:
        super().__init__()
        self._maker = maker
        self._asked: dict[str, Any] = {}
        self._answers: dict[str, Any] = {}
        self._due: set[str] = set()
        self._turn = 0
        self._libraries_sent = 0
        self._afterwards = Afterwards(self.failed)
        self._reports = Afterwards(self._report_failed)
        self.state = KitchenTableState(study, language=language)
        self._count()
        self.told = self._telling()
        self._tell()
        self.observe(self._on_ticked, names="ticked")
        self.observe(self._on_telling, names=["units", "language"])
        self.observe(self._on_anyway, names="anyway")
        self.on_msg(self._on_message)

    def _telling(self) -> Told:
        return told(self.state.study, self.state.language, self.state.units)

    def _count(self) -> None:
        """Begin with what the study counts on: its advice, and plans to start from."""
        self.advice = Advice(self.state.study)
        self.real = RealHouses(self.state.study)
        self._plans: dict[str, tuple[str, ...]] = {}
        self._line_wanted = False
        self._starts_wanted = False

    def _tell(self) -> None:
        """Say everything in the chosen language and units."""
        self.told, state = self._telling(), self.state
        self.house = HouseDrawing(self.told)
        nothing = state.study.plan(())
        content = page_content(self.told, nothing, self.house.parts)
        lead = self.told.say("start.lead", now=dollars(nothing.before.cost))
        with self.hold_sync():
            self.units, self.language, self.anyway = state.units, state.language, list(state.anyway)
            self.starts = {"lead": lead, "items": []}
            self.line, self.said, self.plan, self.sure = [], {}, {}, {}
            self._answers, self.panels = {}, {}
            self._show()
            self._show_choices()
            made = self._maker is not None
            self.page = {**content, "drawing": self.house.shape(), "makes_report": made}
        self._afterwards.begin(self._after())

    def failed(self) -> None:
        """Say on the page that something failed, and keep what it showed."""
        self.say("note.failed", problem=True)

    def say(self, key: str, *, problem: bool = False, **blanks: object) -> None:
        """Show a sentence of the catalog on the page."""
        self._put(self.told.say(key, **blanks), problem=problem)

    def _put(self, text: str, *, problem: bool = False) -> None:
        """Show a sentence; the turn lets the page see the same one again."""
        self._turn += 1
        self.said = {"text": text, "problem": problem, "turn": self._turn}

    @guarded(lambda page: page.failed())
    def _on_ticked(self, change: Any) -> None:
        sent = change["new"] if isinstance(change["new"], list) else [None]
        if tuple(sent) != self.state.ticked:
            self._tick(sent)

    def _tick(self, keys: list[Any]) -> None:
        before = self.state.ticked
        newest = keys[-1] if keys and isinstance(keys[-1], str) else ""
        whole = self.state.choose(keys)
        moved = set(before) ^ set(self.state.ticked)
        self._show(newest if newest in moved else next(iter(moved), "") if len(moved) == 1 else "")
        if self.state.dropped:
            dropped = self.told.names(self.state.dropped)
            kept_one = self.told.name(newest) if newest in self.told.titles else ""
            self.say("note.conflict", dropped=dropped, kept=kept_one)
        elif not whole:
            self.say("note.unknown", problem=True)
        self._afterwards.begin(self._after())

    def _after(self) -> dict[str, Piece]:
        """What follows a pick by a moment, in its order."""
        # what the next pick asks for comes first: whoever picks fast waits for nothing else
        pieces = {"ahead": self._ahead(), "sure": self._how_sure(), "plan": self._plan_piece()}
        for panel in PANELS:
            if panel.key in self._asked and (panel.of_ticks or panel.key in self._due):
                pieces[f"panel {panel.key}"] = self._answer(panel)
        if self._line_wanted and not self.line:
            pieces["line"] = self._line_piece()
        return pieces | self._starts_pieces()

    def _make_report(self, _: Any) -> None:
        """Make the report of the plan as it is now: files in one, written nowhere; picks wait for none of it."""
        maker, state = self._maker, self.state
        if maker is None:
            raise InputError(self.told.say("note.not_understood"))
        if self.reporting:
            return
        how = state.study, state.result.ticked, state.language, state.units
        self.reporting = True
        self.say("note.report_making")
        self._reports.add({"report": Piece(work=lambda: _or_why(maker, *how), show=self._hand_out)})

    def _hand_out(self, made: tuple[bytes, bool] | InputError) -> None:
        self.reporting = False
        if isinstance(made, InputError):
            self._put(f"{self.told.say('note.report_failed')} {made}", problem=True)
            return
        packed, printed = made
        self.say("note.report_made" if printed else "note.report_unprinted")
        name, kind = REPORT
        self.send({"kind": "file", "name": name, "type": kind}, buffers=[packed])

    def _report_failed(self) -> None:
        self.reporting = False
        self.say("note.report_failed", problem=True)

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
        self._tell()

    @guarded(lambda page: page.failed())
    def _on_anyway(self, change: Any) -> None:
        if change["new"] == list(self.state.anyway):
            return
        whole = self.state.replace_anyway(change["new"])
        self._count()
        self._tell()
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
        action = _ACTIONS.get(kind) if isinstance(kind, str) else None
        if action is None:
            return
        try:
            action(self, content)
        except KeepingError as error:
            self.say(f"kept.{error.key}", problem=True, **error.blanks)
        except InputError as error:
            self._put(str(error), problem=True)

    def _send_library(self, _content: Any) -> None:
        if self._libraries_sent >= MOST_LIBRARIES:
            return
        self._libraries_sent += 1
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

    def _ask_line(self, _content: Any) -> None:
        if not self.line and not self._line_wanted:
            self._line_wanted = True
            self._afterwards.add({"line": self._line_piece()})

    def _ask_starts(self, _content: Any) -> None:
        """Begin with the plans to start from; no one waits for them who does not look at the page."""
        self._starts_wanted = True
        self._afterwards.add(self._starts_pieces())

    def _ahead(self) -> Piece:
        """What the next pick will ask for, whichever it is."""
        study, ticked = self.state.study, self.state.ticked
        return Piece(work=lambda: study.energies.work_ahead(ticked), show=lambda _done: None)

    def _how_sure(self) -> Piece:
        """How sure the plan is."""
        ticked, said, advice = self.state.ticked, self.told, self.advice
        end = stretches(self.real.of_plan(self.state.result), ticked).end

        def work() -> dict[str, Any]:
            return sure_content(said, ticked, advice.outcome(ticked), end) if ticked else {}

        def show(content: dict[str, Any]) -> None:
            self.sure = content

        return Piece(work=work, show=show)

    def _plan_piece(self) -> Piece:
        """The plan as steps."""
        result, said, advice, real = self.state.result, self.told, self.advice, self.real

        def work() -> dict[str, Any]:
            steps = proposal(advice, result.ticked, sure=False)
            return plan_content(said, steps, real.of_plan(result))

        def show(content: dict[str, Any]) -> None:
            self.plan = content

        return Piece(work=work, show=show)

    def _starts_pieces(self) -> dict[str, Piece]:
        """Plans to start from that are not worked out, or not told, yet."""
        told_all = bool(self.starts.get("items")) and len(self._plans) == len(STARTS)
        if told_all or not self._starts_wanted:
            return {}
        lacking = [name for name in STARTS if name not in self._plans]
        return {f"start {name}": self._starts_piece(name) for name in lacking or STARTS[:1]}

    def _starts_piece(self, name: str) -> Piece:
        """A plan to start from, worked out once, and all that are there in words."""
        said, advice, real, plans = self.told, self.advice, self.real, self._plans

        def work() -> dict[str, Any]:
            if name not in plans:
                plans[name] = starting_plan(advice, name)
            return starts_content(said, real, {one: plans[one] for one in STARTS if one in plans})

        def show(content: dict[str, Any]) -> None:
            self.starts = content

        return Piece(work=work, show=show)

    def _line_piece(self) -> Piece:
        """The most that money saves, for every budget."""
        said, advice, real = self.told, self.advice, self.real

        def show(found: list[dict[str, Any]]) -> None:
            self.line = found

        return Piece(work=lambda: budget_line(said, real, advice), show=show)

    def _answer(self, panel: Panel) -> Piece:
        """The answer to a question of the page."""
        sent = self._asked[panel.key]
        self._due.add(panel.key)
        asked = Asked(
            advice=self.advice, result=self.state.result, real=self.real, told=self.told, values={}
        )

        def show(content: dict[str, Any]) -> None:
            self._due.discard(panel.key)
            self._answers[panel.key] = content
            self.panels = dict(self._answers)

        return Piece(work=lambda: answered(panel, asked, sent), show=show)

    def _keep(self, content: Any) -> None:
        numbered = self.told.words.texts["kept"]["number"]
        self._set_kept(kept(self.state.kept, content.get("name"), self.state.ticked, numbered))
        self.say("note.kept", name=self.state.kept[-1].name)

    def _rename(self, content: Any) -> None:
        self._set_kept(renamed(self.state.kept, content.get("place"), content.get("name")))
        self.say("note.renamed", name=self.state.kept[content["place"]].name)

    def _remove(self, content: Any) -> None:
        before = self.state.kept
        self._set_kept(removed(before, content.get("place")))
        self.say("note.removed", name=before[content["place"]].name)

    def _kept_from(self, sent: Any) -> KeptPlans:
        return kept_from(sent, self.state.usable, self.told.words.texts["kept"]["number"])

    def _take_link(self, content: Any) -> None:
        self._set_kept(self._kept_from(content.get("kept")))

    def _download(self, content: Any) -> None:
        wanted = content.get("format")
        if not isinstance(wanted, str) or wanted not in FILES:
            raise InputError(self.told.say("note.not_understood"))
        state, expected = self.state, self.real.of_plan(self.state.result)
        text = (
            choice_csv(self.told, state.result, expected)
            if wanted == "csv"
            else choice_json(state.study, state.result, expected, state.kept)
        )
        name, kind = FILES[wanted]
        self.send({"kind": "file", "name": name, "type": kind, "text": text})

    def _open(self, content: Any) -> None:
        opened = read_choice(content.get("text"), self.told, self.real)
        self._set_kept(self._kept_from(opened.kept))
        self._tick(list(opened.ticked))
        self._put(opened.message)

    def _set_kept(self, plans: KeptPlans) -> None:
        self.state.kept = plans
        self._show_choices()

    def _show(self, newest: str = "") -> None:
        state = self.state
        expected = self.real.of_plan(state.result)
        with self.hold_sync():  # one message, so that the page is laid out once
            self.now = now_content(self.told, state.result, expected, newest)
            self.ticked = list(state.ticked)
            self.drawing = self.house.content(state.result, expected)

    def _show_choices(self) -> None:
        self.choices = comparison(self.told, self.real, self.state.kept)


_ACTIONS = {
    "library": KitchenTable._send_library,
    "ask": KitchenTable._ask,
    "close": KitchenTable._close,
    "line": KitchenTable._ask_line,
    "starts": KitchenTable._ask_starts,
    "keep": KitchenTable._keep,
    "rename": KitchenTable._rename,
    "remove": KitchenTable._remove,
    "link": KitchenTable._take_link,
    "download": KitchenTable._download,
    "report": KitchenTable._make_report,
    "open": KitchenTable._open,
}
"""What a page may ask for, beside picking and choosing how it is told."""


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
        return ProblemPage(str(error), page_language())
