"""A visitor's plan as a file to keep, and read back; nothing of the house but a mark of its numbers goes in."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.page.kept_plans import KeptPlans
from retrofit_lab.app.page.told import Told
from retrofit_lab.app.shared.spreadsheet import Cell, csv_text
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.values import InputError
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.proposals.in_real_houses import Expected, RealHouses
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

FORMAT, VERSION = "retrofit-lab choice", 1
MOST_BYTES = 200_000


def too_large(told: Told) -> str:
    """Sentence on a file beyond the limit."""
    return told.say("file.too_large", size=MOST_BYTES // 1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """What a file brings: picks, kept plans as they stand there, and what has changed since it was made."""

    ticked: tuple[str, ...]
    kept: Any
    message: str


def choice_json(study: Study, result: PlanResult, expected: Expected, plans: KeptPlans) -> str:
    """The plan as JSON."""
    content = {
        "format": FORMAT,
        "version": VERSION,
        "house": fingerprint(study.as_found),
        "ticked": list(result.ticked),
        "kept": [{"name": s.name, "ticked": list(s.ticked)} for s in plans],
        "then": _numbers(result, expected),
    }
    return json.dumps(content, indent=2, ensure_ascii=False)


def choice_csv(told: Told, result: PlanResult, expected: Expected) -> str:
    """The fixes and what they save, a line each, for a spreadsheet."""
    rows = [_csv_row(told, result, expected, key) for key in told.study.keys]
    cost = result.cost
    together: list[Cell] = [
        told.say("file.all"), "", "", round(expected.one_by_one, 2), round(expected.saving, 2), "",
        *(round(c, 2) for c in (cost.low, cost.likely, cost.high)),
    ]  # fmt: skip
    return csv_text(told.all("file.head"), [*rows, together])


def read_choice(text: Any, told: Told, real: RealHouses) -> Opened:
    """Plan of a file that a visitor opens.

    Raises
    ------
    InputError
        When it is too large or no such file; says what to open.
    """
    if not isinstance(text, str):
        raise InputError(told.say("file.not_one"))
    if len(text.encode("utf-8", "replace")) > MOST_BYTES:
        raise InputError(too_large(told))
    content = _content(text, told)
    content["ticked"] = todays_keys(str(key) for key in content["ticked"])
    ticked = tuple(key for key in told.study.keys if key in content["ticked"])
    message = _changes(content, ticked, told, real)
    return Opened(ticked=ticked, kept=content.get("kept"), message=message)


def _content(text: str, told: Told) -> dict[str, Any]:
    try:
        content = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(told.say("file.not_one")) from error
    if not isinstance(content, dict) or content.get("format") != FORMAT:
        raise InputError(told.say("file.not_one"))
    if content.get("version") != VERSION:
        raise InputError(told.say("file.newer"))
    if not isinstance(content.get("ticked"), list):
        raise InputError(told.say("file.not_one"))
    return content


def _changes(content: dict[str, Any], ticked: Sequence[str], told: Told, real: RealHouses) -> str:
    missing, study = len(content["ticked"]) - len(ticked), told.study
    same = content.get("house") == fingerprint(study.as_found)
    said = [told.say("note.opened" if same else "note.opened_changed")]
    if missing:
        said.append(told.say("note.opened_missing", count=missing))
    before = _saved_then(content)
    if study.case.conflict(ticked):
        said.append(told.say("note.opened_conflict"))
    elif before is not None:
        saved = dollars(real.of_plan(study.plan(ticked)).saving)
        if dollars(before) != saved:
            said.append(told.say("note.opened_then", before=dollars(before), now=saved))
    return " ".join(said)


def _saved_then(content: dict[str, Any]) -> float | None:
    then = content.get("then")
    saved = then.get("saves, dollars a year") if isinstance(then, dict) else None
    if isinstance(saved, bool) or not isinstance(saved, int | float):
        return None
    return float(saved) if abs(saved) < 1e9 else None


def _numbers(result: PlanResult, expected: Expected) -> dict[str, float]:
    return {
        "saves, dollars a year": round(expected.saving, 2),
        "costs, dollars": round(result.cost.likely, 2),
        "energy now, dollars a year": round(result.before.cost, 2),
        "energy then, dollars a year": round(expected.left, 2),
        "carbon dioxide saved, kg a year": round(result.before.co2 - result.after.co2, 1),
    }


def _csv_row(told: Told, result: PlanResult, expected: Expected, key: str) -> list[Cell]:
    row, measure = result.measures[key], told.study.offer(key).measure
    share = expected.lines[key] if row.ticked else 0.0
    money = (
        expected.alone[key],
        share,
        expected.last[key],
        row.cost.low,
        row.cost.likely,
        row.cost.high,
    )
    return [
        told.titles[key],
        told.say("file.yes" if row.ticked else "file.no"),
        told.say(f"phase.{measure.phase}"),
        *(round(m, 2) for m in money),
    ]
