"""Reads and writes house files: TOML of our own, units in the values, version and every key checked.

What the numbers must satisfy is in checking.py.
"""

from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass, replace
from pathlib import Path
from typing import Any, get_args, get_type_hints

from retrofit_lab.base.atomic_write import write_whole
from retrofit_lab.base.parameters import Parameter, parameters
from retrofit_lab.base.toml_file import toml_table
from retrofit_lab.base.units import read_quantity, write_quantity
from retrofit_lab.base.values import InputError, shown
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.observations import unknown_observation
from retrofit_lab.house.paths import may_stay_open, number_at, number_fields, numbers, parameter_at
from retrofit_lab.house.second_hand import usual_number
from retrofit_lab.texts import Word
from retrofit_lab.texts.refusals import Sentence, lines, lines_of, told, word

FORMAT = "retrofit-lab house"
VERSION = 1
MOST_BYTES = 2_000_000
MOST_ITEMS = 400
MOST_LETTERS = 4000
OPEN = object()
"""Stands for a number that no one gave and nothing stands in for, while a file is read."""
LEFT_OUT_WHOLE = ("basics", "job", "measured")
"""Parts that are left out of a file where nothing was said of them."""
SPARSE = ("house.intake", "house.measured")
"""Modules whose records are written without what no one said."""
ESTIMATES = "assumed"
"""Key of the list of numbers that stand in the file although no one gave them."""


def load_house(path: str | Path) -> House:
    """House that a file describes.

    Raises
    ------
    HouseError
        When the file cannot be read or used; names file, field, value, rule and way out.
    """
    path = Path(path)
    try:
        house = house_from_table(toml_table(path, "house file", MOST_BYTES))
        check_house(house)
    except InputError as error:
        problems = lines_of(error)
        raise HouseError(
            lines(told("file.of", name=path.name, line=line) for line in problems)
        ) from error
    return house


def house_from_table(table: Mapping[str, Any]) -> House:
    """House from the parsed content of a file, not yet checked as a whole."""
    content = dict(table)
    _check_header(content.pop("format", None), content.pop("version", None))
    problems: list[str] = []
    assumed: set[str] = set()
    estimates = content.pop(ESTIMATES, [])
    record: House = _Reading(problems, assumed).record(House, content, "")
    if not problems:
        problems += _estimate_problems(record, estimates)
    if problems:
        raise HouseError(lines(problems))
    return replace(record, assumed=frozenset([*assumed, *estimates]))


def record_from_table(kind: type, table: Mapping[str, Any]) -> Any:
    """One record, such as a fan or a heater, from a table with units in its values.

    Raises
    ------
    HouseError
        When a key is missing, unknown or unreadable.
    """
    problems: list[str] = []
    record = _Reading(problems, set()).record(kind, table, "")
    if problems:
        raise HouseError(lines(problems))
    return record


def house_to_table(house: House) -> dict[str, Any]:
    """Content of a file that describes the house.

    Numbers that no one gave are left out where the declared default stands for them; where another
    value stands, it is written and its path is listed under ``assumed``.
    """
    left_out = frozenset(path for path in house.assumed if _is_default(house, path))
    estimates = sorted(house.assumed - left_out)
    header = {"format": FORMAT, "version": VERSION, **({ESTIMATES: estimates} if estimates else {})}
    return {**header, **_written(house, left_out, "")}


def save_house(house: House, path: str | Path) -> None:
    """Write a house to a file so that a crash leaves either the old file or the new one."""
    import tomli_w  # noqa: PLC0415 - only saving needs it

    write_whole(path, tomli_w.dumps(house_to_table(house)))


def _check_header(form: Any, version: Any) -> None:
    if form is None:
        raise HouseError(told("file.no_format", wanted=FORMAT))
    if form != FORMAT:
        raise HouseError(told("file.format", form=shown(form), wanted=FORMAT))
    if version != VERSION:
        raise HouseError(told("file.version", version=shown(version), wanted=VERSION))


def _estimate_problems(house: House, estimates: Any) -> list[str]:
    if not isinstance(estimates, list | tuple) or not all(isinstance(p, str) for p in estimates):
        return [told("file.paths", path=ESTIMATES)]
    known = {path for path, _ in numbers(house)}
    return [
        told("file.no_number", list=ESTIMATES, path=path) for path in estimates if path not in known
    ]


def _is_default(house: House, path: str) -> bool:
    """Whether the reader puts the same number in the place of one that is left out."""
    parent = path.rpartition(".")[0]
    rule = parameter_at(house, path)
    owner: Any = number_at(house, parent) if parent else house
    usual = usual_number(rule.name, {f.name: getattr(owner, f.name) for f in fields(owner)})
    default = rule.default if usual is None else usual
    return default is not None and float(number_at(house, path)) == default


