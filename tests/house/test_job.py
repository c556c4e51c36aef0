"""The job of a house: kept in its file word for word, refused where it cannot be, and no part of any result."""

from dataclasses import replace
from pathlib import Path

import pytest
from examples import example

from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import with_answer, with_item, with_word
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.house.intake import STATUSES, Complaint, Job
from retrofit_lab.house.items import item_named
from retrofit_lab.house.merging import merged
from retrofit_lab.house.paths import with_numbers

ALDER = example("alder_street").as_found
JOB = Job(
    client="R. Ortiz <b>",
    address="14 Alder Street",
    date="2026-11-28",
    rater="J. Webb",
    credential="Rater 0417",
    company="Webb Home Energy",
    contact="555-0142",
    status="agreed",
    plan=("attic_sealing", "attic_insulation"),
    goals="Warm bedrooms",
    health="asthma",
    budget=9000.0,
    move_year=2034.0,
    complaints=(Complaint(key="north", label="North bedroom", kind="cold", note="since 2019"),),
)


def with_job(**changes: object) -> House:
    return replace(ALDER, job=replace(JOB, **changes))


def test_the_file_gives_back_what_was_written(tmp_path: Path) -> None:
    save_house(with_job(), tmp_path / "house.toml")
    assert load_house(tmp_path / "house.toml").job == JOB


def test_what_nobody_said_stands_in_no_file(tmp_path: Path) -> None:
    save_house(ALDER, tmp_path / "house.toml")
    assert "job" not in (tmp_path / "house.toml").read_text(encoding="utf-8")
    save_house(replace(ALDER, job=Job(client="R. Ortiz")), tmp_path / "house.toml")
    text = (tmp_path / "house.toml").read_text(encoding="utf-8")
    assert text.partition("[job]\n")[2].strip() == 'client = "R. Ortiz"'
    assert load_house(tmp_path / "house.toml").job.budget is None


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        (
            {"date": "11/28/2026"},
            "job.date: '11/28/2026' is not a date; must be year, month and day",
        ),
        ({"date": "2026-02-30"}, "job.date: '2026-02-30' is not a date"),
        ({"status": "sold"}, "job.status: 'sold' is unknown; use one of draft, walked"),
        ({"budget": -1.0}, "job.budget: what the owner can spend is -1; must be 0 to"),
        ({"move_year": 34.0}, "job.move_year: year they plan to move is 34; must"),
        ({"plan": ("Attic Sealing",)}, "job.plan: 'Attic Sealing' is not the key of a measure"),
        ({"complaints": (Complaint(key="x", label=" "),)}, "job.complaints.x.label: says nothing"),
        (
            {"complaints": (Complaint(key="x", label="Den", kind="sad"),)},
            "job.complaints.x.kind: 'sad' is unknown; use one of cold",
        ),
    ],
)
def test_what_cannot_be_is_refused(changes: dict[str, object], problem: str) -> None:
    with pytest.raises(HouseError, match=problem):
        check_house(with_job(**changes))


def test_the_form_answers_it_and_takes_it_back() -> None:
    house = with_word(ALDER, "job.client", "R. Ortiz")
    house = with_answer(house, "job.budget", "$9,000")
    house, path = with_item(house, "job.complaints", item_named("job.complaints.room"))
    house = with_word(house, f"{path}.kind", "drafty")
    check_house(house)
    assert (house.job.client, house.job.budget) == ("R. Ortiz", 9000.0)
    assert house.job.complaints[0].kind == "drafty"
    assert house.assumed == ALDER.assumed
    assert with_answer(house, "job.budget", "").job.budget is None


def test_a_job_changes_no_result_and_says_nothing_in_the_mark() -> None:
    assert fingerprint(with_job()) == fingerprint(ALDER)


def test_two_devices_fill_in_one_job() -> None:
    ours = with_numbers(ALDER, {"job.client": "R. Ortiz", "job.plan": ("attic_sealing",)})
    theirs = with_numbers(ALDER, {"job.budget": 500.0})
    job = merged(ALDER, ours, theirs).job
    assert (job.client, job.plan, job.budget) == ("R. Ortiz", ("attic_sealing",), 500.0)


def test_how_far_a_job_is_stands_in_order() -> None:
    assert STATUSES.index("draft") < STATUSES.index("agreed") < STATUSES.index("checked")
