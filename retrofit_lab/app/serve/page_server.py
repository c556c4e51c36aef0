"""The page server of this project: standalone voila with our kernels, our page handler, and progress told."""

import asyncio
import json
import time
from typing import Any

from jupyter_server.auth.decorator import allow_unauthenticated
from tornado import ioloop, web
from voila.app import Voila
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import (
    VoilaKernelWebsocketHandler,
    read_header_from_binary_message,
)

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
from retrofit_lab.app.serve.kernels import PageKernels
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


class PageHandler(InOurWords, TornadoVoilaHandler):
    """Gives out the page, to a browser's window only, and says in a sentence when it cannot."""

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
        await super().get(path)


class PageChannels(VoilaKernelWebsocketHandler):
    """The connection between a page and its kernel, without what only a programmer wants to read."""

    def write_message(self, message: Any, binary: bool = False) -> Any:
        """Send a message to the page, unless it could hold lines of code."""
        if kind_of(message) in FOR_PROGRAMMERS:
            return None
        return super().write_message(message, binary)


def kind_of(message: bytes | str | dict[str, Any]) -> str:
    """Kind of a message in any of the forms in which it is sent."""
    if isinstance(message, bytes):
        header = read_header_from_binary_message(message)
    else:
        header = (json.loads(message) if isinstance(message, str) else message).get("header")
    return (header or {}).get("msg_type", "")


OURS = {TornadoVoilaHandler: PageHandler, VoilaKernelWebsocketHandler: PageChannels}
"""What stands in place of the page server's own."""


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
            connection_dir=self.connection_dir,
            kernel_spec_manager=self.kernel_spec_manager,
            allowed_message_types=NEEDED_MESSAGES,
        )
        return settings

    def init_handlers(self) -> list[Any]:
        """Handlers of the page server, with ours for the page, all of them in our words."""
        return [
            (rule[0], in_our_words(OURS.get(rule[1], rule[1])), *rule[2:])
            for rule in super().init_handlers()
        ]

    def listen(self) -> None:
        """Listen until stopped; pages are made ready meanwhile."""
        if self.kernel_manager.ready:
            ioloop.IOLoop.current().add_callback(self._make_ready)
        super().listen()

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
