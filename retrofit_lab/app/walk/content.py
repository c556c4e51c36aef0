"""What the form shows, as plain tables of text: the questions before the walk, and the present stop; no widget."""

from collections.abc import Iterator, Mapping
from dataclasses import is_dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from retrofit_lab.app.shared import wording as page_wording
from retrofit_lab.app.walk import wording
from retrofit_lab.app.walk.route import (
    Stop,
    adding_places,
    asked,
    called_for,
    field_label,
    is_here,
    main_fields,
    more_fields,
    records_at,
    stop_named,
    stop_of,
    stops,
    titles,
    word_label,
)
from retrofit_lab.app.walk.state import WEATHER, WalkthroughState
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.climate.locating import find_climate
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import choices_of, unit_of_kind
from retrofit_lab.house.first_answers import questions
from retrofit_lab.house.keeping import house_files
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at, number_fields, parameter_at
from retrofit_lab.house.photos import pictures_in
from retrofit_lab.house.pictures import thumbnail
from retrofit_lab.measures.catalogue import catalogue
from retrofit_lab.measures.fitted_measures import Offer, offers_for
from retrofit_lab.measures.in_this_house import guessed_surroundings
from retrofit_lab.measures.look_for import finding_named
from retrofit_lab.safety.cautions import cautions_for

Content = dict[str, Any]
MOST_NAMED = 5


def door_content(folder: Path) -> Content:
    """What is asked before a house is open."""
    return {
        "title": wording.TITLE,
        "start": wording.START,
        "start_help": wording.START_HELP,
        "file_name": wording.FILE_NAME,
        "open": wording.OPEN,
        "open_help": wording.OPEN_HELP,
        "no_files": wording.NO_FILES,
        "files": list(house_files(folder)),
        "questions": [_question(row) for row in questions()],
    }


def _question(row: Mapping[str, Any]) -> Content:
    return {
        "key": row["key"],
        "kind": row["kind"],
        "label": row["label"],
        "hint": row["hint"],
        "value": row.get("default", ""),
        "options": [{"word": word, "text": word} for word in row.get("options", ())],
    }


def walk_content(state: WalkthroughState) -> Content:
    """What the form shows of an open house."""
    house = state.house
    if house is None or state.path is None:
        return {}
    stop = stop_named(state.here) or stops()[0]
    return {
        "name": house.name,
        "file": state.path.name,
        "unsaved": state.unsaved,
        "can_step_back": state.can_step_back,
        "progress": _overall(house),
        "route": [_route_entry(state, house, other) for other in stops()],
        "problems": [_located(house, line) for line in state.problems],
        "oddities": [
            _located(house, f"{oddity.path}: {wording.unusual(oddity)}")
            for oddity in state.oddities
        ],
        "can_step_forward": state.can_step_forward,
        "standing": wording.standing(state.saved_at, fits=not state.unsaved),
        "elsewhere": _elsewhere(state, house),
        "stop": _stop(state, house, stop),
    }


def _elsewhere(state: WalkthroughState, house: House) -> str:
    """Names of what others changed, at most a few of them."""
    names = [_name_at(house, path) for path in state.elsewhere]
    known = [name for name in dict.fromkeys(names) if name]
    return wording.changed_elsewhere(known[:MOST_NAMED])


def _name_at(house: House, path: str) -> str:
    record = next((p for p in (path, path.rpartition(".")[0]) if _is_part(house, p)), "")
    return _title(house, record) if record else ""


def _overall(house: House) -> str:
    paths = [path for stop in stops() for path in asked(house, stop)]
    open_paths = house.assumed.intersection(paths)
    finer = len(house.assumed) - len(open_paths)
    return wording.overall(len(paths) - len(open_paths), len(paths), finer)


def _route_entry(state: WalkthroughState, house: House, stop: Stop) -> Content:
    paths = list(asked(house, stop))
    given = sum(path not in house.assumed for path in paths)
    return {
        "key": stop.key,
        "part": stop.part,
        "title": stop.title,
        "here": stop.key == state.here,
        "progress": wording.progress(given, len(paths)) if paths else "",
        "done": bool(paths) and given == len(paths),
        "wrong": any(stop_of(house, path) == stop.key for path in state.refused),
    }


def _located(house: House, line: str) -> Content:
    """A sentence about a path, with the stop where it can be mended and the part's own name."""
    path, _, sentence = line.partition(": ")
    if path == "heaters":
        path = "fuel_heaters" if house.fuel_heaters else "heat_pumps"
    record = next((p for p in (path, path.rpartition(".")[0]) if _is_part(house, p)), "")
    text = f"{_title(house, record)}: {sentence}" if record else line
    return {"stop": stop_of(house, path), "text": text}


def _is_part(house: House, path: str) -> bool:
    try:
        return bool(path) and is_dataclass(number_at(house, path))
    except InputError:
        return False


def _title(house: House, path: str) -> str:
    record: Any = number_at(house, path) if path else house
    fixed = titles().get(path or "house")
    return fixed or wording.part_title(record, _owner(house, path))


def _owner(house: House, path: str) -> str:
    """Name of the part that a part belongs to, such as the thermostat of a night setting."""
    above = path.rpartition(".")[0].rpartition(".")[0]
    return str(getattr(number_at(house, above), "label", "")) if above else ""


