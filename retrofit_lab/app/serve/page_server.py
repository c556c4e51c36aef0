"""The page server of this project: standalone voila with our kernels, our page handler, and progress told."""

import asyncio
import os
import time
from functools import partial
from pathlib import Path
from typing import Any

from jupyter_server.auth.decorator import allow_unauthenticated
from tornado import ioloop, web
from tornado.iostream import StreamBufferFullError
from voila.app import Voila
from voila.request_info_handler import RequestInfoSocketHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler

from retrofit_lab.app.serve.bounds import Budget
from retrofit_lab.app.serve.capacity import cores
from retrofit_lab.app.serve.doors import (
    ENTRY,
    Doors,
    InOurWords,
    ask_in,
    cookie_secret,
    in_our_words,
    own_place,
)
from retrofit_lab.app.serve.frames import header_and_content, opens_only_state
from retrofit_lab.app.serve.kernels import TOO_MANY_STATUS, PageKernels, end_oversized
from retrofit_lab.app.serve.listening import (
    LISTENING,
    Listener,
    connections_within,
    file_limit,
    listening_sockets,
)
from retrofit_lab.app.serve.policy import told
from retrofit_lab.app.serve.visits import COMING, Who
from retrofit_lab.app.serve.wording import progress, stopped_early

TELL_SECONDS = 10.0
NEEDED_MESSAGES = [
    "comm_open",
    "comm_close",
    "comm_msg",
    "comm_info_request",
    "kernel_info_request",
]
"""What a page says to its kernel; everything else is dropped."""
FOR_PROGRAMMERS = ("error", "stream", "execute_input", "execute_reply")
"""What a kernel says that no page needs; it can hold lines of code and names of files."""


MESSAGES = 300, 60.0
"""Messages that a page may send at once, and each second after that; who picks fast sends ten a second."""
BYTES = 24e6, 2e6
"""Bytes in the same way: two pictures of a phone at once."""
UNREAD_BYTES = 24_000_000
"""What is kept for a page that does not read; beyond it the connection ends."""
CONNECTIONS_A_PAGE = 4
POLICY_VIOLATION = 1008
ENDED = '<p id="ended" hidden></p>'
"""Tells the script of a page that the rest of it does not come."""
OVERSIZED_EVERY = 5.0
"""Time between looks at the memory of pages. [s]"""


class PageHandler(InOurWords, TornadoVoilaHandler):
    """Gives out the page, to a browser's window only, and says in a sentence when it cannot."""

    gone = False

    def on_connection_close(self) -> None:
        """Notice that no one waits for the page any more."""
        self.gone = True
        super().on_connection_close()

    @allow_unauthenticated
    async def get(self, path: str | None = None) -> None:
        """Answer with the page, or ask who comes for the two words."""
        # a picture or script tag of a foreign page would otherwise take a place each
        if self.request.headers.get("Sec-Fetch-Dest", "document") != "document":
            raise web.HTTPError(403)
        if not self.current_user:
            ask_in(self, own_place(self.request.uri or "/"))
            return
        # setting this cookie lets the page give its place back when it is closed
        _ = self.xsrf_token
        if path:
            raise web.HTTPError(404)
        await self._give()

    async def _give(self) -> None:
        """Answer with a page in its turn, where its visitor still waits."""
        who = Who(
            browser=getattr(self.current_user, "username", ""),
            address=self.request.remote_ip or "",
        )
        async with self.kernel_manager.visits.turn(who):
            if self.gone:
                return
            await self.kernel_manager.first_begun()
            await self.kernel_manager.make_room_for(who)
            COMING.set(who)
            giving = asyncio.create_task(self._page())
            try:
                await asyncio.wait([giving])
            finally:
                # the page server would keep every question for a channel that no page of ours opens
                RequestInfoSocketHandler._cache.clear()
            if giving.cancelled():
                self._give_up()
            else:
                giving.result()

    async def _page(self) -> None:
        await super().get(None)

    def _give_up(self) -> None:
        """End a page whose process ended while it was worked out; it opens anew by itself."""
        if self._headers_written:
            self.finish(ENDED)
        else:
            self.redirect(self.request.uri or "/")


