"""What stays on the kitchen-table page while fixes are picked, as plain data; no widget."""

from collections.abc import Mapping, Sequence
from typing import Any

from retrofit_lab.app.page.kept_plans import MOST_KEPT, MOST_LETTERS
from retrofit_lab.app.page.panels import described
from retrofit_lab.app.page.plan_file import MOST_BYTES, too_large
from retrofit_lab.app.page.told import PAGE, Told
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.app.shared.wording import lowered
from retrofit_lab.app.shared.words import words
from retrofit_lab.bills.fitting.verdict import foremost
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.measures.catalog import PHASES, catalog
from retrofit_lab.measures.evidence import not_known, open_numbers
from retrofit_lab.measures.replacing import equipment
from retrofit_lab.measures.selecting import EITHER
from retrofit_lab.proposals.what_matters import (
    best_first,
    either_or,
    is_known,
    waiting_first,
    what_matters,
)
from retrofit_lab.safety.cautions import TIERS, cautions, cautions_for
from retrofit_lab.safety.hazards import STOPS, Hazard
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES, Word

CHEAP = 250.0
"""Most that a fix costs which counts as cheap. [dollars] (judgment)"""
HELD, NEEDED, LOOK = "held", "needed", "look"
MOST_NAMED = 3
Parts = Mapping[str, Sequence[str]]


def page_content(told: Told, nothing: PlanResult, parts: Parts) -> dict[str, Any]:
    """What stays on the page; ``parts`` are those of the house that belong to each fix."""
    study = told.study
    language, system = told.words.language, told.words.system
    return {
        "texts": told.client(),
        "language": language,
        "languages": [
            [name, words(name, page=PAGE).say("page.language_name")] for name in LANGUAGES
        ],
        "units": system,
        "systems": [[name, told.say(f"page.units_{name}")] for name in SYSTEMS],
        "mark": fingerprint(study.as_found)[:8],
        "other_house": told.say("page.other_house"),
        "title": told.say("page.title", name=study.as_found.name),
        "note": Word("house_note", study.as_found.note, study.as_found.note).said(language),
        "bills": foremost(study.billed.fit.verdicts, language) if study.billed else [],
        "stop": stop_box(told),
        "rows": [_row(told, key, nothing, parts) for key in study.keys],
        "groups": _groups(told, nothing),
        "matter": list(what_matters(study, nothing)),
        "waiting": list(waiting_first(study, nothing)),
        "either": [list(group) for group in either_or(study)],
        "anyway": [[path, _equipment(told, path)] for path in equipment(study.as_found)],
        "panels": described(told),
        "budget": {name: told.say(f"budget.{name}") for name in ("at", "at_none")},
        "plan": {
            "columns": told.all("plan.columns"),
            **{
                name: told.say(f"plan.{name}")
                for name in ("steps", "needed", "own", "cautions", "cautions_none")
            },
        },
        "about": [*told.all("page.about"), _prices(told)],
        "most_kept": MOST_KEPT,
        "most_letters": MOST_LETTERS,
        "most_bytes": MOST_BYTES,
        "too_large": too_large(told),
        "files": True,
    }


def _prices(told: Told) -> str:
    """Whose prices these are: the demo's, the rater's, or some of each."""
    shipped = {measure.key: measure.cost for measure in catalog()}
    own = [offer.measure.cost != shipped.get(offer.key) for offer in told.study.offers]
    return told.say(
        "page.prices_own" if all(own) else "page.prices_some" if any(own) else "page.prices_demo"
    )


def _equipment(told: Told, path: str) -> str:
    label = getattr(number_at(told.study.as_found, path), "label", "") or path
    return told.words.names.word(label)


def group_of(study: Study, key: str) -> str:
    """Under which heading a fix stands: its phase, or why it stands apart."""
    measure = study.offer(key).measure
    if study.case.holds[key]:
        return HELD
    if measure.needed:
        return NEEDED
    return measure.phase if is_known(study, key) else LOOK


