"""The part of the report that stays alive: opened as a file, without a server, a network or Python."""

import re
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from examples import example
from playwright.sync_api import Browser, Page, Route
from served_page import leave, new_page

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.report.leave_behind import leave_behind
from retrofit_lab.app.shared.wording import dollars, saving
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import main
from retrofit_lab.money.rebates import Rebate
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.proposals.all_plans import all_sets
from retrofit_lab.proposals.content import Maker, report_content
from retrofit_lab.proposals.steps import rater_plan
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study

pytestmark = pytest.mark.browser
HOUSES = ("alder_street", "wren_cottage")
EN = words("en")
STACKS = 100
"""Sets of each house, two hundred of both together."""
READ_MANY = """plans => {
    const root = document.getElementById("try-page");
    const text = (selector, within = root) => within.querySelector(selector).textContent;
    return plans.map(places => {
        root.retrofitLab.choose(places);
        return {
            facts: [...root.querySelectorAll(".facts .value")].map(e => e.textContent),
            more: [...root.querySelectorAll(".facts .more")].map(e => e.textContent),
            ticked: [...root.querySelectorAll(".row.ticked")].map(e => e.dataset.key),
            rows: [...root.querySelectorAll(".row")].map(e => [text(".alone", e), text(".now", e), text(".cost", e)]),
            shares: [...root.querySelectorAll("tbody tr")].map(e => text("td:last-child", e)),
            cautions: [...root.querySelectorAll(".cautions strong")].map(e => e.textContent),
            sentence: text(".chart-sentence"),
        };
    });
}"""


def proposed(study: Study) -> tuple[str, ...]:
    """What a report recommends without being told."""
    return rater_plan(Advice(study), sure=False).ticked


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("reports")
    for name in HOUSES:
        house = str(data_path("houses", f"{name}.toml"))
        assert main(["report", house, "--out", str(folder / name)]) == 0
    return {name: folder / name / "report.html" for name in HOUSES}


@pytest.fixture
def opened(reports: dict[str, Path], page: Page) -> Page:
    open_report(page, reports["wren_cottage"])
    return page


def open_report(page: Page, path: Path) -> None:
    page.goto(path.as_uri())
    page.wait_for_selector("#try-page .chart[data-drawn]")


def facts(page: Page) -> list[str]:
    return page.locator("#try-page .facts .value").all_inner_texts()


def random_plans(name: str) -> list[list[str]]:
    """Sets that keep the rules between measures, the empty and the full ones among them."""
    study = example(name)
    sets = all_sets(study, proposed(study))
    fine = np.flatnonzero(study.case.allowed(sets.masks))
    some = np.random.default_rng(20260309).choice(fine, STACKS - 2, replace=False)
    numbers = [0, int(fine[-1]), *some.tolist()]
    return [[k for bit, k in enumerate(sets.keys) if number >> bit & 1] for number in numbers]


@pytest.mark.parametrize("name", HOUSES)
def test_two_hundred_sets_show_the_models_numbers(name: str, reports, page: Page) -> None:
    study, plans = example(name), random_plans(name)
    sets = all_sets(study, proposed(study))
    open_report(page, reports[name])
    places = [[sets.keys.index(key) for key in plan] for plan in plans]
    shown = page.evaluate(READ_MANY, places)
    assert len(shown) == STACKS
    for plan, seen in zip(plans, shown, strict=True):
        compare(study.plan(plan), seen, sets.keys, study)


def test_rebates_reach_every_cost(tmp_path: Path, page: Page) -> None:
    rebates = (
        Rebate(name="county", percent=30.0, cap=900.0, measures=("wall_fill", "attic_insulation")),
        Rebate(name="state", amount=250.0),
    )
    known = example("wren_cottage")
    study = Study(known.as_found, terms=MoneyTerms(rebates=rebates))
    sets = all_sets(study, ("wall_fill", "attic_insulation", "duct_mastic"))
    maker = Maker(made_on=date(2026, 3, 9))
    content = report_content(study, ("wall_fill", "attic_insulation"), maker)
    alive = leave_behind(study, sets, content.result.ticked, EN)
    path = tmp_path / "report.html"
    path.write_text(report_html(content, EN, alive=alive), encoding="utf-8")
    open_report(page, path)
    fine = np.flatnonzero(study.case.allowed(sets.masks))
    numbers = np.random.default_rng(5).choice(fine, 40, replace=False).tolist()
    places = [[bit for bit in range(16) if number >> bit & 1] for number in numbers]
    for plan, seen in zip(places, page.evaluate(READ_MANY, places), strict=True):
        compare(study.plan([sets.keys[place] for place in plan]), seen, sets.keys, study)


