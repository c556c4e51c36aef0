"""Journeys of a homeowner over the served page: picking, reading, undoing, keyboard, link, networks, accessibility."""

import io
import re
import shutil
import zipfile
from pathlib import Path

import nbformat
import pytest
from examples import example
from playwright.sync_api import Browser, Page, Route
from served_page import Server, lay_out_all, leave, new_page, open_page, show_all, tick, untick

from retrofit_lab.app.page.told import shown_lines
from retrofit_lab.app.shared.wording import as_rounded, dollars, shown_after
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult

pytestmark = pytest.mark.browser
FIVE = ("band_joist_boards", "attic_insulation", "duct_mastic", "night_setback", "tank_wrap")
OVERLAPPING = ("attic_insulation", "heat_pump_upgrade")
ALDER = example("alder_street")
REAL = RealHouses(ALDER)
SAID = words("en", page="page")
SPANISH = words("es", page="page")
STAND_IN = """
from retrofit_lab.app.home import writing
from retrofit_lab.app.serve.table import show
writing.home_html = lambda study, ticked, language, system: f"<p>{language} {ticked}</p>"
show()
"""


def fact(page: Page, name: str) -> str:
    return page.locator(f".top .strip .{name} .value").inner_text()


def shown_left(result: PlanResult) -> str:
    return as_rounded(shown_after(result.before.cost, REAL.of_plan(result).left))


def wait_for_range(page: Page) -> None:
    page.wait_for_selector(".top .strip:not(.waiting)", state="attached")


def ticked(page: Page) -> set[str]:
    return set(page.eval_on_selector_all(".row.ticked", "rows => rows.map(row => row.dataset.key)"))


def test_picking_shows_the_models_numbers(server: Server, page: Page) -> None:
    open_page(page, server.address)
    assert fact(page, "now") == dollars(ALDER.plan(()).before.cost)
    assert page.locator(".promised-real").is_hidden()
    tick(page, *FIVE)
    result = ALDER.plan(FIVE)
    expected = REAL.of_plan(result)
    assert fact(page, "after") == shown_left(result)
    assert fact(page, "costs") == dollars(result.cost.likely)
    assert page.locator(".total .saves").inner_text() == dollars(expected.saving)
    assert dollars(expected.saving) in page.locator(".live").inner_text()
    lines = shown_lines(expected, FIVE)
    for key in FIVE:
        shown = page.locator(f".row[data-key={key}] .saves .amount").text_content()
        assert shown == as_rounded(lines[key])
    wait_for_range(page)
    assert re.fullmatch(r"\$[\d,]+ to \$[\d,]+", fact(page, "saves"))
    untick(page, "night_setback")
    left = [key for key in FIVE if key != "night_setback"]
    assert fact(page, "after") == shown_left(ALDER.plan(left))


def test_the_second_pick_is_the_moment(server: Server, page: Page) -> None:
    """Without opening anything: two promises, what is real, why, and the lines that changed."""
    open_page(page, server.address)
    tick(page, OVERLAPPING[0])
    page.wait_for_function("document.querySelectorAll('.changed').length === 0")
    page.evaluate(
        "window.marked = new Set(); new MutationObserver(all => all.forEach(({target}) => {"
        " if (target.classList.contains('changed')) window.marked.add(target.dataset.key); }))"
        ".observe(document.querySelector('#measures'), {subtree: true, attributeFilter: ['class']})"
    )
    before = page.eval_on_selector_all(
        ".row",
        "rows => rows.map(r => [r.dataset.key, r.querySelector('.saves .amount').textContent])",
    )
    tick(page, OVERLAPPING[1])
    both = REAL.of_plan(ALDER.plan(OVERLAPPING))
    sentence = page.locator(".picture-sentence").inner_text()
    assert sentence.startswith(
        f"Added up: {dollars(both.one_by_one)}. Together: {dollars(both.saving)}."
    )
    assert ALDER.plan(OVERLAPPING).overlaps[0].why in sentence
    ends = page.locator(".bar-end").all_inner_texts()
    assert ends[:2] == [dollars(both.one_by_one), dollars(both.saving)]
    page.wait_for_function("document.getAnimations().length === 0")
    widths = page.evaluate(
        """() => ['.promised .one', '.real .one', '.real .overlap'].map(one =>
             [...document.querySelectorAll(one)].reduce((sum, e) => sum + e.getBoundingClientRect().width, 0))"""
    )
    assert widths[0] / widths[1] == pytest.approx(both.one_by_one / both.saving, rel=0.02)
    assert widths[1] + widths[2] == pytest.approx(widths[0], rel=0.02)
    after = dict(
        page.eval_on_selector_all(
            ".row",
            "rows => rows.map(r => [r.dataset.key, r.querySelector('.saves .amount').textContent])",
        )
    )
    moved = {key for key, text in before if after[key] != text} - {OVERLAPPING[1]}
    assert moved
    assert set(page.evaluate("[...window.marked]")) == moved
    page.wait_for_function("document.querySelectorAll('.changed').length === 0")