class _Reading:
    """One pass over a file's content that collects all problems instead of stopping at the first."""

    def __init__(self, problems: list[str], assumed: set[str]) -> None:
        self.problems = problems
        self.assumed = assumed

    def record(self, kind: type, table: Any, prefix: str) -> Any:
        if not isinstance(table, Mapping):
            self.problems.append(told("file.table", path=prefix.rstrip(".") or word("file")))
            return None
        known = {f.name: f for f in fields(kind) if f.name != "assumed"}
        for name in table.keys() - known.keys():
            self.problems.append(
                told("file.unknown_key", path=f"{prefix}{name}", known=sorted(known))
            )
        values = {name: self.field(kind, f, table, prefix) for name, f in known.items()}
        missing = [name for name, value in values.items() if value is MISSING]
        for name in missing:
            self.problems.append(
                told("file.no_key", path=f"{prefix}{name}", way=_way_out(kind, name))
            )
        if missing or any(value is None for value in values.values()):
            return None
        return kind(**{name: None if value is OPEN else value for name, value in values.items()})

    def field(self, kind: type, f: Field[Any], table: Mapping[str, Any], prefix: str) -> Any:
        path = f"{prefix}{f.name}"
        if f.name in number_fields(kind):
            if f.name in may_stay_open(kind) and f.name not in table:
                return OPEN
            return self.number(f"{kind.section}.{f.name}", f.name, table, path)  # type: ignore[attr-defined]
        hint = get_type_hints(kind)[f.name]
        if hint is str:
            return self.text(f, table, path)
        if is_dataclass(hint):
            content = table.get(f.name, {})
            return self.record(hint, content, f"{path}.")  # type: ignore[arg-type]
        return self.items(get_args(hint)[0], table.get(f.name, ()), path)

    def number(self, name: str, key: str, table: Mapping[str, Any], path: str) -> Any:
        rule = parameters()[name]
        if key not in table:
            usual = usual_number(name, table)
            value = rule.default if usual is None else usual
            if value is not None:
                self.assumed.add(path)
            return MISSING if value is None else value
        try:
            return read_quantity(table[key], rule.unit)
        except InputError as error:
            self.problems.append(told("file.bad_number", path=path, label=_label(rule), why=error))
        except TypeError:
            self.problems.append(
                told("file.not_a_number", path=path, label=_label(rule), value=repr(table[key]))
            )
        return None

    def text(self, f: Field[Any], table: Mapping[str, Any], path: str) -> Any:
        value = table.get(f.name, f.default)
        if value is MISSING or isinstance(value, str):
            if isinstance(value, str) and len(value) > MOST_LETTERS:
                self.problems.append(told("file.long_text", path=path, most=MOST_LETTERS))
            return value
        self.problems.append(told("file.no_text", path=path, value=repr(value)))
        return None

    def items(self, kind: Any, content: Any, path: str) -> Any:
        if not isinstance(content, list | tuple) or len(content) > MOST_ITEMS:
            self.problems.append(told("file.list", path=path, most=MOST_ITEMS))
            return None
        if kind is str:
            return self.words(content, path)
        return self._records(kind, content, path)

    def words(self, content: Any, path: str) -> Any:
        if not all(isinstance(word, str) for word in content):
            self.problems.append(told("file.words", path=path))
            return None
        seen = content if path == "observations" else ()
        unknown = [refusal for word in seen if (refusal := unknown_observation(word))]
        self.problems += [told("file.of", name=path, line=refusal) for refusal in unknown]
        return None if unknown else tuple(content)

    def _records(self, kind: type, content: Any, path: str) -> Any:
        made = []
        for place, table in enumerate(content, start=1):
            named = isinstance(table, Mapping) and isinstance(table.get("key"), str)
            key = table["key"] if named else f"item {place}"
            made.append(self.record(kind, table, f"{path}.{key}."))
        return None if None in made else tuple(made)


def _label(rule: Parameter) -> Word:
    return Word("parameter", rule.name, rule.label)


def _way_out(kind: type, name: str) -> Word | Sentence:
    rule = parameters().get(f"{kind.section}.{name}")  # type: ignore[attr-defined]
    return Word("hint", rule.name, rule.way_out) if rule else told("file.add_it")


def _written(record: Any, assumed: frozenset[str], prefix: str) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for f in fields(record):
        value = getattr(record, f.name)
        path = f"{prefix}{f.name}"
        if f.name == "assumed" or path in assumed or _says_nothing(record, f, value):
            continue
        if f.name in number_fields(type(record)):
            table[f.name] = write_quantity(float(value), _rule_unit(record, f.name))
        elif is_dataclass(value):
            table[f.name] = _written(value, assumed, f"{path}.")
        elif isinstance(value, tuple):
            table[f.name] = [_item_written(item, assumed, path) for item in value]
        else:
            table[f.name] = value
    return table


def _says_nothing(record: Any, f: Field[Any], value: Any) -> bool:
    """Whether a file can do without a field: a number left open, or a part of which nothing was said."""
    sparse = type(record).__module__.endswith(SPARSE) or f.name in LEFT_OUT_WHOLE
    return value is None or (sparse and value == f.default)


def _item_written(item: Any, assumed: frozenset[str], path: str) -> Any:
    return item if isinstance(item, str) else _written(item, assumed, f"{path}.{item.key}.")


def _rule_unit(record: Any, name: str) -> str:
    return parameters()[f"{record.section}.{name}"].unit
