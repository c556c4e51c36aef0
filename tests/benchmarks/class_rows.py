"""Measures a class on the served page: all at once over loopback, a few in a real browser; waits, memory, and whose is whose.

A class of eight by default, so that it stays short; ``RETROFIT_LAB_CLASS=30`` brings thirty.
"""

import asyncio
import os
import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
import psutil
from examples import example
from model_rows import TEN
from page_rows import _open_every_panel
from rows import Row
from served_page import Server, browsing, new_page, open_page, tick
from tornado.httpclient import HTTPClientError
from visitor import Visitor, lasting, run

from retrofit_lab.app.serve.capacity import FRESH_MB, PAGE_MB, SPARE_PAGES
from retrofit_lab.app.shared.wording import as_rounded, shown_after
from retrofit_lab.proposals.in_real_houses import RealHouses

CLASS_VARIABLE = "RETROFIT_LAB_CLASS"
SIZE = int(os.environ.get(CLASS_VARIABLE, "8"))
IN_BROWSER = 2
FULL_CLASS = 30
"""From so many on, what pages share is shared by enough of them for `SHARED_MB`."""
NUMBERS_WITHIN = 1.0
"""Until the numbers are there for everybody, when all come at once and when all tick at once. [s]"""
TICKS_WITHIN = 0.3
"""Until the answer to a pick, when each student picks in their own time. [s]"""
PACE = 5.0
"""Time between two picks of one student, on average. [s] (judgment)"""
SHARED_MB = 70.0
"""Proportional share of a page's memory in a full class. [MB]"""


@dataclass(slots=True)
class Lesson:
    """What was seen of one class; waits in seconds, memory in MB."""

    ready: float = 0.0
    cold: float = 0.0
    cold_tick: float = 0.0
    waits: list[float] = field(default_factory=list)
    browser_waits: list[float] = field(default_factory=list)
    ticks: list[float] = field(default_factory=list)
    paced: list[float] = field(default_factory=list)
    mixed_up: list[str] = field(default_factory=list)
    one_more: int = 0
    most_kernels: int = 0
    fresh: list[float] = field(default_factory=list)
    ticked: list[float] = field(default_factory=list)
    opened: float = 0.0
    server: float = 0.0


def class_rows() -> list[Row]:
    """All rows of a class."""
    return rows_of(lesson_of(SIZE))


def lesson_of(size: int) -> Lesson:
    """One class of some size, from the command to the last tick."""
    seen = Lesson()
    with_server(lambda server: run(_alone(server, seen)))
    start = time.perf_counter()
    with_server(lambda server: _class(server, size, seen, start), "--class", str(size))
    return seen


def with_server(use: Callable[[Server], None], *arguments: str) -> None:
    server = Server(*arguments)
    try:
        use(server)
    finally:
        server.stop()


async def _alone(server: Server, seen: Lesson) -> None:
    visitor = await Visitor(server.address).open()
    seen.cold = visitor.waited
    seen.cold_tick = (await _tick(visitor, ["tank_wrap"]))[0]


def _class(server: Server, size: int, seen: Lesson, start: float) -> None:
    _wait_until_ready(server)
    seen.ready = time.perf_counter() - start
    seen.fresh = kernel_megabytes(server)
    # who loses the connection may lose the place too, so all stay until the last one was refused
    with lasting() as visit, browsing() as browser:
        visitors = visit(_all_at_once(server, size, seen))
        for _ in range(IN_BROWSER):
            page = new_page(browser)
            begin = time.perf_counter()
            open_page(page, server.address)
            seen.browser_waits.append(time.perf_counter() - begin)
        tick(page, *TEN)
        _open_every_panel(page)
        seen.opened = max(kernel_megabytes(server))
        seen.most_kernels = max(seen.most_kernels, len(server.kernels()))
        visit(_one_more(server, seen))
        assert not any(visitor.ended for visitor in visitors)
    seen.server = sum(map(_megabytes, _family(server))) - sum(kernel_megabytes(server))


async def _all_at_once(server: Server, size: int, seen: Lesson) -> list[Visitor]:
    visitors = await asyncio.gather(*(Visitor(server.address).open() for _ in range(size)))
    seen.waits = [visitor.waited for visitor in visitors]
    wanted = different_sets(size)
    answers = await asyncio.gather(*map(_tick, visitors, wanted))
    seen.ticks = [span for span, _ in answers]
    seen.ticked = kernel_megabytes(server)
    seen.most_kernels = len(server.kernels())
    # each asks again when all have ticked, so that whoever came last would have overwritten the others
    shown = await asyncio.gather(*(visitor.shown() for visitor in visitors))
    for keys, (_, now), later in zip(wanted, answers, shown, strict=True):
        if now != later["now"] or not as_worked_out(keys, later):
            seen.mixed_up.append(f"{keys}: {later['now']['ticked']}")
    picking = [
        _at_their_pace(*one, seed) for seed, one in enumerate(zip(visitors, wanted, strict=True))
    ]
    seen.paced = [span for spans in await asyncio.gather(*picking) for span in spans]
    kernels = {visitor.kernel_id for visitor in visitors}
    if len(kernels) != size:
        seen.mixed_up.append(f"{size} visitors have {len(kernels)} kernels")
    return visitors


