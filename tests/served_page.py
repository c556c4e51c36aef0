"""Starts the served page and drives it; used by the browser tests and by the screenshot command."""

import contextlib
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from queue import Queue
from threading import Thread
from typing import IO, Any

import psutil
import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from waiting import LONGEST

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
SWITCHES = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
SERVE_OTHER_PAGE = """
import sys
from pathlib import Path
from retrofit_lab.app.page.kitchen_table import house_path
from retrofit_lab.app.serve.serving import ServeOptions, serve
serve(ServeOptions(house=house_path(), page=Path(sys.argv[1]), open_browser=False))
"""


def browser_path() -> str:
    """A Chromium on this machine, or a failure in CI and a skip elsewhere."""
    found = os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, BROWSERS)), None)
    if found:
        return found
    reason = "no Chromium here; install it or name it in the variable CHROMIUM"
    if os.environ.get("CI"):
        pytest.fail(reason)
    pytest.skip(reason)


@contextlib.contextmanager
def browsing() -> Iterator[Browser]:
    """A browser without a window."""
    path = browser_path()
    with sync_playwright() as playwright:
        launch = playwright.chromium.launch
        chromium = launch(executable_path=path, args=SWITCHES, timeout=1e3 * LONGEST)
        yield chromium
        chromium.close()


def new_page(browser: Browser, width: int = 1366, height: int = 768, **options: Any) -> Page:
    """A page of a visitor of its own, who waits as long as it takes.

    What drives it evaluates texts in the page, which the page's own policy forbids; so that is looked at in
    ``tests/browser/test_page_policy.py`` alone.
    """
    options = {"bypass_csp": True, **options}
    context = browser.new_context(viewport={"width": width, "height": height}, **options)
    context.set_default_timeout(1e3 * LONGEST)
    return context.new_page()


def leave(page: Page) -> None:
    """Close all pages of a visitor so that their kernels end, as when someone leaves."""
    for opened in page.context.pages:
        opened.close(run_before_unload=True)
    page.context.close()


class Server:
    """`retrofit-lab serve` in a process of its own, stopped with all its kernels."""

    def __init__(
        self,
        *arguments: str,
        folder: Path | None = None,
        page: Path | None = None,
        program: str = "",
        kept: Path | None = None,
    ) -> None:
        command = [sys.executable, "-m", "retrofit_lab.command", "serve"]
        if not page and not program and "--port" not in arguments:
            arguments = (*arguments, "--port", "0")
        if page:
            command = [sys.executable, "-c", SERVE_OTHER_PAGE, str(page)]
        if program:
            command = [sys.executable, "-c", program]
        self.process = subprocess.Popen(
            [*command, "--no-browser", *arguments],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            start_new_session=True, cwd=folder, env=self._surroundings(kept),
        )  # fmt: skip
        self._said: Queue[str] = Queue()
        assert self.process.stdout is not None
        self._reader = Thread(target=self._read, args=(self.process.stdout,), daemon=True)
        self._reader.start()
        self.address = self.find(r"The (?:kitchen table|lesson|page) is at (http\S+)")

    def _surroundings(self, kept: Path | None) -> dict[str, str]:
        """What the server is told: a class is kept in a folder of this test, not with whoever runs it."""
        self._own = None if kept else tempfile.TemporaryDirectory(prefix="retrofit_lab_kept_")
        return {**os.environ, "XDG_STATE_HOME": str(kept or self._own.name)}

    def _read(self, said: IO[str]) -> None:
        """Read what the server says, so that it never waits for a reader; an empty line is its end."""
        for line in said:
            self._said.put(line)
        self._said.put("")

    def line(self) -> str:
        """The next line that the server says; empty where it has ended."""
        return self._said.get(timeout=LONGEST)

    def find(self, pattern: str) -> str:
        """The first group of a pattern in the first line that has it; the lines before it are gone."""
        lines = []
        while line := self.line():
            lines.append(line)
            if found := re.search(pattern, line):
                return found[1]
        raise AssertionError(f"the server ended without {pattern}:\n{''.join(lines)}")

    def kernels(self) -> dict[str, psutil.Process]:
        """Processes behind open pages, by the kernel's name."""
        found = {}
        for process in psutil.Process(self.process.pid).children(recursive=True):
            with contextlib.suppress(psutil.Error):  # it may end while it is looked at
                named = re.search(r"kernel-([\w-]+)\.json", " ".join(process.cmdline()))
                if named:
                    found[named[1]] = process
        return found

    def stop(self) -> None:
        end_all(self.process)
        # a kernel may hold the other end for a moment longer
        self._reader.join(LONGEST)
        assert self.process.stdout is not None
        self.process.stdout.close()
        if self._own:
            self._own.cleanup()


def end_all(process: "subprocess.Popen[str]", patience: float = 10.0) -> None:
    """End a process of a session of its own and all that it began: asked first, then at once. [s]"""
    if os.name != "posix":
        family = psutil.Process(process.pid).children(recursive=True)
        for one in (process, *family):
            with contextlib.suppress(psutil.Error):
                one.kill()
        process.wait()
        return
    os.killpg(process.pid, signal.SIGTERM)
    try:
        process.wait(patience)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def kernel_of(page: Page) -> str:
    """Name of the kernel behind an open page."""
    return page.evaluate(
        "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
    )


def open_page(page: Page, address: str) -> None:
    """Open the page and wait until it can be ticked and its chart is drawn."""
    page.goto(address)
    page.wait_for_selector(".kt[data-ready] .section[data-drawn]", state="attached")


def lay_out_all(page: Page) -> None:
    """Lay out also what is out of view, for whoever looks at the page as a whole."""
    page.add_style_tag(content=".kt * { content-visibility: visible !important; }")


def show_all(page: Page) -> None:
    """Show every fix of the house, not only those that matter most."""
    if page.locator(".row:visible").count() < page.locator(".row").count():
        page.locator(".show-all").click()


def tick(page: Page, *keys: str) -> None:
    """Pick fixes one after the other and wait for each answer."""
    for key in keys:
        if not page.locator(f"#tick-{key}").is_visible():
            show_all(page)
        page.check(f"#tick-{key}")
        page.wait_for_selector(f".row.ticked[data-key={key}]")


def untick(page: Page, key: str) -> None:
    """Take a fix out and wait for the answer."""
    page.uncheck(f"#tick-{key}")
    page.wait_for_selector(f".row:not(.ticked)[data-key={key}]")
