"""Five questions that a couple asks at the table, each answered within three clicks, by numbers of their own house.

The questions were written down before the page was; each test counts its clicks, and runs in two houses whose
answers differ.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from examples import example
from playwright.sync_api import Browser, Locator, Page
from served_page import Server, leave, new_page, open_page

from retrofit_lab.app.page.told import shown_lines
from retrofit_lab.app.shared.wording import as_rounded, dollars
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.study import Study

pytestmark = pytest.mark.browser
MOST_TAPS = 3
HOUSES = ("alder_street", "wren_cottage")


@dataclass
class Couple:
    """A couple before the page of one house, and how often they tapped."""

    page: Page
    study: Study
    taps: int = 0

    def tap(self, place: str | Locator) -> None:
        """Tap something that is there without a search."""
        self.taps += 1
        assert self.taps <= MOST_TAPS
        (self.page.locator(place) if isinstance(place, str) else place).click()

    def picked(self) -> list[str]:
        """The plan."""
        rows = self.page.locator(".row.ticked")
        return [row.get_attribute("data-key") or "" for row in rows.all()]


@pytest.fixture(scope="module", params=HOUSES)
def house(request) -> Iterator[tuple[Server, Study]]:
    path = data_path("houses", f"{request.param}.toml")
    running = Server(str(path))
    yield running, example(request.param)
    running.stop()


@pytest.fixture
def couple(house, browser: Browser) -> Iterator[Couple]:
    server, study = house
    page = new_page(browser)
    open_page(page, server.address)
    page.wait_for_selector(".start-rater")
    yield Couple(page=page, study=study)
    leave(page)


def test_what_should_we_do_first(couple: Couple) -> None:
    couple.tap(".start-rater")
    couple.page.wait_for_selector(".steps tbody", state="attached")
    lead = couple.page.locator(".plan-lead").text_content()
    expected = RealHouses(couple.study).of_plan(couple.study.plan(couple.picked()))
    first = couple.page.locator(".steps tr[data-key]:not(.waits)").first.get_attribute("data-key")
    assert lead.startswith("First: ")
    lines = shown_lines(expected, couple.picked())
    assert as_rounded(lines[first]) in lead or "settle" in lead


def test_what_if_we_only_have_3000_dollars(couple: Couple) -> None:
    couple.tap("#budget")
    couple.page.wait_for_function("Number(document.querySelector('#budget').max) > 0")
    slider = couple.page.locator("#budget")
    slider.fill("3000")
    told = couple.page.locator(".budget-told")
    assert told.inner_text().startswith("For $3,000 at most: ")
    couple.tap(couple.page.locator(".budget").get_by_role("button", name="Use this plan"))
    couple.page.wait_for_selector(".row.ticked")
    result = couple.study.plan(couple.picked())
    assert result.cost.likely <= 3000.5
    assert dollars(RealHouses(couple.study).of_plan(result).saving) in told.inner_text()


def test_why_does_it_say_less_than_the_salesman(couple: Couple) -> None:
    couple.tap(".start-rater")
    couple.page.wait_for_selector(".promised-real:not([hidden])")
    couple.tap(".why-less summary")
    told = couple.page.locator(".why-less").inner_text()
    result = couple.study.plan(couple.picked())
    expected = RealHouses(couple.study).of_plan(result)
    for number in (result.sum_alone, expected.one_by_one, expected.saving):
        assert dollars(number) in told


def test_is_it_safe(couple: Couple) -> None:
    couple.tap(".start-rater")
    couple.page.wait_for_selector(".steps tbody", state="attached")
    couple.tap(".top .strip .safety a")
    plan = couple.page.locator("#plan")
    result = couple.study.plan(couple.picked())
    counts = re.findall(
        r"\((\d+)\)", " ".join(plan.locator(".tier-notes summary").all_inner_texts())
    )
    assert sum(map(int, counts)) == len(result.cautions)
    assert plan.locator(".stop details").count() == len(couple.study.case.hazards)
    assert plan.bounding_box()["y"] < 300
    assert "is safe" not in plan.inner_text()


def test_what_if_we_move_in_six_years(couple: Couple) -> None:
    couple.tap(".start-rater")
    couple.page.wait_for_selector(".steps tbody", state="attached")
    couple.tap(".rater > summary")
    couple.tap("[data-panel=move] > summary")
    answer = couple.page.locator("[data-panel=move] .answer p:not(.busy)").first
    answer.wait_for()
    expected = RealHouses(couple.study).of_plan(couple.study.plan(couple.picked()))
    assert f"In 6 years your plan saves {dollars(6 * expected.saving)}" in answer.inner_text()


def test_answers_hang_on_the_house() -> None:
    now = [dollars(example(name).plan(()).before.cost) for name in HOUSES]
    assert len(set(now)) == len(HOUSES)