def test_overlap_folds_at_once_for_those_who_want_no_motion(
    server: Server, browser: Browser
) -> None:
    for motion, fewest in (("reduce", 0), ("no-preference", 1)):
        page = new_page(browser, reduced_motion=motion)
        open_page(page, server.address)
        tick(page, OVERLAPPING[0])
        page.evaluate(
            "window.moved = 0; const animate = Element.prototype.animate;"
            "Element.prototype.animate = function (...all) { window.moved += 1; return animate.apply(this, all); }; 0"
        )
        tick(page, OVERLAPPING[1])
        moved = page.evaluate("window.moved")
        assert moved == 0 if motion == "reduce" else moved >= fewest
        leave(page)


def test_rater_proposes_and_nothing_is_applied_before_it_is_chosen(
    server: Server, page: Page
) -> None:
    open_page(page, server.address)
    page.wait_for_selector(".start-rater")
    assert ticked(page) == set()
    lead = page.locator(".lead").inner_text()
    page.locator(".start-rater").click()
    page.wait_for_selector(".row.ticked")
    keys = ticked(page)
    assert shown_left(ALDER.plan(keys)) in lead
    assert page.locator(".row.ticked:visible").count() == len(keys)
    page.locator(".start-nothing").click()
    page.wait_for_function("document.querySelectorAll('.row.ticked').length === 0")


def test_undo_takes_back_and_back_does_the_same(server: Server, page: Page) -> None:
    open_page(page, server.address)
    assert page.get_by_role("button", name="Undo").is_disabled()
    tick(page, "tank_wrap", "tap_aerators")
    page.wait_for_function("location.search.includes('tap_aerators')")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_selector(".row:not(.ticked)[data-key=tap_aerators]")
    assert ticked(page) == {"tank_wrap"}
    page.get_by_role("button", name="Redo").click()
    page.wait_for_selector(".row.ticked[data-key=tap_aerators]")
    page.keyboard.press("Control+z")
    page.wait_for_selector(".row:not(.ticked)[data-key=tap_aerators]")
    page.go_back()
    page.wait_for_selector(".row:not(.ticked)[data-key=tank_wrap]")
    assert "tick=" not in page.url
    page.go_forward()
    page.wait_for_selector(".row.ticked[data-key=tank_wrap]")
    page.wait_for_function("location.search.includes('tank_wrap')")
    assert page.locator(".kt[data-ready]").count() == 1


def test_undo_reaches_a_start_and_what_is_kept(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "tank_wrap")
    page.wait_for_function("location.search.includes('tank_wrap')")
    page.locator(".start-rater").click()
    page.wait_for_function("document.querySelectorAll('.row.ticked').length > 5")
    page.get_by_label("Name of this plan").fill("rater")
    page.get_by_role("button", name="Keep this plan").click()
    page.wait_for_selector(".kept li")
    page.wait_for_function("location.search.includes('keep=')")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("document.querySelectorAll('.kept li').length === 0")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("document.querySelectorAll('.row.ticked').length === 1")
    assert ticked(page) == {"tank_wrap"}


def test_either_or_are_radios_and_none_takes_them_out(server: Server, page: Page) -> None:
    open_page(page, server.address)
    show_all(page)
    first, second = "basement_wall_insulation", "basement_ceiling_insulation"
    assert page.locator(f"#tick-{first}").get_attribute("type") == "radio"
    tick(page, first)
    page.check(f"#tick-{second}")
    page.wait_for_selector(f".row.ticked[data-key={second}]")
    assert ticked(page) == {second}
    box = page.locator(".either", has=page.locator(f"#tick-{second}"))
    box.get_by_label("None of these").check()
    page.wait_for_function("document.querySelectorAll('.row.ticked').length === 0")


