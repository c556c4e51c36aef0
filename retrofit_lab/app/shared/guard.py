"""Catches what goes wrong behind the page: one sentence for the visitor, the details for the log file."""

import functools
import logging
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

LOG_VARIABLE = "RETROFIT_LAB_LOG"


def log_file() -> Path:
    """Where details of failures are written."""
    default = Path(tempfile.gettempdir()) / "retrofit_lab.log"
    return Path(os.environ.get(LOG_VARIABLE, default))


@functools.cache
def _logger() -> logging.Logger:
    logger = logging.getLogger("retrofit_lab.page")
    handler = logging.FileHandler(log_file(), delay=True)
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
