"""Which cautions a house and a choice of measures call for; the texts stand in ``data/cautions.toml``.

A caution informs. Nothing here says that anything is safe.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.records import check_word, records
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.description import House
from retrofit_lab.house.limits import recorded_words
from retrofit_lab.measures.catalog import MARKS, Measure
from retrofit_lab.safety.facts import FACTS
from retrofit_lab.safety.hazards import TEST_FIRST, Hazard, hazards_of

STOPS_WORK, WHILE_WORKING = "stops the work", "while working"
TIERS = (STOPS_WORK, TEST_FIRST, WHILE_WORKING)
"""How grave a caution is, the gravest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One thing that can hurt someone: when it is shown, what is said and where it comes from.

    ``tier`` is how grave it is where no hazard stands behind it. Without the fact ``only_with`` of the
    house, or in a house no older than ``built_before``, it is shown only where its observation was
    recorded. ``edition`` says which edition or year of the source was used; empty where there is no source.
    """

    key: str
    title: str
    tier: str
    text: str
    source: str
    edition: str = ""
    mark: str
    observations: tuple[str, ...] = ()
    built_before: int = 0
    only_with: str = ""
    only_below_minimum_ventilation: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Raised:
    """A caution that applies, the measures that raised it (none where the house itself does), and its tier here."""

    caution: Caution
    measures: tuple[str, ...]
    tier: str = WHILE_WORKING


@cache
def cautions() -> Mapping[str, Caution]:
    """All cautions by key."""
    made = records(Caution, "caution", "cautions.toml")
    seen = [row["key"] for row in read_rows("observations.csv")]
    for caution in made:
        where = f"data/cautions.toml, caution '{caution.key}'"
        check_word(caution.tier, TIERS, f"{where}: tier")
        check_word(caution.mark, MARKS, f"{where}: mark")
        check_word(caution.only_with, FACTS, f"{where}: only_with")
        for word in caution.observations:
            check_word(word, seen, f"{where}: observations")
    return MappingProxyType({caution.key: caution for caution in made})


def cautions_for(
    house: House, chosen: Iterable[Measure], *, below_minimum_ventilation: bool
) -> tuple[Raised, ...]:
    """Cautions that a house or the chosen measures raise, the gravest first, each tier in the order of the data.

    Parameters
    ----------
    house : House
        House as found.
    chosen : iterable of Measure
        Measures that would be carried out.
    below_minimum_ventilation : bool
        Whether the house would then get less outdoor air than the standard asks for.
    """
    chosen, there = tuple(chosen), hazards_of(house)
    seen = recorded_words(house)
    told = {hazard.caution for hazard in there if hazard.tells}
    found = []
    for caution in cautions().values():
        recorded = caution.key in told or bool(set(caution.observations) & seen)
        if not recorded and not _can_matter(caution, house, below_minimum_ventilation):
            continue
        raisers = tuple(m.key for m in chosen if caution.key in m.cautions)
        if raisers or recorded:
            tier = _tier(caution, there)
            found.append(Raised(caution=caution, measures=raisers, tier=tier))
    return tuple(sorted(found, key=lambda item: TIERS.index(item.tier)))


def _can_matter(caution: Caution, house: House, below_minimum: bool) -> bool:
    """Whether a caution fits what the house is; what was recorded is never asked for this."""
    if caution.only_below_minimum_ventilation and not below_minimum:
        return False
    if caution.only_with and not FACTS[caution.only_with](house):
        return False
    return not caution.built_before or float(house.site.year_built) < caution.built_before


def _tier(caution: Caution, there: Iterable[Hazard]) -> str:
    """How grave a caution is in a house: a hazard that was not released makes it graver."""
    raised = (
        TEST_FIRST if hazard.does == TEST_FIRST else STOPS_WORK
        for hazard in there
        if hazard.caution == caution.key
    )
    return min((caution.tier, *raised), key=TIERS.index)
