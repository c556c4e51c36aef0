"""Pages of trades: what can be measured, nothing of the model's own, and prices that come back as they were typed."""

import io
from functools import cache
from pathlib import Path

import openpyxl
import pytest
from examples import example
from reported import content_of, html_of

from retrofit_lab.app.report.html import trade_html
from retrofit_lab.app.report.tables import Table, csv_text, trade_sheets, workbook
from retrofit_lab.app.report.view_measures import titles_of
from retrofit_lab.app.report.view_trades import target_sentence, target_sentences, trades
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.parameters import parameters
from retrofit_lab.proposals.bids import BidError, has_bids, read_all_bids, read_bids
from retrofit_lab.proposals.contractors import REACH, Scope, Target, scopes

NAME = "wren_cottage"
KNOWN = content_of(NAME).result.ticked


@cache
def pages(name: str = NAME) -> tuple[Scope, ...]:
    content = content_of(name)
    return scopes(example(name), content.proposal.steps, content.result.cautions)


def sheet(trade: str = "insulation", language: str = "en") -> Table:
    found = trade_sheets(content_of(NAME), pages(), words(language))
    return next(table for table in found if table.name == trade)


def sentences(key: str) -> list[str]:
    task = next(task for page in pages() for task in page.tasks if task.step.key == key)
    return [target_sentence(target, words("en")) for target in task.targets]


def test_loose_fill_is_told_by_its_depth_at_marked_places() -> None:
    """R-36 over R-13: 10.6 in. of cellulose at R-3.4 an inch, 14.4 in. of fiberglass at R-2.5 (materials.csv)."""
    (told,) = sentences("attic_insulation")
    assert "R-49 in all" in told
    assert "add 11 in of loose cellulose or 15 in of loose fiberglass" in told
    assert "4 marked depths" in told  # 1,072 ft2 at 300 ft2 a marker


def test_ducts_are_told_by_their_test_at_25_pascals() -> None:
    """Of 900 cfm 13 and 10 % leak, 207 cfm; sealing leaves what the catalog's mastic leaves."""
    (told,) = sentences("duct_mastic")
    assert "about 207 cfm now" in told
    assert "at 25 Pa or lower" in told


def test_a_new_furnace_is_told_by_its_label() -> None:
    assert [told.rpartition(": ")[2] for told in sentences("furnace_upgrade")] == [
        "seasonal efficiency (AFUE as a share) 95% or higher"
    ]


def test_what_is_alike_at_several_places_is_told_once() -> None:
    rule = parameters()["window.u_value"]
    both = [
        Target(kind=REACH, place=place, rule=rule, now=0.9, reach=0.28)
        for place in ("South windows", "North windows")
    ]
    (told,) = target_sentences(both, words("en"))
    assert told.startswith("South windows; North windows: ")
    assert told.endswith("U-0.28 or lower")


def test_sealing_is_told_by_the_blower_door() -> None:
    content, said = content_of(NAME), words("en")
    shown = trades(content, pages(), said, titles_of(content, said))
    page = next(page for page in shown if page["key"] == "insulation")
    assert page["leakage"].startswith("Blower door: 1,900 cfm at 50 Pa now. CFM50 at or below")
    assert any("CFM50" in told for task in page["tasks"] for told in task["targets"])


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_number_of_the_model_alone_is_asked_of_a_contractor(language: str) -> None:
    inside = ("share of", "gaps", "parte de", "huecos en", "air changes", "framing")
    for name in ("alder_street", NAME):
        for scope in pages(name):
            for task in scope.tasks:
                for target in task.targets:
                    told = target_sentence(target, words(language))
                    assert not [word for word in inside if word in told.lower()], told


def test_a_page_stands_alone_with_who_holds_what_and_lines_to_price() -> None:
    text = trade_html(content_of(NAME), words("en"), pages()[0])
    for part in ("Test before", "Test after", "Who does what", "Done when", "Price", "Total"):
        assert part in text
    assert text.count("<td>$</td>") == len(pages()[0].tasks) + 1
    assert "<script" not in text


