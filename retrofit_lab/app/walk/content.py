"""What the form shows, as plain tables of text: the questions before the walk, and the present stop; no widget."""

from collections.abc import Iterator, Mapping
from dataclasses import is_dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from retrofit_lab.app.shared import wording as page_wording
from retrofit_lab.app.walk.acts import plan_beside
from retrofit_lab.app.walk.route import (
    Stop,
    adding_places,
    asked,
    called_for,
    is_here,
    main_fields,
    more_fields,
    records_at,
    stop_named,
    stop_of,
    stops,
)
from retrofit_lab.app.walk.state import WEATHER, WalkthroughState
from retrofit_lab.app.walk.wording import WalkWords, walk_words
from retrofit_lab.base.values import InputError
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import choices_of, unit_of_kind
from retrofit_lab.house.first_answers import questions
from retrofit_lab.house.keeping import house_files
from retrofit_lab.house.limits import told_by_readings
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at, number_fields, parameter_at
from retrofit_lab.house.photos import pictures_in
from retrofit_lab.house.pictures import thumbnail
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import Offer, offers_for
from retrofit_lab.measures.in_this_house import guessed_surroundings
from retrofit_lab.measures.look_for import finding_named
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.safety.cautions import cautions_for

Content = dict[str, Any]
MOST_NAMED = 5
JOB = "job"
"""Part of a house that holds the job; its stop is where a plan is agreed on."""
COPIED = (
    "surfaces",
    "windows",
    "underground",
    "leakage.sites",
    "lamps",
    "standby",
    "appliances",
    "fans",
)
"""Lists of which one part is often like another."""
LANGUAGE_NAMES = {"en": "English", "es": "Español"}


def door_content(folder: Path, told: WalkWords | None = None) -> Content:
    """What is asked before a house is open, and what the form's script says itself."""
    told = told or walk_words()
    return {
        **{key: str(said) for key, said in told.words.texts["door"].items()},
        "files": list(house_files(folder)),
        "questions": [_question(row, told) for row in questions()],
        "language": told.language,
        "languages": [{"word": word, "text": name} for word, name in LANGUAGE_NAMES.items()],
        "texts": told.client(),
    }


def _question(row: Mapping[str, Any], told: WalkWords) -> Content:
    said = told.question(row)
    return {
        "key": row["key"],
        "kind": row["kind"],
        "label": said["label"],
        "hint": said.get("hint", ""),
        "value": row.get("default", ""),
        "options": [{"word": word, "text": told.option(word)} for word in row.get("options", ())],
    }


def walk_content(state: WalkthroughState, told: WalkWords | None = None) -> Content:
    """What the form shows of an open house."""
    house, told = state.house, told or walk_words()
    if house is None or state.path is None:
        return {}
    stop = stop_named(state.here) or stops()[0]
    return {
        "name": house.name,
        "file": state.path.name,
        "unsaved": state.unsaved,
        "can_step_back": state.can_step_back,
        "progress": _overall(house, told),
        "route": [_route_entry(state, house, other, told) for other in stops()],
        "problems": [_located(house, told.refusal(line), told) for line in state.problems],
        "oddities": [
            _located(house, f"{oddity.path}: {oddity.said(told.language)}", told)
            for oddity in state.oddities
        ],
        "can_step_forward": state.can_step_forward,
        "standing": told.standing(state.saved_at, fits=not state.unsaved),
        "elsewhere": _elsewhere(state, house, told),
        "stop": _stop(state, house, stop, told),
        "job": told.say("form.job", status=told.choice("job", "status", house.job.status)),
    }


def whole_content(state: WalkthroughState, told: WalkWords) -> Content:
    """Every stop of an open house, so that a browser can go on at any of them while the form is away."""
    house = state.house
    if house is None or state.path is None:
        return {}
    return {
        "file": state.path.name,
        "language": told.language,
        "stops": {
            stop.key: {**_stop(state, house, stop, told), "photos": [], "pictures": []}
            for stop in stops()
        },
    }


def _elsewhere(state: WalkthroughState, house: House, told: WalkWords) -> str:
    """Names of what others changed, at most a few of them."""
    names = [_name_at(house, path, told) for path in state.elsewhere]
    known = [name for name in dict.fromkeys(names) if name]
    return told.changed_elsewhere(known[:MOST_NAMED])


def _name_at(house: House, path: str, told: WalkWords) -> str:
    record = next((p for p in (path, path.rpartition(".")[0]) if _is_part(house, p)), "")
    return _title(house, record, told) if record else ""


