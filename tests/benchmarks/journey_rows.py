"""Walks two houses by touch through the served form, on a phone and on a tablet, until it knows enough: keys, taps, seconds.

A house is an example as its owner could tell it at the door; every question that the form leads to is answered with
the example's own number. What is typed counts a key a letter, a choice two taps. Seconds are those of the page: the
script neither reads nor walks.
"""

import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import Browser, Page
from rows import TESTS, Row
from served_page import browsing, leave, new_page

sys.path[:0] = [str(TESTS / "browser"), str(TESTS / "walkthrough")]
from drawn_walks import plan_answers  # noqa: E402
from kills import FILE, begun  # noqa: E402
from test_walk_on_a_phone import Walk  # noqa: E402

from retrofit_lab.app.walk.route import asked, stops  # noqa: E402
from retrofit_lab.base.shipped_files import data_path  # noqa: E402
from retrofit_lab.base.values import InputError  # noqa: E402
from retrofit_lab.house.description import House  # noqa: E402
from retrofit_lab.house.file import load_house  # noqa: E402
from retrofit_lab.house.first_answers import default_answers  # noqa: E402
from retrofit_lab.house.paths import number_at  # noqa: E402

HOUSES = ("alder_street", "mesquite_way")
DEVICES: Mapping[str, Mapping[str, Any]] = {
    "phone": {"width": 390, "height": 844, "is_mobile": True, "has_touch": True},
    "tablet": {"width": 820, "height": 1180, "has_touch": True},
}
MOST_ANSWERS = 60
COMES_WITHIN, GONE_WITHIN = 4.0, 3.0
"""[s]"""
STAND_IN = "e => document.getElementById(`${e.id}-state`).textContent.match(/using (.+?)[;.]( |$)/)?.[1] || ''"
ENOUGH = "document.querySelector('.ahead').dataset.enough === 'yes'"
ASKED = "document.activeElement.dataset.path || ''"
KNOWN = f"{ENOUGH} || !document.querySelector('.aheads > button.main').disabled"
"""What is asked next is worked out: there is a question, or enough is known."""
ANOTHER = f"seen => {ASKED} && !seen.includes({ASKED})"


@dataclass
class Walking:
    """One walk by touch, and what it took."""

    page: Page
    truth: House
    keys: int = 0
    taps: int = 0
    answered: list[str] = field(default_factory=list)

    def tap(self, where: str) -> None:
        """One tap."""
        self.taps += 1
        self.page.locator(where).first.tap()

    def begin(self, answers: Mapping[str, str]) -> None:
        """Answer what is not as it stands already, and set the house up."""
        usual = default_answers()
        for key, word in answers.items():
            if word != usual[key]:
                self._first_answer(self.page.locator(f"#wt-question-{key.replace('_', '-')}"), word)
        self.tap(".start button.main")
        self.page.wait_for_selector("#wt-title")
        self.page.wait_for_selector(".aheads:not([hidden])")

    def _first_answer(self, control: Any, word: str) -> None:
        if control.evaluate("element => element.tagName") == "SELECT":
            control.select_option(word)
            self.taps += 2
            return
        control.fill(word)
        self.keys += len(word)
        self.taps += 1

    def answer_what_matters(self) -> None:
        """Follow the form from question to question until it knows enough."""
        while len(self.answered) < MOST_ANSWERS:
            self.page.wait_for_function(KNOWN)
            if self.page.evaluate(ENOUGH):
                return
            self.tap(".aheads > button.main")
            self.page.wait_for_function(ANOTHER, arg=self.answered)
            self._type(self.page.evaluate(ASKED))

    def _type(self, path: str) -> None:
        control = self.page.locator(f'[data-path="{path}"]').first
        text = self._true(path) or control.evaluate(STAND_IN) or "1"
        control.fill(text)
        control.press("Enter")
        self.keys += len(text) + 1
        self.answered.append(path)

    def _true(self, path: str) -> str:
        try:
            value: Any = number_at(self.truth, path)
        except InputError:
            return ""
        return "" if value is None else f"{float(value):.4g}"


def walked(browser: Browser, walk: Walk, house: str, device: str) -> tuple[Walking, float]:
    """One house on one device, and the seconds that the page took."""
    truth = load_house(data_path("houses", f"{house}.toml"))
    page = new_page(browser, **DEVICES[device])
    page.goto(walk.address)
    page.wait_for_selector(".start button.main")
    walking, start = Walking(page, truth), time.perf_counter()
    name = f"{truth.name} {device}"
    walking.begin({**plan_answers(truth), "name": name})
    walking.answer_what_matters()
    page.wait_for_function("document.querySelector('.lost').hidden")
    span = time.perf_counter() - start
    leave(page)
    return walking, span


def page_of_the_form(browser: Browser, walk: Walk, folder: Path) -> list[Row]:
    """How long the form takes to come with a house, and to say that its process no longer answers."""
    begun(folder)
    page = new_page(browser, **DEVICES["phone"])
    start = time.perf_counter()
    page.goto(f"{walk.address}#{FILE}")
    page.wait_for_selector("#wt-title")
    came = time.perf_counter() - start
    for process in walk.kernels().values():
        process.suspend()
    start = time.perf_counter()
    page.wait_for_selector(".lost:visible")
    told = time.perf_counter() - start
    for process in walk.kernels().values():
        process.kill()
    leave(page)
    (folder / FILE).unlink()
    return [
        Row(what="page of the form with a house, cold kernel", measured=came, unit="s",
            most=COMES_WITHIN),
        Row(what="the form says that its connection is gone", measured=told, unit="s", most=GONE_WITHIN),
    ]  # fmt: skip


def journeys() -> list[Row]:
    """Two houses on each device."""
    rows = []
    with TemporaryDirectory() as folder, browsing() as browser:
        walk = Walk(Path(folder))
        try:
            rows += page_of_the_form(browser, walk, Path(folder))
            for house in HOUSES:
                for device in DEVICES:
                    walking, span = walked(browser, walk, house, device)
                    (begun,) = Path(folder).glob(f"*{device}.toml")
                    rows += _rows(
                        f"{house.replace('_', ' ')} on a {device}", walking, span, load_house(begun)
                    )
                    begun.unlink()
        finally:
            walk.stop()
    return rows


def _rows(name: str, walking: Walking, span: float, begun: House) -> list[Row]:
    """What a walk took, beside all that the form could be told of the same house."""
    every = [path for stop in stops() for path in asked(begun, stop)]
    keys = sum(len(f"{float(number_at(begun, path)):.4g}") + 1 for path in every)
    count = len(walking.answered)
    told = (
        (f"{count} answers until enough is known", count, "answers", len(every), "every question"),
        ("keys", walking.keys, "keys", keys, "the keys of every answer"),
        ("taps", walking.taps, "taps", count, "an answer"),
        ("page time", span, "s", count, "an answer"),
    )
    return [
        Row(
            what=f"{name}: {what}",
            measured=float(measured),
            unit=unit,
            ratio=measured / max(of, 1),
            reference=reference,
        )
        for what, measured, unit, of, reference in told
    ]


JOURNEYS = (journeys,)
"""Every measurement of this module."""
