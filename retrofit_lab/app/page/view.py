"""What the browser sees of the kitchen-table page, as traits; what a pick or a message does is elsewhere."""

from collections.abc import Callable
from typing import Any

import traitlets

from retrofit_lab.app.page.background import Afterwards
from retrofit_lab.app.page.comparison import comparison
from retrofit_lab.app.page.drawing_content import HouseDrawing
from retrofit_lab.app.page.kept_plans import (
    KeptPlans,
)
from retrofit_lab.app.page.now_content import now_content
from retrofit_lab.app.page.state import KitchenTableState
from retrofit_lab.app.page.told import Told, told
from retrofit_lab.app.shared.scripts import page_script, page_style
from retrofit_lab.app.shared.served_widget import ServedWidget
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES

SCRIPTS = (
    "connection.js", "say.js", "address.js", "kept.js", "house.js", "picture.js", "list.js",
    "plan.js", "questions.js", "page.js",
)  # fmt: skip
SCRIPT = page_script(*SCRIPTS)
STYLE = page_style("page.css")

ReportMaker = Callable[[Study, tuple[str, ...], str, str], tuple[bytes, bool]]
"""Makes the report of a plan from study, plan, language and units; tells whether the PDF is in it."""


class PageView(ServedWidget):
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
        self.maker = maker
        self.asked: dict[str, Any] = {}
        self.answers: dict[str, Any] = {}
        self.due: set[str] = set()
        self._turn = 0
        self.afterwards = Afterwards(self.failed)
        self.reports = Afterwards(self.report_failed)
        self.state = KitchenTableState(study, language=language)
        self.count()
        self.told = self.telling()
        self.house = HouseDrawing(self.told)

    def telling(self) -> Told:
        """The study in the chosen language and units."""
        return told(self.state.study, self.state.language, self.state.units)

    def count(self) -> None:
        """Begin with what the study counts on: its advice, and plans to start from."""
        self.advice = Advice(self.state.study)
        self.real = RealHouses(self.state.study)
        self.plans: dict[str, tuple[str, ...]] = {}
        self.line_wanted = False
        self.starts_wanted = False

    def failed(self) -> None:
        """Say on the page that something failed, and keep what it showed."""
        self.say("note.failed", problem=True)

    def say(self, key: str, *, problem: bool = False, **blanks: object) -> None:
        """Show a sentence of the catalog on the page."""
        self.put(self.told.say(key, **blanks), problem=problem)

    def put(self, text: str, *, problem: bool = False) -> None:
        """Show a sentence; the turn lets the page see the same one again."""
        self._turn += 1
        self.said = {"text": text, "problem": problem, "turn": self._turn}

    def report_failed(self) -> None:
        """Say that no report came, and let the next one be asked for."""
        self.reporting = False
        self.say("note.report_failed", problem=True)

    def set_kept(self, plans: KeptPlans) -> None:
        """Keep other plans, and show them."""
        self.state.kept = plans
        self.show_choices()

    def show(self, newest: str = "") -> None:
        """Show the numbers of the plan as it is now."""
        state = self.state
        expected = self.real.of_plan(state.result)
        with self.hold_sync():  # one message, so that the page is laid out once
            self.now = now_content(self.told, state.result, expected, newest)
            self.ticked = list(state.ticked)
            self.drawing = self.house.content(state.result, expected)

    def show_choices(self) -> None:
        """Show the kept plans side by side."""
        self.choices = comparison(self.told, self.real, self.state.kept)
