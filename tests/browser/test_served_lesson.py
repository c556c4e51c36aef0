"""A class over a served lesson: guess, see, change, answer, and look at what the others guessed."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from served_page import Server, kernel_of

from retrofit_lab.classroom.lessons import lesson_numbers, lesson_of
from retrofit_lab.presentation.classroom.wording import number

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def lesson() -> Iterator[Server]:
    running = Server("--lesson", "4")
    yield running
    running.stop()


def opened(browser: Browser, address: str) -> Page:
    page = browser.new_context(viewport={"width": 1100, "height": 800}, bypass_csp=True).new_page()
    page.goto(address)
    page.wait_for_selector(".lesson[data-ready]", timeout=40_000)
    return page


def guess(page: Page, value: str) -> None:
    page.fill("#guess", value)
    page.press("#guess", "Enter")
    page.wait_for_selector("[data-step=see] .chart[data-drawn]", timeout=20_000)


def serious_findings(page: Page) -> list[str]:
    from axe_core_python.sync_playwright import Axe

    found = Axe().run(page)["violations"]
    return [v["id"] for v in found if v["impact"] in ("serious", "critical")]


def test_from_the_guess_to_the_spread_of_the_class(lesson: Server, browser: Browser) -> None:
    numbers = lesson_numbers(lesson_of(4))
    page = opened(browser, lesson.address)
    assert not page.locator("[data-step=see]").is_visible()
    assert number(numbers.guessed) not in page.locator(".lesson").inner_text()
    assert serious_findings(page) == []
    guess(page, "610")
    said = page.locator("[data-step=see] p").first.inner_text()
    assert said == f"You guessed 610. The program says {number(numbers.guessed)} dollars a year."
    assert page.locator("#guess").is_disabled()
    assert page.locator("[data-step=see] .bars .point path").count() >= 3

    page.get_by_label("The old furnace now, percent").fill("60")
    page.get_by_label("The old furnace now, percent").press("Tab")
    page.wait_for_selector("[data-step=try] .chart[data-drawn]")
    page.fill("#answer", f"{numbers.slips['first']:.2f}")
    page.press("#answer", "Enter")
    page.wait_for_function("document.querySelector('.mark').textContent.includes('come first')")
    page.fill("#answer", f"{numbers.answer:.2f}")
    page.press("#answer", "Enter")
    page.wait_for_selector(".mark.right")
    assert page.locator(".way li").count() == 2
    assert serious_findings(page) == []

    for other in ("500", "560"):
        second = opened(browser, lesson.address)
        guess(second, other)
        second.context.close()
    page.click("[data-step=group] > summary")
    page.wait_for_selector("[data-step=group] .chart[data-drawn]", timeout=20_000)
    assert page.locator("[data-step=group] p").first.inner_text().startswith("3 guesses.")
    page.context.close()


def test_lesson_whose_kernel_died_can_be_opened_again(lesson: Server, browser: Browser) -> None:
    page = opened(browser, lesson.address)
    first = kernel_of(page)
    lesson.kernels()[first].kill()
    page.fill("#guess", "33")
    page.press("#guess", "Enter")
    page.wait_for_selector(".lost:visible", timeout=15_000)
    assert page.locator(".lost p").inner_text().endswith("The lesson opens from its start.")
    page.locator(".lost button").click()
    page.wait_for_selector(".lesson[data-ready] #guess:enabled", timeout=40_000)
    assert kernel_of(page) != first
    page.context.close()


def test_server_keeps_numbers_and_forgets_them(browser: Browser) -> None:
    running = Server("--lesson", "1")
    try:
        page = opened(browser, running.address)
        guess(page, "33")
        page.context.close()
        boxes = kept_files(running)
        assert [box.read_text().strip() for box in boxes] == ["33"]
    finally:
        running.stop()
    assert not any(box.exists() for box in boxes)


def kept_files(running: Server) -> list[Path]:
    """Guess files in the folder that the server's settings name."""
    command = Path(f"/proc/{running.process.pid}/task/{running.process.pid}/children").read_text()
    for child in command.split():
        line = Path(f"/proc/{child}/cmdline").read_text()
        found = re.search(r"config_file_paths=([^\0]+)", line)
        if found:
            return list(Path(found[1]).glob("lesson_*.txt"))
    raise AssertionError("the page server was not found")
