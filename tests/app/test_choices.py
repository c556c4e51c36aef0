"""Kept plans, links and files: bounded, text as text, and honest about a house that has changed."""

import csv
import io
import json

import pytest
from examples import example

from retrofit_lab.app.page.comparison import comparison
from retrofit_lab.app.page.kept_plans import (
    MOST_KEPT,
    MOST_LETTERS,
    KeepingError,
    KeptPlan,
    kept,
    kept_from,
    plain_name,
    removed,
    renamed,
)
from retrofit_lab.app.page.plan_file import (
    MOST_BYTES,
    choice_csv,
    choice_json,
    read_choice,
    too_large,
)
from retrofit_lab.app.page.told import told
from retrofit_lab.app.shared.spreadsheet import STARTS
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.values import InputError
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.study import Study

ALDER = example("alder_street")
SAID, REAL = told(ALDER, "en", "us"), RealHouses(ALDER)
NUMBERED = "Plan {count}"
ATTIC = ("attic_insulation", "duct_mastic")
TWO = (KeptPlan(name="attic first", ticked=ATTIC), KeptPlan(name="=1+1", ticked=("tank_wrap",)))


def known(keys: list) -> tuple[str, ...]:
    return tuple(key for key in ALDER.keys if key in keys)


def test_keeping_names_by_number_and_stops_at_four() -> None:
    plans = ()
    for _ in range(MOST_KEPT):
        plans = kept(plans, "", ATTIC, NUMBERED)
    assert [s.name for s in plans] == ["Plan 1", "Plan 2", "Plan 3", "Plan 4"]
    with pytest.raises(KeepingError, match="full"):
        kept(plans, "fifth", ATTIC)
    plans = removed(plans, 1)
    assert kept(plans, None, ATTIC, NUMBERED)[-1].name == "Plan 2"


def test_renaming_and_what_is_refused() -> None:
    assert renamed(TWO, 0, "  roof \n first ")[0].name == "roof first"
    with pytest.raises(KeepingError, match="taken"):
        renamed(TWO, 0, "=1+1")
    with pytest.raises(KeepingError, match="needs_name"):
        renamed(TWO, 0, " \t")
    for place in (-1, 2, True, "0", None, 1.0):
        with pytest.raises(KeepingError, match="gone"):
            removed(TWO, place)


@pytest.mark.parametrize(
    ("typed", "name"),
    [("a" * 500, "a" * MOST_LETTERS), ("tab\there", "tab here"), ("<b>x</b>", "<b>x</b>"),
     ("right\u202eleft", "right left"), (7, ""), (None, "")],
)  # fmt: skip
def test_names_are_one_short_line(typed, name: str) -> None:
    assert plain_name(typed) == name


@pytest.mark.parametrize(
    "sent", [None, 5, "x", {}, [None, 3, "x", {}], [{"name": "x"}], [{"ticked": "x"}]]
)
def test_what_is_no_choice_is_left_out_of_a_link(sent) -> None:
    assert kept_from(sent, known) == ()


def test_link_brings_at_most_four_without_unknown_measures() -> None:
    sent = [{"name": "same", "ticked": ["tank_wrap", "magic", 4]}] * 9
    found = kept_from(sent, known)
    assert len(found) == MOST_KEPT
    assert len({s.name for s in found}) == MOST_KEPT
    assert all(s.ticked == ("tank_wrap",) for s in found)


def test_comparison_stands_on_the_models_numbers() -> None:
    table = comparison(SAID, REAL, TWO)
    assert table["columns"] == ["", "attic first", "=1+1"]
    rows = {row[0]: row[1:] for row in table["rows"]}
    assert rows["Costs about"][0] == dollars(ALDER.plan(ATTIC).cost.likely)
    assert rows["Saves a year"][0] == dollars(REAL.of_plan(ALDER.plan(ATTIC)).saving)
    (air,) = (row for row in rows if "88 cfm" in row)
    assert rows[air][0].endswith("cfm")
    assert rows["Less carbon dioxide a year"][0].endswith("lb")
    wrap = ALDER.offer("tank_wrap").measure.title
    assert rows[wrap] == ["no", "yes"]
    metric = {row[0]: row[1:] for row in comparison(told(ALDER, "en", "si"), REAL, TWO)["rows"]}
    assert metric["Less carbon dioxide a year"][0].endswith("kg")
    assert metric["Costs about"] == rows["Costs about"]
    assert comparison(SAID, REAL, ())["rows"] == []


