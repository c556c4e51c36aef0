"""What one visitor may take, and what comes back of it with time; no server here."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(slots=True)
class Budget:
    """An amount that may be taken at once, and what comes back each second; who takes more waits."""

    most: float
    each_second: float
    clock: Callable[[], float] = time.monotonic
    left: float = field(init=False)
    at: float = field(init=False)

    def __post_init__(self) -> None:
        """Begin with all of it."""
        self.left, self.at = self.most, self.clock()

    def wait_for(self, amount: float) -> float:
        """Take an amount; how long to wait for it. [s]"""
        now = self.clock()
        self.left = min(self.most, self.left + (now - self.at) * self.each_second) - amount
        self.at = now
        return max(0.0, -self.left / self.each_second)