def test_what_matters_comes_first_and_all_are_a_click_away(server: Server, page: Page) -> None:
    open_page(page, server.address)
    apart = page.locator(".group.held .row:visible, .group.needed .row:visible").count()
    assert page.locator(".row:visible").count() - apart <= 14
    assert page.locator(".group.held .held").first.inner_text().startswith("Waits for: ")
    show_all(page)
    assert page.locator(".row:visible").count() == len(ALDER.keys)
    page.get_by_role("button", name="I can do it myself").click()
    own = set(
        page.eval_on_selector_all(".row:not([hidden])", "rows => rows.map(r => r.dataset.key)")
    )
    assert own == {k for k in ALDER.keys if ALDER.offer(k).measure.doer == "owner"}


def test_line_tells_alone_last_and_why_only_when_opened(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, *OVERLAPPING)
    row = page.locator(".row[data-key=attic_insulation]")
    assert row.locator("dd").count() == 0
    row.get_by_role("button", name="Details").click()
    both = REAL.of_plan(ALDER.plan(OVERLAPPING))
    facts = row.locator("dd").all_inner_texts()
    assert facts[:2] == [
        dollars(both.alone["attic_insulation"]),
        dollars(both.last["attic_insulation"]),
    ]
    assert row.locator(".caution").count() > 0


def test_pointing_links_line_bar_and_house(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, *OVERLAPPING)
    page.locator(".row[data-key=attic_insulation] .title").hover()
    page.wait_for_selector(".real .one.pointed[data-key=attic_insulation]", state="attached")
    page.wait_for_selector("[data-part=attic].pointed", state="attached")
    page.locator("[data-part=attic]").focus()
    page.wait_for_selector(".row.pointed[data-key=attic_insulation]")
    page.keyboard.press("Enter")
    page.wait_for_selector(".chip.part:visible")
    shown = page.eval_on_selector_all(".row:not([hidden])", "rows => rows.map(r => r.dataset.key)")
    assert "attic_insulation" in shown
    assert "tank_wrap" not in shown


def test_house_counts_dollars_and_heat_on_request(server: Server, page: Page) -> None:
    open_page(page, server.address)
    numbers = page.locator("[data-part=hot_water] .part-numbers")
    paid = ALDER.plan(()).before.cost_by_use["hot_water"]
    # parts are rounded together so that they add up, which moves one by a step at most
    assert abs(int(str(numbers.text_content()).removeprefix("$")) - paid) < 10.0
    page.get_by_label("Heat", exact=True).check()
    page.wait_for_function(
        "document.querySelector('[data-part=walls] .part-numbers').textContent.endsWith('%')"
    )
    assert numbers.text_content() == ""


def test_language_and_units_change_and_stay_in_the_link(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "tank_wrap")
    page.get_by_label("Language").focus()
    page.get_by_label("Language").select_option("es")
    page.wait_for_function("document.documentElement.lang === 'es'")
    assert page.evaluate("document.activeElement.dataset.chooses") == "language"
    assert page.locator(".list h2").first.inner_text() == SPANISH.say("client.list_title")
    assert page.locator(".skip").inner_text() == SPANISH.say("client.skip")
    assert ticked(page) == {"tank_wrap"}
    page.get_by_label("Unidades").select_option("si")
    page.wait_for_function("document.querySelector('#measures').textContent.includes('°C')")
    page.wait_for_function("location.search.includes('units=si')")
    link = page.url
    assert "language=es" in link
    page.goto("about:blank")
    open_page(page, link)
    page.wait_for_selector(".row.ticked[data-key=tank_wrap]")
    page.wait_for_function("document.querySelector('#measures').textContent.includes('°C')")
    assert page.get_by_role("button", name=SPANISH.say("client.undo"), exact=True).is_disabled()
    assert page.get_by_role("button", name=SPANISH.say("client.redo"), exact=True).count() == 0


def test_page_opens_in_the_language_of_the_server(page: Page) -> None:
    running = Server("--language", "es")
    try:
        open_page(page, running.address)
        assert page.locator("h1").inner_text().endswith("¿qué hacemos?")
    finally:
        running.stop()