def saved_text() -> str:
    return choice_json(ALDER, ALDER.plan(ATTIC), REAL.of_plan(ALDER.plan(ATTIC)), TWO)


def test_file_and_back() -> None:
    opened = read_choice(saved_text(), SAID, REAL)
    assert opened.ticked == ATTIC
    assert kept_from(opened.kept, known) == TWO
    assert opened.message == SAID.say("note.opened")


def test_file_does_not_say_which_house_it_was() -> None:
    text = saved_text()
    assert "Alder" not in text
    assert ALDER.as_found.note[:20] not in text


def test_changed_house_is_told_with_both_savings() -> None:
    other = Study(
        with_numbers(ALDER.as_found, {"leakage.flow": 5000.0, "surfaces.attic_floor.r_label": 9.0})
    )
    real = RealHouses(other)
    message = read_choice(saved_text(), told(other, "en", "us"), real).message
    assert SAID.say("note.opened_changed") in message
    assert f"It saved {dollars(REAL.of_plan(ALDER.plan(ATTIC)).saving)} a year then" in message
    assert f"It saves {dollars(real.of_plan(other.plan(ATTIC)).saving)} now" in message


def test_measures_that_this_house_lacks_are_counted() -> None:
    content = json.loads(saved_text())
    content["ticked"] += ["magic", "more_magic"]
    told_so = SAID.say("note.opened_missing", count="2")
    assert told_so in read_choice(json.dumps(content), SAID, REAL).message


def test_two_that_cannot_go_together_are_told() -> None:
    content = json.loads(saved_text())
    content["ticked"] = ["basement_wall_insulation", "basement_ceiling_insulation"]
    assert "do not go together" in read_choice(json.dumps(content), SAID, REAL).message


@pytest.mark.parametrize(
    "text",
    [None, 5, "", "x", "[]", "{}", "[" * 100_000, '{"format": "retrofit-lab house"}',
     '{"format": "retrofit-lab choice", "version": 1}',
     '{"format": "retrofit-lab choice", "version": 1, "ticked": "attic"}'],
    ids=lambda text: str(text)[:30],
)  # fmt: skip
def test_what_is_no_choice_is_refused_with_a_way_out(text) -> None:
    with pytest.raises(InputError, match="Download the plan") as refused:
        read_choice(text, SAID, REAL)
    assert str(refused.value) == SAID.say("file.not_one")


def test_newer_file_is_refused() -> None:
    content = json.loads(saved_text()) | {"version": 9}
    with pytest.raises(InputError, match="newer page"):
        read_choice(json.dumps(content), SAID, REAL)


@pytest.mark.parametrize(
    "then", [None, {}, {"saves, dollars a year": "x"}, {"saves, dollars a year": 1e300}]
)
def test_strange_numbers_of_then_are_not_told(then) -> None:
    content = json.loads(saved_text()) | {"then": then}
    assert "then" not in read_choice(json.dumps(content), SAID, REAL).message


def test_too_large_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        read_choice("x" * (MOST_BYTES + 1), SAID, REAL)
    assert str(refused.value) == too_large(SAID)


def test_csv_has_a_line_for_each_measure_and_no_formula() -> None:
    result = ALDER.plan(ATTIC)
    lines = list(csv.reader(io.StringIO(choice_csv(SAID, result, REAL.of_plan(result)))))
    assert len(lines) == len(ALDER.keys) + 2
    assert float(lines[-1][4]) == pytest.approx(REAL.of_plan(result).saving, abs=0.01)
    shares = sum(float(line[4]) for line in lines[1:-1])
    assert shares == pytest.approx(float(lines[-1][4]), abs=0.1)
    assert sum(line[1] == "yes" for line in lines) == 2
    for line in lines:
        for cell in line:
            text = cell.lstrip("-")
            assert not cell.startswith(STARTS) or text.replace(".", "", 1).isdigit(), cell
