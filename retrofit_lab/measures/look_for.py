"""What to look for on the walk through a house, and which measures it calls for; nothing of any house.

The texts are in ``data/findings.toml``. The link to the measures is read from the catalog, where it is said once.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.records import check_word, known_keys, records
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.texts.english_only import sentence

STOPS = (
    "basement",
    "crawl space",
    "heating and ducts",
    "hot water",
    "kitchen and bath",
    "living rooms",
    "upstairs and attic",
    "outdoors",
    "at the table",
)
"""Stops of the walk, in the order in which they are reached."""


class FindingError(InputError):
    """A finding that cannot be used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing to look for.

    ``look`` says what to see, feel or hear, ``how`` how to measure it, ``why`` why it matters. ``fills``
    are the numbers of the house that it gives, each a selector and a field such as
    ``surfaces[kind=rim].r_label``; ``observations`` are words of ``data/observations.csv`` that it can
    turn up; ``cautions`` are keys of ``data/cautions.toml``; ``measures`` are keys of the catalog.
    """

    key: str
    stop: str
    title: str
    look: str
    how: str
    why: str
    fills: tuple[str, ...]
    observations: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    measures: tuple[str, ...] = ()


@cache
def findings() -> Mapping[str, Finding]:
    """All findings by key, in the order of the walk.

    Raises
    ------
    InputError
        When an entry cannot be used: file, entry, field, value, and what there is.
    """
    called = _called_measures()
    made = (
        replace(_checked(finding), measures=called.get(finding.key, ()))
        for finding in records(Finding, "finding", "findings.toml")
    )
    found = {finding.key: finding for finding in made}
    return MappingProxyType(dict(sorted(found.items(), key=_place_on_the_walk)))


def _checked(finding: Finding) -> Finding:
    where = f"data/findings.toml, finding '{finding.key}'"
    seen = [row["key"] for row in read_rows("observations.csv")]
    cautions = known_keys("caution", "cautions.toml")
    check_word(finding.stop, STOPS, f"{where}: stop")
    for word in finding.observations:
        check_word(word, seen, f"{where}: observations")
    for word in finding.cautions:
        check_word(word, cautions, f"{where}: cautions")
    return finding


def finding_named(key: str) -> Finding:
    """Finding of a key.

    Raises
    ------
    FindingError
        When there is no such finding.
    """
    try:
        return findings()[key]
    except KeyError:
        known = ", ".join(findings())
        raise FindingError(sentence("measures_look_for.no_finding", key=key, known=known)) from None


def findings_at(stop: str) -> tuple[Finding, ...]:
    """Findings of one stop of the walk."""
    return tuple(finding for finding in findings().values() if finding.stop == stop)


def findings_with(observation: str) -> tuple[Finding, ...]:
    """Findings that a word of the house's observations belongs to."""
    return tuple(f for f in findings().values() if observation in f.observations)


def _called_measures() -> dict[str, tuple[str, ...]]:
    called: dict[str, tuple[str, ...]] = {}
    for measure in catalog():
        for key in measure.findings:
            called[key] = (*called.get(key, ()), measure.key)
    return called


def _place_on_the_walk(item: tuple[str, Finding]) -> int:
    return STOPS.index(item[1].stop)
