"""Changes of one house by what a person answers: numbers typed, words chosen, parts added and removed.

Every change gives a new house and keeps the account of which numbers no one gave. Nothing is written here.
"""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from retrofit_lab.base.fuels import fuels
from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError, number_problem
from retrofit_lab.house.description import INSIDE, House
from retrofit_lab.house.estimating import estimates_follow, with_estimates
from retrofit_lab.house.file import MOST_ITEMS
from retrofit_lab.house.items import Item, list_kind, settled
from retrofit_lab.house.observations import unknown_observation
from retrofit_lab.house.paths import (
    may_stay_open,
    number_at,
    number_fields,
    numbers,
    parameter_at,
    with_numbers,
)
from retrofit_lab.house.second_hand import usual_number
from retrofit_lab.house.typed import read_typed, reading_and_pressure
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import told
from retrofit_lab.texts.refusals import word as data_word

MOST_LETTERS = 4000
DOLLARS = "dollars"
LENGTH_OR_AREA = ("ft", "ft2")
LEAST_PERCENT = 2.0
"""A share of at least this is taken in percent. [%]"""
OF_A_KIND = ("u_value", "shgc")
"""Numbers that windows of one kind have in common."""
DUCT_LEAKS = ("ducts.supply_leakage", "ducts.return_leakage")
DUCT_TEST = 25.0
"""Pressure of a duct leakage test. [Pa]"""
DUCT_EXPONENT = 0.6
"""Of the flow through leaks of ducts. [1] (common practice)"""
HEATERS = ("fuel_heaters", "heat_pumps")
"""Lists whose shares add up together."""
LEADING = ("made", "kind", "fuel", "fill", "r_label", "cavity_depth")
"""Entries that other numbers of the same part follow while no one has given those."""
PLACE_FIELDS = ("inside", "outside", "place", "supply_place", "return_place", "pipe_place")


def with_answer(house: House, path: str, text: str, folder: str = ".") -> House:
    """House with one number answered, and its estimates after it; an empty text takes the answer back.

    Parameters
    ----------
    house : House
        House so far.
    path : str
        Path of the number.
    text : str
        What was typed; see `retrofit_lab.house.typed.read_typed`. A flow may be typed with its
        pressure, as in ``"1850 cfm at 50 Pa"``.
    folder : str
        Where a weather file named by the house lies.

    Raises
    ------
    HouseError
        When there is no such number, or the text cannot stand there.
    """
    _known(house, path)
    if not text.strip():
        return with_estimates(_taken_back(house, path), folder)
    answers = _with_pressure(house, path, text)
    values = {name: _read(house, name, typed) for name, typed in answers.items()}
    answered = replace(with_numbers(house, values), assumed=house.assumed - values.keys())
    return _followed(answered, path, folder)


def with_word(house: House, path: str, word: str, folder: str = ".") -> House:
    """House with one of its words replaced: a kind, a place, a label, its name or its note.

    Raises
    ------
    HouseError
        When there is no such word, or it is none of those that may stand there.
    """
    parent, _, name = path.rpartition(".")
    owner = _record(house, parent)
    if name == "key" or name not in {f.name for f in fields(owner)}:
        raise HouseError(told("edit.no_word", path=path))
    if not isinstance(getattr(owner, name), str):
        raise HouseError(told("edit.no_word", path=path))
    allowed = choices_of(house, owner, name)
    if allowed and word not in allowed:
        raise HouseError(told("edit.word", word=word, allowed=allowed))
    if len(word) > MOST_LETTERS:
        raise HouseError(told("edit.letters", count=len(word), most=MOST_LETTERS))
    if name in ("name", "label") and not word.strip():
        raise HouseError(told("edit.name"))
    house = with_numbers(house, {path: word})
    return _followed(house, path, folder)


def with_item(house: House, list_path: str, item: Item, folder: str = ".") -> tuple[House, str]:
    """House with a ready-made part added, and the path of the part; its numbers count as estimates.

    Raises
    ------
    HouseError
        When the house has no such list, the part does not fit, or the list is full.
    """
    there = _list(house, list_path)
    if type(item.record) is not list_kind(list_path):
        raise HouseError(told("edit.belongs", item=item.title, path=list_path))
    if len(there) >= MOST_ITEMS:
        raise HouseError(told("edit.full", path=list_path, count=len(there), most=MOST_ITEMS))
    places = frozenset(buffer.key for buffer in house.buffers)
    record = _with_own_key(settled(item.record, places), [other.key for other in there])
    record = _room_for(house, list_path, record)
    path = f"{list_path}.{record.key}"
    house = with_numbers(house, {list_path: (*there, record)})
    new = {name for name, _ in numbers(house) if name.startswith(f"{path}.")}
    house = replace(house, assumed=house.assumed | new)
    return with_estimates(house, folder) if estimates_follow(path) else house, path