def compare(result: PlanResult, seen: dict, keys: tuple[str, ...], study) -> None:
    assert seen["ticked"] == list(result.ticked)
    paid = EN.years(result.payback) if result.ticked else "–"
    expected = [result.before.cost, result.after.cost, result.cost.likely]
    assert seen["facts"] == [*(dollars(number) for number in expected), paid]
    assert seen["more"][1] == saving(result.saved)
    if result.ticked and result.cost.likely > 0:
        assert (
            seen["more"][2] == f"between {dollars(result.cost.low)} and {dollars(result.cost.high)}"
        )
        assert f"you get back {result.sir:.1f} dollars per dollar in" in seen["more"][3]
    for key, (alone, now, cost) in zip(keys, seen["rows"], strict=True):
        row = result.measures[key]
        assert alone == f"By itself: {saving(row.alone)}"
        assert cost == f"Costs: {EN.cost(row.cost)}"
        if row.ticked:
            assert now == f"In this set: {saving(row.now)}"
        elif row.blocked_by:
            assert now.startswith("Not together with")
        else:
            assert now == f"On top of what is ticked: {saving(row.now)}"
    if result.ticked and result.share_error == 0:
        shares = [result.measures[key].share for key in result.ticked]
        assert seen["shares"] == [dollars(number) for number in (*shares, result.saved)]
    own = {raised.caution.title for raised in result.cautions if raised.measures}
    assert set(seen["cautions"]) == own


def test_opens_with_what_is_recommended_and_draws_it(opened: Page) -> None:
    study = example("wren_cottage")
    offered = all_sets(study, proposed(study)).keys
    choice = [key for key in proposed(study) if key in offered]
    assert opened.locator("#try-page .row.ticked").count() == len(choice)
    assert facts(opened)[1] == dollars(study.plan(choice).after.cost)
    bars = opened.evaluate(
        """() => [...document.querySelectorAll('.chart .bars .point path')]
                 .filter(bar => bar.getBBox().width > 0.5).length"""
    )
    assert bars > len(choice)


@pytest.mark.parametrize("name", HOUSES)
def test_page_is_small(reports, name: str) -> None:
    assert reports[name].stat().st_size < 3_000_000


def test_nothing_leaves_this_machine_and_nothing_fails(reports, page: Page) -> None:
    asked: list[str] = []
    errors: list[str] = []

    def answer(route: Route) -> None:
        asked.append(route.request.url)
        route.continue_()

    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on(
        "console", lambda message: errors.append(message.text) if message.type == "error" else None
    )
    page.route("**/*", answer)
    open_report(page, reports["alder_street"])
    page.locator("#try-page input[type=checkbox]").first.click()
    assert all(url.startswith(("file:", "data:", "blob:")) for url in asked), asked
    assert errors == []


def test_keyboard_ticks_and_the_result_is_spoken(opened: Page) -> None:
    live = opened.locator("#try-page .live")
    assert live.get_attribute("aria-live") == "polite"
    before = live.inner_text()
    opened.locator("#try-page button").last.focus()
    opened.keyboard.press("Tab")
    assert opened.evaluate("document.activeElement.type") == "checkbox"
    opened.keyboard.press("Space")
    assert live.inner_text() != before
    opened.get_by_role("button", name="Untick all").press("Enter")
    assert live.inner_text() == "Nothing is ticked."
    opened.get_by_role("button", name="Back to what is recommended").press("Enter")
    assert live.inner_text() == before


