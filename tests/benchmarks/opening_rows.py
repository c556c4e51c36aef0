"""Opens real browser pages twelve at a time beside other work, 200 of them, and counts those that stay dead; a few minutes."""

import numpy as np
from openings import openings
from rows import Row

COUNT, AT_ONCE, BUSY = 200, 12, 2


def pages_at_once() -> list[Row]:
    """All openings of one run."""
    seen = openings(COUNT, AT_ONCE, busy=BUSY)
    opened = len(seen.waits)
    return [
        Row(what=f"{opened + seen.dead} pages of a class, {AT_ONCE} browsers at once beside {BUSY} busy processes: dead",
            measured=seen.dead, unit="pages", most=0, steady=True),
        Row(what="those that had to open anew by themselves", measured=seen.anew, unit="pages"),
        Row(what="wait of one of these, median", measured=float(np.median(seen.waits)), unit="s"),
        Row(what="wait of one of these, slowest", measured=max(seen.waits), unit="s"),
    ]  # fmt: skip


OPENINGS = (pages_at_once,)
"""Every measurement of this module."""
