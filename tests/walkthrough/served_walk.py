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
from retrofit_lab.house.journal import entries
from retrofit_lab.house.paths import number_at

STOP = "lights"
FIELDS = (
    "lamps.led_bulbs.watts",
    "lamps.led_bulbs.hours",
    "lamps.incandescent_bulbs.count",
    "lamps.incandescent_bulbs.hours",
)
TRIED = 10_000
"""How long one try at a box lasts before the next, where the page is loading itself again. [ms]"""
KEPT = "document.querySelector('.wt').dataset.keeping !== 'yes'"
WAITING = "Promise.all([localStorage.getItem('retrofit-lab-walk'), new Promise(done => { const asked = indexedDB.open('retrofit-lab-walk'); asked.onsuccess = () => { const all = asked.result.transaction('items').objectStore('items').getAll(); all.onsuccess = () => done(all.result); }; })])"
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
        """Type a number; ``wait`` until it is in the file."""
        self.wanted[path] = value
        assert eventually(lambda: self._typed(path, value)), (self.killed, path)
        if wait:
            self.look()

    def _typed(self, path: str, value: float) -> bool:
        """Whether a number could be typed; not while the page is loading itself again."""
        try:
            self.page.evaluate(ALL_SHOWN)
            box = self.page.locator(f'[data-path="{path}"]').first
            box.fill(f"{value:g}", timeout=TRIED)
            box.press("Enter", timeout=TRIED)
        except Error:
            return False
        return True

    def kept(self) -> None:
        """Wait until the form no longer shows an answer that is on no disk yet."""
        assert eventually(self._keeps), self.killed

    def _keeps(self) -> bool:
        try:
            return bool(self.page.evaluate(KEPT))
        except Error:
            return False

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

    def look(self) -> None:
        """Every number that was answered reaches the file, the newest answer of each, and stays there."""
        if not eventually(lambda: self.on_disk() == self.wanted):
            raise AssertionError((self.killed, self.on_disk(), self.wanted, self._left()))
        self.checked += len(self.wanted)

    def _left(self) -> object:
        """What the browser still holds, and the last that the form took down: where to look for what is missing."""
        journal = [entry.act for entry in entries(self.folder / FILE)[-6:]]
        return (
            self.page.evaluate(WAITING),
            self.page.evaluate("document.body.innerText")[:400],
            journal,
        )

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
