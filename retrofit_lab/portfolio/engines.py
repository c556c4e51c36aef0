"""Who works tasks out: a process on each core of this machine, or a cluster; what the tasks are is not known here.

An engine takes a function and its tasks and gives place and result of each task as it is done.
"""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from typing import Any, Protocol, TypeVar

from retrofit_lab.values import InputError

Task = TypeVar("Task")
Result = TypeVar("Result")
LOCAL = "local"
"""Address that stands for a cluster started on this machine for the time of the work."""


class EngineError(InputError):
    """An engine that cannot be started or that stopped."""


class Engine(Protocol):
    """Function that has tasks worked out, in any order."""

    def __call__(
        self, work: Callable[[Task], Result], tasks: Sequence[Task]
    ) -> Iterator[tuple[int, Result]]:
        """Place and result of each task as it is done."""
        ...


def cores() -> int:
    """Cores that this process may use."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


def processes(count: int | None = None) -> Engine:
    """Engine with a process for each core of this machine, or with as many as wanted.

    Raises
    ------
    EngineError
        When the number is not at least one; later, when a process stops.
    """
    wanted = cores() if count is None else count
    if wanted < 1:
        raise EngineError(f"{wanted} processes are asked for; must be 1 or more. Change it.")

    def run(work: Callable[[Task], Result], tasks: Sequence[Task]) -> Iterator[tuple[int, Result]]:
        # Started afresh, not forked: the page server and the tests have threads.
        with ProcessPoolExecutor(min(wanted, len(tasks)), mp_context=get_context("spawn")) as pool:
            places = {pool.submit(work, task): place for place, task in enumerate(tasks)}
            try:
                for done in as_completed(places):
                    yield places[done], done.result()
            except BrokenProcessPool as error:
                raise EngineError(
                    "a process stopped before its houses were done; there may be too little memory. "
                    "Ask for fewer processes."
                ) from error

    return run


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

    def run(work: Callable[[Task], Result], tasks: Sequence[Task]) -> Iterator[tuple[int, Result]]:
        with _client(distributed, address, count) as client:
            futures = client.map(work, list(tasks), pure=False)
            places = {future.key: place for place, future in enumerate(futures)}
            for done, result in distributed.as_completed(futures, with_results=True):
                yield places[done.key], result

    return run


def _distributed() -> Any:
    try:
        import distributed  # noqa: PLC0415 - an extra that only this engine needs
    except ImportError as error:
        raise EngineError(
            "a cluster needs Dask, which is not installed. Install retrofit-lab[cluster]."
        ) from error
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
            f"the cluster at {address} does not answer ({error}). Check its address."
        ) from error
