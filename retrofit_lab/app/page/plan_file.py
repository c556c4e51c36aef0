"""A visitor's choice as a file to keep, and read back; nothing of the house but a mark of its numbers goes in."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.page.kept_plans import Scenarios
from retrofit_lab.app.shared.spreadsheet import Cell, csv_text
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.values import InputError
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

FORMAT, VERSION = "retrofit-lab choice", 1
MOST_BYTES = 200_000
TOO_LARGE = (
    f"That file is larger than {MOST_BYTES // 1000} kB, so it is no choice of this page. Open a file "
    f"that 'Download the choice (JSON)' made."
)
NOT_ONE = "That file is no choice of this page. Open a file that 'Download the choice (JSON)' made."


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What a file brings: ticks, kept choices as they stand there, and what has changed since it was made."""

    ticked: tuple[str, ...]
    kept: Any
    message: str


def choice_json(study: Study, result: PlanResult, scenarios: Scenarios) -> str:
    """The choice as JSON."""
    content = {
        "format": FORMAT,
        "version": VERSION,
        "house": fingerprint(study.as_found),
        "ticked": list(result.ticked),
        "kept": [{"name": s.name, "ticked": list(s.ticked)} for s in scenarios],
        "then": _numbers(result),
    }
    return json.dumps(content, indent=2, ensure_ascii=False)


def choice_csv(study: Study, result: PlanResult) -> str:
    """The measures and what they save, a line each, for a spreadsheet."""
    head = ["measure", "ticked", "part", "saves alone, dollars a year", "saves in this set, dollars a year",
            "fair share, dollars a year", "cost low, dollars", "cost likely, dollars",
            "cost high, dollars"]  # fmt: skip
    rows = [_csv_row(study, result, key) for key in study.keys]
    cost = result.cost
    together: list[Cell] = ["all ticked together", "", "", round(result.sum_alone, 2), round(result.saved, 2),
                round(result.saved, 2), *(round(c, 2) for c in (cost.low, cost.likely, cost.high))]  # fmt: skip
    return csv_text(head, [*rows, together])


def read_choice(text: Any, study: Study) -> Opened:
    """Choice of a file that a visitor opens.

    Raises
    ------
    InputError
        When it is too large or no such file; says what to open.
    """
    if not isinstance(text, str):
        raise InputError(NOT_ONE)
    if len(text.encode("utf-8", "replace")) > MOST_BYTES:
        raise InputError(TOO_LARGE)
    content = _content(text)
    content["ticked"] = todays_keys(str(key) for key in content["ticked"])
    ticked = tuple(key for key in study.keys if key in content["ticked"])
    return Opened(ticked=ticked, kept=content.get("kept"), message=_changes(content, ticked, study))


def _content(text: str) -> dict[str, Any]:
    try:
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(NOT_ONE) from error
    if not isinstance(content, dict) or content.get("format") != FORMAT:
        raise InputError(NOT_ONE)
    if content.get("version") != VERSION:
        raise InputError(
            "That choice was made by a newer page; open it there, or tick it again here."
        )
    if not isinstance(content.get("ticked"), list):
        raise InputError(NOT_ONE)
    return content


def _changes(content: dict[str, Any], ticked: Sequence[str], study: Study) -> str:
    missing = len(content["ticked"]) - len(ticked)
    said = ["The choice of the file is ticked."]
    if content.get("house") != fingerprint(study.as_found):
        said = [
            "The house has changed since this choice was kept: its numbers are others now. The same "
            "lines are ticked."
        ]
    if missing:
        said.append(f"Left out, because this house does not have them: {missing}.")
    before = _saved_then(content)
    if study.case.conflict(ticked):
        said.append("Two of them cannot go together; one was left out.")
    elif before is not None:
        saved = study.plan(ticked).saved
        if dollars(before) != dollars(saved):
            said.append(f"It saved {dollars(before)} a year then; it saves {dollars(saved)} now.")
    return " ".join(said)


def _saved_then(content: dict[str, Any]) -> float | None:
    then = content.get("then")
    saved = then.get("saves, dollars a year") if isinstance(then, dict) else None
    if isinstance(saved, bool) or not isinstance(saved, int | float):
        return None
    return float(saved) if abs(saved) < 1e9 else None


def _numbers(result: PlanResult) -> dict[str, float]:
    return {
        "saves, dollars a year": round(result.saved, 2),
        "costs, dollars": round(result.cost.likely, 2),
        "energy now, dollars a year": round(result.before.cost, 2),
        "energy then, dollars a year": round(result.after.cost, 2),
        "carbon dioxide saved, kg a year": round(result.before.co2 - result.after.co2, 1),
    }


def _csv_row(study: Study, result: PlanResult, key: str) -> list[Cell]:
    row, measure = result.measures[key], study.offer(key).measure
    money = (row.alone, row.now, row.share, row.cost.low, row.cost.likely, row.cost.high)
    return [
        measure.title,
        "yes" if row.ticked else "no",
        study.offer(key).part,
        *(round(m, 2) for m in money),
    ]
