"""The catalog of measures as it is in ``data/measures/``, read and checked; nothing of any house."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.records import (
    check_word,
    known_keys,
    record,
    records,
    shipped_table,
    word_problem,
)
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import House
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import field_names, fields_below
from retrofit_lab.measures.evidence import evidence_problem
from retrofit_lab.measures.selecting import EITHER
from retrofit_lab.texts.english_only import sentence

OPERATIONS = ("to", "at_least", "at_most", "times", "plus", "seal")
NEEDS = ("", "health", "durability")
PHASES = (
    "free",
    "seal_and_insulate",
    "ducts",
    "ventilation",
    "water",
    "equipment",
    "over_time",
)
"""Phases of the work in a house in their order; hazards are settled before the first."""
VISITS = ("insulation crew", "duct crew", "heating technician", "electrician", "plumber")
"""Trades that come once for all that they do in a house."""
SCALES = ("empty walls",)
"""Shares of a house that a change may be scaled by; see `fitted_measures.py`."""
DOERS = ("owner", "trade", "licensed trade")
MARKS = ("read", "memory", "common practice, no source")


class MeasureError(InputError):
    """A catalog entry or a choice of measures that cannot be used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One number that a measure changes: which records, which field, how and to what.

    A ``scale``, one of `SCALES`, is a share of the house by which a sealed share is multiplied.
    """

    where: str
    field: str
    op: str
    value: str | float
    scale: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """An item that the house gets with the measure; its share or flow is switched by a change."""

    to: str
    item: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Price of a measure: setup, fixed part and price for each unit of quantity. [dollars]

    The ``setup`` is paid once for all measures of one ``visit``, a word of `VISITS`. The quantity is the
    sum over the records ``of`` of the product of ``fields``; with no fields it is their number, with no
    ``of`` it is one.
    """

    of: str = ""
    fields: tuple[str, ...] = ()
    unit: str = "job"
    visit: str = ""
    setup: float = 0.0
    fixed: float = 0.0
    low: float
    likely: float
    high: float
    minimum: float = 0.0
    year: int
    source: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Life:
    """Years that a measure lasts."""

    years: float
    source: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One improvement as the catalog describes it.

    ``in_short`` says in about five words what it is, for a homeowner who does not know the trade's ``title``.
    ``after`` names measures that should be done before this one when both are chosen; ``buries`` names sealing
    that no one reaches any more once this is done, so that no proposal has this without it; ``tags`` name
    the mechanisms that it touches; ``cautions`` are keys of ``data/cautions.toml``; ``findings`` are
    keys of ``data/findings.toml`` that call for it. ``may_cost`` marks a measure that can use more
    energy than it saves; its ``why`` then says when. ``replaces`` are selectors of equipment whose place it
    takes. ``needed`` says that it is there for health or for
    the house to last, so that payback does not judge it: empty, ``"health"`` or ``"durability"``.
    ``trade`` carries it out, with these ``materials``, and it is ``done`` when what that says is so.
    ``called_by`` are words of observations that call for it even where it changes no number;
    ``only_recorded`` and ``unless_recorded`` are words of which one, or none, must have been recorded;
    ``only_where`` are conditions on the degree days of the place. ``phase`` is one of `PHASES`.
    ``rests_on`` names what must be known of a house before the measure is more than a guess there;
    `evidence.py` reads it.
    """

    key: str
    title: str
    in_short: str
    part: str
    why: str
    materials: str
    done: str
    doer: str
    trade: str
    phase: str
    rests_on: tuple[str, ...]
    changes: tuple[Change, ...]
    adds: tuple[Addition, ...] = ()
    only_if: tuple[str, ...] = ()
    cost: Cost
    life: Life
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    buries: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()
    may_cost: bool = False
    replaces: tuple[str, ...] = ()
    needed: str = ""
    called_by: tuple[str, ...] = ()
    only_recorded: tuple[str, ...] = ()
    unless_recorded: tuple[str, ...] = ()
    only_where: tuple[str, ...] = ()


@cache
def catalog() -> tuple[Measure, ...]:
    """All measures in their fixed order; plans are worked out in this order, whatever was picked first.

    Raises
    ------
    InputError
        When an entry cannot be used: file, entry, field, value, and what there is.
    """
    found: list[Measure] = []
    for path in sorted(data_path("measures").glob("*.toml")):
        measures = records(Measure, "measure", "measures", path.name)
        for measure in measures:
            _check(measure, f"data/measures/{path.name}, measure '{measure.key}'")
        found += measures
    _check_references(found)
    return tuple(found)


def measure_named(key: str) -> Measure:
    """Measure of a key.

    Raises
    ------
    MeasureError
        When the catalog has no such key.
    """
    for measure in catalog():
        if measure.key == key:
            return measure
    raise MeasureError(
        sentence(
            "measures_catalog.no_measure",
            key=key,
            known=known_names(key, (m.key for m in catalog())),
        )
    )


def measure_from_table(table: Mapping[str, Any], where: str = "measure") -> Measure:
    """Measure from one entry of a catalog file.

    Raises
    ------
    InputError
        When a field is missing, unknown or has an impossible value.
    """
    measure = record(Measure, table, where)
    _check(measure, where)
    return measure


def _check(measure: Measure, where: str) -> None:
    """Refuse an entry with every problem that it has, one sentence a line."""
    unknown = (
        f"{name} {problem}"
        for name, word, known in _words(measure)
        if (problem := word_problem(word, known))
    )
    problems = [f"{where}: {problem}" for problem in (*_problems(measure), *unknown)]
    if problems:
        raise MeasureError("\n".join(problems))


def _problems(measure: Measure) -> Iterator[str]:
    cost = measure.cost
    if not 0 <= cost.low <= cost.likely <= cost.high:
        yield sentence(
            "measures_catalog.cost_rise",
            low=f"{cost.low:g}",
            likely=f"{cost.likely:g}",
            high=f"{cost.high:g}",
        )
    if bool(cost.visit) != (cost.setup > 0):
        yield sentence("measures_catalog.visit_setup", visit=cost.visit, setup=f"{cost.setup:g}")
    if not 1 <= measure.life.years <= 60:
        yield sentence("measures_catalog.life_years", years=f"{measure.life.years:g}")
    if not (measure.changes or measure.called_by):
        yield sentence("measures_catalog.changes_nothing")
    yield from (problem for entry in measure.rests_on if (problem := evidence_problem(entry)))


def _words(measure: Measure) -> Iterator[tuple[str, str, Iterable[str]]]:
    """Words of an entry that are one of a few: what it is called, what it says and what it may say."""
    yield "part", measure.part, vocabulary("part")
    yield from (("tags", tag, vocabulary("tag")) for tag in measure.tags)
    yield from (
        ("cautions", key, known_keys("caution", "cautions.toml")) for key in measure.cautions
    )
    yield from (
        ("findings", key, known_keys("finding", "findings.toml")) for key in measure.findings
    )
    yield "doer", measure.doer, DOERS
    yield "needed", measure.needed, NEEDS
    yield "trade", measure.trade, vocabulary("trade")
    yield "phase", measure.phase, PHASES
    yield "visit", measure.cost.visit, ("", *VISITS)
    yield "life mark", measure.life.mark, MARKS
    yield "cost mark", measure.cost.mark, MARKS
    for change in measure.changes:
        yield "op", change.op, OPERATIONS
        yield "field", change.field, fields_below(House)
        for one in change.where.split(EITHER):
            yield "where", one.partition("[")[0].partition(".")[0], field_names(House)
    yield from (("scale", change.scale, ("", *SCALES)) for change in measure.changes)
    recorded = (*measure.called_by, *measure.only_recorded, *measure.unless_recorded)
    yield from (("observation", word, tuple(observation_names())) for word in recorded)


def _check_references(measures: Sequence[Measure]) -> None:
    keys = [measure.key for measure in measures]
    for measure in measures:
        if keys.count(measure.key) > 1:
            raise MeasureError(sentence("measures_catalog.measure_appears", key=measure.key))
        for name in ("needs", "excludes", "after", "buries"):
            for other in getattr(measure, name):
                check_word(other, keys, f"measure '{measure.key}': {name}")


@cache
def vocabulary(kind: str) -> Mapping[str, str]:
    """Words of one kind (``part``, ``tag``, ``trade``) that entries may use, with what each means."""
    words: Mapping[str, str] = shipped_table("vocabularies.toml")[kind]
    return words