def _overall(house: House, told: WalkWords) -> str:
    paths = [path for stop in stops() for path in asked(house, stop)]
    open_paths = house.assumed.intersection(paths)
    finer = len(house.assumed) - len(open_paths)
    return told.overall(len(paths) - len(open_paths), len(paths), finer)


def _route_entry(state: WalkthroughState, house: House, stop: Stop, told: WalkWords) -> Content:
    paths = list(asked(house, stop))
    given, said = sum(path not in house.assumed for path in paths), told.stop(stop)
    return {
        "key": stop.key,
        "part": said["part"],
        "title": said["title"],
        "here": stop.key == state.here,
        "progress": told.progress(given, len(paths)) if paths else "",
        "done": bool(paths) and given == len(paths),
        "wrong": any(stop_of(house, path) == stop.key for path in state.refused),
    }


def _located(house: House, line: str, told: WalkWords) -> Content:
    """A sentence about a path, with the stop where it can be fixed and the part's own name."""
    path, _, sentence = line.partition(": ")
    if path == "heaters":
        path = "fuel_heaters" if house.fuel_heaters else "heat_pumps"
    record = next((p for p in (path, path.rpartition(".")[0]) if _is_part(house, p)), "")
    text = f"{_title(house, record, told)}: {sentence}" if record else line
    return {"stop": stop_of(house, path), "text": text}


def _is_part(house: House, path: str) -> bool:
    try:
        return bool(path) and is_dataclass(number_at(house, path))
    except InputError:
        return False


def _title(house: House, path: str, told: WalkWords) -> str:
    record: Any = number_at(house, path) if path else house
    return told.single(path or "house") or told.part_title(record, _owner(house, path))


def _owner(house: House, path: str) -> str:
    """Name of the part that a part belongs to, such as the thermostat of a night setting."""
    above = path.rpartition(".")[0].rpartition(".")[0]
    return str(getattr(number_at(house, above), "label", "")) if above else ""


def _stop(state: WalkthroughState, house: House, stop: Stop, told: WalkWords) -> Content:
    order = [other.key for other in stops()]
    place = order.index(stop.key)
    return {
        **told.stop(stop),
        "key": stop.key,
        "findings": _findings(house, stop, told),
        "rules": told.say("stop.rules"),
        "records": [_record(state, house, stop, path, told) for path in records_at(house, stop)],
        "adds": [
            {
                "list": p.list_path,
                "name": p.item.name,
                "text": _adding(told.item(p.item), told.part(p.owner)),
            }
            for p in adding_places(house, stop)
        ],
        "observations": _observations(house, stop, told),
        "cautions": _cautions(house, stop, told),
        "measures": _measures(house, stop, told),
        "agreed": _agreed(state, house, told) if JOB in stop.parts else {},
        "photos": _photos(state, stop),
        "pictures": list(pictures_in(state.path.parent)) if state.path else [],
        "before": order[place - 1] if place else "",
        "after": order[place + 1] if place + 1 < len(order) else "",
    }


def _agreed(state: WalkthroughState, house: House, told: WalkWords) -> Content:
    """The plan that was agreed on at the table, and whether one was saved beside the house file."""
    known = {measure.key: told.words.names.title(measure) for measure in catalog()}
    plan = [known.get(key, key) for key in todays_keys(house.job.plan)]
    return {"plan": plan, "beside": bool(plan_beside(state))}


def _findings(house: House, stop: Stop, told: WalkWords) -> list[Content]:
    found = [finding_named(key) for key in stop.findings]
    return [{**told.finding(f), "here": is_here(house, f)} for f in found]


def _adding(title: str, owner: str) -> str:
    return f"{title} ({owner})" if owner else title


def _record(
    state: WalkthroughState, house: House, stop: Stop, path: str, told: WalkWords
) -> Content:
    return {
        "path": path,
        "title": _title(house, path, told),
        "removable": _is_item(house, path),
        "copied": path.rpartition(".")[0] in COPIED,
        "fields": [
            _field(state, house, path, name, told) for name in main_fields(house, path, stop)
        ],
        "more": [_field(state, house, path, name, told) for name in more_fields(house, path, stop)],
    }


def _is_item(house: House, path: str) -> bool:
    parent, _, key = path.rpartition(".")
    return bool(parent) and isinstance(number_at(house, parent), tuple) and bool(key)