class PageChannels(VoilaKernelWebsocketHandler):
    """The connection between a page and its kernel: whole messages within a budget, and no lines of code."""

    def initialize(self, *args: Any, **kwargs: Any) -> None:
        """Begin with a full budget."""
        super().initialize(*args, **kwargs)
        self.messages, self.bytes = Budget(*MESSAGES), Budget(*BYTES)

    async def pre_get(self) -> None:
        """Join the kernel, unless too many connections have."""
        joined = self.kernel_manager.connections_of(self.kernel_id)
        if joined >= CONNECTIONS_A_PAGE:
            raise web.HTTPError(TOO_MANY_STATUS)
        await super().pre_get()

    async def open(self, kernel_id: str) -> None:
        """Begin, and keep only so much for a page that does not read."""
        self.ws_connection.stream.max_write_buffer_size = UNREAD_BYTES
        await super().open(kernel_id)

    @property
    def packed(self) -> bool:
        """Whether the connection speaks the newer way."""
        return self.ws_connection is not None and bool(self.selected_subprotocol)

    async def on_message(self, ws_message: bytes | str) -> None:
        """Pass a message on, once its visitor's budget allows; the next one is read after that."""
        found = header_and_content(ws_message, packed=self.packed)
        if found is None:
            self.close(POLICY_VIOLATION)
            return
        header, content = found
        if header.get("msg_type") == "comm_open" and not opens_only_state(content):
            return
        wait = max(self.messages.wait_for(1), self.bytes.wait_for(len(ws_message)))
        if wait:
            await asyncio.sleep(wait)
        if self.connection is not None:
            super().on_message(ws_message)

    def write_message(self, message: Any, binary: bool = False) -> Any:
        """Send a message to the page, unless it could hold lines of code; a page that reads nothing is let go."""
        if kind_of(message, packed=self.packed) in FOR_PROGRAMMERS:
            return None
        try:
            return super(VoilaKernelWebsocketHandler, self).write_message(message, binary)
        except StreamBufferFullError:
            self.ws_connection.stream.close()
            return None


def kind_of(message: bytes | str | dict[str, Any], *, packed: bool) -> str:
    """Kind of a message in any of the forms in which it is sent."""
    if isinstance(message, dict):
        return str((message.get("header") or {}).get("msg_type", ""))
    found = header_and_content(message, packed=packed)
    return str(found[0].get("msg_type", "")) if found else ""


OURS = {TornadoVoilaHandler: PageHandler, VoilaKernelWebsocketHandler: PageChannels}
"""What takes the place of the page server's own."""


class PageServer(Voila):
    """One notebook as a page, within limits."""

    def init_settings(self) -> dict[str, Any]:
        """Settings of the web application, with our kernels."""
        self.identity_provider_class = Doors
        settings = super().init_settings()
        settings["login_url"] = ENTRY
        # what was tried at the door belongs in no log
        settings["log_function"] = lambda _handler: None
        if self.token:
            settings["cookie_secret"] = cookie_secret(self.token)
        self.kernel_manager = settings["kernel_manager"] = PageKernels(
            parent=self,
            # its own folder's name is all that a socket's short path has room for
            connection_dir=os.environ.get("JUPYTER_RUNTIME_DIR") or self.connection_dir,
            kernel_spec_manager=self.kernel_spec_manager,
            allowed_message_types=NEEDED_MESSAGES,
        )
        return settings

    def init_handlers(self) -> list[Any]:
        """Handlers of the page server, with ours for the page, in our words; each tells the browser what it may do."""
        return [
            (rule[0], told(in_our_words(OURS.get(rule[1], rule[1]))), *rule[2:])
            for rule in super().init_handlers()
            if rule[1] is not RequestInfoSocketHandler
        ]

    def listen(self) -> None:
        """Listen until stopped; pages are made ready meanwhile."""
        files = file_limit()
        sockets = listening_sockets(self.ip, self.port)
        self.port: int = sockets[0].getsockname()[1]
        listener = Listener(self.app, most=connections_within(files, self.kernel_manager.most))
        listener.add_sockets(sockets)
        self.ioloop = ioloop.IOLoop.current()
        self.ioloop.add_callback(self._begin)
        try:
            self.ioloop.start()
        finally:
            self.stop()

    def _handle_signal_stop(self, sig: int, frame: Any) -> None:
        """End in order, or at once where nobody could have come yet."""
        if not hasattr(self, "ioloop"):
            raise SystemExit(0)
        super()._handle_signal_stop(sig, frame)

    def _begin(self) -> None:
        """Say that this server listens, and make pages ready."""
        told_in = os.environ.get("JUPYTER_RUNTIME_DIR")
        if told_in:
            (Path(told_in) / LISTENING).write_text(str(self.port), encoding="ascii")
        ioloop.PeriodicCallback(
            partial(end_oversized, self.kernel_manager), 1e3 * OVERSIZED_EVERY
        ).start()
        if self.kernel_manager.ready:
            self.ioloop.add_callback(self._make_ready)

    async def _make_ready(self) -> None:
        kernels, start = self.kernel_manager, time.monotonic()
        filling = kernels.start_filling(cores())
        while not filling.done():
            await asyncio.wait([filling], timeout=TELL_SECONDS)
            if not filling.done():
                _say(progress(kernels.made, kernels.ready, time.monotonic() - start))
        if kernels.full:
            _say(progress(kernels.made, kernels.made, time.monotonic() - start))
        else:
            _say(stopped_early(kernels.made, kernels.ready))


def _say(text: str) -> None:
    print(text, flush=True)  # noqa: T201 - the command's output
