"""Who works tasks out: processes on this machine, or a cluster; what the tasks are is not known here.

An engine takes a function and its tasks and gives place and result of each task as it is done. It asks for
a further task only when one is done, so that a long list of tasks takes no more memory than a short one.
"""

import os
import signal
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from multiprocessing import get_context, parent_process
from typing import Any, Generic, Protocol, TypeVar

from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence

Task = TypeVar("Task")
Result = TypeVar("Result")
LOCAL = "local"
"""Address that stands for a cluster started on this machine for the time of the work."""
SECONDS = 300.0
"""Time after which a task is given up, so that one that hangs does not stop the others. [s]"""
AHEAD = 2
"""Tasks that a cluster's process is given at a time, so that it need not wait for the next."""


class EngineError(InputError):
    """An engine that cannot be started or that stopped."""


class Engine(Protocol):
    """Function that has tasks worked out, in any order; ``failed`` gives the result of one that cannot be."""

    def __call__(
        self,
        work: Callable[[Task], Result],
        tasks: Iterable[Task],
        failed: Callable[[Task, str], Result],
    ) -> Iterator[tuple[int, Result]]:
        """Place and result of each task as it is done."""
        ...


def cores() -> int:
    """Cores that this process may use."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


@dataclass(eq=False)
class _Begun(Generic[Task]):
    """One task in work: its place and since when."""

    place: int
    task: Task
    since: float = field(default_factory=time.monotonic)


def processes(count: int | None = None, seconds: float = SECONDS) -> Engine:
    """Engine with a process for each core of this machine, or with as many as wanted.

    A task that takes longer than ``seconds``, or that stops its process, has failed; the others go on.
    The processes end with whoever started them, however that ends.

    Raises
    ------
    EngineError
        When the number is not at least one.
    """
    wanted = cores() if count is None else count
    if wanted < 1:
        raise EngineError(sentence("portfolio_engines.processes_were", wanted=wanted))

    def run(
        work: Callable[[Task], Result],
        tasks: Iterable[Task],
        failed: Callable[[Task, str], Result],
    ) -> Iterator[tuple[int, Result]]:
        crew = _Crew(work, failed, seconds, wanted)
        try:
            crew.wait_for_processes()
            for place, task in enumerate(tasks):
                crew.begin(_Begun(place, task))
                while crew.full:
                    yield from crew.done()
            while crew.working:
                yield from crew.done()
        finally:
            crew.end()

    return run


class _Crew(Generic[Task, Result]):
    """Processes with a task each; they are started anew where one stopped or hangs."""

    def __init__(
        self,
        work: Callable[[Task], Result],
        failed: Callable[[Task, str], Result],
        seconds: float,
        count: int,
    ) -> None:
        self.work, self.failed, self.seconds, self.count = work, failed, seconds, count
        self.working: dict[Future[Result], _Begun[Task]] = {}
        self.pool = self._pool()

    @property
    def full(self) -> bool:
        """Whether every process has a task."""
        return len(self.working) >= self.count

    def begin(self, begun: _Begun[Task]) -> None:
        """Give a process a task."""
        begun.since = time.monotonic()
        try:
            self.working[self.pool.submit(self.work, begun.task)] = begun
        except BrokenProcessPool:  # it broke between two tasks; that is no one's fault but its own
            self._start_anew()
            self.working[self.pool.submit(self.work, begun.task)] = begun

    def done(self) -> Iterator[tuple[int, Result]]:
        """Wait until a task is done, or has failed."""
        ended, _ = wait(self.working, self._time_left(), return_when=FIRST_COMPLETED)
        if not ended:
            yield from self._without_late()
        elif any(isinstance(future.exception(), BrokenProcessPool) for future in ended):
            yield from self._one_by_one()
        else:
            for future in ended:
                yield self.working.pop(future).place, future.result()

    def _time_left(self) -> float:
        oldest = min(begun.since for begun in self.working.values())
        return max(0.0, oldest + self.seconds - time.monotonic())

    def _interrupted(self) -> list[_Begun[Task]]:
        """What was in work, after all processes were ended and fresh ones started."""
        begun = sorted(self.working.values(), key=lambda one: one.place)
        self.working.clear()
        self._start_anew()
        return begun

    def _without_late(self) -> Iterator[tuple[int, Result]]:
        now = time.monotonic()
        for begun in self._interrupted():
            if begun.since + self.seconds <= now:
                yield begun.place, self.failed(begun.task, self._late)
            else:
                self.begin(begun)

    def _one_by_one(self) -> Iterator[tuple[int, Result]]:
        """Each task that a stopped process took with it again by itself, to learn which one it was."""
        for begun in self._interrupted():
            future = self.pool.submit(self.work, begun.task)
            ended, _ = wait([future], self.seconds)
            if ended and not isinstance(future.exception(), BrokenProcessPool):
                yield begun.place, future.result()
                continue
            why = sentence("portfolio_engines.its_process") if ended else self._late
            yield begun.place, self.failed(begun.task, why)
            self._start_anew()

    @property
    def _late(self) -> str:
        return sentence("portfolio_engines.took_longer", seconds=f"{self.seconds:g}")

    def wait_for_processes(self) -> None:
        """Wait until each process knows its work, so that only tasks count against their time."""
        wait([self.pool.submit(_know, self.work) for _ in range(self.count)])

    def _start_anew(self) -> None:
        self.end()
        self.pool = self._pool()
        self.wait_for_processes()

    def _pool(self) -> ProcessPoolExecutor:
        # started afresh, not forked: the page server and the tests have threads
        return ProcessPoolExecutor(
            self.count, mp_context=get_context("spawn"), initializer=_end_with_parent
        )

    def end(self) -> None:
        """End the processes at once, also in the middle of a task."""
        running = list((getattr(self.pool, "_processes", None) or {}).values())
        self.pool.shutdown(wait=False, cancel_futures=True)
        for process in running:
            process.kill()
        for process in running:
            process.join()


def _know(work: Callable[[Task], Result]) -> None:
    """Do nothing; a process that was handed this has read what its work needs."""


def _end_with_parent() -> None:
    """Leave a typed Ctrl-C to whoever started this process, and end when that one is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_watch, daemon=True).start()


