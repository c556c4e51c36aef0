"""Pages under their own policy, as a visitor's browser holds it: nothing that they do is refused."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from served_page import Server, leave, new_page, open_page, tick

pytestmark = pytest.mark.browser
WALK = """
import sys
from pathlib import Path
from retrofit_lab.app.walk.command import NOTEBOOK
from retrofit_lab.app.serve.serving import ServeOptions, serve
from retrofit_lab.base.shipped_files import shipped_folder
page = shipped_folder("notebooks") / NOTEBOOK
serve(ServeOptions(house=None, folder=Path.cwd(), page=page, name="page", open_browser=False))
"""


@pytest.fixture
def refused(browser: Browser) -> Iterator[tuple[Page, list[str]]]:
    """A page whose policy holds, and what it refuses."""
    page, said = new_page(browser, bypass_csp=False), []
    page.on("console", lambda m: said.append(m.text) if "Security Policy" in m.text else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page, said
    leave(page)


def test_kitchen_table_with_a_question(server: Server, refused) -> None:
    page, said = refused
    open_page(page, server.address)
    tick(page, "led_lamps")
    panel = page.locator("[data-panel]").first
    panel.locator("summary").click()
    panel.locator(".answer :not(.busy)").first.wait_for()
    assert said == []


def test_form_of_the_walk(tmp_path: Path, refused) -> None:
    page, said = refused
    running = Server(program=WALK, folder=tmp_path)
    try:
        page.goto(running.address)
        page.get_by_role("button").first.wait_for()
    finally:
        running.stop()
    assert said == []


def test_lesson_and_view_of_its_class(tmp_path: Path, refused) -> None:
    """From the guess to the pencil, in another language, and the class on the wall."""
    page, said = refused
    running = Server("--lesson", "3", "--listen", "0.0.0.0", kept=tmp_path)
    try:
        page.goto(running.address)
        page.fill("[data-step=predict] input", "300")
        page.press("[data-step=predict] input", "Enter")
        page.wait_for_selector("[data-step=see] .chart[data-drawn]")
        page.locator("[data-step=try] select").first.select_option("up")
        page.locator("[data-step=try] input").first.fill("3000")
        page.locator("[data-step=try] input").first.press("Tab")
        page.wait_for_selector("[data-step=try] .answer .chart[data-drawn]")
        page.fill("[data-step=hand] input", "80")
        page.press("[data-step=hand] input", "Enter")
        page.locator(".mark", has_text="points").wait_for()
        page.get_by_label("Language").select_option("es")
        page.get_by_role("heading", name="Con lápiz").wait_for()
        page.goto("about:blank")
        page.goto(running.find(r"for the trainer alone, is at (http\S+)"))
        page.locator("[data-step=class] .count", has_text="1 guess so far").wait_for()
        page.get_by_role("button", name="Show the answer too").click()
        page.locator("[data-step=class] .round").first.wait_for()
        page.get_by_role("button", name="Show it on the wall").click()
        page.locator("[data-step=class] .join img").wait_for()
    finally:
        running.stop()
    assert said == []


def test_scripts_that_came_with_typed_text_do_not_run(server: Server, refused) -> None:
    page, said = refused
    open_page(page, server.address)
    for text in ("<script>window.ran = 1</script>", "<img src=x onerror='window.ran = 1'>"):
        page.evaluate("text => { const e = document.createElement('div'); e.innerHTML = text; document.body.append(e); }", text)  # fmt: skip
    page.evaluate("() => { const s = document.createElement('script'); s.textContent = 'window.ran = 1'; document.body.append(s); }")  # fmt: skip
    assert page.evaluate("window.ran") is None
    assert said
