"""Starts the served page and drives it; used by the browser tests and by the screenshot command."""

import contextlib
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest
from playwright.sync_api import Page

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
SWITCHES = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
START_SECONDS = 60
SERVE_OTHER_PAGE = """
import sys
from pathlib import Path
from retrofit_lab.presentation.kitchen_table import house_path
from retrofit_lab.presentation.serving import ServeOptions, serve
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


class Server:
    """`retrofit-lab serve` in a process of its own, stopped with all its kernels."""

    def __init__(
        self,
        *arguments: str,
        folder: Path | None = None,
        page: Path | None = None,
        program: str = "",
    ) -> None:
        command = [sys.executable, "-m", "retrofit_lab.presentation.command_line", "serve"]
        if page:
            command = [sys.executable, "-c", SERVE_OTHER_PAGE, str(page)]
        if program:
            command = [sys.executable, "-c", program]
        self.process = subprocess.Popen(
            [*command, "--no-browser", *arguments],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            start_new_session=True, cwd=folder,
        )  # fmt: skip
        self.address = self._wait_for_address()

    def _wait_for_address(self) -> str:
        end = time.monotonic() + START_SECONDS
        assert self.process.stdout is not None
        lines = []
        while time.monotonic() < end:
            line = self.process.stdout.readline()
            lines.append(line)
            found = re.search(r"The (?:kitchen table|page) is at (http\S+)", line)
            if found:
                return found[1]
            if not line and self.process.poll() is not None:
                break
        raise AssertionError("the server did not start:\n" + "".join(lines))

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
        os.killpg(self.process.pid, signal.SIGTERM)
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()


def kernel_of(page: Page) -> str:
    """Name of the kernel behind an open page."""
    return page.evaluate(
        "JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId"
    )


def open_page(page: Page, address: str) -> None:
    """Open the page and wait until it can be ticked and its chart is drawn."""
    page.goto(address)
    page.wait_for_selector(".kt[data-ready] .section[data-drawn]", timeout=30_000)


def lay_out_all(page: Page) -> None:
    """Lay out also what is out of view, for whoever looks at the page as a whole."""
    page.add_style_tag(content=".kt * { content-visibility: visible !important; }")


def show_chart(page: Page) -> None:
    """Turn to the bars of overlaps and wait until they are drawn."""
    page.click("#tab-chart")
    page.wait_for_selector("#view-chart:not([hidden]) .bars[data-drawn]", state="attached")


def tick(page: Page, *keys: str) -> None:
    """Tick measures one after the other and wait for each answer."""
    for key in keys:
        page.check(f"#tick-{key}")
        page.wait_for_selector(f".row.ticked[data-key={key}]", timeout=10_000)
