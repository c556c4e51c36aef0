"""The kitchen-table page: one widget that shows a study's results and takes ticks; no numbers of its own."""

import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from retrofit_lab.advice import Advice
from retrofit_lab.cautions.rules import Raised, cautions, cautions_for
from retrofit_lab.house.file import load_house
from retrofit_lab.presentation import wording
from retrofit_lab.presentation.figures import TABLE_COLUMNS, overlap_figure, overlap_table
from retrofit_lab.presentation.guard import guarded
from retrofit_lab.presentation.panels import answered, described, panel_named
from retrofit_lab.presentation.scripts import STATIC, page_script
from retrofit_lab.presentation.state import KitchenTableState
from retrofit_lab.reference_data import data_path
from retrofit_lab.results import StackResult
from retrofit_lab.study import Study
from retrofit_lab.values import InputError

CHART_LIBRARY = (
    Path(__file__).parent / "share/voila/templates/retrofit_lab/static/plotly-basic.min.js"
)
HOUSE_VARIABLE = "RETROFIT_LAB_HOUSE"
BILLS_VARIABLE = "RETROFIT_LAB_BILLS"
EXAMPLE = "alder_street"


def report_failure(page: "KitchenTable") -> None:
    """Say on the page that something failed, and keep what it showed."""
    page.now = {**page.now, "problem": wording.FAILED}


class KitchenTable(anywidget.AnyWidget):
    """The page as the browser sees it: what stays, what changes with a tick, and what is ticked."""

    _esm = page_script("kitchen_table.js")
    _css = STATIC / "kitchen_table.css"
    page = traitlets.Dict().tag(sync=True)
    now = traitlets.Dict().tag(sync=True)
    ticked = traitlets.List().tag(sync=True)
    panels = traitlets.Dict().tag(sync=True)

    def __init__(self, study: Study) -> None:
        super().__init__()
        self.advice = Advice(study)
        self._asked: dict[str, Any] = {}
        self.state = KitchenTableState(study)
        self.titles = {offer.key: offer.measure.title for offer in study.offers}
        self.page = page_content(study)
        self._show()
        self.observe(self._on_ticked, names="ticked")
        self.on_msg(self._on_message)

    @guarded(report_failure)
    def _on_ticked(self, change: Any) -> None:
        if tuple(self.ticked) == self.state.ticked:
            return
        newest = change["new"][-1] if change["new"] else ""
        whole = self.state.choose(change["new"])
        problem = "" if whole else wording.UNKNOWN_TICKED
        if self.state.dropped:
            names = [self.titles[key] for key in self.state.dropped]
            problem = wording.conflict_note(self.titles.get(newest, ""), names)
        self._show(problem)
        self.ticked = list(self.state.ticked)
        self._answer(self._asked)

    @guarded(report_failure)
    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        kind = content.get("kind") if isinstance(content, dict) else None
        if kind == "library":
            self.send({"kind": "library", "text": CHART_LIBRARY.read_text(encoding="utf-8")})
        elif kind == "ask" and panel_named(content.get("panel")):
            self._asked[content["panel"]] = content.get("values")
            self._answer([content["panel"]])
        elif kind == "close":
            self._asked.pop(content.get("panel"), None)

    def _answer(self, keys: Iterable[str]) -> None:
        """Answer the open panels; the facts and rows of a tick have gone out before."""
        new = {
            key: answered(
                panel_named(key), self.advice, self.state.result, self._asked[key], self.titles
            )
            for key in keys
        }
        if new:
            self.panels = {**self.panels, **new}

    def _show(self, problem: str = "") -> None:
        result = self.state.result
        self.now = {**now_content(result, self.titles), "problem": problem}


class ProblemPage(anywidget.AnyWidget):
    """The page when the house cannot be shown: the same sentences that the command line prints."""

    _esm = page_script("kitchen_table.js")
    _css = STATIC / "kitchen_table.css"
    page = traitlets.Dict().tag(sync=True)

    def __init__(self, problem: str) -> None:
        super().__init__()
        self.page = {"problem": problem}


def page_content(study: Study) -> dict[str, Any]:
    """What stays on the page while measures are ticked."""
    return {
        "title": f"{study.as_found.name}: what would it save?",
        "note": study.as_found.note,
        "help": wording.HELP,
        "about": list(wording.ABOUT),
        "groups": _groups(study),
        "panels": described(),
    }


def _groups(study: Study) -> list[dict[str, Any]]:
    parts = dict.fromkeys(offer.measure.part for offer in study.offers)
    return [
        {"part": part, "rows": [_row(study, o.key) for o in study.offers if o.measure.part == part]}
        for part in parts
    ]


def _row(study: Study, key: str) -> dict[str, Any]:
    measure = study.offer(key).measure
    raised = [
        Raised(caution=item.caution, measures=())
        for item in cautions_for(study.as_found, [measure], below_minimum_ventilation=False)
        if item.measures
    ]
    texts = wording.caution_texts(raised, {})
    return {
        "key": key,
        "title": measure.title,
        "doer": wording.DOERS[measure.doer],
        "why": measure.why,
        "summary": wording.summary_of(measure, len(texts)),
        "warning": wording.warning_of([text["title"] for text in texts]),
        "cautions": [{**text, "belongs": ""} for text in texts],
    }


def now_content(result: StackResult, titles: dict[str, str]) -> dict[str, Any]:
    """What a tick changes on the page."""
    chart = {
        "figure": overlap_figure(result, titles).to_plotly_json(),
        "sentence": wording.chart_sentence(result),
        "columns": TABLE_COLUMNS,
        "rows": overlap_table(result, titles),
    }
    return {
        "ticked": list(result.ticked),
        "facts": wording.facts(result),
        "live": wording.live(result),
        "rows": {key: wording.row_texts(m, titles) for key, m in result.measures.items()},
        "chart": chart,
        "overlaps": wording.overlap_texts(result.overlaps, titles),
        "cautions": _cautions(result, titles),
    }


def _cautions(result: StackResult, titles: dict[str, str]) -> list[dict[str, str]]:
    texts = wording.caution_texts(result.cautions, titles)
    air = cautions()["minimum_ventilation"].title
    for text in texts:
        if text["title"] == air:
            text["text"] = f"{wording.air_caution(result, titles)} {text['text']}"
    return texts


def house_path() -> Path:
    """House file that the server was started with, or the example."""
    return Path(os.environ.get(HOUSE_VARIABLE) or data_path("houses", f"{EXAMPLE}.toml"))


def show() -> anywidget.AnyWidget:
    """The page of the house that the server was started with, or a page that says what is wrong."""
    path = house_path()
    try:
        bills = os.environ.get(BILLS_VARIABLE, "")
        return KitchenTable(Study(load_house(path), folder=str(path.parent), bills=bills))
    except InputError as error:
        return ProblemPage(str(error))
