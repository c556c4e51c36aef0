"""The folder of a job: which files are taken by their names, and that every command takes the folder."""

import json
import shutil
from pathlib import Path

import pytest

from retrofit_lab.app.commands.job import NEXT
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import BAD_INPUT, main
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.file import load_house
from retrofit_lab.house.intake import STATUSES
from retrofit_lab.house.job_folder import job_files, only_house
from retrofit_lab.house.job_status import move_job, move_on

PRICES = """
format = "retrofit-lab prices"
version = 1
[prices.attic_insulation]
quote = 1234
source = "an offer"
"""
WREN = data_path("houses", "wren_cottage.toml")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A job with a house that names no bills itself, and its bills beside it."""
    text = WREN.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("bills =")]
    (tmp_path / "house.toml").write_text("\n".join(lines), encoding="utf-8")
    return tmp_path


def write(folder: Path, name: str, text: str = "") -> Path:
    path = folder / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_files_are_found_by_their_plain_names(folder: Path) -> None:
    bare = job_files(folder)
    assert bare.house == folder / "house.toml"
    assert (bare.bills, bare.tests, bare.prices, bare.plan, bare.bids) == ((), (), None, None, ())
    bids = [write(folder, "bids.csv"), write(folder, "bids/ann.xlsx")]
    bills = [write(folder, "bills/gas.csv"), write(folder, "bills/power.xml")]
    write(folder, "bills/letter.pdf")
    reading = write(folder, "tests/blower_door.pdf")
    named = {
        "prices": "prices.toml", "plan": "plan.json", "notes": "notes.md",
        "bills_after": "bills_after.xlsx", "after": "after.toml", "bill_weather": "bill_weather.csv",
        "photos": "house.photos.toml",
    }  # fmt: skip
    for name in named.values():
        write(folder, name)
    found = job_files(folder)
    assert found.bills == tuple(bills)
    assert found.tests == (reading,)
    assert found.bids == tuple(bids)
    for field, name in named.items():
        assert getattr(found, field) == folder / name


def test_a_single_old_house_file_is_the_house_and_two_are_asked_about(tmp_path: Path) -> None:
    with pytest.raises(HouseError, match="there is no house file in this folder"):
        job_files(tmp_path)
    old = tmp_path / "wren.toml"
    shutil.copy(WREN, old)
    write(tmp_path, "prices.toml", "[money]\n")
    write(tmp_path, "wren.1.toml", WREN.read_text(encoding="utf-8"))
    assert job_files(tmp_path).house == only_house(tmp_path) == old
    assert job_files(old).prices is None
    shutil.copy(WREN, tmp_path / "other.toml")
    assert only_house(tmp_path) is None
    with pytest.raises(HouseError, match=r"2 house files here \(other.toml, wren.toml\)"):
        job_files(tmp_path)


def test_savings_take_bills_prices_and_plan_of_the_folder(folder: Path, capsys) -> None:
    shutil.copy(data_path("bills", "wren_cottage.csv"), folder / "bills.csv")
    write(folder, "prices.toml", PRICES)
    write(folder, "plan.json", json.dumps({"ticked": ["attic_insulation"]}))
    assert main(["savings", str(folder), "--calculated"]) == 0
    said = capsys.readouterr().out
    assert "bills.csv" in said
    assert "[x] attic_insulation" in said
    assert "1234.00" in said


def test_what_the_command_asks_for_stands_before_the_folder(folder: Path, capsys) -> None:
    write(folder, "plan.json", json.dumps({"ticked": ["attic_insulation"]}))
    assert main(["savings", str(folder), "--plan", "wall_fill", "--calculated"]) == 0
    said = capsys.readouterr().out
    assert "[ ] attic_insulation" in said


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("plan.json", "[]", "plan.json: is not a plan"),
        ("plan.json", '{"ticked": [1]}', "plan.json: is not a plan"),
        ("prices.toml", "x", "prices.toml: "),
        ("bills.csv", "x", "bills.csv"),
    ],
)
def test_a_damaged_file_names_itself(
    folder: Path, name: str, text: str, words: str, capsys
) -> None:
    write(folder, name, text)
    assert main(["savings", str(folder)]) == BAD_INPUT
    assert words in capsys.readouterr().err


def test_reading_after_the_work_comes_out_of_the_folder(folder: Path, capsys) -> None:
    write(folder, "after.toml", 'leakage = "12 apples"')
    assert main(["report", "--no-page", str(folder), "--out", str(folder / "report")]) == BAD_INPUT
    assert "reading after the work" in capsys.readouterr().err
    write(folder, "after.toml", "leakage = 3")
    assert main(["report", "--no-page", str(folder), "--out", str(folder / "report")]) == BAD_INPUT
    assert "after.toml: leakage is 3" in capsys.readouterr().err


def test_a_job_is_moved_along_and_the_agreed_plan_is_used(folder: Path, capsys) -> None:
    assert main(["job", str(folder)]) == 0
    said = capsys.readouterr().out
    assert "draft" in said
    assert f"Next: Walk the house: retrofit-lab walk {folder}" in said
    agreed = ["job", str(folder), "--status", "agreed", "--plan", "wall_fill"]
    assert main(agreed) == 0
    job = load_house(folder / "house.toml").job
    assert (job.status, job.plan) == ("agreed", ("wall_fill",))
    assert "agreed plan: wall_fill" in capsys.readouterr().out
    assert main(["savings", str(folder), "--calculated"]) == 0
    assert "[x] wall_fill" in capsys.readouterr().out
    assert main(["job", str(folder), "--plan", "magic"]) == BAD_INPUT
    assert "there is no measure 'magic'" in capsys.readouterr().err


def test_a_job_moves_on_and_never_back(folder: Path) -> None:
    house = folder / "house.toml"
    move_on(house, "at the table")
    assert load_house(house).job.status == "at the table"
    move_job(house, "done")
    move_on(house, "at the table")
    assert load_house(house).job.status == "done"
    move_on(folder / "gone.toml", "done")
    assert set(NEXT) == set(STATUSES)
    with pytest.raises(HouseError, match="status 'paid' is unknown"):
        move_job(house, "paid")
