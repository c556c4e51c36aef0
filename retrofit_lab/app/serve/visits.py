"""Which visitor has which open pages, so that one can neither take all places nor be refused for loading again."""

from asyncio import Semaphore, Task, current_task
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any
from weakref import WeakValueDictionary

PAGES_EACH = 4
"""Pages that one visitor may have open; a second look at another plan or language is no attack."""
AT_A_TIME = 2
"""Pages that are made for one visitor at a time; who loads again and again waits for their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """A visitor as the server knows them: the browser by its cookie, and the address."""

    browser: str = ""
    address: str = ""


NOBODY = Who()
COMING: ContextVar[Who] = ContextVar("coming", default=NOBODY)
"""Who the page that is being made or handed out is for."""


@dataclass(slots=True)
class Visits:
    """Pages by visitor."""

    _of: dict[str, Who] = field(default_factory=dict)
    _giving: dict[str, Task[Any]] = field(default_factory=dict)
    _turns: WeakValueDictionary[str, Semaphore] = field(default_factory=WeakValueDictionary)

    def turn(self, who: Who) -> Semaphore:
        """What a visitor holds while a page is made for them."""
        held = self._turns.get(who.browser)
        if held is None:
            held = self._turns[who.browser] = Semaphore(AT_A_TIME)
        return held

    def begin(self, kernel_id: str) -> None:
        """Note who a page is for, and what gives it out just now."""
        if COMING.get() == NOBODY:
            return
        self._of[kernel_id] = COMING.get()
        if giving := _present_task():
            self._giving[kernel_id] = giving

    def end(self, kernel_id: str) -> None:
        """Forget a page; one that is still being given out would never be done, and is given up."""
        self._of.pop(kernel_id, None)
        giving = self._giving.pop(kernel_id, None)
        if giving and giving is not _present_task():
            giving.cancel()

    def same_browser(self, who: Who) -> list[str]:
        """Pages of a visitor, the oldest first."""
        if not who.browser:
            return []
        return [key for key, other in self._of.items() if other.browser == who.browser]

    def crowd(self, kernel_id: str) -> int:
        """How many pages the address of a page has."""
        address = self._of.get(kernel_id, NOBODY).address
        return sum(other.address == address for other in self._of.values()) if address else 0


def _present_task() -> Task[Any] | None:
    """What runs just now; nothing outside a loop."""
    try:
        return current_task()
    except RuntimeError:
        return None
