"""Starts, counts and hands out the kernels behind open pages: never more than a limit, some ready ahead.

A kernel is the process behind one open page. It is freed when the page is closed, when it was left for long,
or when somebody else needs the place and the page has had no connection for a while.
"""

import asyncio
import os
import uuid
from datetime import datetime
from typing import Any

from jupyter_server._tz import utcnow
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado import web
from traitlets import Float, Integer
from voila.voila_kernel_manager import voila_kernel_manager_factory

FULL_STATUS = 503


class LimitedKernels(AsyncMappingKernelManager):
    """Kernels up to a limit; whatever starts one comes through here."""

    most = Integer(1, config=True, help="Kernels that may run at once.")

    def __init__(self, **kwargs: Any) -> None:
        self._starting: set[str] = set()
        super().__init__(**kwargs)

    @property
    def full(self) -> bool:
        """Whether no further kernel may be started; those that start and end count too."""
        return len(self._starting.union(self.list_kernel_ids())) >= self.most

    async def start_kernel(self, **kwargs: Any) -> str:
        """Start a kernel, or answer that all places are taken."""
        if self.full:
            raise web.HTTPError(FULL_STATUS)
        kernel_id = kwargs.setdefault("kernel_id", str(uuid.uuid4()))
        self._starting.add(kernel_id)
        try:
            return await super().start_kernel(**kwargs)
        finally:
            self._starting.discard(kernel_id)


# The page server's own pool is left empty: it refills after a fixed delay, and whoever comes in the meantime
# waits for that delay even where a fresh start would take seconds.
_Pooled = voila_kernel_manager_factory(LimitedKernels, preheat_kernel=True, default_pool_size=0)


class PageKernels(_Pooled):
    """Kernels of one page, some of them with the page already worked out."""

    ready = Integer(0, config=True, help="Pages made ready ahead, as far as places are free.")
    quiet_seconds = Float(5.0, config=True, help="Time without a visitor before one is made ready.")
    coming_seconds = Float(60.0, config=True, help="Time that a visitor has to load the page.")
    left_seconds = Float(5.0, config=True, help="Time since its connection broke until it yields.")
    made = 0
    _filling: asyncio.Task[None] | None = None
    _soon: asyncio.TimerHandle | None = None

    def __init__(self, **kwargs: Any) -> None:
        self._parted: dict[str, datetime] = {}
        self._ending: set[str] = set()
        super().__init__(**kwargs)

    def fill_if_needed(self, *_args: Any, **_kwargs: Any) -> None:
        """Make up for what was taken once it is quiet; the page server calls this."""
        if self._filling is None or not self.ready:
            return
        if self._soon:
            self._soon.cancel()
        loop = asyncio.get_running_loop()
        self._soon = loop.call_later(self.quiet_seconds, self.start_filling, 1)

    def start_filling(self, workers: int) -> asyncio.Task[None]:
        """Make pages ready, so many at a time, unless that goes on already."""
        if self._filling is None or self._filling.done():
            self._filling = asyncio.get_running_loop().create_task(self._fill(workers))
        return self._filling

    async def _fill(self, workers: int) -> None:
        await asyncio.gather(*(self._work() for _ in range(workers)))

    async def _work(self) -> None:
        """Make one page ready after the other; stops at a failure, since a machine in trouble wants rest."""
        while len(self._pool) < self.ready and not self.full:
            item = asyncio.create_task(self._worked_out())
            self._pool.append(item)
            try:
                await (await item)["task"]
                self.made += 1
            except Exception:
                self.log.exception("A page could not be made ready.")
                self._forget(item)
                return

    async def _worked_out(self) -> dict[str, Any]:
        folder = os.path.dirname(self.notebook_path)  # noqa: PTH120 - a path of the page server's, not of the disk
        return await self._initialize(self.notebook_path, None, path=folder, env=dict(os.environ))

    @property
    def _pool(self) -> list[asyncio.Task[dict[str, Any]]]:
        return self._pools.setdefault(self.notebook_path, [])

    def _forget(self, item: asyncio.Task[dict[str, Any]]) -> None:
        if item in self._pool:
            self._pool.remove(item)

    async def get_rendered_notebook(self, notebook_name: str, **_kwargs: Any) -> Any:
        """Hand out the page that was made ready first."""
        task, cells, kernel_id = await super().get_rendered_notebook(notebook_name)
        # it was idle while it waited; only from now on may it count as left
        self.get_kernel(kernel_id).last_activity = utcnow()
        return task, cells, kernel_id

    async def start_kernel(self, **kwargs: Any) -> str:
        """Start a kernel for a visitor, where all places are taken in place of a page that was left."""
        left = self.left_pages()
        if self.full and left:
            await self.shutdown_kernel(left[0], now=True)
        # who loads a page again comes before the end of the kernel that they left
        while self.full and self._ending:
            await asyncio.sleep(0.1)
        return await super().start_kernel(**kwargs)

    async def shutdown_kernel(self, kernel_id: str, *args: Any, **kwargs: Any) -> Any:
        """End a kernel."""
        self._ending.add(kernel_id)
        try:
            return await super().shutdown_kernel(kernel_id, *args, **kwargs)
        finally:
            self._ending.discard(kernel_id)

    def left_pages(self) -> list[str]:
        """Kernels of pages without connection that have had their time, the longest over it first."""
        waiting = {item.result()["kernel_id"] for item in self._pool if item.done()}
        out = waiting | self._ending
        over = {key: self._over(key) for key in self._kernels if key not in out}
        return sorted((key for key in over if over[key] > 0), key=over.__getitem__, reverse=True)

    def _over(self, kernel_id: str) -> float:
        """How long a page without connection is over the time that it has. [s]"""
        if self._kernel_connections.get(kernel_id):
            return 0.0
        parted = self._parted.get(kernel_id)
        since, given = (
            (parted, self.left_seconds)
            if parted
            else (self._kernels[kernel_id].last_activity, self.coming_seconds)
        )
        return (utcnow() - since).total_seconds() - given

    def notify_disconnect(self, kernel_id: str) -> None:
        """Notice that a page has lost its connection."""
        super().notify_disconnect(kernel_id)
        self._parted[kernel_id] = utcnow()

    async def shutdown_all(self, **_kwargs: Any) -> None:
        """End all kernels at once, since they hold nothing that must be saved, and start none any more."""
        self.ready = self.most = 0
        await super().shutdown_all(now=True)

    def remove_kernel(self, kernel_id: str) -> Any:
        """Forget a kernel that has ended, whether it was shut down or died."""
        for item in [item for item in self._pool if item.done()]:
            if item.exception() or item.result()["kernel_id"] == kernel_id:
                self._forget(item)
        self._parted.pop(kernel_id, None)
        removed = super().remove_kernel(kernel_id)
        self.fill_if_needed()
        return removed
