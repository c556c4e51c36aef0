"""Tables of the report as files: complete, numbers as numbers, and no cell that a spreadsheet would run."""

import csv
import io
from dataclasses import replace

import openpyxl
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st
from reported import content_of

from retrofit_lab.app.report.tables import (
    Table,
    csv_text,
    plain_cell,
    report_tables,
    trade_sheets,
    workbook,
)
from retrofit_lab.app.shared.spreadsheet import STARTS
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.contractors import scopes

NAME = "wren_cottage"


def tables(language: str = "en") -> dict[str, Table]:
    content, said = content_of(NAME), words(language)
    pages = scopes(example(NAME), content.proposal.steps, content.result.cautions)
    found = (*report_tables(content, said), *trade_sheets(content, pages, said))
    return {table.name: table for table in found}


@settings(deadline=None, max_examples=200)
@given(st.text(max_size=20) | st.text("＝＋－＠=+-@\ufffe\x0b a", max_size=6))
def test_no_text_starts_like_a_formula(text: str) -> None:
    cell = plain_cell(text)
    assert not str(cell).startswith(STARTS)
    clean = "".join(c for c in text if (ord(c) >= 32 or c in "\t\n\r") and c not in "\ufffe\uffff")
    assert cell in (clean, f"'{clean}")


def test_numbers_stay_numbers_and_infinity_becomes_empty() -> None:
    assert plain_cell(-3.5) == -3.5
    assert plain_cell(float("inf")) == ""
    assert plain_cell("=1+1") == "'=1+1"
    assert plain_cell("@SUM(A1)") == "'@SUM(A1)"
    assert plain_cell("R-13") == "R-13"


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_row_has_a_cell_for_each_heading(language: str) -> None:
    for table in tables(language).values():
        assert len(set(table.heads)) == len(table.heads)
        for row in table.rows:
            assert len(row) == len(table.heads), table.name


def test_table_of_steps_holds_the_models_numbers() -> None:
    table = tables()["recommended"]
    saved = sum(
        row[table.heads.index("Saves in this order, calculated [$/year]")] for row in table.rows
    )
    assert saved == pytest.approx(content_of(NAME).result.saved, abs=0.05)
    cost = sum(row[table.heads.index("Cost, likely [$]")] for row in table.rows)
    assert cost == pytest.approx(content_of(NAME).result.cost.likely, abs=0.05)


def test_csv_reads_back_as_it_was() -> None:
    for table in tables().values():
        rows = list(csv.reader(io.StringIO(csv_text(table), newline="")))
        above = 1 if table.first else 0
        assert rows[above] == list(table.heads)
        assert len(rows) == len(table.rows) + 1 + above


def test_formula_in_a_house_file_is_defused_in_csv() -> None:
    content = replace(
        content_of(NAME),
        numbers=(replace(content_of(NAME).numbers[0], owners=("=cmd|' /C calc'!A0",)),),
    )
    table = next(t for t in report_tables(content, words("en")) if t.name == "numbers")
    assert "\"'=cmd" in csv_text(table) or ",'=cmd" in csv_text(table)
    assert ",=cmd" not in csv_text(table)


def test_workbook_holds_all_tables_and_no_formula() -> None:
    found = tables()
    attack = Table(
        name="a", title="a/b:c", heads=("=1+1",), rows=(("=2+2",), (3.0,), ("\x07bell",))
    )
    book = openpyxl.load_workbook(io.BytesIO(workbook([*found.values(), attack])))
    assert len(book.sheetnames) == len(found) + 1
    for sheet in book:
        for row in sheet.iter_rows():
            assert all(cell.data_type != "f" for cell in row)
    assert book["a b c"]["A2"].value == "'=2+2"
    assert book["a b c"]["A3"].value == 3.0