async def _tick(visitor: Visitor, keys: Sequence[str]) -> tuple[float, dict]:
    start = time.perf_counter()
    now = await visitor.tick(list(keys))
    return time.perf_counter() - start, now


async def _at_their_pace(visitor: Visitor, keys: Sequence[str], seed: int) -> list[float]:
    """Waits of a student who picks one thing more now and then."""
    chance, chosen, spans = random.Random(seed), list(keys), []
    for _ in range(4 if SIZE >= FULL_CLASS else 1):
        await asyncio.sleep(chance.uniform(0.0, 2 * PACE))
        chosen.append(_one_that_fits(chosen, chance))
        spans.append((await _tick(visitor, chosen))[0])
    return spans


def _one_that_fits(chosen: Sequence[str], chance: random.Random) -> str:
    study = example("alder_street")
    others = [
        key for key in study.keys if key not in chosen and not study.case.conflict([*chosen, key])
    ]
    return chance.choice(others)


async def _one_more(server: Server, seen: Lesson) -> None:
    try:
        await Visitor(server.address).get_page()
    except HTTPClientError as error:
        seen.one_more = error.code


def different_sets(size: int) -> list[tuple[str, str]]:
    """A set of measures for each, no two alike."""
    study = example("alder_street")
    keys = study.keys
    pairs = [
        [a, b] for step in range(1, len(keys)) for a, b in zip(keys, keys[step:], strict=False)
    ]
    fitting = [pair for pair in pairs if not study.case.conflict(pair)]
    assert len(fitting) >= size
    return fitting[:: len(fitting) // size][:size]


def as_worked_out(keys: Sequence[str], state: dict) -> bool:
    """Whether a page shows what the model says of the set that its own visitor ticked."""
    result = example("alder_street").plan(keys)
    expected = RealHouses(example("alder_street")).of_plan(result)
    left = as_rounded(shown_after(result.before.cost, expected.left))
    return state["now"]["ticked"] == list(result.ticked) and state["now"]["strip"][1][1] == left


def _ninety_fifth(spans: Sequence[float]) -> float:
    return float(np.percentile(spans, 95))


def _wait_until_ready(server: Server) -> None:
    server.find(r"(All \d+ pages are ready)")


def _family(server: Server) -> list[psutil.Process]:
    parent = psutil.Process(server.process.pid)
    return [parent, *parent.children(recursive=True)]


def kernel_megabytes(server: Server) -> list[float]:
    """Memory of each kernel, what it shares with others counted by its share where the system tells. [MB]"""
    return [_megabytes(process) for process in server.kernels().values()]


def _megabytes(process: psutil.Process) -> float:
    memory = process.memory_full_info()
    return float(getattr(memory, "pss", memory.uss)) / 1e6


def rows_of(seen: Lesson) -> list[Row]:
    """What was seen of a class as rows of the table."""
    size, most = len(seen.waits), len(seen.waits) + SPARE_PAGES
    one = "one visitor of a cold page"
    return [
        Row(what=f"{most} pages made ready for a class of {size}",
            measured=seen.ready, unit="s", ratio=seen.ready / seen.cold, reference=one),
        *(Row(what=f"wait of {size} who come at once until all numbers are there, {name}",
              measured=float(of(seen.waits)), unit="s", most=most_wait,
              ratio=float(of(seen.waits)) / seen.cold, reference=one)
          for name, of, most_wait in (("median", np.median, None), ("slowest", max, NUMBERS_WITHIN))),
        Row(what="page of two more in a browser, slower one",
            measured=max(seen.browser_waits), unit="s",
            ratio=max(seen.browser_waits) / seen.cold, reference=one),
        *(Row(what=f"answer when all {size} tick at once, {name}",
              measured=float(of(seen.ticks)), unit="s", most=most_wait,
              ratio=float(of(seen.ticks)) / seen.cold_tick, reference="one who ticks alone")
          for name, of, most_wait in (("median", np.median, None), ("slowest", max, NUMBERS_WITHIN))),
        *(Row(what=f"answer when {size} pick one more every {PACE:g} s, each in their own time, {name}",
              measured=float(of(seen.paced)), unit="s", most=most_wait,
              ratio=float(of(seen.paced)) / seen.cold_tick, reference="one who ticks alone")
          for name, of, most_wait in (
              ("median", np.median, None), ("95th percentile", _ninety_fifth, TICKS_WITHIN))),
        Row(what="memory of a page made ready", measured=max(seen.fresh), unit="MB", most=FRESH_MB,
            steady=True),
        Row(what="memory of a page after one tick", measured=max(seen.ticked), unit="MB", most=PAGE_MB,
            steady=True),
        Row(what=f"the same by proportional share, mean of all {most}", measured=float(np.mean(seen.ticked)),
            unit="MB", most=SHARED_MB if size >= FULL_CLASS else None, steady=size >= FULL_CLASS),
        Row(what="memory of a page with every question opened", measured=seen.opened, unit="MB",
            most=PAGE_MB, steady=True),
        Row(what=f"memory of all {most} pages after the ticks", measured=sum(seen.ticked), unit="MB",
            most=most * PAGE_MB, steady=True),
        Row(what="memory of the server beside them", measured=seen.server, unit="MB", most=400.0,
            steady=True),
    ]  # fmt: skip


CLASS = (class_rows,)
"""Every measurement of this module, in the order of the table."""
