"""A class over a served lesson: guess, see, change, answer, and look at what the others guessed."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import nbformat
import pytest
from lab_page import Lab, open_form
from openings import Openings, open_at_once
from playwright.sync_api import Browser, Locator, Page, Route
from served_page import Server, kernel_of, leave, new_page

from retrofit_lab.app.lesson.command import lesson_page
from retrofit_lab.app.lesson.lesson_sheet import lesson_sheet
from retrofit_lab.app.lesson.wording import measured
from retrofit_lab.app.serve.serving import free_port
from retrofit_lab.app.walk.command import NOTEBOOK, lab_command
from retrofit_lab.classroom.lesson_texts import LessonTexts
from retrofit_lab.classroom.lessons import lesson_numbers, lesson_of, lessons

pytestmark = pytest.mark.browser
GUESS, ANSWER = "[data-step=predict] input", "[data-step=hand] input"
SOME = """
from IPython.display import display
from retrofit_lab.app.lesson.widget import show
for number in (1, 2, 7, 8, 13): display(show(number))
"""
"""Lessons with each kind of chart and drawing."""


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the class of this module is kept."""
    return tmp_path_factory.mktemp("kept")


@pytest.fixture(scope="module")
def lesson(kept: Path) -> Iterator[Server]:
    running = Server("--lesson", "4", kept=kept)
    yield running
    running.stop()


def opened(browser: Browser, address: str, width: int = 1100, height: int = 800) -> Page:
    page = new_page(browser, width, height, bypass_csp=True)
    page.goto(address)
    page.wait_for_selector(".lesson[data-ready]")
    return page


def guess(page: Page, value: str) -> None:
    page.fill(GUESS, value)
    page.press(GUESS, "Enter")
    page.wait_for_selector("[data-step=see] .chart[data-drawn]")


def change(place: Page | Locator, times: str, way: str = "up", box: int = 0) -> None:
    """Say which way it will go, and multiply the number of a box."""
    place.locator("[data-step=try] select").nth(box).select_option(way)
    number = place.locator("[data-step=try] input").nth(box)
    number.fill(f"{float(number.input_value()) * float(times):g}")
    number.press("Tab")


def serious_findings(page: Page) -> list[str]:
    from axe_core_python.sync_playwright import Axe

    found = Axe().run(page)["violations"]
    return [v["id"] for v in found if v["impact"] in ("serious", "critical")]


def class_address(running: Server) -> str:
    """The address that the server tells the trainer alone, in the line after the page's."""
    return running.find(r"for the trainer alone, is at (http\S+)")


