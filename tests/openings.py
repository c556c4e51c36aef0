"""Opens real browser pages of a lesson at once, again and again, on a busy machine, and counts those that stay dead.

``python tests/openings.py --count 200 --at-once 12 --busy 2``
"""

import argparse
import multiprocessing
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field

import numpy as np
from playwright.sync_api import Browser, Page, TimeoutError
from served_page import Server, browsing, leave, new_page

READY = ".lesson[data-ready]"
DEAD_AFTER = 180.0
"""A page that shows nothing by then counts as dead. [s]"""


@dataclass(slots=True)
class Openings:
    """What became of the pages: waits until each could be used [s], how many opened anew, how many stayed dead."""

    waits: list[float] = field(default_factory=list)
    anew: int = 0
    dead: int = 0

    def line(self) -> str:
        """All of it in one line."""
        slow = f"{np.median(self.waits):.1f} s at the median, {max(self.waits):.1f} s at most"
        return f"{len(self.waits)} pages opened ({slow}), {self.anew} times by themselves anew, {self.dead} dead"


def open_at_once(browser: Browser, address: str, count: int, seen: Openings) -> None:
    """Open so many pages at once, each of a visitor of its own, and leave them again."""
    pages = [new_page(browser, 390, 800) for _ in range(count)]
    loads: dict[Page, int] = dict.fromkeys(pages, 0)
    for page in pages:
        page.on("domcontentloaded", lambda loaded: loads.update({loaded: loads[loaded] + 1}))
    start = time.perf_counter()
    for page in pages:
        page.evaluate("address => { location.href = address; }", address)
    for page in pages:
        left = max(DEAD_AFTER - (time.perf_counter() - start), 1.0)
        try:
            page.wait_for_selector(READY, timeout=1e3 * left)
            seen.waits.append(time.perf_counter() - start)
        except TimeoutError:
            seen.dead += 1
    seen.anew += sum(count - 1 for count in loads.values() if count > 1)
    for page in pages:
        leave(page)


def openings(count: int, at_once: int, *, busy: int = 0, size: int | None = None) -> Openings:
    """Open pages of a lesson of a class until so many were opened."""
    seen = Openings()
    running = Server("--lesson", "4", "--class", str(size or at_once), "--listen", "127.0.0.1")
    try:
        with browsing() as browser, working(busy):
            while len(seen.waits) + seen.dead < count:
                open_at_once(browser, running.address, at_once, seen)
                print(seen.line(), flush=True)
    finally:
        running.stop()
    return seen


@contextmanager
def working(processes: int) -> Iterator[None]:
    """Other work on the machine meanwhile."""
    others = [multiprocessing.Process(target=_work, daemon=True) for _ in range(processes)]
    for other in others:
        other.start()
    try:
        yield
    finally:
        for other in others:
            other.terminate()


def _work() -> None:
    while True:
        sum(range(10_000))


def main(arguments: Sequence[str] | None = None) -> int:
    """Open them and say what came of it; 1 where one stayed dead."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--at-once", type=int, default=12)
    parser.add_argument("--busy", type=int, default=2, help="processes that work beside it")
    options = parser.parse_args(arguments)
    return int(openings(options.count, options.at_once, busy=options.busy).dead > 0)


if __name__ == "__main__":
    sys.exit(main())
