"""Fixtures of the browser tests: one server, one browser, a fresh page each."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page
from served_page import Server, browsing, leave, new_page


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    running = Server()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with browsing() as chromium:
        yield chromium


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    opened = new_page(browser)
    yield opened
    leave(opened)