def test_link_carries_the_choice_and_tells_of_another_house(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "led_lamps", "tank_wrap")
    page.wait_for_function("location.search.includes('tank_wrap')")
    link = page.url
    assert "Alder" not in link
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.get_by_role("button", name=SAID.say("client.copy_link")).click()
    page.locator(".said", has_text=SAID.say("client.copied")).wait_for()
    assert page.evaluate("navigator.clipboard.readText()") == link
    page.goto("about:blank")
    open_page(page, link)
    page.wait_for_selector(".row.ticked[data-key=led_lamps]")
    page.wait_for_selector(".row.ticked[data-key=tank_wrap]")
    assert page.locator(".said").is_hidden()
    other = re.sub(r"tick=[^&]*", "tick=<script>.led_lamps", link)
    open_page(page, re.sub(r"house=\w+", "house=00000000", other))
    page.wait_for_selector(".row.ticked[data-key=led_lamps]")
    assert ticked(page) == {"led_lamps"}
    page.locator(".said", has_text=SAID.say("page.other_house")).wait_for()


def test_keyboard_alone(server: Server, page: Page) -> None:
    open_page(page, server.address)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == SAID.say("client.skip")
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "tick-tank_setpoint":
            break
    page.keyboard.press("Space")
    page.wait_for_selector(".row.ticked[data-key=tank_setpoint]")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("#inside-tank_setpoint:not([hidden])")
    page.keyboard.press("Control+z")
    page.wait_for_selector(".row:not(.ticked)[data-key=tank_setpoint]")


HIDDEN_FOCUS = """() => {
  const at = document.activeElement.getBoundingClientRect();
  const under = document.elementFromPoint(at.left + Math.min(at.width / 2, 12), at.top + 4);
  return document.activeElement.contains(under) ? '' : document.activeElement.outerHTML.slice(0, 80);
}"""


@pytest.mark.parametrize("width", [1366, 320])
def test_focus_is_not_covered(server: Server, browser: Browser, width: int) -> None:
    page = new_page(browser, width, 640)
    open_page(page, server.address)
    tick(page, "tank_setpoint")
    page.focus("#tick-standby_strips")
    for _ in range(30):
        page.keyboard.press("Shift+Tab")
        # what comes into view is laid out a frame later
        page.wait_for_function(f"({HIDDEN_FOCUS})() === ''")
    leave(page)


@pytest.mark.parametrize(("width", "height"), [(390, 844), (768, 1024), (1366, 768)])
def test_first_pick_needs_no_scrolling(
    server: Server, browser: Browser, width: int, height: int
) -> None:
    page = new_page(browser, width, height)
    open_page(page, server.address)
    page.wait_for_selector(".start-rater")
    box = page.locator(".row:visible").first.bounding_box()
    bar = page.locator(".thumb").bounding_box()
    foot = bar["y"] if bar else height
    assert box["y"] + box["height"] <= foot
    if width == 390:
        assert box["y"] <= 330
    leave(page)


def test_phone_has_saving_and_cost_at_the_thumb_and_a_sheet(
    server: Server, browser: Browser
) -> None:
    page = new_page(browser, 390, 844)
    open_page(page, server.address)
    tick(page, *OVERLAPPING)
    wait_for_range(page)
    bar = page.locator(".thumb")
    assert bar.bounding_box()["height"] >= 64
    assert dollars(ALDER.plan(OVERLAPPING).cost.likely) in bar.inner_text()
    assert page.locator(".picture").is_hidden()
    bar.click()
    page.wait_for_selector(".picture:visible")
    assert bar.get_attribute("aria-expanded") == "true"
    page.keyboard.press("Escape")
    page.wait_for_selector(".picture", state="hidden")
    assert page.evaluate("document.activeElement.classList.contains('thumb')")
    leave(page)


def test_one_short_polite_message_a_pick(server: Server, page: Page) -> None:
    """Also with every question open, which are all answered again."""
    open_page(page, server.address)
    tick(page, "tank_wrap")
    for panel in page.locator(".questions .panel").all():
        panel.locator("summary").click()
        panel.locator(".answer p:not(.busy)").first.wait_for()
    page.evaluate(
        """() => { window.spoken = [];
          new MutationObserver(() => { for (const live of document.querySelectorAll('[aria-live], [role=status], [role=alert]'))
            if (live.textContent && !live.hidden && live.said !== live.textContent) { live.said = live.textContent; window.spoken.push(live.textContent); } })
          .observe(document.body, {subtree: true, childList: true, characterData: true});
          for (const live of document.querySelectorAll('[aria-live], [role=status], [role=alert]')) live.said = live.textContent; }"""
    )
    tick(page, "led_lamps")
    wait_for_range(page)
    page.wait_for_function(
        "!document.querySelector('[data-panel=sure] .answer[aria-busy]') && "
        "document.querySelector('[data-panel=sure] .answer').textContent.includes('8 in 10')"
    )
    spoken = page.evaluate("window.spoken")
    assert len(spoken) == 1
    assert len(spoken[0]) <= 200


