"""Hazards of a house as data: what stops all work or holds some of it, and what releases it; nothing is cleared here.

The table is in ``data/hazards.toml``. A hazard goes by what was recorded; a recorded word outweighs
what the description lets one guess. A hazard that no one recorded may be there all the same.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.records import check_word, known_keys, records
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.description import House
from retrofit_lab.house.limits import recorded_words, told_by_readings
from retrofit_lab.measures.catalog import MARKS, Measure, catalog, vocabulary
from retrofit_lab.measures.selecting import select
from retrofit_lab.safety.facts import FACTS

STOPS, HOLDS, TEST_FIRST = "stops", "holds", "test first"
DOES = (STOPS, HOLDS, TEST_FIRST)
"""What a hazard does, the gravest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldThere:
    """Measures, by their ``tags``, that a hazard holds only in a house that has what the selector ``where`` names."""

    where: str
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """One danger: what tells it, what waits for it, and what releases what waits.

    ``tells`` and ``released_by`` are words of ``data/observations.csv``; ``fact`` is one of
    `cautions.facts.FACTS`. What waits is named by ``measures``, by the ``cautions`` or ``tags`` of
    measures, and by ``there`` for some houses
    only; ``spares`` are kept out of it. ``release`` says what releases it and ``settled_by`` who
    settles it; ``caution`` holds the text to read. ``limit`` is a published limit, the strictest where
    editions differ, with its source, edition and mark.
    """

    key: str
    title: str
    does: str
    caution: str
    release: str
    settled_by: str
    tells: tuple[str, ...] = ()
    fact: str = ""
    released_by: tuple[str, ...] = ()
    overruled_by: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    spares: tuple[str, ...] = ()
    there: tuple[HeldThere, ...] = ()
    limit: str = ""
    source: str
    edition: str = ""
    mark: str

    def holds(self, measure: Measure) -> bool:
        """Whether a measure waits while this hazard is there."""
        if self.does == STOPS:
            return True
        named = (
            measure.key in self.measures
            or bool(set(self.cautions) & set(measure.cautions))
            or bool(set(self.tags) & set(measure.tags))
        )
        return named and measure.key not in self.spares

    def holds_in(self, house: House, measure: Measure) -> bool:
        """Whether a measure waits in a house while this hazard is there."""
        return self.holds(measure) or any(
            bool(set(one.tags) & set(measure.tags)) and bool(select(house, one.where))
            for one in self.there
            if measure.key not in self.spares
        )


@cache
def hazards() -> Mapping[str, Hazard]:
    """All hazards by key, the gravest first."""
    made = records(Hazard, "hazard", "hazards.toml")
    for hazard in made:
        for name, word, known in _words(hazard):
            check_word(word, known, f"data/hazards.toml, hazard '{hazard.key}': {name}")
    ordered = sorted(made, key=lambda hazard: DOES.index(hazard.does))
    return MappingProxyType({hazard.key: hazard for hazard in ordered})


def _words(hazard: Hazard) -> Iterator[tuple[str, str, Iterable[str]]]:
    """Words of an entry that are one of a few: what it is called, what it says and what it may say."""
    seen = [row["key"] for row in read_rows("observations.csv")]
    cautions = known_keys("caution", "cautions.toml")
    yield "does", hazard.does, DOES
    yield "fact", hazard.fact, FACTS
    yield "mark", hazard.mark, MARKS
    yield "caution", hazard.caution, cautions
    yield from (("cautions", word, cautions) for word in hazard.cautions)
    tags = (*hazard.tags, *(tag for one in hazard.there for tag in one.tags))
    yield from (("tags", tag, vocabulary("tag")) for tag in tags)
    yield from (
        (name, key, [measure.key for measure in catalog()])
        for name in ("measures", "spares")
        for key in getattr(hazard, name)
    )
    yield from (
        (name, word, seen)
        for name in ("tells", "released_by", "overruled_by")
        for word in getattr(hazard, name)
    )


def releasing_words() -> frozenset[str]:
    """Words of observations that record a test passed or a remedy done; they call for no work."""
    return frozenset(word for hazard in hazards().values() for word in hazard.released_by)


def hazards_of(house: House) -> tuple[Hazard, ...]:
    """Hazards that a house shows and that nothing recorded has released, the gravest first."""
    return tuple(hazard for hazard in hazards().values() if _there(hazard, house))


def _there(hazard: Hazard, house: House) -> bool:
    """Whether a hazard holds.

    It is released by a word only while no word speaks against that one; what a reading tells holds until
    another reading takes its place.
    """
    seen = recorded_words(house)
    if set(hazard.tells) & told_by_readings(house):
        return True
    told = bool(seen & set(hazard.tells)) or bool(hazard.fact and FACTS[hazard.fact](house))
    released = bool(seen & set(hazard.released_by)) and not seen & set(hazard.overruled_by)
    return told and not released


def holds_for(house: House, measures: Iterable[Measure]) -> dict[str, tuple[Hazard, ...]]:
    """Hazards that each measure waits for, the gravest first.

    Parameters
    ----------
    house : House
        House as found; no measure of a plan releases anything, only what is recorded does.
    measures : iterable of Measure
        Measures that may be carried out.

    Returns
    -------
    dict of str to tuple of Hazard
        By the key of the measure; empty where none holds it, which says nothing of what was not looked for.
    """
    there = hazards_of(house)
    return {
        measure.key: tuple(hazard for hazard in there if hazard.holds_in(house, measure))
        for measure in measures
    }
