"""A widget that trusts nothing the browser sends: it takes its own traits and three kinds of message, no other."""

from typing import Any

import anywidget

from retrofit_lab.app.shared.guard import guarded
from retrofit_lab.app.shared.surroundings import CHART_LIBRARY

MOST_LIBRARIES = 8
"""Times that the chart library is sent over the kernel; a view asks once, and only where no server has it."""


class ServedWidget(anywidget.AnyWidget):
    """What the pages of visitors have in common.

    ``browser_owns`` are the traits that the browser may set; they must take any value, since what is wrong with
    one is told in words.
    """

    browser_owns: tuple[str, ...] = ()
    libraries_sent = 0

    def failed(self) -> None:
        """Say on the page that something failed."""
        raise NotImplementedError

    def send_library(self) -> None:
        """Send the chart library over the kernel, so often only as views of one page can need it."""
        if self.libraries_sent < MOST_LIBRARIES:
            self.libraries_sent += 1
            self.send({"kind": "library", "text": CHART_LIBRARY.read_text(encoding="utf-8")})

    def set_state(self, sync_data: dict[str, Any]) -> None:
        """Take from the browser what is the browser's."""
        super().set_state({k: v for k, v in sync_data.items() if k in self.browser_owns})

    @guarded(lambda widget: widget.failed())
    def _handle_msg(self, msg: Any) -> None:
        """Take a message; takes the place of the library's, which sends the lines of a failure to the browser."""
        match msg["content"].get("data"):
            case {"method": "update", "state": dict() as state}:
                self.set_state(state)
            case {"method": "request_state"}:
                self.send_state()
            case {"method": "custom", "content": content}:
                self._handle_custom_msg(content, [])