@pytest.mark.parametrize("width", [1366, 320])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_accessibility_finding_in_any_state(
    server: Server, browser: Browser, width: int, scheme: str
) -> None:
    from axe_core_python.sync_playwright import Axe

    page = new_page(browser, width, bypass_csp=True, color_scheme=scheme)
    open_page(page, server.address)
    page.wait_for_selector(".start-rater")
    axe, found = Axe(), []

    def look(state: str) -> None:
        lay_out_all(page)
        page.wait_for_function(
            "document.getAnimations().every(one => one.effect.getTiming().iterations === Infinity)"
        )
        found.extend(
            (state, item["id"], [node["html"][:120] for node in item["nodes"]][:3])
            for item in axe.run(page)["violations"]
        )

    look("start")
    tick(page, *OVERLAPPING)
    wait_for_range(page)
    page.locator(".row[data-key=attic_insulation] .toggle").click()
    look("two, one opened")
    page.locator(".start-rater").click()
    page.wait_for_selector(".steps tbody", state="attached")
    for details in page.locator("details:visible").all():
        details.evaluate("one => { one.open = true; }")
    page.wait_for_function(
        "[...document.querySelectorAll('.panel[open] .answer')].every(one => one.querySelector('p:not(.busy)'))"
    )
    look("everything open")
    if width == 320:
        page.locator(".thumb").click()
        look("sheet")
    assert found == []
    wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 1
    leave(page)


def test_forced_colors_keep_bars_and_marks_apart(server: Server, browser: Browser) -> None:
    page = new_page(browser, forced_colors="active")
    open_page(page, server.address)
    tick(page, *OVERLAPPING)
    seen = page.evaluate(
        """() => ['.promised .one', '.real .one', '.real .overlap', '.range .span'].map(one => {
             const style = getComputedStyle(document.querySelector(one));
             return [style.borderTopWidth !== '0px' || style.backgroundColor !== 'rgba(0, 0, 0, 0)', style.forcedColorAdjust]; })"""
    )
    assert all(drawn for drawn, _ in seen)
    assert all(kept == "none" for _, kept in seen)
    leave(page)


def test_budget_slider_finds_a_plan_with_each_move(server: Server, page: Page) -> None:
    open_page(page, server.address)
    slider = page.locator("#budget")
    slider.focus()
    page.wait_for_function("Number(document.querySelector('#budget').max) > 0")
    told = page.locator(".budget-told")
    first = told.inner_text()
    slider.press("Home")
    page.wait_for_function(f"document.querySelector('.budget-told').textContent !== {first!r}")
    for _ in range(10):
        slider.press("ArrowRight")
    assert told.inner_text().startswith("For $500 at most: ")
    page.locator(".budget").get_by_role("button", name="Use this plan").click()
    page.wait_for_selector(".row.ticked")
    result = ALDER.plan(ticked(page))
    assert result.cost.likely <= 500.5
    assert dollars(REAL.of_plan(result).saving) in told.inner_text()


def test_same_money_could_save_more_is_one_tap(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "band_joist_foam")
    page.locator("#budget").focus()
    page.wait_for_selector(".better:visible")
    before = REAL.of_plan(ALDER.plan(["band_joist_foam"])).saving
    page.get_by_role("button", name="Show me").click()
    page.wait_for_selector(".row:not(.ticked)[data-key=band_joist_foam]")
    better = ALDER.plan(ticked(page))
    assert better.cost.likely <= ALDER.plan(["band_joist_foam"]).cost.likely + 1
    assert REAL.of_plan(better).saving > before


def test_replaced_anyway_makes_the_better_model_cheaper(server: Server, page: Page) -> None:
    open_page(page, server.address)
    tick(page, "heat_pump_upgrade")
    before = fact(page, "pays")
    page.locator(".anyway summary").click()
    page.locator(".anyway input[value='heat_pumps.heat_pump']").check()
    page.wait_for_function("location.search.includes('anyway=')")
    page.wait_for_selector(".anyway input:checked")
    assert fact(page, "pays") != before
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function("!location.search.includes('anyway=')")
    page.wait_for_function(
        f"document.querySelector('.top .pays .value').textContent === {before!r}"
    )


