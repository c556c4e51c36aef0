"""The portfolio command writes a table that a spreadsheet can open without harm."""

import csv
from pathlib import Path

import pytest

from retrofit_lab.app.commands.portfolio import HEADS
from retrofit_lab.app.shared.spreadsheet import csv_text, safe_cell
from retrofit_lab.command import main

TABLE = """name,climate,width
"=HYPERLINK(""http://x"")",greensboro_nc,28
Elm 2,nowhere,28
"""


def test_results_are_written_with_escaped_names_and_errors(tmp_path: Path, capsys) -> None:
    table, out = tmp_path / "table.csv", tmp_path / "results.csv"
    table.write_text(TABLE, encoding="utf-8")
    command = ["portfolio", str(table), "--budget", "3000", "--out", str(out), "--cores", "1"]
    assert main([*command, "--measures", "attic_insulation,night_setback"]) == 0
    with out.open(newline="", encoding="utf-8") as file:
        first, wrong = csv.DictReader(file)
    assert tuple(first) == HEADS
    assert first["house"] == '\'=HYPERLINK("http://x")'
    assert float(first["saving_dollars_per_year"]) > 0
    assert float(first["cost_likely_dollars"]) <= 3000
    assert set(first["best_plan"].split("; ")) <= {"attic_insulation", "night_setback"}
    assert first["error"] == ""
    assert wrong["saving_dollars_per_year"] == ""
    assert "no climate 'nowhere'" in wrong["error"]
    said = capsys.readouterr()
    assert "1 houses" in said.out
    assert "1 could not be calculated" in said.out
    assert "2 of 2 houses" in said.err


def test_what_cannot_be_used_is_told(tmp_path: Path, capsys) -> None:
    assert main(["portfolio", str(tmp_path / "missing.csv")]) == 2
    assert "there is no such file" in capsys.readouterr().err
    assert main(["portfolio", "--budget", "-5"]) == 2
    assert "budget is -5; must be 0 or above" in capsys.readouterr().err


@pytest.mark.parametrize("text", ["=1+1", "+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "＝1"])
def test_text_that_starts_like_a_formula_is_escaped(text: str) -> None:
    assert safe_cell(text) == f"'{text}"


def test_numbers_stay_numbers() -> None:
    cells = [safe_cell(value) for value in (-12.346, 3, float("inf"), None, "Elm = 3")]
    assert cells == ["-12.35", "3", "", "", "Elm = 3"]
    assert csv_text(("a", "b"), [(1, "x,y")]) == 'a,b\r\n1,"x,y"\r\n'
