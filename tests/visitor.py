"""A visitor without a browser: opens the served page, joins its kernel's channels, ticks, and reads what comes."""

import asyncio
import json
import re
import threading
import time
import uuid
from collections.abc import Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlsplit

from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.simple_httpclient import SimpleAsyncHTTPClient
from tornado.websocket import WebSocketClientConnection, websocket_connect
from waiting import LONGEST


class Visitor:
    """One open page."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.session = uuid.uuid4().hex
        self.state: dict[str, Any] = {}
        self.waited = float("nan")
        self.kernel_id = self.cookie = self.widget = ""
        self.socket: WebSocketClientConnection | None = None
        self.ended = False

    async def open(self) -> "Visitor":
        """Get the page and the state of its widget; ``waited`` is the time until both are there. [s]"""
        start = time.perf_counter()
        await self.get_page()
        await self.join()
        await self.find_widget()
        self.waited = time.perf_counter() - start
        return self

    async def get_page(self) -> None:
        answer = await http_client().fetch(
            self.address, request_timeout=LONGEST, connect_timeout=LONGEST
        )
        self.cookie = "; ".join(c.split(";")[0] for c in answer.headers.get_list("Set-Cookie"))
        found = re.search(r'"kernelId": "([^"]+)"', answer.body.decode())
        assert found, answer.body[:200]
        self.kernel_id = found[1]

    async def join(self, **headers: str) -> None:
        parts = urlsplit(self.address)
        place = (
            f"ws://{parts.netloc}/api/kernels/{self.kernel_id}/channels?session_id={self.session}"
        )
        request = HTTPRequest(place, headers={"Cookie": self.cookie, **headers})
        self.ended = False
        self.socket = await websocket_connect(request, max_message_size=50_000_000)

    def send(self, kind: str, content: dict[str, Any], channel: str = "shell") -> str:
        """Send a message; its name."""
        name = uuid.uuid4().hex
        header = {
            "msg_id": name, "session": self.session, "username": "visitor",
            "msg_type": kind, "version": "5.3", "date": datetime.now(UTC).isoformat(),
        }  # fmt: skip
        rest = {"parent_header": {}, "metadata": {}, "buffers": []}
        self.raw(json.dumps({"channel": channel, "header": header, "content": content, **rest}))
        return name

    def raw(self, message: str | bytes) -> None:
        assert self.socket is not None
        self.socket.write_message(message, binary=isinstance(message, bytes))

    def say(self, data: dict[str, Any], widget: str = "") -> None:
        """Send something to the widget."""
        self.send("comm_msg", {"comm_id": widget or self.widget, "data": data})

    async def next(self, kind: str) -> dict[str, Any]:
        """The next message of a kind."""
        assert self.socket is not None
        while True:
            text = await asyncio.wait_for(self.socket.read_message(), LONGEST)
            assert text is not None, "the connection was closed"
            message = json.loads(text) if isinstance(text, str) else {}
            if message.get("header", {}).get("msg_type") == kind:
                return message["content"]

    async def find_widget(self) -> None:
        self.send("comm_info_request", {"target_name": "jupyter.widget"})
        comms = (await self.next("comm_info_reply"))["comms"]
        for key in comms:
            self.say({"method": "request_state"}, key)
        while not self.widget:
            content = await self.next("comm_msg")
            if "ticked" in content["data"].get("state", {}):
                self.widget = content["comm_id"]
                self.state.update(content["data"]["state"])

    async def until(self, name: str) -> Any:
        """The next value of a trait that the page sends."""
        while True:
            content = await self.next("comm_msg")
            state = content["data"].get("state", {})
            if content["data"].get("method") == "update":
                self.state.update(state)
                if name in state:
                    return state[name]

    async def tick(self, keys: list[str]) -> dict[str, Any]:
        """Tick measures; what the page shows then."""
        self.say({"method": "update", "state": {"ticked": keys}, "buffer_paths": []})
        return await self.until("now")

    async def shown(self) -> dict[str, Any]:
        """Everything that the page shows now."""
        self.say({"method": "request_state"})
        while True:
            content = await self.next("comm_msg")
            state = content["data"].get("state", {})
            if {"now", "ticked", "page"} <= state.keys():
                return state

    async def hear_until(self, wanted: str) -> list[str]:
        """Everything that comes, as text, up to what holds the wanted words or the end of the connection."""
        assert self.socket is not None
        heard: list[str] = []
        while not heard or wanted not in heard[-1]:
            came = await asyncio.wait_for(self.socket.read_message(), LONGEST)
            if came is None:
                self.ended = True
                break
            heard.append(came if isinstance(came, str) else came.decode("utf-8", "replace"))
        return heard

    async def hear_answers(self) -> list[str]:
        """Everything that comes before the answer to a question that is allowed: what was asked before is done."""
        asked = self.send("comm_info_request", {"target_name": "jupyter.widget"})
        return await self.hear_until(f'"parent_header": {{"msg_id": "{asked}"')

    @classmethod
    def again(cls, other: "Visitor") -> "Visitor":
        """The same visitor, not joined yet; a connection belongs to the run of visits that made it."""
        made = cls(other.address)
        made.kernel_id, made.cookie, made.widget = other.kernel_id, other.cookie, other.widget
        return made


def run(visits: Coroutine[Any, Any, Any]) -> Any:
    """Run visits in a thread of their own, since a driven browser holds the loop of this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, visits).result()


@contextmanager
def lasting() -> Iterator[Callable[[Coroutine[Any, Any, Any]], Any]]:
    """Something that runs visits as `run` does, in a loop that lasts, so that their connections stay."""
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    try:
        yield lambda visits: asyncio.run_coroutine_threadsafe(visits, loop).result()
    finally:
        loop.call_soon_threadsafe(loop.stop)
        thread.join()
        loop.close()


@contextmanager
def staying(*addresses: str) -> Iterator[list[Visitor]]:
    """Visitors who stay connected while something else is done."""

    async def all_of_them() -> list[Visitor]:
        return await asyncio.gather(*(Visitor(address).open() for address in addresses))

    with lasting() as visit:
        yield visit(all_of_them())


def http_client() -> AsyncHTTPClient:
    """A client that holds a whole class at once."""
    return SimpleAsyncHTTPClient(force_instance=True, max_clients=256)
