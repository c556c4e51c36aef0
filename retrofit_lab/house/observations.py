"""The words of observations: which are known, and what to say of one that is not; their meaning stands elsewhere."""

from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType

from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.texts.refusals import told


@cache
def observation_names() -> Mapping[str, str]:
    """What each word of an observation means."""
    return MappingProxyType({row["key"]: row["name"] for row in read_rows("observations.csv")})


def unknown_observation(word: str) -> str:
    """Sentence that refuses an unknown word and names the nearest known one; empty where it is known.

    >>> unknown_observation("no_co_alarm")
    ''
    >>> unknown_observation("no_co_alrm").partition(". ")[0]
    "there is no observation 'no_co_alrm'; the nearest is 'no_co_alarm' (No working carbon monoxide alarm)"
    """
    names = observation_names()
    if word in names:
        return ""
    near = get_close_matches(word, names, n=1, cutoff=0.0)[0]
    return told("observations.unknown", word=word, near=near, names=names[near])
