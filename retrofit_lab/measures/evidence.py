"""What must be known of a house before a measure is a step there and not a guess; nothing of what measures do.

An entry of ``rests_on`` is a number, written as a selector and its field such as
``surfaces[kind=rim].r_label``, or a word of ``data/observations.csv``; joined by ``or`` any of them is
enough. All entries of a measure have to be known.
"""

from collections.abc import Iterable

from retrofit_lab.house.description import House
from retrofit_lab.house.limits import recorded_words
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at
from retrofit_lab.measures.selecting import EITHER, is_selector, select
from retrofit_lab.texts.english_only import sentence


def evidence_problem(entry: str) -> str:
    """What is wrong with an entry of ``rests_on``; empty where nothing is.

    >>> evidence_problem("surfaces[kind=rim].r_label or band_joist_bare")
    ''
    >>> evidence_problem("band_joist_bear").partition(";")[0]
    "rests_on: 'band_joist_bear' is neither a number such as 'surfaces[kind=rim].r_label' nor an observation"
    """
    for one in entry.split(EITHER):
        where, _, field = one.rpartition(".")
        number = is_selector(where) and field.isidentifier()
        if not number and one not in observation_names():
            return sentence("measures_evidence.rests_on", one=one)
    return ""


def not_known(house: House, rests_on: Iterable[str]) -> tuple[str, ...]:
    """Entries of ``rests_on`` of which a house tells nothing that anyone answered or saw.

    A number counts where at least one of the records that it names has been given, and a year of make
    where it stands.
    """
    return tuple(entry for entry in rests_on if not _known(house, entry))


def open_numbers(house: House, entry: str) -> tuple[str, ...]:
    """Paths of the unanswered numbers that an entry of ``rests_on`` names in a house."""
    return tuple(path for path in paths_of(house, entry) if path in house.assumed)


def _known(house: House, entry: str) -> bool:
    seen = any(one in recorded_words(house) for one in entry.split(EITHER))
    return seen or any(is_given(house, path) for path in paths_of(house, entry))


def is_given(house: House, path: str) -> bool:
    """Whether someone gave a number or a year of make."""
    return path not in house.assumed and number_at(house, path) != ""


def paths_of(house: House, entry: str) -> tuple[str, ...]:
    """Paths of all numbers that an entry of ``rests_on`` names in a house, answered or not."""
    pairs = (one.rpartition(".") for one in entry.split(EITHER))
    found = (
        f"{record}.{field}" for where, _, field in pairs if where for record in select(house, where)
    )
    return tuple(dict.fromkeys(found))
