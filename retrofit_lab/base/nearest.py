"""Says which known name is nearest to one that is not known; what is known is not decided here."""

from collections.abc import Iterable
from difflib import get_close_matches

MOST_NAMED = 12
"""Known names that a sentence lists; of more, the nearest ones or the first of them."""


def known_names(name: str, known: Iterable[str]) -> str:
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
    more = len(names) - MOST_NAMED
    listed = f"known are {', '.join(names[:MOST_NAMED]) or 'none'}"
    listed += f" and {more} more" if more > 0 else ""
    if not near:
        return listed
    told = f"nearest {'is' if len(near) == 1 else 'are'} {', '.join(repr(one) for one in near)}"
    return told if len(names) > MOST_NAMED else f"{told}; {listed}"