def without_item(house: House, path: str, folder: str = ".") -> House:
    """House without one of its parts.

    Raises
    ------
    HouseError
        When there is no such part, or other parts lie in it or border on it.
    """
    list_path, _, key = path.rpartition(".")
    there = _list(house, list_path)
    if key not in [item.key for item in there]:
        raise HouseError(told("edit.nothing", path=path))
    if list_path == "buffers":
        _nothing_borders(house, key)
    left = tuple(item for item in there if item.key != key)
    house = with_numbers(house, {list_path: left})
    house = replace(house, assumed=house.assumed & {name for name, _ in numbers(house)})
    return with_estimates(house, folder) if estimates_follow(path) else house


def with_observation(house: House, word: str, seen: bool) -> House:
    """House with an observation noted or struck out.

    Raises
    ------
    HouseError
        When the observation is none of ``data/observations.csv``.
    """
    refusal = unknown_observation(word)
    if refusal:
        raise HouseError(refusal)
    others = tuple(other for other in house.observations if other != word)
    return replace(house, observations=(*others, word) if seen else others)


def choices_of(house: House, owner: Any, name: str) -> tuple[str, ...]:
    """Words that may stand in a field of a record; nothing where any text may."""
    if name in PLACE_FIELDS and name not in owner.choices:
        beyond = ("outdoors",) if name == "outside" else ()
        return (INSIDE, *(buffer.key for buffer in house.buffers), *beyond)
    if owner.section == "leaksite" and name == "kind":
        return tuple(row["key"] for row in read_rows("leak_sites.csv"))
    if owner.section == "fillreading" and name == "of":
        return ("", *(surface.key for surface in house.surfaces if surface.kind == "ceiling"))
    return tuple(owner.choices.get(name, ()))


def unit_of_kind(house: House, path: str) -> str:
    """Unit that a plain number has by the kind of its part, such as ft of baseboard; or nothing."""
    parent, _, name = path.rpartition(".")
    owner = _record(house, parent)
    if owner.section == "leaksite" and name == "count":
        return next((r["unit"] for r in read_rows("leak_sites.csv") if r["key"] == owner.kind), "")
    if owner.section == "price":
        unit = fuels()[owner.key].unit if owner.key in fuels() else "unit"
        return {"price": f"{DOLLARS} a {unit}", "co2": f"kg a {unit}"}.get(
            name, f"{DOLLARS} a month"
        )
    return DOLLARS if owner.section == "recommendation" or path == "job.budget" else ""


def _read(house: House, path: str, text: str) -> float:
    rule = parameter_at(house, path)
    unit = unit_of_kind(house, path)
    text = text.strip().removeprefix("$") if unit.startswith(DOLLARS) else text
    try:
        value = read_typed(text, unit if unit in LENGTH_OR_AREA else rule.unit)
    except InputError as error:
        label = Word("parameter", rule.name, rule.label)
        raise HouseError(told("number.of", label=label, why=error)) from error
    value = _as_share(value, rule)
    if problem := number_problem("", value, rule):
        raise HouseError(problem)
    return value


def _as_share(value: float, rule: Parameter) -> float:
    """A share that was typed in percent; between 1 and 2 it could be either, and is refused."""
    percent = rule.unit == "1" and rule.legal_high <= 1.0 and LEAST_PERCENT <= value <= 100.0
    return value / 100.0 if percent else value


def _with_pressure(house: House, path: str, text: str) -> Mapping[str, str]:
    parent, _, name = path.rpartition(".")
    flow, pressure = reading_and_pressure(text)
    if path in DUCT_LEAKS and "cfm" in flow.lower():
        return {path: repr(_share_of_fan(house, flow, pressure))}
    if name != "flow" or not pressure or not hasattr(_record(house, parent), "pressure"):
        return {path: text}
    return {path: flow, f"{parent}.pressure": pressure}


def _share_of_fan(house: House, flow: str, pressure: str) -> float:
    """Leakage of a duct test as a share of the fan's airflow. [1]"""
    try:
        leak = read_typed(flow, "cfm")
        at = read_typed(pressure, "Pa") if pressure else DUCT_TEST
    except InputError as error:
        raise HouseError(told("edit.duct_leakage", why=error)) from error
    if at <= 0.0:
        raise HouseError(told("edit.duct_pressure"))
    return float(leak * (DUCT_TEST / at) ** DUCT_EXPONENT / house.ducts.flow)


