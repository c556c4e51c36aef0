"""A fixture for tests of pages without a browser, which may run after tests with one."""

import asyncio
from collections.abc import Iterator

import pytest


@pytest.fixture(autouse=True)
def without_loop() -> Iterator[None]:
    """Set aside the loop of a browser's driver that was started before and runs for the whole session."""
    running = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(running)
