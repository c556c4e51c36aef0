"""A class over a served lesson: guess, see, change, answer, and look at what the others guessed."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from lab_page import Lab, open_form
from playwright.sync_api import Browser, Page
from served_page import Server, kernel_of, leave, new_page

from retrofit_lab.app.lesson.command import lesson_page
from retrofit_lab.app.lesson.wording import measured, number
from retrofit_lab.app.serve.serving import free_port
from retrofit_lab.app.walk.command import NOTEBOOK, lab_command
from retrofit_lab.classroom.lessons import lesson_numbers, lesson_of

pytestmark = pytest.mark.browser
GUESS, ANSWER = "[data-step=predict] input", "[data-step=hand] input"
ALL_BUT_THE_FOURTH = """
from IPython.display import display
from retrofit_lab.app.lesson.widget import show
for number in (1, 2, 3, 5, 6): display(show(number))
"""


@pytest.fixture(scope="module")
def lesson() -> Iterator[Server]:
    running = Server("--lesson", "4")
    yield running
    running.stop()


def opened(browser: Browser, address: str, width: int = 1100) -> Page:
    page = new_page(browser, width, 800, bypass_csp=True)
    page.goto(address)
    page.wait_for_selector(".lesson[data-ready]")
    return page


def guess(page: Page, value: str) -> None:
    page.fill(GUESS, value)
    page.press(GUESS, "Enter")
    page.wait_for_selector("[data-step=see] .chart[data-drawn]")


def serious_findings(page: Page) -> list[str]:
    from axe_core_python.sync_playwright import Axe

    found = Axe().run(page)["violations"]
    return [v["id"] for v in found if v["impact"] in ("serious", "critical")]


def class_address(running: Server) -> str:
    """The address that the server tells the trainer alone, in the line after the page's."""
    return running.find(r"for the trainer alone, is at (http\S+)")