def with_copy(house: House, path: str) -> tuple[House, str]:
    """House with a part once more, answered and open as it is, and the path of the copy.

    Raises
    ------
    HouseError
        When there is no such part, or the list is full.
    """
    list_path, _, key = path.rpartition(".")
    there = _list(house, list_path)
    if key not in [item.key for item in there]:
        raise HouseError(told("edit.nothing", path=path))
    if len(there) >= MOST_ITEMS:
        raise HouseError(told("edit.full", path=list_path, count=len(there), most=MOST_ITEMS))
    record = _with_own_key(_record(house, path), [other.key for other in there])
    new = f"{list_path}.{record.key}"
    open_there = {p for p in house.assumed if p.startswith(f"{path}.")}
    house = with_numbers(house, {list_path: (*there, record)})
    opened = {new + p.removeprefix(path) for p in open_there}
    return replace(house, assumed=house.assumed | opened), new


def with_same_windows(house: House, path: str) -> House:
    """House in which all other windows that no one described are of the kind of one of them.

    Raises
    ------
    HouseError
        When there is no such window, or its own kind is open.
    """
    like = _record(house, path)
    known = [name for name in OF_A_KIND if f"{path}.{name}" not in house.assumed]
    if path not in [f"windows.{window.key}" for window in house.windows] or not known:
        raise HouseError(told("edit.same_windows"))
    others = [f"windows.{window.key}.{name}" for window in house.windows for name in known]
    taken = {
        other: getattr(like, other.rpartition(".")[2]) for other in others if other in house.assumed
    }
    return replace(with_numbers(house, taken), assumed=house.assumed - taken.keys())


def _taken_back(house: House, path: str) -> House:
    if _is_open(house, path):
        return with_numbers(house, {path: None})
    default = parameter_at(house, path).default
    value = number_at(house, path) if default is None else default
    return replace(with_numbers(house, {path: value}), assumed=house.assumed | {path})


def _known(house: House, path: str) -> None:
    if not _is_open(house, path) and path not in {name for name, _ in numbers(house)}:
        raise HouseError(told("edit.no_number", path=path))


def _is_open(house: House, path: str) -> bool:
    """Whether a path names a number that may stay open, given or not."""
    parent, _, name = path.rpartition(".")
    try:
        owner: Any = number_at(house, parent) if parent else house
    except InputError:
        return False
    return is_dataclass(owner) and name in may_stay_open(type(owner))


def _record(house: House, path: str) -> Any:
    try:
        record: Any = number_at(house, path) if path else house
    except InputError as error:
        raise HouseError(*error.args) from error
    if not is_dataclass(record):
        raise HouseError(told("edit.no_part", path=path))
    return record


def _list(house: House, path: str) -> tuple[Any, ...]:
    parent, _, name = path.rpartition(".")
    owner = _record(house, parent)
    found = getattr(owner, name, None)
    if not isinstance(found, tuple) or name == "observations":
        raise HouseError(told("edit.no_list", path=path))
    return found


def _with_own_key(record: Any, taken: list[str]) -> Any:
    key, number = record.key, 2
    if record.section == "price" and key in taken:
        raise HouseError(told("edit.price_twice", fuel=data_word(key.replace("_", " "))))
    while key in taken:
        key, number = f"{record.key}_{number}", number + 1
    return replace(record, key=key)


def _room_for(house: House, list_path: str, record: Any) -> Any:
    """Part whose share is what the others leave, so that adding a small heater breaks nothing."""
    if "share" not in number_fields(type(record)):
        return record
    lists = HEATERS if list_path in HEATERS else (list_path,)
    left = 1.0 - sum(float(other.share) for name in lists for other in _list(house, name))
    return replace(record, share=max(round(left, 6), 0.0))


def _followed(house: House, path: str, folder: str) -> House:
    """House whose estimates follow an answer: those of its own part, or those of the whole house."""
    parent, _, name = path.rpartition(".")
    if name in LEADING:
        house = _with_followers(house, parent)
    return with_estimates(house, folder) if estimates_follow(path) else house


def _with_followers(house: House, parent: str) -> House:
    """House whose estimates follow an answer beside them: a rating the year, studs the fill they hold."""
    owner = _record(house, parent)
    table = {f.name: getattr(owner, f.name) for f in fields(owner)}
    usual = {
        f"{parent}.{name}": usual_number(f"{owner.section}.{name}", table)
        for name in number_fields(type(owner))
    }
    known = {name: value for name, value in usual.items() if value is not None}
    return with_numbers(house, {name: known[name] for name in known.keys() & house.assumed})


def _nothing_borders(house: House, key: str) -> None:
    found = [
        Word("part", label, label) if (label := getattr(record, "label", "")) else name
        for name, record in _owners(house, "")
        if any(getattr(record, field, None) == key for field in PLACE_FIELDS)
    ]
    if found:
        raise HouseError(told("edit.still_there", names=found))


def _owners(record: Any, prefix: str) -> Any:
    for f in fields(record):
        value = getattr(record, f.name)
        for item in value if isinstance(value, tuple) else (value,):
            if is_dataclass(item):
                yield f"{prefix}{f.name}", item
                yield from _owners(item, f"{prefix}{f.name}.")
