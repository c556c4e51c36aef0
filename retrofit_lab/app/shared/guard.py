"""Catches what goes wrong behind the page: one sentence for the visitor, the details for the log file."""

import functools
import logging
import os
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any

import platformdirs

LOG_VARIABLE = "RETROFIT_LAB_LOG"
MOST_BYTES = 2_000_000
"""Beyond this the log is begun anew, and the old one kept beside it."""


def log_file() -> Path:
    """Where details of failures are written: in the user's own folder, which no one else can take first."""
    named = os.environ.get(LOG_VARIABLE)
    if named:
        return Path(named)
    return Path(platformdirs.user_state_path("retrofit-lab", appauthor=False)) / "failures.log"


class _Quiet(RotatingFileHandler):
    """Writes to the log where it can; what goes wrong with that must not be the next failure."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one failure down."""
        try:
            Path(self.baseFilename).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            super().emit(record)
        except OSError:
            return

    def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - the library's name
        """Leave it."""


@functools.cache
def _logger() -> logging.Logger:
    logger = logging.getLogger("retrofit_lab.page")
    handler = _Quiet(log_file(), maxBytes=MOST_BYTES, backupCount=1, encoding="utf-8", delay=True)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    logger.addHandler(handler)
    logger.propagate = False
    return logger


def note_failure(where: str) -> None:
    """Write down the exception that is being handled."""
    _logger().exception("in %s", where)


def guarded(report: Callable[[Any], None]) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Decorator for callbacks: on any failure write it down and call ``report`` with the owner."""

    def wrap(callback: Callable[..., Any]) -> Callable[..., Any]:
        @functools.wraps(callback)
        def inside(self: Any, *args: Any, **kwargs: Any) -> Any:
            try:
                return callback(self, *args, **kwargs)
            except Exception:  # noqa: BLE001 - whatever it was, the visitor gets a sentence
                note_failure(callback.__qualname__)
                report(self)
                return None

        return inside

    return wrap
