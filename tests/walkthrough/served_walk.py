"""A served walk on a phone whose parts can be killed: the form's process, the page server, the browser."""

import os
import signal
import tempfile
from pathlib import Path

import psutil
from kills import FILE
from playwright.sync_api import Error, sync_playwright
from served_page import SWITCHES, browser_path
from test_walk_on_a_phone import Walk
from waiting import LONGEST, eventually

from retrofit_lab.app.serve.serving import free_port
from retrofit_lab.house.file import load_house
from retrofit_lab.house.paths import number_at

STOP = "lights"
FIELDS = (
    "lamps.led_bulbs.watts",
    "lamps.led_bulbs.hours",
    "lamps.incandescent_bulbs.count",
    "lamps.incandescent_bulbs.hours",
)
ALL_SHOWN = "() => { if (document.querySelector('.wt.stepping')) document.querySelector('.stepall').click(); }"


class ServedWalk:
    """One house at the stop of the lights, several of whose numbers are answered."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.checked = folder, 0
        self.wanted: dict[str, float] = {}
        self.killed: list[str] = []
        self._profile = tempfile.TemporaryDirectory(prefix="walk_profile_")
        self._playwright = sync_playwright().start()
        self.port = free_port("127.0.0.1")
        self.walk = Walk(folder, self.port)
        self._browse()

    def answer(self, path: str, value: float, *, wait: bool) -> None:
        """Type a number; ``wait`` until the form says that it is saved."""
        self.wanted[path] = value
        self._show_all()
        box = self.page.locator(f'[data-path="{path}"]').first
        box.fill(f"{value:g}")
        box.press("Enter")
        if wait:
            self.look()

    def kill(self, victim: str, how: signal.Signals) -> None:
        """End a part at once, and start again what does not start by itself."""
        if victim == "form":
            for kernel in self.walk.kernels().values():
                os.kill(kernel.pid, how)
        elif victim == "server":
            os.killpg(self.walk.process.pid, how)
            self.walk = Walk(self.folder, self.port)
        else:
            self._kill_browser(how)
            self._browse()

    def _show_all(self) -> None:
        """Show every number of the stop; a page that is just loaded again is asked once more."""
        try:
            self.page.evaluate(ALL_SHOWN)
        except Error:
            self.page.wait_for_selector("#wt-title")
            self.page.evaluate(ALL_SHOWN)

    def look(self) -> None:
        """Every number that was answered reaches the file, the newest answer of each, and stays there."""
        if not eventually(lambda: self.on_disk() == self.wanted):
            waiting = self.page.evaluate("localStorage.getItem('retrofit-lab-walk')")
            raise AssertionError((self.killed, self.on_disk(), self.wanted, waiting))
        self.checked += len(self.wanted)

    def on_disk(self) -> dict[str, float]:
        """What the file holds of the numbers that were answered."""
        house = load_house(self.folder / FILE)
        return {path: float(number_at(house, path)) for path in self.wanted}

    def stop(self) -> None:
        """End everything."""
        self._context.close()
        self._playwright.stop()
        self.walk.stop()
        self._profile.cleanup()

    def _kill_browser(self, how: signal.Signals) -> None:
        for process in psutil.process_iter(["cmdline"]):
            if any(self._profile.name in word for word in process.info["cmdline"] or ()):
                with_it = [process, *process.children(recursive=True)]
                for one in with_it:
                    if one.is_running():
                        os.kill(one.pid, how)

    def _browse(self) -> None:
        self._context = self._playwright.chromium.launch_persistent_context(
            self._profile.name,
            executable_path=browser_path(),
            args=SWITCHES,
            viewport={"width": 390, "height": 844},
            bypass_csp=True,
            timeout=1e3 * LONGEST,
        )
        self.page = self._context.new_page()
        self._open()

    def _open(self) -> None:
        self.page.goto(f"{self.walk.address}#{FILE}")
        self.page.wait_for_selector("#wt-title")
        self.page.select_option("#wt-jump", STOP)
        self.page.wait_for_selector(f'[data-path="{FIELDS[0]}"]', state="attached")
