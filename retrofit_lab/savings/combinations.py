"""Sets of measures as rows of yes and no: all of them, which are allowed, and how they are numbered."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from retrofit_lab.base.nearest import known_names
from retrofit_lab.base.values import BoolArray, InputError, IntArray
from retrofit_lab.texts.english_only import sentence

MOST_MEASURES = 16


def all_plans(count: int) -> BoolArray:
    """Every set of measures; bit i of a row's number says whether measure i is in it.

    Parameters
    ----------
    count : int
        Number of measures, at most `MOST_MEASURES`.

    Returns
    -------
    ndarray of bool, shape (2**count, count)
        Rows in the order of their numbers.

    Raises
    ------
    InputError
        When there are more measures than can be listed.
    """
    if count > MOST_MEASURES:
        raise InputError(sentence("savings_combinations.too_many", count=count, most=MOST_MEASURES))
    numbers = np.arange(2**count)[:, None]
    return np.asarray((numbers >> np.arange(count)) & 1, dtype=np.bool_)


def plan_number(masks: BoolArray) -> IntArray:
    """Number of each set. shape (plans, count) -> (plans,)"""
    return np.asarray(masks @ (1 << np.arange(masks.shape[1])))


def mask_of(keys: Sequence[str], chosen: Iterable[str]) -> BoolArray:
    """One set as a row.

    Raises
    ------
    InputError
        When a chosen key is not among the keys.
    """
    wanted = set(chosen)
    unknown = wanted - set(keys)
    if unknown:
        name = min(unknown)
        raise InputError(
            sentence("savings_combinations.no_measure", name=name, known=known_names(name, keys))
        )
    return np.array([key in wanted for key in keys], dtype=np.bool_)


def allowed(
    masks: BoolArray,
    keys: Sequence[str],
    excludes: Mapping[str, Sequence[str]],
    needs: Mapping[str, Sequence[str]],
) -> BoolArray:
    """Which sets keep the rules: no two that exclude each other, none without what it needs.

    Parameters
    ----------
    masks : ndarray of bool, shape (plans, count)
        Sets.
    keys : sequence of str
        Measures in column order.
    excludes, needs : mapping of str to sequence of str
        Rules by measure; names that are not among the keys do not matter for ``excludes`` and are
        taken as already there for ``needs``.

    Returns
    -------
    ndarray of bool, shape (plans,)
    """
    place = {key: index for index, key in enumerate(keys)}
    fine = np.ones(len(masks), dtype=np.bool_)
    for key, index in place.items():
        for other in excludes.get(key, ()):
            if other in place:
                fine &= ~(masks[:, index] & masks[:, place[other]])
        for other in needs.get(key, ()):
            if other in place:
                fine &= ~masks[:, index] | masks[:, place[other]]
    return fine