def _watch() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
    os._exit(1)


def cluster(address: str = LOCAL, count: int | None = None) -> Engine:
    """Engine on a Dask cluster; the same folders must be readable from its machines.

    Parameters
    ----------
    address : str
        Address of its scheduler, such as ``tcp://10.0.0.5:8786``; `LOCAL` starts one here.
    count : int, optional
        Processes of a cluster that is started here.

    Raises
    ------
    EngineError
        When Dask is not installed; later, when the cluster does not answer.
    """
    distributed = _distributed()

    def run(
        work: Callable[[Task], Result],
        tasks: Iterable[Task],
        failed: Callable[[Task, str], Result],
    ) -> Iterator[tuple[int, Result]]:
        with _client(distributed, address, count) as client:
            waiting = enumerate(tasks)
            begun: dict[Any, tuple[int, Task]] = {}
            done = distributed.as_completed()

            def begin() -> None:
                for place, task in waiting:
                    future = client.submit(work, task, pure=False)
                    begun[future.key] = place, task
                    done.add(future)
                    return

            for _ in range(AHEAD * max(1, len(client.scheduler_info()["workers"]))):
                begin()
            for future in done:
                place, task = begun.pop(future.key)
                error = future.exception()
                yield place, failed(task, f"{error}") if error else future.result()
                begin()

    return run


def _distributed() -> Any:
    try:
        import distributed  # noqa: PLC0415 - an extra that only this engine needs
    except ImportError as error:
        raise EngineError(sentence("portfolio_engines.cluster_needs")) from error
    return distributed


def _client(distributed: Any, address: str, count: int | None) -> Any:
    try:
        if address != LOCAL:
            return distributed.Client(address, timeout="20s")
        return distributed.Client(
            n_workers=count or cores(), threads_per_worker=1, dashboard_address=None
        )
    except (OSError, ValueError) as error:
        raise EngineError(
            sentence("portfolio_engines.cluster_does", address=address, why=error)
        ) from error
