"""Journeys of an auditor in JupyterLab: a house from nothing to a saved file, by keyboard, wide and narrow."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from lab_page import Lab, begin, go, open_form
from playwright.sync_api import Browser, Page
from served_page import Server, leave, new_page, open_page

from retrofit_lab.app.shared import wording
from retrofit_lab.house.file import load_house
from retrofit_lab.house.keeping import versions_of
from retrofit_lab.study.study import Study

pytestmark = [pytest.mark.browser, pytest.mark.slow]
FOCUSED = "document.activeElement.id"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("visit")


@pytest.fixture(scope="module")
def lab(folder: Path) -> Iterator[Lab]:
    running = Lab(folder=folder)
    yield running
    running.stop()


def state_of(page: Page, field: str) -> str:
    return page.locator(f"#wt-field-{field}-state").inner_text()


def answer(page: Page, field: str, text: str) -> None:
    """Type an answer and wait until the form has taken or refused it."""
    control = page.locator(f"#wt-field-{field}")
    before = state_of(page, field) if page.locator(f"#wt-field-{field}-state").is_visible() else ""
    control.fill(text)
    control.press("Enter")
    page.wait_for_function(
        "([id, before, text]) => { const s = document.getElementById(`${id}-state`).textContent;"
        " return s !== before || document.getElementById(id).value !== text; }",
        arg=[f"wt-field-{field}", before, text],
    )


def test_small_house_from_nothing_to_the_kitchen_table(lab: Lab, folder: Path, page: Page) -> None:
    outside: list[str] = []
    page.on(
        "request",
        lambda r: (
            outside.append(r.url) if r.url.startswith("http") and "127.0.0.1" not in r.url else None
        ),
    )
    open_form(page, lab.address)
    begin(
        page,
        "Plum Lane",
        length="34 ft",
        width="8 m",
        foundation="crawl space",
        heating="heat pump",
        year_built="1962",
    )
    go(page, "Walls, doors, outlets and baseboards")
    assert "Not answered; using R-11" in state_of(page, "surfaces-walls-r-label")
    answer(page, "surfaces-walls-r-label", "-3")
    assert "Not saved: R-value on the insulation label is -3 R" in state_of(
        page, "surfaces-walls-r-label"
    )
    answer(page, "surfaces-walls-r-label", "R-13")
    page.select_option("#wt-field-surfaces-walls-fill", "batt")
    go(page, "Attic")
    page.check("text=Vermiculite in the attic")
    page.wait_for_selector(".cautions .caution")
    page.select_option("#wt-add", label="recessed lights")
    page.click(".adding button")
    page.wait_for_function(f"{FOCUSED}.startsWith('wt-field-leakage-sites-recessed-lights')")
    answer(page, "leakage-sites-recessed-lights-count", "9")
    go(page, "Blower door")
    answer(page, "leakage-flow", "1850 cfm at 50 Pa")
    page.wait_for_selector(".file:has-text('saved at')")
    house = load_house(folder / "plum_lane.toml")
    assert (house.leakage.flow, house.surfaces[0].r_label, house.surfaces[0].fill) == (
        1850.0,
        13.0,
        "batt",
    )
    assert house.leakage.sites[-1].count == 9.0
    assert "vermiculite" in house.observations
    assert len(versions_of(folder / "plum_lane.toml")) == 1
    assert outside == []
    table = Server(str(folder / "plum_lane.toml"))
    try:
        open_page(page, table.address)
        bill = wording.dollars(Study(house).plan(()).before.cost)
        assert page.locator(".top .strip .now .value").inner_text() == bill
        assert "Plum Lane" in page.locator("h1").inner_text()
    finally:
        table.stop()


def choose_by_keyboard(page: Page, text: str, down: int) -> None:
    """Type into the box of the place, wait for its list, and take the line so many steps down."""
    page.keyboard.type(text)
    page.wait_for_selector(".matches li:visible")
    for _ in range(down):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_selector(".matches", state="hidden")


def test_the_box_of_a_place_by_keyboard_pointer_and_screen_reader(lab: Lab, page: Page) -> None:
    from axe_core_python.sync_playwright import Axe

    open_form(page, lab.address)
    box = page.locator("#wt-question-climate")
    assert page.evaluate("document.querySelector('.start input').id") == "wt-question-climate"
    box.focus()
    page.keyboard.type("minneap")
    page.wait_for_selector(".matches li:visible")
    assert box.get_attribute("aria-expanded") == "true"
    assert "2 weather stations" in page.locator(".told").inner_text()
    page.keyboard.press("ArrowDown")
    chosen = box.get_attribute("aria-activedescendant")
    assert page.locator(f"#{chosen}").get_attribute("aria-selected") == "true"
    found = Axe().run(page, context=".wt")["violations"]
    assert [item["id"] for item in found if item["impact"] in ("serious", "critical")] == []
    page.keyboard.press("Escape")
    assert box.get_attribute("aria-expanded") == "false"
    assert box.input_value() == "minneap"
    box.fill("")
    page.keyboard.type("80435")
    line = page.locator(".matches li", has_text="Leadville")
    line.wait_for()
    assert "32 miles away" in line.inner_text()
    assert "degree days" in line.inner_text()
    line.click()
    assert box.input_value() == "80435"
    assert page.evaluate(FOCUSED) == "wt-question-climate"
    assert "Leadville" in page.locator(".told").inner_text()
    box.fill("")
    page.keyboard.type("00901")
    page.wait_for_selector(".told:has-text('twelve monthly normals')")
    assert page.locator(".matches li:visible").count() == 0


def test_keyboard_alone_and_no_notebook_shortcut_fires(lab: Lab, page: Page) -> None:
    open_form(page, lab.address)
    cells = page.locator(".jp-Cell").count()
    page.focus("#wt-question-climate")
    choose_by_keyboard(page, "55401", down=2)
    assert page.input_value("#wt-question-climate") == "55401 like 726575"
    page.keyboard.press("Tab")
    assert page.evaluate(FOCUSED) == "wt-question-name"
    page.keyboard.type("Fig Court")
    page.keyboard.press("Enter")
    page.wait_for_function(f"{FOCUSED} === 'wt-title'")
    for title in ("The job", "Basement"):
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.textContent") == "Next stop":
                break
        page.keyboard.press("Enter")
        page.wait_for_function(
            "title => document.getElementById('wt-title').textContent.startsWith(title)", arg=title
        )
        assert page.evaluate(FOCUSED) == "wt-title"
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.type") == "checkbox":
            break
    page.keyboard.press("Space")
    page.wait_for_function("document.activeElement.checked")
    for letter in ("m", "y", "d", "d", "x", "a"):
        page.keyboard.press(letter)
    assert page.locator(".jp-Cell").count() == cells
    assert page.locator("#wt-title").is_visible()


def test_typing_on_while_an_answer_is_under_way_loses_nothing(lab: Lab, page: Page) -> None:
    open_form(page, lab.address)
    begin(page, "Quince Road")
    page.focus("#wt-field-size-floor-area")
    for text in ("1500", "12000", "2"):
        page.keyboard.press("Control+a")
        page.keyboard.type(text)
        page.keyboard.press("Enter")
    page.keyboard.press("Control+a")
    page.keyboard.type("4")
    page.wait_for_function("document.querySelector('.file').textContent.includes('saved at')")
    wanted = {
        "floor-area": "1,500 sq ft",
        "volume": "12,000 cu ft",
        "stories": "2",
        "bedrooms": "4",
    }
    for name, text in wanted.items():
        page.wait_for_function(
            "([id, text]) => document.getElementById(id).value === text",
            arg=[f"wt-field-size-{name}", text],
        )


@pytest.mark.parametrize("width", [1280, 640])
def test_no_serious_accessibility_finding_in_the_form(
    lab: Lab, browser: Browser, width: int
) -> None:
    from axe_core_python.sync_playwright import Axe

    page = new_page(browser, width, 720, bypass_csp=True)
    open_form(page, lab.address)
    begin(page, f"Axe {width}")
    page.evaluate("document.querySelector('.route select').value = 'attic'")
    page.evaluate("document.querySelector('.route select').dispatchEvent(new Event('change'))")
    page.wait_for_function("document.getElementById('wt-title').textContent === 'Attic'")
    page.evaluate("document.querySelectorAll('.wt details').forEach((one) => { one.open = true; })")
    found = Axe().run(page, context=".wt")["violations"]
    serious = [
        (item["id"], [node["html"][:120] for node in item["nodes"]][:3])
        for item in found
        if item["impact"] in ("serious", "critical")
    ]
    assert serious == []
    small = page.evaluate(
        """() => [...document.querySelectorAll('.wt button, .wt input, .wt select, .wt summary')]
                 .map(e => [e.textContent || e.id, e.getBoundingClientRect()])
                 .filter(([, box]) => box.width && (box.height < 24 || box.width < 24)).map(([name]) => name)"""
    )
    assert small == []
    wide = page.evaluate(
        "document.querySelector('.wt').scrollWidth - document.querySelector('.wt').clientWidth"
    )
    assert wide <= 1
    leave(page)
