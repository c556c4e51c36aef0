"""Prints every budget with what it measures now, as a Markdown table: python tests/benchmarks/table.py [PART ...].

The seconds belong to the machine and to what else it does; the ratios stand beside them. Parts are model,
page, work, walk, class and openings (200 pages, a few minutes).
"""

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from class_rows import CLASS
from journey_rows import JOURNEYS
from model_rows import MODEL
from opening_rows import OPENINGS
from page_rows import PAGE
from rows import Row, lines
from work_rows import WORK, WORK_IN_BROWSER

PARTS: dict[str, tuple[Callable[[], list[Row]], ...]] = {
    "model": MODEL,
    "page": PAGE,
    "work": (*WORK, *WORK_IN_BROWSER),
    "walk": JOURNEYS,
    "class": CLASS,
    "openings": OPENINGS,
}


def main(wanted: Sequence[str]) -> int:
    """Measure and print; a line as soon as it is known."""
    unknown = set(wanted) - set(PARTS)
    if unknown:
        print(f"no part is called {min(unknown)}; parts are {', '.join(PARTS)}")
        return 2
    print(f"Work that waits for {os.cpu_count()} cores as this begins: {os.getloadavg()[0]:.1f}\n")
    for place, row in enumerate(_measured(wanted or tuple(PARTS))):
        print("\n".join(lines([row])[2 if place else 0 :]), flush=True)
    return 0


def _measured(parts: Sequence[str]) -> Iterator[Row]:
    for part in parts:
        for measure in PARTS[part]:
            yield from measure()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