def test_lessons_fit_on_a_phone(browser: Browser, tmp_path: Path) -> None:
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(ALL_BUT_THE_FOURTH)])
    nbformat.write(notebook, tmp_path / "lessons.ipynb")
    running = Server(page=tmp_path / "lessons.ipynb")
    try:
        page = opened(browser, running.address, width=320)
        page.wait_for_function("document.querySelectorAll('.lesson[data-ready]').length === 5")
        assert page.locator("[data-step=see]").count() == 0
        assert serious_findings(page) == []
        for lesson in page.locator(".lesson").all():
            lesson.locator(GUESS).fill("20")
            lesson.locator(GUESS).press("Enter")
            lesson.locator("[data-step=see] .chart[data-drawn]").wait_for()
            box = lesson.locator("[data-step=try] input").first
            box.fill(box.get_attribute("max"))
            box.press("Tab")
            lesson.locator("[data-step=try] .chart[data-drawn]").wait_for()
            assert lesson.locator("[data-step=hand] .given").is_visible()
            assert lesson.locator("[data-step=further] li").count() == 2
        assert serious_findings(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        for chart in page.locator(".chart").all():
            drawn = chart.locator(".main-svg, .bar").first.bounding_box()
            room = chart.bounding_box()
            assert drawn["width"] <= room["width"] <= 320
        leave(page)
    finally:
        running.stop()


def test_from_the_guess_to_the_spread_of_the_class(lesson: Server, browser: Browser) -> None:
    numbers = lesson_numbers(lesson_of(4))
    page = opened(browser, lesson.address)
    assert page.locator("[data-step=see]").count() == 0
    assert not page.get_by_role("button", name="Show it without a guess").is_visible()
    assert number(numbers.guessed) not in page.content()
    assert serious_findings(page) == []
    guess(page, "610")
    said = page.locator("[data-step=see] p").first.inner_text()
    assert said == f"You guessed 610. The program says {number(numbers.guessed)} dollars a year."
    assert page.locator(GUESS).is_disabled()
    assert page.locator("[data-step=see] .bar").count() >= 3

    page.get_by_label("The old furnace now, percent").fill("60")
    page.get_by_label("The old furnace now, percent").press("Tab")
    page.wait_for_selector("[data-step=try] .chart[data-drawn]")
    page.fill(ANSWER, f"{numbers.slips['first']:.2f}")
    page.press(ANSWER, "Enter")
    page.wait_for_function("document.querySelector('.mark').textContent.includes('come first')")
    page.fill(ANSWER, f"{numbers.answer:.2f}")
    page.press(ANSWER, "Enter")
    page.wait_for_selector(".mark.right")
    assert page.locator(".way li").count() == 2
    assert serious_findings(page) == []

    for other in ("500", "560"):
        second = opened(browser, lesson.address)
        guess(second, other)
        leave(second)
    page.click("[data-step=group] > summary")
    page.wait_for_selector("[data-step=group] .chart[data-drawn]")
    assert page.locator("[data-step=group] p").first.inner_text().startswith("3 guesses.")
    leave(page)


def test_lesson_whose_kernel_died_can_be_opened_again(lesson: Server, browser: Browser) -> None:
    page = opened(browser, lesson.address)
    first = kernel_of(page)
    lesson.kernels()[first].kill()
    page.fill(GUESS, "33")
    page.press(GUESS, "Enter")
    page.wait_for_selector(".lost:visible")
    assert "What worked behind this page has ended" in page.locator(".lost p").inner_text()
    with page.expect_navigation():
        page.locator(".lost button").click()
    page.wait_for_selector(f".lesson[data-ready] {GUESS}:enabled")
    assert kernel_of(page) != first
    leave(page)


def test_trainer_watches_the_class_and_tells_the_answer_last(browser: Browser) -> None:
    running = Server("--lesson", "3")
    try:
        address = class_address(running)
        student = opened(browser, running.address.split("#")[0] + "#class=wrong")
        student.wait_for_selector(".problem:not([hidden])")
        assert "Copy it again" in student.locator(".problem").inner_text()
        assert student.locator("[data-step=class]").count() == 0
        leave(student)
        trainer = opened(browser, address)
        trainer.wait_for_selector("[data-step=class]")
        assert trainer.locator("[data-step=class] .count").inner_text() == "0 guesses so far"
        assert not trainer.locator(
            ".address"
        ).is_visible()  # this machine's own is of no use to others
        for value in ("300", "500", "900"):
            page = opened(browser, running.address)
            guess(page, value)
            leave(page)
        trainer.wait_for_function(
            "document.querySelector('.count').textContent === '3 guesses so far'"
        )
        told = trainer.locator("[data-step=class] .answer")
        assert told.inner_text() == ""
        trainer.get_by_role("button", name="Show how they are spread").click()
        trainer.wait_for_selector("[data-step=class] .chart[data-drawn]")
        assert "The program says" not in told.inner_text()
        trainer.get_by_role("button", name="Show the answer too").click()
        answer = measured(lesson_numbers(lesson_of(3)).guessed, "cfm", 1)
        trainer.locator("[data-step=class]", has_text=f"The program says {answer}").wait_for()
        assert serious_findings(trainer) == []
        trainer.get_by_role("button", name="Show it without a guess").click()
        trainer.wait_for_selector("[data-step=see] .chart[data-drawn]")
        trainer.get_by_role("button", name="Forget all guesses").click()
        trainer.get_by_role("button", name="Forget them? Press again").click()
        trainer.wait_for_function(
            "document.querySelector('.count').textContent === '0 guesses so far'"
        )
        leave(trainer)
    finally:
        running.stop()


def test_first_guess_stays_when_the_page_is_loaded_again(lesson: Server, browser: Browser) -> None:
    page = opened(browser, lesson.address)
    guess(page, "611")
    page.reload()
    page.wait_for_selector("[data-step=see] .chart[data-drawn]")
    assert page.locator("[data-step=see] p").first.inner_text().startswith("You guessed 611.")
    assert page.locator(GUESS).is_disabled()
    leave(page)


def test_whole_lesson_by_keyboard(lesson: Server, browser: Browser) -> None:
    numbers = lesson_numbers(lesson_of(4))
    page = opened(browser, lesson.address)
    press, write = page.keyboard.press, page.keyboard.type

    def focus_on(selector: str, most: int = 12) -> None:
        for _ in range(most):
            press("Tab")
            if page.evaluate("s => document.activeElement.matches(s)", selector):
                return
        raise AssertionError(f"Tab does not come to {selector}")

    focus_on(GUESS)
    write("600")
    press("Enter")
    page.wait_for_selector("[data-step=see] .chart[data-drawn]")
    assert page.evaluate("document.activeElement.textContent") == "2. What the program says"
    focus_on("[data-step=see] summary")
    press("Enter")
    page.wait_for_selector("[data-step=see] details[open]")
    focus_on("[data-step=see] .scroll")
    focus_on("[data-step=try] input")
    press("Control+a")
    write("60")
    press("Tab")
    page.wait_for_selector("[data-step=try] .chart[data-drawn]")
    focus_on(ANSWER)
    write(f"{numbers.answer:.2f}")
    press("Enter")
    page.wait_for_selector(".mark.right")
    focus_on("[data-step=group] summary")
    press("Enter")
    page.wait_for_selector("[data-step=group][open]")
    leave(page)


def test_lesson_in_jupyterlab_by_keyboard(browser: Browser, tmp_path: Path) -> None:
    """JupyterLab takes keys for itself and styles lists; the lesson must not mind."""
    shutil.copy(lesson_page(3)["page"], tmp_path / NOTEBOOK)
    running = Lab(folder=tmp_path, command=lab_command(str(tmp_path), free_port("127.0.0.1"), True))
    try:
        page = new_page(browser, bypass_csp=True)
        open_form(page, running.address, ".lesson[data-ready]")
        page.click(GUESS)
        page.keyboard.type("300")
        page.keyboard.press("Enter")
        page.wait_for_selector("[data-step=see] .chart[data-drawn]")
        page.click("[data-step=try] input")
        page.keyboard.press("Control+a")
        page.keyboard.type("4000")
        page.keyboard.press("Enter")
        page.wait_for_selector("[data-step=try] .chart[data-drawn]")
        page.click(ANSWER)
        page.keyboard.type("359")
        page.keyboard.press("Enter")
        page.wait_for_selector(".mark.right")
        names = [name.bounding_box() for name in page.locator(".given dt").all()]
        values = [value.bounding_box() for value in page.locator(".given dd").all()]
        for name, value in zip(names, values, strict=True):
            assert abs(name["y"] - value["y"]) < 4
            assert name["x"] + name["width"] <= value["x"]
        leave(page)
    finally:
        running.stop()


def test_server_keeps_numbers_and_forgets_them(browser: Browser) -> None:
    running = Server("--lesson", "1")
    try:
        page = opened(browser, running.address)
        guess(page, "33")
        leave(page)
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
