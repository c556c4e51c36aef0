"""The choices that a visitor keeps beside each other, four at most; held in the page, never on disk."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from retrofit_lab.base.values import InputError

MOST_KEPT = 4
MOST_LETTERS = 40
_NOT_SHOWN = re.compile(r"[\x00-\x1f\x7f\u2028\u2029\u202a-\u202e\u2066-\u2069]+")
"""Control characters, and those that turn the direction of text round."""


class ScenarioError(InputError):
    """A choice cannot be kept, renamed or removed as asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A choice under a name."""

    name: str
    ticked: tuple[str, ...]


Scenarios = tuple[Scenario, ...]


def plain_name(text: Any) -> str:
    """Name as it is kept: one line, at most `MOST_LETTERS` letters."""
    if not isinstance(text, str):
        return ""
    return " ".join(_NOT_SHOWN.sub(" ", text[: 4 * MOST_LETTERS]).split())[:MOST_LETTERS].strip()


def kept(scenarios: Scenarios, name: Any, ticked: Sequence[str]) -> Scenarios:
    """Scenarios with one more, under the name given or the next number.

    Raises
    ------
    ScenarioError
        When there are four already, or one has that name.
    """
    if len(scenarios) >= MOST_KEPT:
        raise ScenarioError(
            f"{MOST_KEPT} choices are kept already; remove one to keep another in its place."
        )
    named = plain_name(name) or _next_name(scenarios)
    _check_new(scenarios, named)
    return (*scenarios, Scenario(name=named, ticked=tuple(ticked)))


def renamed(scenarios: Scenarios, place: Any, name: Any) -> Scenarios:
    """Scenarios with one under another name.

    Raises
    ------
    ScenarioError
        When there is no such place, or the name is empty or taken.
    """
    number = _place(scenarios, place)
    named = plain_name(name)
    if not named:
        raise ScenarioError("A choice needs a name; type one, such as 'attic first'.")
    others = (*scenarios[:number], *scenarios[number + 1 :])
    _check_new(others, named)
    changed = replace(scenarios[number], name=named)
    return (*scenarios[:number], changed, *scenarios[number + 1 :])


def removed(scenarios: Scenarios, place: Any) -> Scenarios:
    """Scenarios without one.

    Raises
    ------
    ScenarioError
        When there is no such place.
    """
    number = _place(scenarios, place)
    return (*scenarios[:number], *scenarios[number + 1 :])


def scenarios_from(sent: Any, usable: Callable[[list[Any]], tuple[str, ...]]) -> Scenarios:
    """Scenarios of a link or a file; what is none is left out.

    Parameters
    ----------
    sent : Any
        As a rule a list of names with lists of measures; a page may send anything.
    usable : callable
        Gives those of some measures that the house has and that can go together.
    """
    found: Scenarios = ()
    for item in sent[:MOST_KEPT] if isinstance(sent, list) else ():
        keys = item.get("ticked") if isinstance(item, dict) else None
        if not isinstance(keys, list):
            continue
        name = plain_name(item.get("name"))
        taken = name in [scenario.name for scenario in found]
        found = kept(found, "" if taken else name, usable(keys))
    return found


def _place(scenarios: Scenarios, place: Any) -> int:
    usable = isinstance(place, int) and not isinstance(place, bool)
    if not usable or not 0 <= place < len(scenarios):
        raise ScenarioError("There is no such choice any more; look at the table again.")
    return int(place)


def _check_new(scenarios: Scenarios, name: str) -> None:
    if name in [scenario.name for scenario in scenarios]:
        raise ScenarioError(f"'{name}' is there already; give this choice another name.")


def _next_name(scenarios: Scenarios) -> str:
    names = [scenario.name for scenario in scenarios]
    numbers = range(1, MOST_KEPT + len(names) + 2)
    return next(f"Choice {n}" for n in numbers if f"Choice {n}" not in names)