def test_the_report_has_a_page_for_each_trade() -> None:
    assert html_of(NAME).count('<section class="trade page">') == len(pages())


def filled(table: Table, prices: dict[str, str], bidder: str = "Ann") -> str:
    lines = csv_text(table).splitlines()
    lines[0] = f"bidder,{bidder}"
    keys = [str(row[0]) for row in table.rows]
    rows = [line + prices.get(key, "") for key, line in zip(keys, lines[2:], strict=True)]
    return "\n".join([*lines[:2], *rows]) + "\n"


@pytest.mark.parametrize("language", ["en", "es"])
def test_prices_typed_into_a_trades_csv_come_back(tmp_path: Path, language: str) -> None:
    path = tmp_path / "insulation.csv"
    empty = sheet(language=language)
    path.write_text(csv_text(empty), encoding="utf-8")
    assert not has_bids(path)
    path.write_text(filled(empty, {"wall_fill": '"$4,321"'}), encoding="utf-8")
    assert has_bids(path)
    assert read_bids(path, KNOWN) == {"Ann": {"wall_fill": 4321.0}}


def test_prices_typed_into_a_trades_spreadsheet_come_back_under_the_files_name(
    tmp_path: Path,
) -> None:
    path = tmp_path / "Bob Heating.xlsx"
    path.write_bytes(workbook([sheet("heating")]))
    assert not has_bids(path)
    book = openpyxl.load_workbook(path)
    page = book.worksheets[0]
    price = next(cell.column for cell in page[2] if cell.value == "price")
    line = next(row[0].row for row in page.iter_rows() if row[0].value == "duct_mastic")
    page.cell(line, price).value = 812.5
    book.save(path)
    assert read_bids(path, KNOWN) == {"Bob Heating": {"duct_mastic": 812.5}}


def test_one_bidder_in_two_files_is_one_bid(tmp_path: Path) -> None:
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    first.write_text(filled(sheet(), {"wall_fill": "4000"}), encoding="utf-8")
    second.write_text(filled(sheet("heating"), {"duct_mastic": "700"}), encoding="utf-8")
    found = read_all_bids([first, second], KNOWN)
    assert found == {"Ann": {"wall_fill": 4000.0, "duct_mastic": 700.0}}


def test_what_is_no_page_of_a_trade_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.xlsx"
    path.write_bytes(b"PK no zip")
    with pytest.raises(BidError, match=r"x\.xlsx: cannot be read"):
        read_bids(path, KNOWN)
    path = tmp_path / "x.csv"
    path.write_text("bidder,Ann\nmeasure,cost\n", encoding="utf-8")
    with pytest.raises(BidError, match=r"row 2: the columns 'measure' and 'price' are needed"):
        read_bids(path, KNOWN)
    path.write_text("bidder,Ann\nmeasure,price\nmagic,5\n", encoding="utf-8")
    with pytest.raises(BidError, match=r"row 3: there is no measure 'magic'"):
        read_bids(path, KNOWN)
    path.write_text("bidder,Ann\nmeasure,price\nwall_fill,cheap\n", encoding="utf-8")
    with pytest.raises(BidError, match="row 3, Ann: 'cheap' is not a price"):
        read_bids(path, KNOWN)


def test_a_spreadsheet_that_unpacks_to_too_much_is_refused(tmp_path: Path, monkeypatch) -> None:
    from retrofit_lab.proposals import bids

    monkeypatch.setattr(bids, "MOST_UNPACKED", 100)
    path = tmp_path / "x.xlsx"
    book, out = openpyxl.Workbook(), io.BytesIO()
    book.save(out)
    path.write_bytes(out.getvalue())
    with pytest.raises(BidError, match="too large when unpacked"):
        read_bids(path, KNOWN)
