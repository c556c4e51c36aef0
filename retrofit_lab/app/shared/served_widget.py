"""A widget that trusts nothing the browser sends: it takes its own traits and three kinds of message, no other."""

from typing import Any

import anywidget

from retrofit_lab.app.shared.guard import guarded


class ServedWidget(anywidget.AnyWidget):
    """What the pages of visitors have in common.

    ``browser_owns`` are the traits that the browser may set; they must take any value, since what is wrong with
    one is told in words.
    """

    browser_owns: tuple[str, ...] = ()

    def failed(self) -> None:
        """Say on the page that something failed."""
        raise NotImplementedError

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
