"""Listens for visitors: binds before anything is announced, and takes no more connections than it can hold."""

import errno
import socket
import sys
import time
from collections.abc import Awaitable
from typing import Any

from tornado import httputil
from tornado.httpserver import HTTPServer
from tornado.iostream import IOStream
from tornado.netutil import bind_sockets

from retrofit_lab.base.values import InputError
from retrofit_lab.texts.english_only import sentence

LISTENING = "listening"
"""File in the server's own folder that says which port it has; no one else can write there."""
PORTS = range(65536)
IDLE_SECONDS = 60.0
"""Time that a connection may take to say what it wants, and to send it. [s]"""
HEADER_BYTES = 128_000
BODY_BYTES = 1_000_000
"""What is sent to the server itself; pictures and plans go to the page's kernel."""
MOST_CONNECTIONS = 1500
FILES_A_PAGE = 16
"""Open files that the server holds for a page: its channels, their signals, the visitor's connection."""
OWN_FILES = 64
WANTED_FILES = 8192
MOST_WATCHED = 512
"""Sockets that one look can watch on Windows, where Python says so when it is built."""
WATCHED_ELSEWHERE = 1_000_000
WATCHED_A_PAGE = 8
"""Sockets of a page that the server watches: its channels and the visitor's connection."""
OUT_OF_FILES = (errno.EMFILE, errno.ENFILE, errno.ENOBUFS, errno.ENOMEM)
OUT_OF_FILES_SECONDS = 0.05
"""Pause before the next look whether someone can be let in. [s]"""


def checked_port(port: int) -> int:
    """A port that can be listened on.

    Raises
    ------
    InputError
        When there is no such port.
    """
    if port not in PORTS:
        raise InputError(sentence("serve_listening.port_leave", port=port, ports=PORTS[-1]))
    return port


def listening_sockets(listen: str, port: int) -> list[socket.socket]:
    """Sockets that listen; from here on no one else has the port.

    Raises
    ------
    InputError
        When the address or the port cannot be had.
    """
    try:
        bound = bind_sockets(checked_port(port), listen)
        return [_Accepting(fileno=one.detach()) for one in bound]
    except OSError as error:
        if error.errno == errno.EADDRINUSE:
            raise InputError(sentence("serve_listening.port_use", port=port)) from error
        raise InputError(
            sentence(
                "serve_listening.port_cannot", listen=listen, port=port, why=error.strerror or error
            )
        ) from error


class _Accepting(socket.socket):
    """A listening socket that has no one waiting while no file can be opened; the server would else spin and log."""

    def accept(self) -> tuple[socket.socket, Any]:
        """Take who waits."""
        try:
            return super().accept()
        except OSError as error:
            if error.errno not in OUT_OF_FILES:
                raise
            time.sleep(OUT_OF_FILES_SECONDS)
            raise BlockingIOError from error


def file_limit() -> int:
    """Files that this process may have open, after asking for as many as the system grants."""
    if sys.platform == "win32":
        return WANTED_FILES
    import resource  # noqa: PLC0415 - not on every system

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    most = WANTED_FILES if hard == resource.RLIM_INFINITY else min(hard, WANTED_FILES)
    if soft != resource.RLIM_INFINITY and soft < most:
        try:
            resource.setrlimit(resource.RLIMIT_NOFILE, (most, hard))
        except (OSError, ValueError):  # a system that says one limit and means another
            return soft
        return most
    return WANTED_FILES if soft == resource.RLIM_INFINITY else soft


def pages_within(files: int) -> int:
    """Pages whose files can be open beside the server's own and as many connections again."""
    by_files = (files - 2 * OWN_FILES) // (FILES_A_PAGE + 8)
    by_sockets = (most_watched() - 2 * OWN_FILES) // (WATCHED_A_PAGE + 2)
    return max(min(by_files, by_sockets), 1)


def connections_within(files: int, pages: int) -> int:
    """Connections that may be open at once beside so many pages."""
    by_files = files - OWN_FILES - FILES_A_PAGE * pages
    by_sockets = most_watched() - OWN_FILES - WATCHED_A_PAGE * pages
    return max(min(MOST_CONNECTIONS, by_files, by_sockets), 8)


def most_watched() -> int:
    """Sockets that the server can watch at once; one more would stop its loop."""
    return MOST_WATCHED if sys.platform == "win32" else WATCHED_ELSEWHERE


class Listener(HTTPServer):
    """The page server's ears: when all connections are taken, the one longest without a question goes."""

    def initialize(self, answers: Any, most: int = MOST_CONNECTIONS) -> None:  # type: ignore[override]
        """Keep the most connections at once beside what the server needs."""
        self.most = most
        # in the order in which they last had nothing to do
        self._quiet: dict[IOStream, None] = {}
        super().initialize(
            answers,
            max_header_size=HEADER_BYTES,
            max_body_size=BODY_BYTES,
            idle_connection_timeout=IDLE_SECONDS,
            body_timeout=IDLE_SECONDS,
        )

    def _handle_connection(self, connection: socket.socket, address: Any) -> None:
        """Take a connection; where all are taken, in place of a quiet one, or not at all."""
        if len(self._connections) >= self.most and not self._drop_quiet():
            connection.close()
            return
        super()._handle_connection(connection, address)

    def _drop_quiet(self) -> bool:
        stream = next(iter(self._quiet), None)
        if stream is None:
            return False
        del self._quiet[stream]
        stream.close()
        return True

    def handle_stream(self, stream: IOStream, address: Any) -> None:
        """Begin with a connection; it is quiet until it asks for something."""
        self._quiet[stream] = None
        super().handle_stream(stream, address)

    def start_request(
        self, server_conn: object, request_conn: httputil.HTTPConnection
    ) -> httputil.HTTPMessageDelegate:
        """Wait for what a connection wants."""
        stream = server_conn.stream  # type: ignore[attr-defined]
        self._quiet[stream] = None
        begun = super().start_request(server_conn, request_conn)
        return _Asking(begun, lambda: self._quiet.pop(stream, None))

    def on_close(self, server_conn: object) -> None:
        """Forget a connection."""
        self._quiet.pop(server_conn.stream, None)  # type: ignore[attr-defined]
        super().on_close(server_conn)


class _Asking(httputil.HTTPMessageDelegate):
    """A question on its way; ``begun`` is called when it is there."""

    def __init__(self, to: httputil.HTTPMessageDelegate, begun: Any) -> None:
        self.to, self.begun = to, begun

    def headers_received(
        self, start_line: Any, headers: httputil.HTTPHeaders
    ) -> Awaitable[None] | None:
        """Take the head."""
        self.begun()
        return self.to.headers_received(start_line, headers)

    def data_received(self, chunk: bytes) -> Awaitable[None] | None:
        """Take a part of the body."""
        return self.to.data_received(chunk)

    def finish(self) -> None:
        """Answer."""
        self.to.finish()

    def on_connection_close(self) -> None:
        """Tell that no one waits any more."""
        self.to.on_connection_close()
