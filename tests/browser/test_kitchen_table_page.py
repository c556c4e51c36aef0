"""Journeys of a homeowner over the served page: ticking, reading, keyboard, link, networks, accessibility."""

import re
import shutil
from pathlib import Path

import pytest
from examples import example
from playwright.sync_api import Browser, Page, Route
from served_page import Server, lay_out_all, leave, new_page, open_page, show_chart, tick

from retrofit_lab.app.page.page_content import page_content
from retrofit_lab.app.shared import wording
from retrofit_lab.app.shared.figures import overlap_bars
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.study.advice import Advice

pytestmark = pytest.mark.browser
FIVE = ("band_joist_foam", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap")
ALDER = example("alder_street")


def value(page: Page, place: int) -> str:
    return page.locator(".facts .value").nth(place).inner_text()


def drawn_bars(page: Page) -> int:
    """Bars with a width in the chart."""
    return page.evaluate(
        """() => [...document.querySelectorAll('#view-chart .stretch')]
                 .filter(bar => bar.getBoundingClientRect().width > 0.5).length"""
    )


def test_ticking_shows_the_models_numbers_and_bars(server: Server, page: Page) -> None:
    open_page(page, server.address)
    show_chart(page)
    assert value(page, 0) == f"{wording.dollars(ALDER.plan(()).before.cost)} a year"
    assert drawn_bars(page) == 0
    tick(page, *FIVE)
    result = ALDER.plan(FIVE)
    assert value(page, 1) == f"{wording.dollars(result.after.cost)} a year"
    assert value(page, 2) == wording.dollars(result.cost.likely)
    assert page.locator(".live").inner_text() == wording.live(result)
    assert page.locator(".chart-sentence").inner_text() == wording.chart_sentence(result)
    assert page.locator("#view-chart .bar").count() == 6
    assert drawn_bars(page) >= 6 + 3
    amounts = page.locator("#view-chart .bar-amount").all_inner_texts()
    bars = overlap_bars(result, {o.key: o.measure.title for o in ALDER.offers})
    assert amounts == [row["amount"] for row in bars["rows"]]
    page.uncheck("#tick-tank_wrap")
    page.wait_for_selector(".row:not(.ticked)[data-key=tank_wrap]")
    assert value(page, 1) == f"{wording.dollars(ALDER.plan(FIVE[:4]).after.cost)} a year"


def test_overlap_of_a_pair_and_its_reason_are_told(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "attic_insulation", "heat_pump_upgrade")
    show_chart(page)
    told = "is lost to overlap. The less heat the house needs"
    page.locator(".overlaps", has_text=told).wait_for()


def test_cautions_stand_with_their_measure_and_together(server: Server, page: Page) -> None:
    open_page(page, server.address)
    row = page.locator(".row[data-key=band_joist_foam]")
    assert not row.locator(".warning").is_visible()
    tick(page, "band_joist_foam")
    assert "foam needs a fire barrier" in row.locator(".warning").inner_text()
    page.locator(".cautions").scroll_into_view_if_needed()
    page.wait_for_function(
        "document.querySelector('.cautions').innerText.includes('Foam needs a fire barrier')"
    )
    row.locator("summary").click()
    assert row.locator(".caution").first.is_visible()


def test_pair_that_excludes_each_other(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "basement_wall_insulation")
    other = ALDER.offer("basement_wall_insulation").measure.title
    row = page.locator(".row[data-key=basement_ceiling_insulation]")
    row.scroll_into_view_if_needed()
    assert row.locator(".blocked").inner_text().startswith(f"Cannot go together with: {other}.")
    assert row.locator(".now .amount").inner_text() == wording.NO_NUMBER
    page.check("#tick-basement_ceiling_insulation")
    page.wait_for_selector(".row:not(.ticked)[data-key=basement_wall_insulation]")
    assert "it cannot go together with" in page.locator(".problem").inner_text()


def test_keyboard_alone(server: Server, page: Page) -> None:
    open_page(page, server.address)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the measures"
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "tick-attic_insulation":
            break
    page.keyboard.press("Space")
    page.wait_for_selector(".row.ticked[data-key=attic_insulation]")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector(".row[data-key=attic_insulation] details[open]")


HIDDEN_FOCUS = """() => {
  const at = document.activeElement.getBoundingClientRect();
  const under = document.elementFromPoint(at.left + at.width / 2, at.top + 4);
  return document.activeElement.contains(under) ? '' : document.activeElement.outerHTML.slice(0, 80);
}"""


@pytest.mark.parametrize("width", [1366, 320])
def test_focus_is_not_covered(server: Server, browser: Browser, width: int) -> None:
    page = new_page(browser, width, 640)
    open_page(page, server.address)
    tick(page, "attic_insulation")
    page.focus("#tick-led_lamps")
    for _ in range(40):
        page.keyboard.press("Shift+Tab")
        # what comes into view is laid out a frame later
        page.wait_for_function(f"({HIDDEN_FOCUS})() === ''")
    leave(page)


def test_link_carries_the_choice_and_nothing_else(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "led_lamps", "tank_wrap")
    page.wait_for_function("location.search.includes('tank_wrap')")
    link = page.url
    assert "Alder" not in link
    page.goto("about:blank")
    open_page(page, link)
    page.wait_for_selector(".row.ticked[data-key=led_lamps]")
    page.wait_for_selector(".row.ticked[data-key=tank_wrap]")
    open_page(page, re.sub(r"tick=.*", "tick=<script>.led_lamps", link))
    page.wait_for_selector(".row.ticked[data-key=led_lamps]")
    assert page.locator(".row.ticked").count() == 1


def test_nothing_leaves_this_machine(server: Server, page: Page) -> None:
    outside: list[str] = []

    def answer(route: Route) -> None:
        if route.request.url.startswith((server.address, "data:", "blob:")):
            route.continue_()
        else:  # never answered, as in the worst of networks
            outside.append(route.request.url)

    page.route("**/*", answer)
    open_page(page, server.address)
    tick(page, "attic_insulation")
    assert outside == []


def test_first_page_sends_little_over_the_websocket(server: Server, page: Page) -> None:
    received: list[int] = []

    def listen(socket) -> None:
        socket.on("framereceived", lambda frame: received.append(len(frame)))

    page.on("websocket", listen)
    open_page(page, server.address)
    assert received
    assert sum(received) <= 2_000_000


@pytest.mark.parametrize("width", [1366, 320])
def test_no_serious_accessibility_finding(server: Server, browser: Browser, width: int) -> None:
    from axe_core_python.sync_playwright import Axe

    page = new_page(browser, width, bypass_csp=True)
    open_page(page, server.address)
    tick(page, "band_joist_foam", "attic_insulation")
    page.locator(".row details").first.locator("summary").click()
    lay_out_all(page)
    found = Axe().run(page)["violations"]
    serious = [
        (item["id"], [node["html"][:120] for node in item["nodes"]][:3])
        for item in found
        if item["impact"] in ("serious", "critical")
    ]
    assert serious == []
    wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 1
    leave(page)


def test_how_sure_follows_the_ticks(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, *FIVE)
    page.wait_for_function("document.querySelectorAll('.facts .sure')[1].textContent !== ''")
    texts = wording.sure_texts(Advice(ALDER).outcome(FIVE))
    assert page.locator(".facts .sure").nth(1).inner_text() == texts["saving"]
    assert page.locator(".facts .sure").nth(3).inner_text() == texts["worth"]
    page.uncheck("#tick-attic_insulation")
    page.wait_for_selector(".row:not(.ticked)[data-key=attic_insulation]")
    assert page.locator(".facts .sure").nth(1).inner_text() != texts["saving"]


def test_list_is_sorted_and_narrowed_without_losing_ticks(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "attic_insulation")
    page.get_by_label("Show first").select_option("What costs least")
    shown = page.eval_on_selector_all(".row", "rows => rows.map((row) => row.dataset.key)")
    assert shown == page_content(ALDER)["orders"][2]["keys"]
    page.get_by_label("Only what I can do myself").check()
    own = page.eval_on_selector_all(
        ".row:not([hidden])", "rows => rows.map((row) => row.dataset.key)"
    )
    assert own == [k for k in shown if ALDER.offer(k).measure.doer == "owner"]
    assert not page.locator(".row[data-key=attic_insulation]").is_visible()
    page.get_by_label("Only what I can do myself").uncheck()
    assert page.locator("#tick-attic_insulation").is_checked()


def test_paper_shows_what_is_ticked_and_its_chart(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, *FIVE)
    page.emulate_media(media="print")
    page.wait_for_function("document.querySelectorAll('#view-chart .bar').length >= 6")
    assert page.locator(".row:visible").count() == len(FIVE)
    assert page.locator(".panel:visible").count() == 0
    places = {ALDER.offer(key).measure.part for key in FIVE}
    assert page.locator("fieldset:visible").count() == len(places)


PANEL_KEYS = (
    "sure",
    "next",
    "more",
    "budget",
    "payment",
    "years",
    "shares",
    "money",
    "uses",
    "numbers",
)


def open_panel(page: Page, key: str) -> None:
    page.locator(f"[data-panel={key}] > summary").click()
    page.wait_for_selector(f"[data-panel={key}] .answer p")


def test_best_set_for_a_budget_can_be_ticked(server: Server, page: Page) -> None:
    open_page(page, server.address)
    open_panel(page, "budget")
    page.get_by_label("Dollars to spend").fill("500")
    page.get_by_label("Dollars to spend").press("Tab")
    page.wait_for_function(
        "document.querySelector('[data-panel=budget] .answer').textContent.includes('for $500')"
    )
    page.locator("[data-panel=budget] button").click()
    page.wait_for_selector(".row.ticked")
    ticked = page.eval_on_selector_all(".row.ticked", "rows => rows.map(row => row.dataset.key)")
    assert value(page, 2) == wording.dollars(ALDER.plan(ticked).cost.likely)
    assert ALDER.plan(ticked).cost.likely <= 500


def test_open_questions_follow_the_ticks_and_stay_accessible(server: Server, page: Page) -> None:
    from axe_core_python.sync_playwright import Axe

    open_page(page, server.address)
    for key in PANEL_KEYS:
        open_panel(page, key)
    tick(page, "attic_insulation", "heat_pump_upgrade")
    page.wait_for_function(
        "document.querySelector('[data-panel=sure] .answer').textContent.includes('in 8 of 10 cases')"
    )
    page.wait_for_selector("[data-panel=money] .chart[data-drawn]")
    lay_out_all(page)
    serious = [
        v["id"] for v in Axe().run(page)["violations"] if v["impact"] in ("serious", "critical")
    ]
    assert serious == []


def test_house_that_breaks_later_gives_a_sentence_on_the_page(tmp_path: Path, page: Page) -> None:
    house = tmp_path / "later.toml"
    shutil.copy(data_path("houses", "wren_cottage.toml"), house)
    running = Server(str(house))
    try:
        house.write_text("format = 'broken'", encoding="utf-8")
        page.goto(running.address)
        page.wait_for_selector(".problem")
        assert "later.toml: format is 'broken'" in page.locator(".problem").inner_text()
        assert "Traceback" not in page.content()
    finally:
        running.stop()
