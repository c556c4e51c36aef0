"""Starts JupyterLab on a notebook, as `retrofit-lab walk --lab` does or by a command given, and opens its page."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import Page
from waiting import eventually

CELL = ".jp-CodeCell .cm-content"
WALKTHROUGH = (
    sys.executable, "-m", "retrofit_lab.command", "walk", "--lab", "--no-browser",
)  # fmt: skip


class Lab:
    """The walkthrough, or another command, in a process of its own, stopped with all its kernels."""

    def __init__(self, *arguments: str, folder: Path, command: Sequence[str] = WALKTHROUGH) -> None:
        self.log = folder / "lab.log"
        with self.log.open("w") as log:
            self.process = subprocess.Popen(
                [*command, *arguments],
                stdin=subprocess.PIPE, stdout=log, stderr=subprocess.STDOUT,
                start_new_session=True, cwd=folder,
            )  # fmt: skip
        assert eventually(lambda: bool(self._address()) or self.process.poll() is not None)
        self.address = self._address()
        assert self.address, "JupyterLab did not start:\n" + self.log.read_text()

    def _address(self) -> str:
        found = re.search(r"(http://127\S+\?token=\w+)", self.log.read_text())
        return found[1] if found else ""

    def stop(self) -> None:
        # twice, since the first signal makes it ask whether it is meant
        os.killpg(self.process.pid, signal.SIGTERM)
        try:
            self.process.wait(15)
        except subprocess.TimeoutExpired:
            os.killpg(self.process.pid, signal.SIGKILL)


def open_form(page: Page, address: str, form: str = ".wt h1") -> None:
    """Open the notebook, run its cell and wait for the form or another page."""
    page.goto(address)
    page.wait_for_selector(CELL)
    # what is run before the kernel is connected is dropped without a word
    page.wait_for_selector("#jp-main-statusbar >> text=| Idle")
    # the notebook may have been saved with the form of an earlier visit
    page.evaluate("document.querySelectorAll('.wt').forEach(old => { old.className = 'old'; })")
    page.click(CELL)
    page.keyboard.press("Shift+Enter")
    page.wait_for_selector(form)


def begin(page: Page, name: str, **choices: str) -> None:
    """Answer the questions before the walk and wait for its first stop."""
    page.fill("#wt-question-climate", "greensboro_nc")
    page.fill("#wt-question-name", name)
    for key, word in choices.items():
        control = page.locator(f"#wt-question-{key.replace('_', '-')}")
        if control.evaluate("element => element.tagName") == "SELECT":
            control.select_option(word)
        else:
            control.fill(word)
    page.click("text=Set up the house")
    page.wait_for_selector("#wt-title")


def go(page: Page, title: str) -> None:
    """Go to a stop by its name in the list of stops."""
    page.click(f".route button:has-text('{title}')")
    page.wait_for_function("t => document.getElementById('wt-title')?.textContent === t", arg=title)
