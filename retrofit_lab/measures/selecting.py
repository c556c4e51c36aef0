"""Finds parts of a house by a short text such as ``surfaces[kind=rim]``; knows nothing of what is done to them."""

import operator
import re
from collections.abc import Callable, Iterator
from typing import Any

from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import House
from retrofit_lab.texts.english_only import sentence

EITHER = " or "
_SEGMENT = re.compile(r"([a-z_]+)(?:\[([^\]]*)\])?")
_WHOLE = re.compile(r"[a-z_]+(?:\[[^\]]*\])?(?:\.[a-z_]+(?:\[[^\]]*\])?)*")
_CONDITION = re.compile(r"^\s*([a-z_]+)\s*(!=|=|<|>)\s*(.+?)\s*$")
_COMPARE: dict[str, Callable[[float, float], bool]] = {
    "=": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    ">": operator.gt,
}


def select(house: House, text: str) -> tuple[str, ...]:
    """Paths of the records that a selector names.

    Parameters
    ----------
    house : House
        House to look in.
    text : str
        Names of lists joined by dots, each with conditions in brackets:
        ``leakage.sites[kind=band_joist]``, ``zones.periods[key=night]``,
        ``surfaces[kind=ceiling,outside_kind=attic]``. ``inside_kind``, ``outside_kind`` and
        ``place_kind`` ask for the kind of the buffer that stands there. Selectors joined by ``or``
        find what any of them finds, each record once.

    Raises
    ------
    InputError
        When the text is no selector, or names a list that a house does not have.
    """
    if EITHER in text:
        found_by = (path for one in text.split(EITHER) for path in select(house, one))
        return tuple(dict.fromkeys(found_by))
    if not is_selector(text):
        raise InputError(sentence("measures_selecting.selector_write", text=text))
    found: list[tuple[str, Any]] = [("", house)]
    for name, tests in _SEGMENT.findall(text):
        found = [
            step for prefix, record in found for step in _step(house, prefix, record, name, tests)
        ]
    return tuple(path for path, _ in found)


def is_selector(text: str) -> bool:
    """Whether a text has the form of a selector; what it names may still be missing in a house."""
    return all(_WHOLE.fullmatch(one) for one in text.split(EITHER))


def _step(
    house: House, prefix: str, record: Any, name: str, tests: str
) -> Iterator[tuple[str, Any]]:
    if not hasattr(record, name):
        raise InputError(f"a {type(record).__name__} has no '{name}'")
    child = getattr(record, name)
    path = f"{prefix}.{name}" if prefix else name
    if isinstance(child, tuple):
        for item in child:
            if _passes(house, item, tests):
                yield f"{path}.{item.key}", item
    elif _passes(house, child, tests):
        yield path, child


def _passes(house: House, item: Any, tests: str) -> bool:
    return all(holds(house, item, test) for test in tests.split(",") if test)


def holds(house: House, item: Any, test: str) -> bool:
    """Whether a record fulfils a condition such as ``kind=rim`` or ``share>0``.

    Raises
    ------
    InputError
        When the text is no condition, or names what the record does not have.
    """
    parsed = _CONDITION.match(test)
    if not parsed:
        raise InputError(sentence("measures_selecting.condition_write", test=test))
    name, sign, wanted = parsed.groups()
    value = _attribute(house, item, name)
    if isinstance(value, str):
        return (value in wanted.split("|")) == (sign == "=")
    return _COMPARE[sign](float(value), float(wanted))


def _attribute(house: House, item: Any, name: str) -> Any:
    if name.endswith("_kind"):
        place = getattr(item, name.removesuffix("_kind"))
        return next((b.kind for b in house.buffers if b.key == place), place)
    if not hasattr(item, name):
        raise InputError(f"a {type(item).__name__} has no '{name}'")
    return getattr(item, name)
