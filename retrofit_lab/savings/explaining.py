"""Sentences on why two measures overlap or help each other: what both change, then the mechanisms they touch."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from retrofit_lab.base.records import check_word, records, shipped_table
from retrofit_lab.house.description import House
from retrofit_lab.measures.catalog import vocabulary
from retrofit_lab.measures.fitted_measures import Offer

FILE = "reasons.toml"
PARTS = ("surfaces", "windows", "doors", "leakage")
"""Parts of a house of which two measures may change the same one, told first where they overlap."""
LESS, MORE, ENDS = "less", "more", "ends"
"""What is told where no reason fits, and where a plan ends the last use of a fuel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Tags that a pair must touch, facts of which the house must have one, and the sentences for less and more."""

    touches: frozenset[str]
    only: frozenset[str] = frozenset()
    less: str = ""
    more: str = ""


def reason(
    first: Iterable[str],
    second: Iterable[str],
    overlap: float,
    *,
    facts: frozenset[str] = frozenset(),
    same: str = "",
) -> str:
    """Plain sentence on why two measures save less, or more, together than one by one.

    Parameters
    ----------
    first, second : iterable of str
        Mechanism tags of the two measures.
    overlap : float
        Savings one by one less savings together; positive where they overlap. [any]
    facts : frozenset of str
        What the house has; see `facts_of`.
    same : str
        Kind of part that both change; see `same_part`.
    """
    if overlap > 0 and same:
        return general("same", same)
    return _reason(frozenset(first), frozenset(second), overlap > 0, facts)


def reason_of(first: Offer, second: Offer, overlap: float, facts: frozenset[str]) -> str:
    """The same for two offers of one house."""
    same = same_part(first, second)
    return reason(first.measure.tags, second.measure.tags, overlap, facts=facts, same=same)


def same_part(first: Offer, second: Offer) -> str:
    """Kind of part of which both measures change the same one, such as ``"surfaces"``; nothing where none is."""
    shared = _parts(first) & _parts(second)
    return next((kind for kind in PARTS if any(path.startswith(f"{kind}.") for path in shared)), "")


def _parts(offer: Offer) -> set[str]:
    return {change.path.rpartition(".")[0] for change in offer.changes}


def facts_of(house: House) -> frozenset[str]:
    """What sentences may take for granted in a house: its unheated spaces, where its ducts lie, its heater."""
    kinds = {buffer.key: buffer.kind for buffer in house.buffers}
    places = (house.ducts.supply_place, house.ducts.return_place)
    found = [*kinds.values(), *(f"ducts in {kinds[place]}" for place in places if place in kinds)]
    heated = any(float(pump.share) > 0 for pump in house.heat_pumps)
    return frozenset([*found, *(["heat pump"] if heated else [])])


def general(table: str, key: str) -> str:
    """Sentence for any pair: of ``otherwise`` by `LESS`, `MORE` or `ENDS`, of ``same`` by one of `PARTS`."""
    return str(shipped_table(FILE)[table][key])


def sentences() -> Iterator[str]:
    """Every sentence that can be told."""
    yield from (general("otherwise", key) for key in (LESS, MORE, ENDS))
    yield from (general("same", part) for part in PARTS)
    for row in _reasons():
        yield from filter(None, (row.less, row.more))


@cache
def _reason(
    first: frozenset[str], second: frozenset[str], overlapping: bool, facts: frozenset[str]
) -> str:
    for row in _reasons():
        sentence = row.less if overlapping else row.more
        fits = not row.only or bool(row.only & facts)
        if sentence and fits and _joined(first, second, row.touches):
            return sentence
    return general("otherwise", LESS if overlapping else MORE)


@cache
def _reasons() -> tuple[Reason, ...]:
    """Reasons in the order of the file."""
    rows = records(Reason, "reason", FILE)
    for row in rows:
        for tag in row.touches:
            check_word(
                tag,
                vocabulary("tag"),
                f"data/reasons.toml, reason '{row.less or row.more}': touches",
            )
    return rows


def _joined(a: frozenset[str], b: frozenset[str], tags: frozenset[str]) -> bool:
    if len(tags) == 1:
        return tags <= a and tags <= b
    one, other = sorted(tags)
    return (one in a and other in b) or (other in a and one in b)
