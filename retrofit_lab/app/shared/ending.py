"""How a command ends: in order when it is asked to, and with whoever started it; nothing of what it does."""

import contextlib
import os
import signal
import sys
import threading
from collections.abc import Iterator

ASKED = ("SIGTERM", "SIGHUP", "SIGBREAK")
"""Requests to end, besides a typed Ctrl-C; no system has all of them."""


@contextlib.contextmanager
def stopped_by_signals() -> Iterator[None]:
    """Take a polite request to end, or a closed terminal, as a typed Ctrl-C."""
    main = threading.current_thread() is threading.main_thread()
    wanted = [getattr(signal, name) for name in ASKED if main and hasattr(signal, name)]
    before = {number: signal.signal(number, _interrupt) for number in wanted}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def end_with_parent() -> None:
    """End this process when its input ends: whoever started it holds the other end of the pipe until it is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_watch, daemon=True).start()


def _watch() -> None:
    # not through the buffer: whoever still waits in it when the process ends is a fatal error of Python's
    while os.read(sys.stdin.fileno(), 4096):
        pass
    if sys.platform == "win32":
        os._exit(1)
    os.kill(os.getpid(), signal.SIGTERM)


def _interrupt(_number: int, _frame: object) -> None:
    raise KeyboardInterrupt
