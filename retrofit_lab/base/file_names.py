"""Names of files that every system takes, from what a person typed; no file is made here."""

import unicodedata

LETTERS = 60
BYTES = 120
"""File systems count bytes, and versions, journals and lists add to a name."""
RESERVED = {
    "con",
    "prn",
    "aux",
    "nul",
    *(f"{name}{n}" for name in ("com", "lpt") for n in range(10)),
}
"""Names of devices, which some systems take for no file whatever ending they have."""


def safe_stem(text: str, beside_reserved: str = "house") -> str:
    """Name of a file without its ending: letters and digits, the rest underscores; empty where there are none.

    Parameters
    ----------
    text : str
        What was typed.
    beside_reserved : str
        Put behind a name that a system keeps for itself.

    Examples
    --------
    >>> safe_stem("12 Élm Street / rear"), safe_stem("CON")
    ('12_élm_street_rear', 'con_house')
    """
    plain = unicodedata.normalize("NFC", text).lower()
    words = "".join(letter if letter.isalnum() else " " for letter in plain).split()
    stem = "_".join(words)[:LETTERS]
    while len(stem.encode("utf-8", "replace")) > BYTES:
        stem = stem[:-1]
    stem = stem.strip("_")
    return f"{stem}_{beside_reserved}" if stem in RESERVED else stem
