"""The page that stays with the homeowner: opened as a file, without a server, a network or Python."""

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import test_couples_questions as at_the_table
from examples import example
from playwright.sync_api import Browser, Page, Route
from served_page import leave, new_page

sys.path.insert(0, str(Path(__file__).parents[1] / "app"))
from home_page import quickly

from retrofit_lab.app.home import writing
from retrofit_lab.app.shared.wording import as_rounded, shown_after
from retrofit_lab.proposals.all_plans import worth_most
from retrofit_lab.proposals.in_real_houses import RealHouses

pytestmark = pytest.mark.browser
HOUSE = "wren_cottage"
STUDY = example(HOUSE)
FEW = worth_most(STUDY.plan(()), most=8)
OPENED_WITH = FEW[:3]
MOST_BYTES = 2_500_000
QUESTIONS = (
    at_the_table.test_what_should_we_do_first,
    at_the_table.test_what_if_we_only_have_3000_dollars,
    at_the_table.test_why_does_it_say_less_than_the_salesman,
    at_the_table.test_is_it_safe,
    at_the_table.test_what_if_we_move_in_six_years,
)
BEYOND = "document.documentElement.scrollWidth - window.innerWidth"


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        quickly(patch, FEW)
        made = tmp_path_factory.mktemp("home") / writing.NAME
        made.write_text(writing.home_html(STUDY, OPENED_WITH, "en", "us"), encoding="utf-8")
        return made


def opened(page: Page, path: Path) -> Page:
    page.goto(path.as_uri())
    page.wait_for_selector(".kt[data-ready=yes]")
    return page


def picked(page: Page) -> list[str]:
    return [str(row.get_attribute("data-key")) for row in page.locator(".row.ticked").all()]


def after(page: Page) -> str:
    return page.locator(".top .strip .after .value").inner_text()


def said_of(keys: tuple[str, ...]) -> str:
    result = STUDY.plan(keys)
    left = RealHouses(STUDY).of_plan(result).left
    return as_rounded(shown_after(result.before.cost, left))


def test_a_visit_at_home(path: Path, page: Page) -> None:
    asked: list[str] = []
    errors: list[str] = []

    def answer(route: Route) -> None:
        asked.append(route.request.url)
        route.continue_()

    page.on("pageerror", lambda error: errors.append(str(error)))
    page.route("**/*", answer)
    opened(page, path)
    assert set(picked(page)) == set(OPENED_WITH)
    assert after(page) == said_of(OPENED_WITH)
    page.locator(f"#tick-{FEW[3]}").evaluate("box => box.click()")
    assert after(page) == said_of(FEW[:4])
    assert len(page.locator(".live").inner_text()) <= 200
    page.keyboard.press("Control+z")
    page.wait_for_function(
        f"document.querySelectorAll('.row.ticked').length === {len(OPENED_WITH)}"
    )
    page.locator(f"#tick-{FEW[4]}").evaluate("box => box.click()")
    # a browser that is asked to load again at once loads the address that it knew before
    page.wait_for_url(lambda address: FEW[4] in address)
    page.reload()
    page.wait_for_selector(".kt[data-ready=yes]")
    assert set(picked(page)) == {*OPENED_WITH, FEW[4]}
    page.goto("about:blank")
    opened(page, path)
    assert set(picked(page)) == {*OPENED_WITH, FEW[4]}, "another day"
    page.select_option("[data-chooses=language]", "es")
    page.select_option("[data-chooses=units]", "si")
    assert page.locator("html").get_attribute("lang") == "es"
    assert after(page) == said_of((*OPENED_WITH, FEW[4]))
    page.locator("[data-panel=next] > summary").click()
    page.locator("[data-panel=next] .answer", has_text="$").wait_for()
    assert all(url.startswith(("file:", "data:", "blob:", "about:")) for url in asked), asked
    assert errors == []
    assert path.stat().st_size < MOST_BYTES


@pytest.mark.parametrize("question", QUESTIONS)
def test_couples_questions_are_answered_at_home_too(
    question: Callable[[at_the_table.Couple], None], path: Path, page: Page
) -> None:
    """The same taps as at the table, the same numbers of their house."""
    question(at_the_table.Couple(page=opened(page, path), study=STUDY))


@pytest.mark.parametrize("width", [1366, 320])
def test_no_accessibility_finding(path: Path, browser: Browser, width: int) -> None:
    from axe_core_python.sync_playwright import Axe

    page = new_page(browser, width, 768, bypass_csp=True)
    opened(page, path)
    found = Axe().run(page)["violations"]
    assert [(item["id"], item["nodes"][0]["html"][:120]) for item in found] == []
    assert page.evaluate(BEYOND) <= 1
    # whatever someone calls a house, a part or a plan
    page.evaluate(
        "document.querySelectorAll('h1, h2, h3, p, li, legend').forEach(e => { if (!e.children.length) e.textContent = 'W'.repeat(999); })"
    )
    assert page.evaluate(BEYOND) <= 1
    leave(page)
