"""In which state a place lies, by its ZIP code or its name; its weather is elsewhere."""

import re
from functools import cache

from retrofit_lab.base.shipped_files import read_rows

_ZIP = re.compile(r"^\s*(\d{3})\d{2}\b")
_NAMED = re.compile(r",\s*([A-Z]{2})\b")
_ADDRESS = re.compile(
    r".*[\s,](?P<state>[A-Za-z]{2})[\s,]+(?P<code>\d{5})(?:-\d{4})?(?: (?:at|like) .*)?"
)


def state_of(place: str) -> str:
    """Letters of the state of a place; empty where its name does not tell.

    Examples
    --------
    >>> state_of("04401"), state_of("Duluth, MN at 900 ft"), state_of("our_station.csv")
    ('ME', 'MN', '')
    >>> state_of("12345 Elm St, Bangor ME 04401")
    'ME'
    """
    address = state_and_zip(place)
    if address:
        return address[0]
    code, named = _ZIP.match(place), _NAMED.search(place)
    if code:
        return _of_prefix(int(code[1]))
    return named[1] if named else ""


def state_and_zip(address: str) -> tuple[str, str] | None:
    """State and ZIP code at the end of an address; none where it ends in another way.

    Examples
    --------
    >>> state_and_zip("123 Elm St, Bangor, me 04401-1234"), state_and_zip("04401")
    (('ME', '04401'), None)
    """
    found = _ADDRESS.fullmatch(address.strip())
    return (found["state"].upper(), found["code"]) if found else None


@cache
def _of_prefix(prefix: int) -> str:
    rows = read_rows("climates", "zip_states.csv")
    return next((r["state"] for r in rows if int(r["from"]) <= prefix <= int(r["to"])), "")
