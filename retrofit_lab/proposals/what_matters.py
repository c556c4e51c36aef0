"""Which measures of a house to show first, and which of them are either-or; no words."""

from collections.abc import Sequence

from retrofit_lab.measures.evidence import not_known
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

SHOWN_FIRST = 12
"""Measures that a list starts with. (judgment)"""
WAITING_FIRST = 3
"""Measures that wait for a hazard and are shown beside them. (judgment)"""


def what_matters(study: Study, nothing: PlanResult, count: int = SHOWN_FIRST) -> tuple[str, ...]:
    """Measures to show first: those that bring most over the years, of those that something speaks for.

    Parameters
    ----------
    study : Study
        The house.
    nothing : PlanResult
        Its result with nothing done.
    count : int
        How many.
    """
    free = [key for key in study.keys if is_free_to_choose(study, key)]
    return best_first(free, nothing)[:count]


def waiting_first(study: Study, nothing: PlanResult, count: int = WAITING_FIRST) -> tuple[str, ...]:
    """Measures that wait for a hazard, those that bring most over the years; see `what_matters`."""
    held = [key for key in study.keys if study.case.holds[key]]
    return best_first(held, nothing)[:count]


def best_first(keys: Sequence[str], nothing: PlanResult) -> tuple[str, ...]:
    """Measures by what each brings alone over the years, the most first."""
    return tuple(sorted(keys, key=lambda key: -nothing.measures[key].net_savings))


def is_free_to_choose(study: Study, key: str) -> bool:
    """Whether a measure is held by nothing, judged by its savings, and more than a guess in this house."""
    measure = study.offer(key).measure
    return not study.case.holds[key] and not measure.needed and is_known(study, key)


def is_known(study: Study, key: str) -> bool:
    """Whether everything that a measure rests on is known of the house."""
    return not not_known(study.as_found, study.offer(key).measure.rests_on)


def either_or(study: Study) -> tuple[tuple[str, ...], ...]:
    """Groups of measures of which each excludes every other one of its group.

    What excludes some of a group only stands alone.
    """
    groups, seen = [], set[str]()
    for key in study.keys:
        group = tuple(k for k in study.keys if k == key or k in study.case.rivals[key])
        alike = all({*study.case.rivals[k] & set(study.keys), k} == set(group) for k in group)
        if len(group) > 1 and alike and key not in seen:
            groups.append(group)
            seen |= set(group)
    return tuple(groups)
