"""Tables of houses: what a row stands for, and what is refused as a whole or in its row."""

from pathlib import Path

import pytest

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.first_answers import default_answers, first_answers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.portfolio.table import TableError, house_of, read_table

HEAD = "name,climate,length,leakage.flow\n"


def table(folder: Path, text: str) -> Path:
    path = folder / "table.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_row_is_the_starting_house_of_its_answers(tmp_path: Path) -> None:
    (row,) = read_table(table(tmp_path, f"# a note\n\n{HEAD}Elm 1,miami_fl,44,\n"))
    answers = default_answers() | {"name": "Elm 1", "climate": "miami_fl", "length": "44 ft"}
    assert house_of(row) == starting_house(first_answers(answers))
    assert (row.line, row.name) == (4, "Elm 1")


def test_column_of_a_number_replaces_it_and_counts_as_known(tmp_path: Path) -> None:
    (row,) = read_table(table(tmp_path, f"{HEAD}Elm 1,miami_fl,,1850 cfm at 50 Pa\n"))
    house = house_of(row)
    assert house.leakage.flow == 1850.0
    assert not {"leakage.flow", "leakage.pressure"} & house.assumed
    assert "leakage.exponent" in house.assumed


def test_table_of_an_older_version_opens(tmp_path: Path) -> None:
    (old,) = read_table(table(tmp_path, "name,storeys\nElm 1,2\n"))
    assert old.cells["stories"] == "2"


def test_row_may_name_a_house_file_beside_the_table(tmp_path: Path) -> None:
    content = data_path("houses", "wren_cottage.toml").read_text(encoding="utf-8")
    (tmp_path / "wren.toml").write_text(content, encoding="utf-8")
    (row,) = read_table(table(tmp_path, "house,leakage.flow\nwren.toml,\n"))
    assert house_of(row) == load_house(tmp_path / "wren.toml")
    assert row.name == "wren"


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ("Elm 1,nowhere,,", r"there is no climate 'nowhere'"),
        ("Elm 1,miami_fl,4 kg,", r"Length of the footprint"),
        ("Elm 1,miami_fl,,twelve", r"leakage\.flow"),
        (",miami_fl,,", r"Name of the house: is not answered"),
    ],
)
def test_wrong_answer_is_found_in_its_row(tmp_path: Path, cells: str, words: str) -> None:
    (row,) = read_table(table(tmp_path, f"{HEAD}{cells}\n"))
    with pytest.raises(HouseError, match=words):
        house_of(row)


def test_file_and_answers_in_one_row_are_refused(tmp_path: Path) -> None:
    (row,) = read_table(table(tmp_path, "house,climate\nwren.toml,miami_fl\n"))
    with pytest.raises(HouseError, match=r"climate: the house file says that already"):
        house_of(row)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no house in it"),
        (HEAD, "no house in it"),
        ("name,color\nElm,red\n", r"column 'color' is unknown; use climate, name"),
        ("name,name\nElm,Elm\n", r"column 'name' appears twice"),
        (f"{HEAD}Elm,miami_fl\n", r"line 2: 2 cells under 4 columns"),
        (HEAD + "Elm,miami_fl,,\n" * 20_001, r"20,001 rows; at most 20,000"),
        (f'{HEAD}"Elm\n1",miami_fl,,\n', r"line 2: .*Put each row in one line"),
    ],
)
def test_table_that_cannot_be_read_is_refused(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(TableError, match=words):
        read_table(table(tmp_path, text))


def test_table_that_is_no_text_or_not_there_is_refused(tmp_path: Path) -> None:
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00name")
    with pytest.raises(TableError, match=r"cannot be read .* Save it as CSV in UTF-8"):
        read_table(tmp_path / "bytes.csv")
    with pytest.raises(TableError, match=r"missing\.csv: there is no such file"):
        read_table(tmp_path / "missing.csv")


def test_every_row_of_the_shipped_table_is_a_house() -> None:
    rows = read_table(data_path("tables", "mill_row.csv"))
    assert len(rows) >= 8
    for row in rows:
        house_of(row)
