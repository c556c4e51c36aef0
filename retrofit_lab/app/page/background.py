"""Works out, beside the page, what may follow a tick by a moment; what is worked out is said by whoever asks.

A tick must never wait for a range, a search or another answer. These are worked out one after the other in a
thread of their own, and dropped where the next tick comes first.
"""

import asyncio
import contextlib
import ctypes
import os
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.shared.guard import note_failure

SHOWN_FIRST = 0.02
"""Time in which the numbers of a tick reach the page before anything else is begun. [s]"""

LET_GO = 0.001
"""After this long a thread that works behind the page hands the interpreter to a tick that waits for it. [s]"""
BEHIND = 10
"""How far the thread behind the page ranks after what a tick needs. (steps of niceness)"""


def give_back() -> None:
    """Return memory that is free again to the system, where the C library can: a class has a process each.

    The tables of a range are large and short-lived; without this their room stays with the process.
    """
    with contextlib.suppress(AttributeError, OSError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)


def step_back() -> None:
    """Let a tick come first: this thread yields the interpreter soon, and the processor where threads have a rank.

    Only on Linux is the number of a thread one that a priority can be given to.
    """
    sys.setswitchinterval(LET_GO)
    if sys.platform == "linux":
        mine = threading.get_native_id()
        with contextlib.suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, mine, os.getpriority(os.PRIO_PROCESS, mine) + BEHIND)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Something to work out, and what shows it; ``show`` is called where the page lives."""

    work: Callable[[], Any]
    show: Callable[[Any], None]


def _worked(piece: Piece) -> Any:
    """What a piece works out; what it needed meanwhile goes back at once, also where the next tick drops it."""
    try:
        return piece.work()
    finally:
        give_back()


class Afterwards:
    """Pieces that wait, by name; ``failed`` tells that one could not be worked out.

    Where no loop runs, as in a script, each piece is worked out at once.
    """

    def __init__(self, failed: Callable[[], None]) -> None:
        self._failed = failed
        self._waiting: dict[str, Piece] = {}
        self._task: asyncio.Task[None] | None = None
        self._thread = ThreadPoolExecutor(1, "afterwards", initializer=step_back)

    def begin(self, pieces: Mapping[str, Piece]) -> None:
        """Drop what waits and what is being worked out; work out these pieces in their order."""
        if self._task:
            self._task.cancel()
        self._task = None
        self._waiting.clear()
        self.add(pieces)

    def add(self, pieces: Mapping[str, Piece]) -> None:
        """Work out more pieces after those that wait; one of the same name takes the place of the other."""
        for name in pieces:
            self._waiting.pop(name, None)
        self._waiting.update(pieces)
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self._work_at_once()
            return
        if self._task is None or self._task.done():
            self._task = loop.create_task(self._work(loop))

    def drop(self, name: str) -> None:
        """Forget a piece that waits."""
        self._waiting.pop(name, None)

    def _work_at_once(self) -> None:
        while self._waiting:
            piece = self._next()
            with self._telling():
                piece.show(piece.work())

    async def _work(self, loop: asyncio.AbstractEventLoop) -> None:
        await asyncio.sleep(SHOWN_FIRST)
        while self._waiting:
            piece = self._next()
            with self._telling():
                piece.show(await loop.run_in_executor(self._thread, _worked, piece))

    def _next(self) -> Piece:
        return self._waiting.pop(next(iter(self._waiting)))

    @contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            yield
        except Exception:  # noqa: BLE001 - whatever it was, the visitor gets a sentence
            note_failure("afterwards")
            self._failed()
