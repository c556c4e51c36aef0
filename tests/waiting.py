"""How long a test waits for a condition: so long that only a hang ends there, however busy the machine is."""

import asyncio
import time
from collections.abc import Callable

LONGEST = 120.0
"""A bound, not a budget: what is slow is measured in the benchmarks. [s]"""


def eventually(met: Callable[[], bool]) -> bool:
    """Whether a condition comes about."""
    end = time.monotonic() + LONGEST
    while not met():
        if time.monotonic() > end:
            return False
        time.sleep(0.05)
    return True


async def until(met: Callable[[], bool]) -> None:
    """Wait for a condition in a loop, which goes on meanwhile."""
    async with asyncio.timeout(LONGEST):
        while not met():
            await asyncio.sleep(0.005)
