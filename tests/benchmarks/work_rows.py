"""Measures what is done away from the page: a table of houses, a report and the page that it leaves behind, the form."""

import time
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from lab_page import Lab, begin, open_form
from playwright.sync_api import Page
from rows import Row, seconds
from served_page import browsing, new_page

from retrofit_lab.app.home.writing import NAME, home_html
from retrofit_lab.app.report.writing import ReportOptions, write_report
from retrofit_lab.app.shared.surroundings import CHART_LIBRARY
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.portfolio.answer import Question, answer_row
from retrofit_lab.portfolio.engines import cores, processes
from retrofit_lab.portfolio.run import study_portfolio
from retrofit_lab.portfolio.table import read_table
from retrofit_lab.proposals.content import Maker
from retrofit_lab.savings.choosing import Limits

HOUSE = data_path("houses", "alder_street.toml")
TABLE = data_path("tables", "mill_row.csv")
HOUSES = 64
"""Houses of the table, taken again and again."""
RECORDED_IN = 25 * 60.0
"""Time in which a house should be recorded from its plans. [s]"""
SECONDS_A_NUMBER = 5.0
"""What a person needs to read a number off a plan and type it. [s] (judgment)"""
STAND_IN = (
    "e => document.getElementById(`${e.id}-state`).textContent.match(/using (.+?)[;.]( |$)/)?.[1]"
)
ALL_ANSWERED = r"/(\d+) of \1 answered/.test(document.querySelector('.file').textContent)"
QUESTION = Question(limits=Limits(budget=5000.0))


def portfolio() -> list[Row]:
    """A table of houses with a process on each core, and the same houses one after the other."""
    rows = (tuple(read_table(TABLE)) * HOUSES)[:HOUSES]
    one = seconds(lambda: list(study_portfolio(rows, QUESTION, processes(1))), 1)
    all_cores = seconds(lambda: list(study_portfolio(rows, QUESTION, processes())), 1)
    return [
        Row(
            what=f"{len(rows)} houses of a table, best set for a budget, on {cores()} cores",
            measured=all_cores, unit="s",
            ratio=one / all_cores, reference="as quick as one process",
            # on more or fewer cores the ratio is told, and nothing must be reached
            least_ratio=1.8 if cores() == 2 else None,
        ),
        Row(
            what="a house of that table",
            measured=one / len(rows), unit="s",
            ratio=one / len(rows) / seconds(lambda: answer_row(QUESTION, rows[0]), 1),
            reference="the same in this process",
        ),
    ]  # fmt: skip


def report() -> list[Row]:
    """Writing a report with its tables and the page that stays at home, and opening that page."""
    with TemporaryDirectory() as folder:
        options = ReportOptions(
            house=HOUSE, out=Path(folder), maker=Maker(made_on=date(2026, 3, 9))
        )
        span = seconds(
            lambda: write_report(options, beside=lambda *asked: (NAME, home_html(*asked))), 2
        )
        page = Path(folder) / NAME
        size = page.stat().st_size / 1e6
        opened, plain = _open_times(page)
    one = seconds(lambda: answer_row(QUESTION, next(iter(read_table(TABLE)))), 1)
    return [
        Row(what="writing a report of the best set, with tables and the page at home",
            measured=span, unit="s", ratio=span / one, reference="a house of a table"),
        Row(what="size of the page that stays at home", measured=size, unit="MB", most=2.5, steady=True,
            ratio=size * 1e6 / _library_bytes(), reference="the chart library"),
        Row(what="opening it, until its bars are drawn",
            measured=opened, unit="s", ratio=opened / plain, reference="an empty page"),
    ]  # fmt: skip


def _library_bytes() -> int:
    return CHART_LIBRARY.stat().st_size


def _open_times(path: Path) -> tuple[float, float]:
    empty = path.with_name("empty.html")
    empty.write_text("<!doctype html><title>empty</title><p id='there'>empty</p>")
    with browsing() as browser:
        page = new_page(browser)
        spans = [
            _opened(page, file, selector)
            for file, selector in ((path, "#home .promised-real[data-drawn]"), (empty, "#there"))
        ]
    return spans[0], spans[1]


def _opened(page: Page, path: Path, selector: str) -> float:
    start = time.perf_counter()
    page.goto(path.as_uri())
    page.wait_for_selector(selector)
    return time.perf_counter() - start


def form() -> list[Row]:
    """Every asked number of a new house typed into the form of the walk: what the form takes beside reading and typing."""
    with TemporaryDirectory() as folder, browsing() as browser:
        lab = Lab(folder=Path(folder))
        try:
            page = new_page(browser)
            open_form(page, lab.address)
            begin(
                page, "Medlar Way", foundation="basement, not heated", roof="rooms with knee walls"
            )
            start = time.perf_counter()
            typed = _type_all(page)
            span = time.perf_counter() - start
        finally:
            lab.stop()
    assert typed > 100, f"only {typed} numbers were asked for"
    by_hand = SECONDS_A_NUMBER * typed
    return [
        Row(
            what=f"{typed} numbers of a house typed into the form, all stops",
            measured=span, unit="s", most=RECORDED_IN - by_hand,
            ratio=span / by_hand, reference="reading them off a plan and typing them",
        )
    ]  # fmt: skip


def _type_all(page: Page) -> int:
    """Type what stands in for every number, stop by stop; how many."""
    typed = 0
    while True:
        shown = page.locator(".stop fieldset .field:visible input[data-kind=number]")
        for place in range(shown.count()):
            stand_in = shown.nth(place).evaluate(STAND_IN)
            if stand_in:
                shown.nth(place).fill(stand_in)
                shown.nth(place).press("Enter")
                typed += 1
        following = page.locator(".stop .ways button:has-text('Next stop')")
        if not following.count():
            page.wait_for_function(ALL_ANSWERED)
            return typed
        title = page.locator("#wt-title").inner_text()
        following.click()
        page.wait_for_function(
            "t => document.getElementById('wt-title').textContent !== t", arg=title
        )


WORK = (portfolio,)
WORK_IN_BROWSER = (report, form)
"""Every measurement of this module, in the order of the table; the second need a browser."""