def test_own_price_changes_the_worth(opened: Page) -> None:
    opened.get_by_role("button", name="Untick all").click()
    opened.check("#try-wall_fill")
    box = opened.get_by_label("Your price for “Dense-pack the empty walls”, in dollars")
    study = example("wren_cottage")
    result = study.plan(["wall_fill"])
    box.fill("6,000")
    assert facts(opened)[2] == "$6,000"
    assert facts(opened)[3] == EN.years(6000 / result.saved)
    prices = study.money.prices_of(study.mask(["wall_fill"]))
    wall_present = float(study.money.purchases.present_cost(prices))
    present = wall_present / result.cost.likely * 6000
    sir = (result.net_savings + wall_present) / present
    assert (
        f"{sir:.1f} dollars per dollar in"
        in opened.locator("#try-page .facts .more").nth(3).inner_text()
    )
    box.fill("cheap")
    assert box.get_attribute("aria-invalid") == "true"
    assert facts(opened)[2] == dollars(result.cost.likely)


def test_measures_that_exclude_each_other(tmp_path: Path, page: Page) -> None:
    house, study = str(data_path("houses", "alder_street.toml")), example("alder_street")
    assert main(["report", house, "--out", str(tmp_path), "--tick", "tank_wrap"]) == 0
    open_report(page, tmp_path / "report.html")
    keys = all_sets(study, ("tank_wrap",)).keys
    pair = next((a, b) for a in keys for b in keys if a != b and study.case.conflict((a, b)))
    assert len(keys) == 16
    left_out = study.offer(next(key for key in study.keys if key not in keys)).measure.title
    page.locator("#try-left-out summary").click()
    assert left_out in page.locator("#try-left-out").inner_text()
    page.get_by_role("button", name="Untick all").click()
    page.check(f"#try-{pair[0]}")
    page.check(f"#try-{pair[1]}")
    assert not page.is_checked(f"#try-{pair[0]}")
    assert (
        "was unticked: it cannot go together with"
        in page.locator("#try-page .problem").inner_text()
    )


@pytest.mark.parametrize("width", [1366, 320])
def test_no_serious_accessibility_finding(reports, browser: Browser, width: int) -> None:
    from axe_core_python.sync_playwright import Axe

    page = new_page(browser, width, 768, bypass_csp=True)
    open_report(page, reports["wren_cottage"])
    page.locator("#try-page summary").click()
    found = Axe().run(page)["violations"]
    serious = [
        (item["id"], [node["html"][:120] for node in item["nodes"]][:3])
        for item in found
        if item["impact"] in ("serious", "critical")
    ]
    assert serious == []
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 1
    leave(page)


def test_scripts_in_a_house_file_stay_text(tmp_path: Path, page: Page) -> None:
    attack = "<img src=x onerror=window.struck=1></script><script>window.struck=1</script>"
    text = data_path("houses", "wren_cottage.toml").read_text(encoding="utf-8")
    text = re.sub(r'(?m)^(name|note|label) = "[^"]*"', lambda m: f"{m[1]} = '{attack}'", text)
    (tmp_path / "attack.toml").write_text(text, encoding="utf-8")
    assert main(["report", str(tmp_path / "attack.toml"), "--out", str(tmp_path)]) == 0
    open_report(page, tmp_path / "report.html")
    assert page.evaluate("window.struck") is None
    assert "<script>" in page.locator("h1").inner_text()


def test_prints_what_is_ticked(opened: Page) -> None:
    opened.emulate_media(media="print")
    shown = [row for row in opened.locator("#try-page .row").all() if row.is_visible()]
    assert len(shown) == opened.locator("#try-page .row.ticked").count()
    assert not opened.locator("#try-page button").first.is_visible()


def test_what_waits_is_said_beside_the_line_and_when_it_is_ticked(opened: Page) -> None:
    held = opened.locator("#try-page .row .held:not(:empty)")
    assert held.count() > 0
    row = held.first.locator("xpath=..")
    assert "Waits: " in held.first.inner_text()
    opened.get_by_role("button", name="Untick all").press("Enter")
    row.locator("input[type=checkbox]").press("Space")
    assert "1 must wait" in opened.locator("#try-page .live").inner_text()
