"""Fixtures of the browser tests: one server, one browser, a fresh page each."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from served_page import SWITCHES, Server, browser_path


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    running = Server()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = browser_path()
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=SWITCHES)
        yield chromium
        chromium.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    yield context.new_page()
    for opened in context.pages:
        opened.close(run_before_unload=True)  # so that its kernel ends, as when a visitor leaves
    context.close()
