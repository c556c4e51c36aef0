"""What the kitchen-table page shows, as plain data: what stays, and what a tick changes; no widget."""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab.app.page.kept_plans import MOST_KEPT, MOST_LETTERS
from retrofit_lab.app.page.panels import described
from retrofit_lab.app.page.plan_file import MOST_BYTES, TOO_LARGE
from retrofit_lab.app.shared import wording
from retrofit_lab.app.shared.figures import TABLE_COLUMNS, overlap_bars, overlap_table
from retrofit_lab.app.shared.hazard_wording import held_text, stop_box
from retrofit_lab.app.shared.shown_units import SYSTEMS, US
from retrofit_lab.bills.fitting.verdict import foremost
from retrofit_lab.safety.cautions import Raised, cautions, cautions_for
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

Parts = Mapping[str, Sequence[str]]


def page_content(study: Study, parts: Parts | None = None) -> dict[str, Any]:
    """What stays on the page while measures are ticked; ``parts`` are those of each measure's row."""
    return {
        "title": f"{study.as_found.name}: what would it save?",
        "note": study.as_found.note,
        "bills": foremost(study.billed.fit.verdicts) if study.billed else [],
        "stop": stop_box(study, {o.key: o.measure.title for o in study.offers}),
        "help": wording.HELP,
        "about": list(wording.ABOUT),
        "groups": _groups(study, parts or {}),
        "columns": dict(wording.COLUMNS),
        "orders": _orders(study),
        "panels": described(),
        "units": [list(item) for item in SYSTEMS.items()],
        "most_kept": MOST_KEPT,
        "most_letters": MOST_LETTERS,
        "most_bytes": MOST_BYTES,
        "too_large": TOO_LARGE,
    }


def _groups(study: Study, parts: Parts) -> list[dict[str, Any]]:
    groups = dict.fromkeys(offer.part for offer in study.offers)
    return [
        {
            "part": group,
            "rows": [
                {**_row(study, o.key), "parts": list(parts.get(o.key, ()))}
                for o in study.offers
                if o.part == group
            ],
        }
        for group in groups
    ]


def _orders(study: Study) -> list[dict[str, Any]]:
    """Ways to sort the list, by what each measure brings by itself; a tick does not move the lines."""
    alone = study.plan(()).measures.values()
    by = {
        "saving": sorted(alone, key=lambda row: -row.alone),
        "payback": sorted(alone, key=lambda row: row.payback),
        "cost": sorted(alone, key=lambda row: row.cost.likely),
    }
    return [
        {"title": wording.ORDERS[name], "keys": [row.key for row in rows]}
        for name, rows in by.items()
    ]


def _row(study: Study, key: str) -> dict[str, Any]:
    measure = study.offer(key).measure
    raised = [
        Raised(caution=item.caution, measures=(), tier=item.tier)
        for item in cautions_for(study.as_found, [measure], below_minimum_ventilation=False)
        if item.measures
    ]
    texts = wording.caution_texts(raised, {})
    return {
        "key": key,
        "title": measure.title,
        "doer": wording.DOERS[measure.doer],
        "by_owner": measure.doer == "owner",
        "why": measure.why,
        "summary": wording.summary_of(len(texts)),
        "held": held_text(study.case.holds[key]),
        "warning": wording.warning_of([text["title"] for text in texts]),
        "cautions": [{**text, "belongs": ""} for text in texts],
    }


def now_content(result: PlanResult, titles: Mapping[str, str], units: str = US) -> dict[str, Any]:
    """What a tick changes on the page."""
    chart = {
        "bars": overlap_bars(result, titles),
        "sentence": wording.chart_sentence(result),
        "columns": TABLE_COLUMNS,
        "rows": overlap_table(result, titles),
    }
    texts = _cautions(result, titles, units)
    return {
        "ticked": list(result.ticked),
        "facts": [*wording.facts(result), wording.caution_fact([text["title"] for text in texts])],
        "live": wording.live(result),
        "rows": {key: wording.row_texts(m, titles) for key, m in result.measures.items()},
        "chart": chart,
        "overlaps": wording.overlap_texts(result.overlaps, titles),
        "cautions": texts,
    }


def _cautions(result: PlanResult, titles: Mapping[str, str], units: str) -> list[dict[str, str]]:
    texts = wording.caution_texts(result.cautions, titles)
    air = cautions()["minimum_ventilation"].title
    for text in texts:
        if text["title"] == air:
            text["text"] = f"{wording.air_caution(result, titles, units)} {text['text']}"
    return texts
