"""Typed bills and the report's button of the form, without a browser."""

from pathlib import Path

import pytest

from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.bills.reading.bill_entry import COLUMNS, keep_typed_bills, typed_bills
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.bills.reading.record import BillError
from retrofit_lab.house.file import load_house
from retrofit_lab.study.opening import open_study

ROWS = [
    line.split(",")
    for line in data_path("bills", "alder_street.csv").read_text(encoding="utf-8").splitlines()[2:]
]


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    (tmp_path / "alder.toml").write_text(
        data_path("houses", "alder_street.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    return Walkthrough(tmp_path, "alder.toml")


def send(form: Walkthrough, **message) -> str:
    form._on_message(form, message, None)
    return form.said["text"]


def test_typed_bills_are_kept_named_and_used(form: Walkthrough, tmp_path: Path) -> None:
    text = send(form, kind="bills", rows=[*ROWS, [""] * 6])
    assert text.startswith("typed bills: read 12 electric bills")
    assert "The bills are saved next to the house file" in text
    house = load_house(tmp_path / "alder.toml")
    assert house.bills == "alder.bills.csv"
    assert open_study(tmp_path / "alder.toml").billed is not None


def test_bad_row_is_named_and_nothing_changes(form: Walkthrough, tmp_path: Path) -> None:
    text = send(
        form, kind="bills", rows=[["2025-01-01", "2025-02-01", "electricity", "many", "kWh", ""]]
    )
    assert "row 1" in text
    assert "many" in text
    assert form.said["wrong"]
    assert not (tmp_path / "alder.bills.csv").exists()


def test_what_can_be_read_in_two_ways_is_asked_and_kept_plainly(
    form: Walkthrough, tmp_path: Path
) -> None:
    days = ["03/04/2024", "05/06/2024", "08/09/2024", "11/12/2024"]
    rows = [
        ["", day, "propane", "1\u00a0040,5" if day == days[1] else "90,5", "liter", ""]
        for day in days
    ]
    text = send(form, kind="bills", rows=rows)
    assert form.said["wrong"]
    assert form.said["choices"] == [
        ["dates", "month-first", "month before day"],
        ["dates", "day-first", "day before month"],
    ]
    assert "2024-03-04" in text
    assert "2024-04-03" in text
    assert not (tmp_path / "alder.bills.csv").exists()
    send(form, kind="bills", rows=rows, answers={"dates": "day-first"})
    assert form.said["choices"] == []
    kept = (tmp_path / "alder.bills.csv").read_text(encoding="utf-8").splitlines()
    assert kept[2] == ",2024-06-05,propane,1040.5,liter,"
    assert len(read_bills(tmp_path / "alder.bills.csv").sound("propane")) == 3


@pytest.mark.parametrize("rows", [None, "x", [1, 2], [["a"] * 3] * 500])
def test_strange_rows_are_refused(form: Walkthrough, rows) -> None:
    send(form, kind="bills", rows=rows)
    assert form.said["wrong"]


def test_short_rows_and_formulas_stay_text(tmp_path: Path) -> None:
    rows = [["2025-01-01", "2025-02-01", "electricity", "900", "kWh"]]
    keep_typed_bills(rows, tmp_path / "b.csv")
    assert (tmp_path / "b.csv").read_text(encoding="utf-8").splitlines()[0] == ",".join(COLUMNS)
    with pytest.raises(BillError):
        typed_bills([["=cmd()", "", "", "", "", ""]])


def test_report_is_written_for_a_saved_house_only(form: Walkthrough, tmp_path: Path) -> None:
    assert (
        send(form, kind="report")
        == "The report is ready: open alder_report/report.html in a browser."
    )
    assert "Alder Street" in (tmp_path / "alder_report/report.html").read_text(encoding="utf-8")
    send(form, kind="answer", path=f"zones.{form.state.house.zones[0].key}.share", text="0.7")
    assert form.walk["problems"]
    assert send(form, kind="report").startswith("Some answers do not agree yet")


def test_typed_bills_are_there_again(form: Walkthrough, tmp_path: Path) -> None:
    assert form.bills == []
    send(form, kind="bills", rows=ROWS)
    again = Walkthrough(tmp_path, "alder.toml")
    assert [row[:4] for row in again.bills] == [row[:4] for row in ROWS]
