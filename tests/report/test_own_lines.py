"""What the rater recommends in own words, and what the house needs, on the pages of their trades and in the bids."""

import csv
import io
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from examples import example

from retrofit_lab.app.report.html import report_html, trade_html
from retrofit_lab.app.report.tables import (
    Table,
    bid_sheet,
    csv_text,
    report_tables,
    trade_sheets,
    workbook,
)
from retrofit_lab.app.report.view_measures import bid_table, titles_of
from retrofit_lab.app.shared.words import words
from retrofit_lab.house.description import Recommendation
from retrofit_lab.proposals.bids import compare_bids, read_bids
from retrofit_lab.proposals.content import Maker, ReportContent, report_content
from retrofit_lab.proposals.contractors import Scope, scopes
from retrofit_lab.study.study import Study

GUTTER = Recommendation(
    key="gutter",
    label="Extend the <north> downspout",
    where="Northeast corner",
    why="The wall under it is wet.",
    cost_low=80.0,
    cost_likely=150.0,
    cost_high=300.0,
)
BOOTS = replace(
    GUTTER, key="panel", label="Label the panel", where="Garage", why="No circuit is named.",
    trade="electrical", who="licensed trade", needed="yes",
)  # fmt: skip
ALARM = replace(GUTTER, key="alarm", label="Put up a CO alarm", who="owner")


@cache
def study() -> Study:
    house = example("wren_cottage").as_found
    return Study(replace(house, recommendations=(GUTTER, BOOTS, ALARM)))


@cache
def content() -> ReportContent:
    maker = Maker(made_on=date(2026, 3, 9))
    return report_content(study(), ("attic_insulation", "led_lamps"), maker)


@cache
def pages() -> dict[str, Scope]:
    found = scopes(study(), content().proposal.steps, content().result.cautions)
    return {page.trade: page for page in found}


def sheet(trade: str, language: str = "en") -> Table:
    found = trade_sheets(content(), tuple(pages().values()), words(language))
    return next(table for table in found if table.name == trade)


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_line_stands_on_the_page_of_its_trade_with_where_why_and_who(language: str) -> None:
    said = words(language)
    general = trade_html(content(), said, pages()["general"])
    for text in (
        "Extend the &lt;north&gt; downspout",
        "Northeast corner",
        "The wall under it is wet.",
    ):
        assert text in general
    assert "Label the panel" not in general
    electrical = trade_html(content(), said, pages()["electrical"])
    assert "Label the panel" in electrical
    assert said.say("trades.licensed") in electrical
    assert said.say("trades.needed") in electrical
    assert said.say("trades.licensed") not in general


def test_what_the_owner_does_is_asked_of_no_trade_and_stands_in_the_owners_plan() -> None:
    lines = [task.step.title for page in pages().values() for task in page.tasks]
    assert ALARM.label not in lines
    whole = report_html(content(), words("en"), tuple(pages().values()))
    plan = whole.split('id="plan"')[1].split("</section>", maxsplit=1)[0]
    assert all(text in plan for text in ("Put up a CO alarm", "$80–300", "Label the panel"))
    why = whole.split('id="recommended"')[1].split("</section>", maxsplit=1)[0]
    assert (
        "(Garage): $150 ($80 to $300), a licensed contractor. Your rater says: No circuit is" in why
    )


def test_a_line_has_its_place_in_the_tables_of_its_trade() -> None:
    rows = list(csv.reader(io.StringIO(csv_text(sheet("general")))))
    (line,) = rows[2:]
    assert line[:3] == ["own:gutter", GUTTER.label, "Northeast corner"]
    assert "The wall under it is wet." in line[6]
    book = openpyxl.load_workbook(io.BytesIO(workbook([sheet("electrical")])))
    cells = [cell.value for row in book.worksheets[0].iter_rows() for cell in row]
    assert {"own:panel", "Label the panel", "Garage"} <= set(cells)


def test_what_the_house_needs_and_nobody_chose_is_priced_too() -> None:
    beside = {step.key for step in content().proposal.beside if step.doer != "owner"}
    asked = {task.step.key for page in pages().values() for task in page.tasks}
    assert "own:gutter" in beside
    assert any(not key.startswith("own:") for key in beside)
    assert beside <= asked
    fan = next(t for t in pages()["heating"].tasks if not t.step.in_plan)
    raised = {r.caution.key for r in pages()["heating"].cautions}
    assert {c.key for found in fan.step.cautions.values() for c in found} <= raised


def test_a_price_for_it_is_read_back_and_counts_in_the_total_alone(tmp_path: Path) -> None:
    table = sheet("general")
    rows = list(csv.reader(io.StringIO(csv_text(table))))
    rows[0][1], rows[2][-1] = "Ann", "$400"
    path = tmp_path / "general.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    known = (*content().result.ticked, *(step.key for step in content().proposal.beside))
    offered = read_bids(path, known)
    assert offered == {"Ann": {"own:gutter": 400.0}}
    steps = content().order.steps
    bids = compare_bids(study(), content().proposal, steps, {**offered, "Bob": {}})
    ann, bob = bids.bids
    assert ann.beside - bob.beside == pytest.approx(400.0 - 150.0)
    assert (ann.total, ann.payback, ann.net_savings) == (bob.total, bob.payback, bob.net_savings)
    shown = bid_table(content(), bids, words("en"), titles_of(content(), words("en")))
    line = next(row for row in shown["rows"] if row[0] == GUTTER.label)
    assert line[1:] == ("$150", "$400", "($150)")
    assert "Payback and worth" in shown["text"]


def test_it_stands_in_the_table_of_all_bids() -> None:
    table = bid_sheet(content(), words("en"))
    assert ("own:gutter", GUTTER.label, 150.0) in [row[:3] for row in table.rows]
    assert table in report_tables(content(), words("en"))
