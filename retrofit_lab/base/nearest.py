"""Says which known name is nearest to one that is not known; what is known is not decided here."""

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from retrofit_lab.texts.refusals import Sentence, told

MOST_NAMED = 12
"""Known names that a sentence lists; of more, the nearest ones or the first of them."""


def known_names(name: str, known: Iterable[str]) -> Sentence:
    """End of a sentence on an unknown name: what is nearest, and what there is.

    Examples
    --------
    >>> known_names("atic", ["attic", "basement"])
    "nearest is 'attic'; known are attic, basement"
    >>> known_names("roof", ["attic", "basement"])
    'known are attic, basement'
    >>> known_names("roof", [f"part_{number}" for number in range(15)]).endswith("part_11 and 3 more")
    True
    """
    names = list(known)
    near = get_close_matches(name, names, n=3, cutoff=0.5)
    listed = _listed(names)
    if not near:
        return listed
    key = "nearest.one" if len(near) == 1 else "nearest.several"
    closest = told(key, names=", ".join(map(repr, near)))
    return closest if len(names) > MOST_NAMED else told("nearest.both", near=closest, listed=listed)


def _listed(names: Sequence[str]) -> Sentence:
    if not names:
        return told("nearest.none")
    shown, more = ", ".join(names[:MOST_NAMED]), len(names) - MOST_NAMED
    return (
        told("nearest.known_more", names=shown, count=more)
        if more > 0
        else told("nearest.known", names=shown)
    )