def _field(
    state: WalkthroughState, house: House, record_path: str, name: str, told: WalkWords
) -> Content:
    record: Any = number_at(house, record_path) if record_path else house
    path = f"{record_path}.{name}" if record_path else name
    made = (
        _number(house, path, told)
        if name in number_fields(type(record))
        else _word(house, path, record, told, state.beside)
    )
    typed, refused = state.refused.get(path, ("", ""))
    odd = " ".join(one.said(told.language) for one in state.oddities if one.path == path)
    return {**made, "path": path, "typed": typed, "refused": told.refusal(refused), "odd": odd}


def _number(house: House, path: str, told: WalkWords) -> Content:
    rule = parameter_at(house, path)
    given: Any = number_at(house, path)
    value = 0.0 if given is None else float(given)
    unknown = path in house.assumed
    return {
        "kind": "number",
        "label": told.parameter(rule),
        "unit": told.typed_unit(unit_of_kind(house, path)) or told.unit(rule.unit),
        "hint": told.hint(rule),
        "value": "" if unknown or given is None else told.quantity(value, rule.unit),
        "estimate": told.estimate(value, rule) if unknown else "",
        "options": [],
    }


def _word(house: House, path: str, record: Any, told: WalkWords, folder: Path) -> Content:
    name = path.rpartition(".")[2]
    value = getattr(record, name)
    labels = {surface.key: told.part(surface.label) for surface in house.surfaces}
    labels |= {buffer.key: told.part(buffer.label) for buffer in house.buffers}
    words = choices_of(house, record, name)
    if path == WEATHER:
        return {**_weather(house, folder, told), "label": told.label(record.section, name)}
    return {
        "kind": "choice" if words else "text",
        "label": told.label(record.section, name),
        "unit": "",
        "hint": "",
        "value": value,
        "estimate": "",
        "options": [
            {"word": word, "text": labels.get(word) or told.choice(record.section, name, word)}
            for word in words
        ],
    }


def _weather(house: House, folder: Path, told: WalkWords) -> Content:
    """The field of the place, with what weather it takes and what was filled in."""
    text = house.site.climate
    try:
        climate = find_climate(text, str(folder))
        name = [] if climate.name == text else [f"{told.refusal(climate.name)}."]
        hint = " ".join((*name, *map(told.refusal, climate.notes), told.say("place.hint")))
    except InputError as error:
        hint = f"{told.refusal(error)} {told.say('place.hint')}"
    return {"kind": "place", "unit": "", "hint": hint, "value": text, "estimate": "", "options": []}


def _observations(house: House, stop: Stop, told: WalkWords) -> list[Content]:
    names = observation_names()
    return [
        {
            "word": word,
            "text": told.words.names.observation(word),
            "seen": word in house.observations,
        }
        for word in stop.observations
        if word in names
    ]


def _cautions(house: House, stop: Stop, told: WalkWords) -> list[Content]:
    seen = set(stop.observations) & set(house.observations)
    if any(part.startswith("measured.") for part in stop.parts):
        seen |= told_by_readings(house)
    return [
        dict(zip(("title", "text"), told.words.names.caution(raised.caution), strict=False))
        for raised in cautions_for(house, (), below_minimum_ventilation=False)
        if seen & set(raised.caution.observations)
    ]


def _offers(house: House) -> tuple[Offer, ...]:
    """What the catalog has for a house on its walk, before any year is worked out."""
    return offers_for(house, catalog(), around=guessed_surroundings(house))[1]


def _measures(house: House, stop: Stop, told: WalkWords) -> list[str]:
    try:
        offers = called_for(house, stop, _offers(house))
    except InputError:
        return []
    dollars = page_wording.dollars
    return [
        told.measure_line(
            told.words.names.title(offer.measure), dollars(offer.cost_low), dollars(offer.cost_high)
        )
        for offer in offers
    ]


def _photos(state: WalkthroughState, stop: Stop) -> list[Content]:
    return list(_photo_rows(state, stop))


def _photo_rows(state: WalkthroughState, stop: Stop) -> Iterator[Content]:
    for place, photo in enumerate(state.photos):
        if photo.stop == stop.key:
            shown = thumbnail_of(state.path.parent / photo.file) if state.path else ""
            yield {"place": place, "file": photo.file, "note": photo.note, "picture": shown}


def thumbnail_of(path: Path) -> str:
    """A small picture of a file, worked out once for each state of it."""
    return _thumbnail(path, path.stat().st_mtime_ns) if path.is_file() else ""


@lru_cache(maxsize=300)
def _thumbnail(path: Path, _written: int) -> str:
    return thumbnail(path)
