"""Starts, counts and hands out the kernels behind open pages: never more than a limit, some ready ahead.

A kernel is the process behind one open page. It is freed when the page is closed, when it was left for long,
or when someone else needs the place and the page has had no connection for a while.
"""

import asyncio
import math
import os
import uuid
from datetime import datetime
from typing import Any

import psutil
from jupyter_server._tz import utcnow
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado import web
from traitlets import Float, Integer
from voila.voila_kernel_manager import voila_kernel_manager_factory

from retrofit_lab.app.serve.visits import PAGES_EACH, Visits, Who
from retrofit_lab.texts.english_only import sentence

FULL_STATUS = 503
TOO_MANY_STATUS = 429
MOST_PAGE_MB = 700.0
"""Memory of a page beyond which it is ended. [MB] One that opened every question has less than 200."""


class LimitedKernels(AsyncMappingKernelManager):
    """Kernels up to a limit; whatever starts one comes through here."""

    most = Integer(1, config=True)
    """Kernels that may run at once."""

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

    async def _async_shutdown_kernel(self, kernel_id: str, *args: Any, **kwargs: Any) -> Any:
        """End a kernel, unless it died meanwhile or never came to be: nothing is left to end then."""
        if kernel_id in self._kernels:
            return await super()._async_shutdown_kernel(kernel_id, *args, **kwargs)
        return None


# The page server's own pool is left empty: it refills after a fixed delay, and whoever comes in the meantime
# waits for that delay even where a fresh start would take seconds.
_Pooled = voila_kernel_manager_factory(LimitedKernels, preheat_kernel=True, default_pool_size=0)


class PageKernels(_Pooled):
    """Kernels of one page, some of them with the page already worked out."""

    ready = Integer(0, config=True)
    """Pages made ready ahead, as far as places are free."""
    quiet_seconds = Float(5.0, config=True)
    """Time without a visitor before one is made ready."""
    coming_seconds = Float(60.0, config=True)
    """Time that a visitor has to load the page."""
    left_seconds = Float(5.0, config=True)
    """Time since its connection broke until it yields."""
    crowd_seconds = Float(15.0, config=True)
    """Time to load for an address that has half of the places already."""
    made = 0
    _filling: asyncio.Task[None] | None = None
    _soon: asyncio.TimerHandle | None = None

    def __init__(self, **kwargs: Any) -> None:
        self._parted: dict[str, datetime] = {}
        self.ending: set[str] = set()
        self.visits = Visits()
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
                # whoever ends the server ends this page too, and no place is left then
                if self.most:
                    self.log.exception(sentence("serve_kernels.page_could"))
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
        self.visits.begin(kernel_id)
        return task, cells, kernel_id

    async def first_begun(self) -> None:
        """Wait until pages that are made ready can be handed out; a fresh one would take a place beside them."""
        while self._pool and self.notebook_path not in self.notebook_data:
            await asyncio.sleep(0.05)

    async def make_room_for(self, who: Who) -> None:
        """End what a visitor has left, where the places or those of one visitor run out.

        Raises
        ------
        HTTPError
            When someone looks at all the pages that one visitor may have.
        """
        theirs = self.visits.same_browser(who)
        left = [key for key in theirs if self._may_end(key)]
        if left and (len(theirs) >= PAGES_EACH or (self.full and not self._pool)):
            await self.shutdown_kernel(left[0], now=True)
        elif len(theirs) >= PAGES_EACH:
            raise web.HTTPError(TOO_MANY_STATUS)

    def _may_end(self, kernel_id: str) -> bool:
        there = kernel_id in self._kernels and kernel_id not in self.ending
        return there and not self.connections_of(kernel_id)

    async def start_kernel(self, **kwargs: Any) -> str:
        """Start a kernel for a visitor, where all places are taken in place of a page that was left."""
        left = self.left_pages()
        if self.full and left:
            await self.shutdown_kernel(left[0], now=True)
        # who loads a page again comes before the end of the kernel that they left
        while self.full and self.ending:
            await asyncio.sleep(0.1)
        kernel_id = await super().start_kernel(**kwargs)
        self.visits.begin(kernel_id)
        return kernel_id

    async def shutdown_kernel(self, kernel_id: str, *args: Any, **kwargs: Any) -> Any:
        """End a kernel."""
        self.ending.add(kernel_id)
        try:
            return await super().shutdown_kernel(kernel_id, *args, **kwargs)
        finally:
            self.ending.discard(kernel_id)

    def connections_of(self, kernel_id: str) -> int:
        """Connections to the kernel of a page."""
        return int(self._kernel_connections.get(kernel_id) or 0)

    def left_pages(self) -> list[str]:
        """Kernels of pages without connection that have had their time, the longest over it first."""
        waiting = {item.result()["kernel_id"] for item in self._pool if item.done()}
        # one that is still starting has not been active yet, so nothing says since when it waits
        out = waiting | self.ending | self._starting
        unseen = [key for key in self._kernels if key not in out and not self.connections_of(key)]
        over = {key: _idle(self._kernels[key], *self._since(key)) for key in unseen}
        return sorted((key for key in over if over[key] > 0), key=over.__getitem__, reverse=True)

    def _since(self, kernel_id: str) -> tuple[datetime | None, float]:
        """When a page lost its connection, and the time that it or its coming visitor has. [s]"""
        parted = self._parted.get(kernel_id)
        if parted:
            return parted, self.left_seconds
        crowded = 2 * self.visits.crowd(kernel_id) >= self.most
        return None, self.crowd_seconds if crowded else self.coming_seconds

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
        self.visits.end(kernel_id)
        removed = super().remove_kernel(kernel_id)
        self.fill_if_needed()
        return removed


def _idle(kernel: Any, parted: datetime | None, given: float) -> float:
    """How long a page without connection is over the time that it has. [s]"""
    if not kernel.trait_has_value("last_activity"):
        return math.inf  # its start failed, and no one can come to it any more
    return float((utcnow() - (parted or kernel.last_activity)).total_seconds()) - given


async def end_oversized(kernels: PageKernels) -> None:
    """End pages that took far more memory than a page needs, before others have none."""
    for key in kernels.list_kernel_ids():
        if key not in kernels.ending and megabytes(kernels.get_kernel(key)) > MOST_PAGE_MB:
            kernels.log.error(sentence("serve_kernels.too_large", most=f"{MOST_PAGE_MB:.0f}"))
            await kernels.shutdown_kernel(key, now=True)


def megabytes(kernel: Any) -> float:
    """Memory of a page; 0 where its process is not there. [MB]"""
    pid = getattr(getattr(kernel, "provisioner", None), "pid", None)
    try:
        return psutil.Process(pid).memory_info().rss / 1e6 if pid else 0.0
    except psutil.Error:
        return 0.0