LONG_PLAN = 24
SIZES_OF_PRINT = """[...document.querySelectorAll('.kt *')]
    .filter((one) => one.checkVisibility() && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
    .map((one) => parseFloat(getComputedStyle(one).fontSize))"""
SMALLEST_PRINT = 8 * 96 / 72
"""Eight points. [px]"""


def long_plan() -> list[str]:
    """The rater's plan, made as long as a plan gets."""
    keys = list(rater_plan(Advice(ALDER), sure=False).result.ticked)
    for offer in ALDER.case.offers:
        if len(keys) < LONG_PLAN and not ALDER.case.rivals[offer.key].intersection(keys):
            keys += [offer.key] if offer.key not in keys else []
    return keys


def test_paper_shows_the_plan_on_one_page(server: Server, page: Page) -> None:
    """A long plan, in the longer of the two languages."""
    open_page(page, f"{server.address}?language=es&tick={'.'.join(long_plan())}")
    wait_for_range(page)
    page.wait_for_function(
        f"document.querySelectorAll('.steps tr[data-key]').length === {LONG_PLAN}"
    )
    notes = ALDER.plan(ticked(page)).cautions
    page.emulate_media(media="print")
    assert page.locator(".row:visible").count() == 0
    assert page.locator(".steps tr[data-key]:visible").count() == LONG_PLAN
    assert page.locator(".cautions .caution:visible").count() == len(notes)
    for note in notes:
        titled = page.get_by_text(SPANISH.names.caution(note.caution)[0], exact=True)
        named = page.locator(".cautions .caution").filter(has=titled)
        assert named.locator(".at-steps:visible").count() == bool(note.measures)
    assert page.locator(".panel:visible").count() == 0
    sizes = page.evaluate(SIZES_OF_PRINT)
    assert min(sizes) >= SMALLEST_PRINT - 0.01
    paper = page.pdf(format="Letter", print_background=True)
    assert len(re.findall(rb"/Type\s*/Page[^s]", paper)) == 1


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


def test_silly_numbers_are_told_and_not_sent(server: Server, page: Page) -> None:
    open_page(page, server.address)
    panel = page.locator("[data-panel=budget]")
    panel.locator("summary").click()
    panel.locator(".answer p:not(.busy)").first.wait_for()
    answer = panel.locator(".answer").inner_text()
    page.get_by_label("Dollars to spend").fill("-5")
    page.get_by_label("Dollars to spend").press("Tab")
    told = panel.locator(".problem")
    told.wait_for()
    assert "0 to 200000" in told.inner_text()
    assert panel.locator(".answer").inner_text() == answer
    page.get_by_label("Dollars to spend").fill("500")
    page.get_by_label("Dollars to spend").press("Tab")
    panel.locator(".answer", has_text="for $500").wait_for()
    assert told.is_hidden()
    panel.get_by_role("button", name="Use this plan").click()
    page.wait_for_selector(".row.ticked")
    assert ALDER.plan(ticked(page)).cost.likely <= 500


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


def test_the_report_of_the_picks_comes_as_a_download(page: Page, tmp_path: Path) -> None:
    """With a stand-in for the page at home, which takes a minute to make and has tests of its own."""
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(STAND_IN)])
    nbformat.write(notebook, tmp_path / "table.ipynb")
    running = Server(page=tmp_path / "table.ipynb")
    try:
        open_page(page, running.address)
        tick(page, "attic_insulation")
        page.locator("details.rater > summary").click()
        with page.expect_download() as waited:
            page.get_by_role("button", name=SAID.say("client.make_report")).click()
            making = page.get_by_role("button", name=SAID.say("client.making_report"))
            assert making.get_attribute("aria-disabled") == "true"
            tick(page, "duct_mastic")  # who picks on meanwhile waits for nothing
            assert making.is_visible()
        page.get_by_role("button", name=SAID.say("client.make_report")).wait_for()
        assert waited.value.suggested_filename == "retrofit-lab-report.zip"
        packed = waited.value.path().read_bytes()
        leave(page)
    finally:
        running.stop()
    with zipfile.ZipFile(io.BytesIO(packed)) as found:
        text = found.read("report.html").decode("utf-8")
        assert {"trades/insulation.xlsx", "plan_at_home.html"} <= set(found.namelist())
        assert found.read("report.pdf").startswith(b"%PDF-")
        assert found.read("trades/insulation.pdf").startswith(b"%PDF-")
    assert "Your plan has one step" in text
    assert ALDER.offer("attic_insulation").measure.title in text