def _groups(told: Told, nothing: PlanResult) -> list[dict[str, Any]]:
    keys = best_first(told.study.keys, nothing)
    names = (*PHASES, HELD, NEEDED, LOOK)
    found = {name: [key for key in keys if group_of(told.study, key) == name] for name in names}
    for group in either_or(told.study):
        _stand_together(found, group)
    return [
        {"key": name, "title": "" if name == LOOK else told.say(f"phase.{name}"), "keys": inside}
        for name, inside in found.items()
        if inside
    ]


def _stand_together(found: dict[str, list[str]], group: Sequence[str]) -> None:
    """Put either-or fixes of several phases under the heading of the first; what stands apart stays there."""
    homes = [name for name in PHASES if set(found[name]) & set(group)]
    for name in homes[1:]:
        found[homes[0]] += [key for key in found[name] if key in group]
        found[name] = [key for key in found[name] if key not in group]


def _row(told: Told, key: str, nothing: PlanResult, parts: Parts) -> dict[str, Any]:
    measure = told.study.offer(key).measure
    return {
        "key": key,
        "title": told.titles[key],
        "in_short": told.words.names.in_short(measure),
        "who": told.say(f"doer.{measure.doer}"),
        "by_owner": measure.doer == "owner",
        "cheap": nothing.measures[key].cost.likely <= CHEAP,
        "why": told.plain(told.words.names.why(measure)),
        "lasts": told.say("row.lasts", count=f"{measure.life.years:g}"),
        "held": told.held(told.study.case.holds[key]),
        "releases": [told.released(hazard) for hazard in told.study.case.holds[key]],
        "look": _to_look_at(told, key),
        "parts": list(parts.get(key, ())),
        "cautions": _cautions(told, key),
    }


def _cautions(told: Told, key: str) -> list[dict[str, str]]:
    measure = told.study.offer(key).measure
    raised = cautions_for(told.study.as_found, [measure], below_minimum_ventilation=False)
    mine = sorted(
        (item for item in raised if item.measures), key=lambda item: TIERS.index(item.tier)
    )
    return [{"tier": told.say(f"tier.{item.tier}"), **told.caution(item.caution)} for item in mine]


def _to_look_at(told: Told, key: str) -> str:
    """What no one has looked at yet that a fix rests on; empty where all is known."""
    house = told.study.as_found
    names: list[str] = []
    for entry in not_known(house, told.study.offer(key).measure.rests_on):
        seen = [one for one in entry.split(EITHER) if one in observation_names()]
        numbers = [p for p in open_numbers(house, entry) if not p.endswith(".made")]
        names += [told.words.names.observation(one) for one in seen]
        names += [told.words.names.parameter(parameter_at(house, path)) for path in numbers]
    few = list(dict.fromkeys(lowered(name) for name in names))[:MOST_NAMED]
    return told.say("row.look", names="; ".join(few)) if few else ""


def stop_box(told: Told) -> dict[str, Any]:
    """Title, lead and one item for each hazard of the house; empty where it shows none."""
    hazards = told.study.case.hazards
    if not hazards:
        return {}
    stopped = hazards[0].does == STOPS
    return {
        "title": told.say("stop.title"),
        "lead": told.say("stop.all" if stopped else "stop.some"),
        "stopped": stopped,
        "items": [_hazard(told, hazard) for hazard in hazards],
    }


def _hazard(told: Told, hazard: Hazard) -> dict[str, Any]:
    said = told.hazard(hazard)
    held = [key for key in told.study.keys if hazard in told.study.case.holds[key]]
    stops = hazard.does == STOPS
    urgent = f"{told.caution(cautions()[hazard.caution])['text']} " if stops else ""
    limit = (
        f" {said['limit']} {told.say('row.source', source=said['source'])}" if hazard.limit else ""
    )
    waits = told.say("stop.waits", names=told.names(held)) if held else ""
    return {
        "title": said["title"],
        "text": f"{urgent}{told.released(hazard)}{limit}",
        "waits": told.say("stop.waits_all") if stops else waits,
        "open": stops,
    }
