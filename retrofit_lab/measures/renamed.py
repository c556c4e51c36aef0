"""Measures that went, and what stands for them today, so that old plans, links and rebates still open."""

from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.base.values import InputError
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.texts.refusals import told


@cache
def renamed() -> Mapping[str, str]:
    """Today's measure for each that went, from ``data/renamed_measures.csv``."""
    return MappingProxyType({row["old"]: row["now"] for row in read_rows("renamed_measures.csv")})


def todays_keys(keys: Iterable[str]) -> tuple[str, ...]:
    """Keys as they are today, each once, in the order given; what never was a measure stays as it is.

    >>> todays_keys(["seal_attic_holes", "wall_fill", "seal_chimney_chase"])
    ('attic_air_sealing', 'wall_fill')
    """
    return tuple(dict.fromkeys(renamed().get(key, key) for key in keys))


def known_keys(keys: Iterable[str]) -> tuple[str, ...]:
    """Keys as they are today, all of them measures of the catalog.

    Raises
    ------
    InputError
        When one is no measure.
    """
    now = todays_keys(keys)
    known = {measure.key for measure in catalog()}
    if unknown := [key for key in now if key not in known]:
        raise InputError(told("plan.no_measure", key=unknown[0]))
    return now
