"""One row of the budget table, how it is printed, and how a piece of work is timed; nothing is measured here."""

import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

TESTS = Path(__file__).parents[1]
HEADS = ("what", "must reach", "measured", "ratio to its reference", "met")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One measured number beside what it must reach and beside a reference of the same run.

    ``most`` is the budget in the unit of ``measured``, none where only the ratio is of interest.
    ``steady`` marks what the speed of the machine does not change: such a row may be asserted.
    """

    what: str
    measured: float
    unit: str
    most: float | None = None
    ratio: float | None = None
    reference: str = ""
    most_ratio: float | None = None
    least_ratio: float | None = None
    steady: bool = False

    @property
    def must(self) -> str:
        """What must be reached, in words."""
        if self.most_ratio is not None:
            return f"<= {self.most_ratio:g} x"
        if self.least_ratio is not None:
            return f">= {self.least_ratio:g} x"
        return "" if self.most is None else f"<= {self.most:g} {self.unit}"

    @property
    def met(self) -> bool | None:
        """Whether it is reached; none where nothing must be."""
        if self.most_ratio is not None:
            return self.ratio is not None and self.ratio <= self.most_ratio
        if self.least_ratio is not None:
            return self.ratio is not None and self.ratio >= self.least_ratio
        return None if self.most is None else self.measured <= self.most

    def cells(self) -> tuple[str, ...]:
        """Cells of the row, as they are printed."""
        ratio = "" if self.ratio is None else f"{_short(self.ratio)} x {self.reference}"
        met = {True: "yes", False: "NO", None: ""}[self.met]
        return (self.what, self.must, f"{_short(self.measured)} {self.unit}", ratio, met)


def _short(number: float) -> str:
    return f"{number:,.0f}" if number >= 100 or number == 0 else f"{number:.3g}"


def lines(rows: Iterable[Row]) -> list[str]:
    """Rows as a Markdown table, the head first."""
    cells = [HEADS, tuple("---" for _ in HEADS), *(row.cells() for row in rows)]
    return [f"| {' | '.join(cell)} |" for cell in cells]


def seconds(work: Callable[[], object], rounds: int = 5) -> float:
    """Shortest of a few runs. [s]"""
    spans = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        spans.append(time.perf_counter() - start)
    return min(spans)


def one_pass(elements: int) -> float:
    """One NumPy pass over as many numbers. [s]"""
    array = np.random.default_rng(0).random(elements)
    return seconds(lambda: array * 1.0001)


def in_fresh_process(code: str) -> Any:
    """What a piece of code prints as JSON when it runs in a process of its own."""
    head = f"import sys; sys.path[:0] = {[str(TESTS), str(Path(__file__).parent)]!r}\n"
    done = subprocess.run(
        [sys.executable, "-c", head + code], capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)
