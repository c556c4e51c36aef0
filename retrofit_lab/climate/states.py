"""In which state a place lies, by its ZIP code or its name; its weather is elsewhere."""

import re
from functools import cache

from retrofit_lab.base.shipped_files import read_rows

_ZIP = re.compile(r"^\s*(\d{3})\d{2}\b")
_NAMED = re.compile(r",\s*([A-Z]{2})\b")


def state_of(place: str) -> str:
    """Letters of the state of a place; empty where its name does not tell.

    Examples
    --------
    >>> state_of("04401"), state_of("Duluth, MN at 900 ft"), state_of("our_station.csv")
    ('ME', 'MN', '')
    """
    code, named = _ZIP.match(place), _NAMED.search(place)
    if code:
        return _of_prefix(int(code[1]))
    return named[1] if named else ""


@cache
def _of_prefix(prefix: int) -> str:
    rows = read_rows("climates", "zip_states.csv")
    return next((r["state"] for r in rows if int(r["from"]) <= prefix <= int(r["to"])), "")
