"""What must be done before a measure when both are chosen; nothing of any house, and no order of a whole plan.

Beside what the catalog names, what covers a part of the house comes after the sealing below it.
"""

from collections.abc import Iterable

from retrofit_lab.measures.catalog import Measure

SEALS = "air_leakage"
LIES_ON = {
    "attic_side": "attic_side",
    "floor_above_basement": "leaks_below",
    "basement_boundary": "leaks_below",
}
"""By the tag of what covers: the tag of the sealing that it would bury."""


def earlier(measure: Measure, others: Iterable[Measure]) -> tuple[str, ...]:
    """Keys of measures that come before one where they are chosen too: needed, named, or covered by it."""
    covered = (other.key for other in others if covers(measure, other))
    return tuple(dict.fromkeys((*measure.needs, *measure.after, *covered)))


def covers(measure: Measure, other: Measure) -> bool:
    """Whether a measure would bury the leaks that another one seals."""
    buried = {LIES_ON[tag] for tag in measure.tags if tag in LIES_ON}
    tags = set(other.tags)
    return SEALS not in measure.tags and SEALS in tags and bool(buried & tags)
