"""What is known in a house that speaks for a measure, and what is still open; what the measure saves is elsewhere."""

from collections.abc import Iterator
from dataclasses import dataclass

from retrofit_lab.house.description import House
from retrofit_lab.house.limits import recorded_words
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at, parameter_at
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.measures.evidence import is_given, not_known, paths_of
from retrofit_lab.measures.selecting import EITHER
from retrofit_lab.safety.hazards import hazards, hazards_of

FINDING, READING, ANSWER, SAID = "finding", "reading", "answer", "said"
MADE = "made"
READ = (
    "leakage.flow",
    "leakage.readings.",
    "ducts.supply_leakage",
    "ducts.return_leakage",
    "ducts.fan_watts",
    "standby.",
    "hot_water.tap_flow",
    "hot_water.shower_flow",
)
"""Paths of numbers that someone reads off an instrument; the others are answers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One thing known of a house that speaks for a step.

    ``kind`` is `FINDING`, with a word of ``data/observations.csv`` as ``key``, `SAID` where the rater says so,
    or `READING` or `ANSWER`, with
    the declared name of a number as ``key``, its ``path``, ``value`` and ``unit``, and the label of its part of
    the house as ``place``. ``note`` is what a person wrote about it.
    """

    kind: str
    key: str
    path: str = ""
    value: float | None = None
    unit: str = ""
    place: str = ""
    note: str = ""


def evidence_for(house: House, measure: Measure) -> tuple[Evidence, ...]:
    """What is known of a house that a measure rests on: findings first, then numbers, none twice."""
    found = [item for entry in measure.rests_on for item in _known(house, entry)]
    found.sort(key=lambda item: item.kind != FINDING)
    return tuple(dict.fromkeys(found))


def has_evidence(house: House, measure: Measure) -> bool:
    """Whether everything that a measure rests on is known of a house."""
    return not not_known(house, measure.rests_on)


def missing_in(house: House, measure: Measure) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Paths of the open numbers of a house, and words to look for, that would make a measure a step there."""
    entries = not_known(house, measure.rests_on)
    paths = (path for entry in entries for path in paths_of(house, entry))
    words = (word for entry in entries for word in words_of(entry))
    return tuple(dict.fromkeys(paths)), tuple(dict.fromkeys(words))


def recorded(house: House, measure: Measure) -> tuple[str, ...]:
    """Words that call for a measure and were recorded; not those of a hazard that was released since."""
    there = {word for hazard in hazards_of(house) for word in hazard.tells}
    tells = {word for hazard in hazards().values() for word in hazard.tells}
    words = (word for entry in measure.rests_on for word in words_of(entry))
    seen = recorded_words(house)
    return tuple(w for w in words if w in seen and (w in there or w not in tells))


def is_lacking(house: House, measure: Measure) -> bool:
    """Whether a house lacks what a measure brings for health or for the house to last, by what was recorded."""
    return bool(measure.needed and recorded(house, measure))


def words_of(entry: str) -> tuple[str, ...]:
    """Words of observations among the alternatives of an entry of ``rests_on``."""
    return tuple(one for one in entry.split(EITHER) if one in observation_names())


def _known(house: House, entry: str) -> Iterator[Evidence]:
    for word in words_of(entry):
        if word in recorded_words(house):
            yield Evidence(kind=FINDING, key=word)
    for path in paths_of(house, entry):
        if is_given(house, path):
            yield _number(house, path)


def _number(house: House, path: str) -> Evidence:
    owner = number_at(house, path.rpartition(".")[0])
    place = getattr(owner, "label", "")
    if path.endswith(f".{MADE}"):
        year = str(number_at(house, path))
        return Evidence(kind=ANSWER, key=MADE, path=path, place=place, note=year)
    rule = parameter_at(house, path)
    return Evidence(
        kind=READING if path.startswith(READ) else ANSWER,
        key=rule.name,
        path=path,
        value=float(number_at(house, path)),
        unit=rule.unit,
        place=place,
    )