def test_lessons_fit_on_a_phone(browser: Browser, tmp_path: Path) -> None:
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(SOME)])
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
            change(lesson, "1.5")
            lesson.locator("[data-step=try] .chart[data-drawn]").wait_for()
            assert lesson.locator("[data-step=hand] .given").is_visible()
            assert lesson.locator("[data-step=further] li").count() == 2
        assert serious_findings(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        assert_names_are_apart(page)
        for chart in page.locator(".chart").all():
            drawn = chart.locator(".main-svg, .bar").first.bounding_box()
            room = chart.bounding_box()
            assert drawn["width"] <= room["width"] <= 320
        leave(page)
    finally:
        running.stop()


def assert_names_are_apart(page: Page) -> None:
    """What is written into the drawn house lies within it, and no part's words over another's."""
    for house in page.locator("svg.section").all():
        room = house.bounding_box()
        boxes = [label.bounding_box() for label in house.locator("text").all()]
        for place, box in enumerate(boxes):
            assert room["x"] <= box["x"]
            assert box["x"] + box["width"] <= room["x"] + room["width"]
            for other in boxes[place + 1 :]:
                aside = (
                    box["x"] + box["width"] <= other["x"] or other["x"] + other["width"] <= box["x"]
                )
                apart = box["y"] + box["height"] <= other["y"] + 6 or other["y"] + other["height"] <= box["y"] + 6  # fmt: skip
                assert aside or apart, (box, other)


def test_from_the_guess_to_the_spread_of_the_class(lesson: Server, browser: Browser) -> None:
    facts = lesson_numbers(lesson_of(4)).facts
    page = opened(browser, lesson.address)
    assert page.locator("[data-step=see]").count() == 0
    assert not page.get_by_role("button", name="Show it without a guess").is_visible()
    assert f"${facts['both']:,.0f}" not in page.content()
    assert page.locator("[data-step=predict] svg.section").is_visible()
    assert serious_findings(page) == []
    guess(page, "639")
    said = page.locator("[data-step=see] p")
    assert said.first.inner_text() == f"You guessed 639. The answer is {facts['both']:.0f} dollars a year."  # fmt: skip
    assert "Savings add up." in said.nth(1).inner_text()
    assert page.locator(GUESS).is_disabled()
    assert page.locator("[data-step=see] .bar").count() >= 3

    box = page.get_by_label("Efficiency of the old furnace, %", exact=True)
    assert box.is_disabled()
    change(page, "0.8", "same", box=1)
    page.wait_for_selector("[data-step=try] .chart[data-drawn]")
    assert page.locator("[data-step=try] .answer p").first.inner_text().startswith("You said it would not change")  # fmt: skip
    assert box.is_disabled()
    page.fill(ANSWER, f"${facts['furnace']:.2f}")
    page.press(ANSWER, "Enter")
    page.wait_for_function("document.querySelector('.mark').textContent.includes('comes first')")
    page.fill(ANSWER, f"{facts['furnace_share']:.2f}".replace(".", ","))
    page.press(ANSWER, "Enter")
    page.wait_for_selector(".mark.right")
    assert page.locator("[data-step=hand] .way li").count() == 2
    assert serious_findings(page) == []
    in_spanish_and_si(page)

    for other in ("500", "560"):
        second = opened(browser, lesson.address)
        guess(second, other)
        leave(second)
    page.click("[data-step=group] > summary")
    page.wait_for_selector("[data-step=group] .chart[data-drawn]")
    assert page.locator("[data-step=group] p").first.inner_text().startswith("3 estimaciones.")
    leave(page)


def in_spanish_and_si(page: Page) -> None:
    """The page says everything again in another language and keeps what was opened."""
    page.get_by_label("Language").select_option("es")
    page.get_by_role("heading", name="Por qué los ahorros no se suman").wait_for()
    page.get_by_label("Unidades").select_option("si")
    page.get_by_label("RSI").or_(
        page.get_by_label("R del aislante de las paredes ahora")
    ).first.wait_for()
    page.wait_for_selector("[data-step=see] .chart[data-drawn]")
    assert page.locator("[data-step=see] p").first.inner_text().startswith("Usted estimó 639.")
    assert page.evaluate("document.documentElement.lang") == "es"
    assert page.locator(GUESS).is_disabled()


def test_lesson_whose_kernel_died_can_be_opened_again(lesson: Server, browser: Browser) -> None:
    page = opened(browser, lesson.address)
    first = kernel_of(page)
    lesson.kernels()[first].kill()
    page.fill(GUESS, "33")
    page.press(GUESS, "Enter")
    page.wait_for_selector(".lost:visible")
    assert "This page timed out" in page.locator(".lost p").inner_text()
    with page.expect_navigation():
        page.locator(".lost button").click()
    page.wait_for_selector(f".lesson[data-ready] {GUESS}:enabled")
    assert kernel_of(page) != first
    leave(page)


def test_trainer_watches_a_class_that_talks_and_guesses_again(
    browser: Browser, tmp_path: Path
) -> None:
    running = Server("--lesson", "3", "--listen", "0.0.0.0", kept=tmp_path)
    try:
        student = opened(browser, running.address.split("#")[0] + "#class=wrong")
        student.wait_for_selector(".problem:not([hidden])")
        assert "Copy it again" in student.locator(".problem").inner_text()
        assert student.locator("[data-step=class]").count() == 0
        leave(student)
        trainer = opened(browser, class_address(running), width=1920, height=1080)
        trainer.wait_for_selector("[data-step=class]")
        count = trainer.locator("[data-step=class] .count")
        assert count.inner_text() == "0 guesses so far"
        trainer.get_by_role("button", name="Hold the answer").click()
        trainer.wait_for_selector("[data-stage=first][aria-pressed=true]")
        students = [opened(browser, running.address) for _ in range(3)]
        for page, value in zip(students, ("300", "500", "900"), strict=True):
            page.fill(GUESS, value)
            page.press(GUESS, "Enter")
            page.wait_for_selector(".waits:not(:empty)")
            assert page.locator("[data-step=see]").count() == 0
        trainer.locator(".count", has_text="3 guesses so far").wait_for()
        on_the_wall(trainer)
        trainer.get_by_role("button", name="Ask for a second guess").click()
        for page in students:
            page.wait_for_selector(f"{GUESS}:enabled")
            page.fill(GUESS, "80")
            page.press(GUESS, "Enter")
        trainer.locator(".count", has_text="3 of 3 have guessed again").wait_for()
        trainer.get_by_role("button", name="Show the answer too").click()
        answer = measured(lesson_numbers(lesson_of(3)).facts["january"], "cfm", 1)
        trainer.locator(".round", has_text=f"The answer is {answer}").wait_for()
        assert trainer.locator(".round .chart[data-drawn]").count() == 2
        trainer.get_by_role("button", name="Open the answer for all").click()
        for page in students:
            page.wait_for_selector("[data-step=see] .chart[data-drawn]")
        reloaded_and_forgotten(trainer, students)
        for page in (trainer, *students):
            leave(page)
    finally:
        running.stop()
    guesses_outlive_a_restart(browser, tmp_path)


def on_the_wall(trainer: Page) -> None:
    """The last row can read everything, and nothing that is the trainer's alone stands there."""
    secret = trainer.evaluate("sessionStorage.getItem('retrofit-lab trainer')")
    assert len(secret) > 12
    trainer.get_by_role("button", name="Show how they are spread").click()
    trainer.get_by_role("button", name="Show it on the wall").click()
    trainer.wait_for_selector("[data-step=class] .chart[data-drawn]")
    trainer.wait_for_function(f"({SMALLEST_LETTERS})() >= 40")
    assert trainer.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert trainer.evaluate("document.documentElement.scrollHeight <= window.innerHeight + 2")
    assert trainer.locator(".join img").bounding_box()["width"] >= 180
    assert trainer.locator("[data-step=class] .chart").bounding_box()["width"] > 1700
    assert secret not in trainer.content()
    assert trainer.url == trainer.url.split("#")[0].split("?")[0]
    assert serious_findings(trainer) == []
    trainer.get_by_role("button", name="Back to the lesson").click()
    trainer.wait_for_selector("h1:visible")


SMALLEST_LETTERS = """() => Math.min(...[...document.querySelectorAll('[data-step=class] :not(button)')]
  .filter((part) => part.checkVisibility() && [...part.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
  .map((part) => parseFloat(getComputedStyle(part).fontSize)))"""


def reloaded_and_forgotten(trainer: Page, students: list[Page]) -> None:
    first, second, _ = students
    first.reload()
    first.wait_for_selector("[data-step=see] .chart[data-drawn]")
    assert (
        first.locator("[data-step=see] p")
        .first.inner_text()
        .startswith("You guessed 300, then 80.")
    )
    other = first.context.new_page()
    other.goto(first.url)
    other.wait_for_selector("[data-step=see] .chart[data-drawn]")
    trainer.reload()
    trainer.locator(".count", has_text="3 guesses so far").wait_for()
    trainer.get_by_role("button", name="Forget all guesses").click()
    trainer.get_by_role("button", name="Forget them? Press again").click()
    trainer.locator(".count", has_text="0 guesses so far").wait_for()
    for page in (first, second, other):
        page.wait_for_selector(f"{GUESS}:enabled")
        assert page.locator("[data-step=see]").count() == 0
        assert page.input_value(GUESS) == ""
    guess(second, "444")
    trainer.locator(".count", has_text="1 guess so far").wait_for()


def guesses_outlive_a_restart(browser: Browser, kept: Path) -> None:
    running = Server("--lesson", "3", "--listen", "0.0.0.0", kept=kept)
    try:
        trainer = opened(browser, class_address(running))
        trainer.locator(".count", has_text="1 guess so far").wait_for()
        leave(trainer)
    finally:
        running.stop()


def test_page_whose_widget_is_missing_opens_anew_by_itself(
    lesson: Server, browser: Browser
) -> None:
    """The page is told of a widget that nobody has, once, as when the kernel answered too late."""
    page = new_page(browser)
    broken = []

    def without_its_widget(route: Route) -> None:
        if broken:
            route.continue_()
            return
        answer = route.fetch()
        text, count = re.subn(r'("model_id":\s*")[0-9a-f]{32}', r"\g<1>" + "0" * 32, answer.text())
        broken.append(count)
        route.fulfill(response=answer, body=text)

    page.route(lambda address: urlsplit(address).path == "/", without_its_widget)
    page.goto(lesson.address)
    page.wait_for_selector(".lesson[data-ready]")
    assert broken[0] > 0
    assert page.evaluate("performance.getEntriesByType('navigation')[0].type") == "reload"
    leave(page)


def test_pages_that_open_at_once_all_come(lesson: Server, browser: Browser) -> None:
    seen = Openings()
    open_at_once(browser, lesson.address, 6, seen)
    assert (len(seen.waits), seen.dead) == (6, 0)


def test_first_guess_stays_when_the_page_is_loaded_again(lesson: Server, browser: Browser) -> None:
    page = opened(browser, lesson.address)
    guess(page, "611")
    page.reload()
    page.wait_for_selector("[data-step=see] .chart[data-drawn]")
    assert page.locator("[data-step=see] p").first.inner_text().startswith("You guessed 611.")
    assert page.locator(GUESS).is_disabled()
    leave(page)


def test_longest_sheets_of_students_print_on_one_page(browser: Browser) -> None:
    sheets = sorted((lesson_sheet(LessonTexts(one, "es")) for one in lessons()), key=len)
    page = browser.new_page()
    for sheet in sheets[-5:]:
        page.set_content(sheet)
        pages = re.findall(
            rb"/Type\s*/Page\b", page.pdf(format="Letter", prefer_css_page_size=True)
        )
        assert len(pages) == 1, page.locator("h1").inner_text()
    page.close()


def test_whole_lesson_by_keyboard(lesson: Server, browser: Browser) -> None:
    facts = lesson_numbers(lesson_of(4)).facts
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
    assert page.evaluate("document.activeElement.textContent") == "The answer"
    focus_on("[data-step=see] summary")
    press("Enter")
    page.wait_for_selector("[data-step=see] details[open]")
    focus_on("[data-step=see] .scroll")
    focus_on("[data-step=try] select")
    write("up")
    focus_on("[data-step=try] input")
    press("Control+a")
    write("1.5")
    press("Tab")
    page.wait_for_selector("[data-step=try] .chart[data-drawn]")
    focus_on(ANSWER)
    write(f"{facts['furnace_share']:.2f}")
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
        page.locator("[data-step=try] select").first.select_option("up")
        page.click("[data-step=try] input")
        page.keyboard.press("Control+a")
        page.keyboard.type("4000")
        page.keyboard.press("Enter")
        page.wait_for_selector("[data-step=try] .chart[data-drawn]")
        page.click(ANSWER)
        page.keyboard.type("0.45")
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


def test_server_keeps_numbers_and_nothing_else(
    lesson: Server, browser: Browser, kept: Path
) -> None:
    page = opened(browser, lesson.address)
    guess(page, "33")
    leave(page)
    (box,) = kept.glob("**/lesson_4.txt")
    assert box.read_text().splitlines()[-1].split()[2] == "33"
    assert {path.name for path in box.parent.iterdir()} <= {"class.json", box.name, "lesson_4.json"}
