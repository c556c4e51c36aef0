"""The plan that was agreed on at the table gets into the job by its link or its file, and nothing is typed again."""

import json
from pathlib import Path

import pytest
from kills import ANSWERS, FILE

from retrofit_lab.app.page.kitchen_table import KitchenTable
from retrofit_lab.app.walk.widget import Walkthrough
from retrofit_lab.command import BAD_INPUT, main
from retrofit_lab.house.agreed_plan import plan_keys
from retrofit_lab.house.checking import HouseError
from retrofit_lab.house.file import load_house
from retrofit_lab.study.study import Study

LINK = "http://192.168.1.7:8470/?tick=wall_fill.attic_insulation&keep=Half~wall_fill&house=ab12"


def send(form: Walkthrough, **message) -> str:
    form._on_message(form, message, [])
    return form.said["text"]


@pytest.fixture
def form(tmp_path: Path) -> Walkthrough:
    made = Walkthrough(tmp_path)
    send(made, kind="begin", answers=ANSWERS, file="")
    send(made, kind="go", stop="job")
    return made


def job(folder: Path):
    return load_house(folder / FILE).job


def test_link_of_the_page_is_the_plan(form: Walkthrough, tmp_path: Path) -> None:
    assert form.walk["stop"]["agreed"] == {"plan": [], "beside": False}
    assert (
        send(form, kind="agree", text=LINK, id="a1")
        == "The plan you agreed on is with the job: 2 fixes."
    )
    assert (job(tmp_path).status, job(tmp_path).plan) == (
        "agreed",
        ("wall_fill", "attic_insulation"),
    )
    assert len(form.walk["stop"]["agreed"]["plan"]) == 2
    assert form.walk["job"] == "Job: agreed."
    send(form, kind="back", id="a2")
    assert (job(tmp_path).status, job(tmp_path).plan) == ("draft", ())
    send(form, kind="forward", id="a3")
    send(form, kind="agree", text="", id="a4")
    assert (job(tmp_path).status, job(tmp_path).plan) == ("at the table", ())


def test_a_job_that_is_further_on_stays_there(form: Walkthrough, tmp_path: Path) -> None:
    send(form, kind="choose", path="job.status", word="out for bids", id="b1")
    send(form, kind="agree", text=LINK, id="b2")
    assert job(tmp_path).status == "out for bids"


def test_file_that_the_page_saves_is_the_plan(
    form: Walkthrough, tmp_path: Path, monkeypatch
) -> None:
    table, sent = KitchenTable(Study(load_house(tmp_path / FILE))), []
    key = table.state.study.offers[0].key
    table.ticked = [key]
    monkeypatch.setattr(KitchenTable, "send", lambda _self, content: sent.append(content))
    table._on_message(table, {"kind": "download", "format": "json"}, None)
    text = sent[0]["text"]
    assert plan_keys(text) == (key,)
    (tmp_path / "plan.json").write_text(text, encoding="utf-8")
    send(form, kind="go", stop="job")
    assert form.walk["stop"]["agreed"]["beside"]
    send(form, kind="agree", beside=True, id="c1")
    assert job(tmp_path).plan == (key,)


@pytest.mark.parametrize(
    "text",
    ["http://192.168.1.7:8470/", "{}", json.dumps({"ticked": [1]}), "http://[", "a plan", "x" * 30_000, "magic"],
)  # fmt: skip
def test_what_holds_no_plan_is_refused(form: Walkthrough, tmp_path: Path, text: str) -> None:
    send(form, kind="agree", text=text, id="d1")
    assert form.said["wrong"]
    assert job(tmp_path).plan == ()


def test_command_takes_link_and_file_too(form: Walkthrough, tmp_path: Path, capsys) -> None:
    assert main(["job", str(tmp_path), "--status", "agreed", "--plan", LINK]) == 0
    assert job(tmp_path).plan == ("wall_fill", "attic_insulation")
    saved = tmp_path / "saved.json"
    saved.write_text(json.dumps({"ticked": ["wall_fill"]}), encoding="utf-8")
    assert main(["job", str(tmp_path), "--plan", str(saved)]) == 0
    assert job(tmp_path).plan == ("wall_fill",)
    assert main(["job", str(tmp_path), "--plan", "a plan"]) == BAD_INPUT
    assert "there is no measure 'a'" in capsys.readouterr().err


def test_no_text_at_all_holds_no_plan() -> None:
    with pytest.raises(HouseError, match="there is no plan in it"):
        plan_keys("?")