def _stop(state: WalkthroughState, house: House, stop: Stop) -> Content:
    order = [other.key for other in stops()]
    place = order.index(stop.key)
    return {
        "key": stop.key,
        "title": stop.title,
        "look": list(stop.look),
        "measure": list(stop.measure),
        "findings": _findings(house, stop),
        "why": stop.why,
        "care": stop.care,
        "rules": wording.RULES,
        "records": [_record(state, house, stop, path) for path in records_at(house, stop)],
        "adds": [
            {"list": p.list_path, "name": p.item.name, "text": _adding(p.item.title, p.owner)}
            for p in adding_places(house, stop)
        ],
        "observations": _observations(house, stop),
        "cautions": _cautions(house, stop),
        "measures": _measures(house, stop),
        "photos": _photos(state, stop),
        "pictures": list(pictures_in(state.path.parent)) if state.path else [],
        "before": order[place - 1] if place else "",
        "after": order[place + 1] if place + 1 < len(order) else "",
    }


def _findings(house: House, stop: Stop) -> list[Content]:
    found = [finding_named(key) for key in stop.findings]
    return [
        {"title": f.title, "look": f.look, "how": f.how, "why": f.why, "here": is_here(house, f)}
        for f in found
    ]


def _adding(title: str, owner: str) -> str:
    return f"{title} ({owner})" if owner else title


def _record(state: WalkthroughState, house: House, stop: Stop, path: str) -> Content:
    return {
        "path": path,
        "title": _title(house, path),
        "removable": _is_item(house, path),
        "fields": [_field(state, house, path, name) for name in main_fields(house, path, stop)],
        "more": [_field(state, house, path, name) for name in more_fields(house, path, stop)],
    }


def _is_item(house: House, path: str) -> bool:
    parent, _, key = path.rpartition(".")
    return bool(parent) and isinstance(number_at(house, parent), tuple) and bool(key)


def _field(state: WalkthroughState, house: House, record_path: str, name: str) -> Content:
    record: Any = number_at(house, record_path) if record_path else house
    path = f"{record_path}.{name}" if record_path else name
    made = (
        _number(house, path)
        if name in number_fields(type(record))
        else _word(house, path, record, state.folder if state.path is None else state.path.parent)
    )
    typed, refused = state.refused.get(path, ("", ""))
    odd = " ".join(wording.unusual(oddity) for oddity in state.oddities if oddity.path == path)
    return {**made, "path": path, "typed": typed, "refused": refused, "odd": odd}


def _number(house: House, path: str) -> Content:
    rule = parameter_at(house, path)
    given: Any = number_at(house, path)
    value = 0.0 if given is None else float(given)
    unknown = path in house.assumed
    return {
        "kind": "number",
        "label": rule.label[:1].upper() + rule.label[1:],
        "unit": unit_of_kind(house, path) or wording.unit_beside(rule),
        "hint": rule.way_out,
        "value": "" if unknown or given is None else wording.quantity(value, rule.unit),
        "estimate": wording.estimate(value, rule) if unknown else "",
        "options": [],
    }


def _word(house: House, path: str, record: Any, folder: Path) -> Content:
    name = path.rpartition(".")[2]
    value = getattr(record, name)
    labels = {buffer.key: buffer.label for buffer in house.buffers}
    words = choices_of(house, record, name)
    if path == WEATHER:
        return {**_weather(house, folder), "label": field_label(record.section, name)}
    return {
        "kind": "choice" if words else "text",
        "label": field_label(record.section, name),
        "unit": "",
        "hint": "",
        "value": value,
        "estimate": "",
        "options": [
            {"word": word, "text": labels.get(word) or _kind_name(record, name, word)}
            for word in words
        ],
    }


def _kind_name(record: Any, name: str, word: str) -> str:
    if record.section == "leaksite" and name == "kind":
        return next(row["name"] for row in read_rows("leak_sites.csv") if row["key"] == word)
    return word_label(name, word)


def _weather(house: House, folder: Path) -> Content:
    """The field of the place, with what weather it takes and what was filled in."""
    text = house.site.climate
    try:
        climate = find_climate(text, str(folder))
        told = [] if climate.name == text else [f"{climate.name}."]
        hint = " ".join((*told, *climate.notes, wording.WEATHER_HINT))
    except InputError as error:
        hint = f"{error} {wording.WEATHER_HINT}"
    return {"kind": "place", "unit": "", "hint": hint, "value": text, "estimate": "", "options": []}


def _observations(house: House, stop: Stop) -> list[Content]:
    names = observation_names()
    return [
        {"word": word, "text": names[word], "seen": word in house.observations}
        for word in stop.observations
        if word in names
    ]


def _cautions(house: House, stop: Stop) -> list[Content]:
    seen = set(stop.observations) & set(house.observations)
    return [
        {"title": raised.caution.title, "text": raised.caution.text}
        for raised in cautions_for(house, (), below_minimum_ventilation=False)
        if seen & set(raised.caution.observations)
    ]


def _offers(house: House) -> tuple[Offer, ...]:
    """What the catalogue has for a house on its walk, before any year is worked out."""
    return offers_for(house, catalogue(), around=guessed_surroundings(house))[1]


def _measures(house: House, stop: Stop) -> list[str]:
    try:
        offers = called_for(house, stop, _offers(house))
    except InputError:
        return []
    dollars = page_wording.dollars
    return [
        wording.measure_line(offer.measure.title, dollars(offer.cost_low), dollars(offer.cost_high))
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
