"""The plans that a visitor keeps beside each other, four at most; held in the page, never on disk; no words."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

MOST_KEPT = 4
MOST_LETTERS = 40
NUMBERED = "{count}"
_NOT_SHOWN = re.compile(r"[\x00-\x1f\x7f\u2028\u2029\u202a-\u202e\u2066-\u2069]+")
"""Control characters, and those that turn the direction of text round."""


class KeepingError(Exception):
    """A plan cannot be kept, renamed or removed as asked; the catalog says why under ``kept.KEY``."""

    def __init__(self, key: str, **blanks: object) -> None:
        super().__init__(key)
        self.key, self.blanks = key, blanks


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlan:
    """A plan under a name."""

    name: str
    ticked: tuple[str, ...]


KeptPlans = tuple[KeptPlan, ...]


def plain_name(text: Any) -> str:
    """Name as it is kept: one line, at most `MOST_LETTERS` letters."""
    if not isinstance(text, str):
        return ""
    return " ".join(_NOT_SHOWN.sub(" ", text[: 4 * MOST_LETTERS]).split())[:MOST_LETTERS].strip()


def kept(plans: KeptPlans, name: Any, ticked: Sequence[str], numbered: str = NUMBERED) -> KeptPlans:
    """Plans with one more, under the name given or the next number.

    ``numbered`` says how a plan without a name is called, with a blank for its number.

    Raises
    ------
    KeepingError
        When there are four already, or one has that name.
    """
    if len(plans) >= MOST_KEPT:
        raise KeepingError("full", count=MOST_KEPT)
    named = plain_name(name) or _next_name(plans, numbered)
    _check_new(plans, named)
    return (*plans, KeptPlan(name=named, ticked=tuple(ticked)))


def renamed(plans: KeptPlans, place: Any, name: Any) -> KeptPlans:
    """Plans with one under another name.

    Raises
    ------
    KeepingError
        When there is no such place, or the name is empty or taken.
    """
    number = _place(plans, place)
    named = plain_name(name)
    if not named:
        raise KeepingError("needs_name")
    others = (*plans[:number], *plans[number + 1 :])
    _check_new(others, named)
    changed = replace(plans[number], name=named)
    return (*plans[:number], changed, *plans[number + 1 :])


def removed(plans: KeptPlans, place: Any) -> KeptPlans:
    """Plans without one.

    Raises
    ------
    KeepingError
        When there is no such place.
    """
    number = _place(plans, place)
    return (*plans[:number], *plans[number + 1 :])


def kept_from(
    sent: Any, usable: Callable[[list[Any]], tuple[str, ...]], numbered: str = NUMBERED
) -> KeptPlans:
    """Plans of a link or a file; what is none is left out.

    Parameters
    ----------
    sent : Any
        As a rule a list of names with lists of measures; a page may send anything.
    usable : callable
        Gives those of some measures that the house has and that can go together.
    """
    found: KeptPlans = ()
    for item in sent[:MOST_KEPT] if isinstance(sent, list) else ():
        keys = item.get("ticked") if isinstance(item, dict) else None
        if not isinstance(keys, list):
            continue
        name = plain_name(item.get("name"))
        taken = name in [plan.name for plan in found]
        found = kept(found, "" if taken else name, usable(keys), numbered)
    return found


def _place(plans: KeptPlans, place: Any) -> int:
    usable = isinstance(place, int) and not isinstance(place, bool)
    if not usable or not 0 <= place < len(plans):
        raise KeepingError("gone")
    return int(place)


def _check_new(plans: KeptPlans, name: str) -> None:
    if name in [plan.name for plan in plans]:
        raise KeepingError("taken", name=name)


def _next_name(plans: KeptPlans, numbered: str) -> str:
    names = [plan.name for plan in plans]
    numbers = (numbered.format(count=n) for n in range(1, MOST_KEPT + len(names) + 2))
    return next(name for name in numbers if name not in names)
