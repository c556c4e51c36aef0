"""Kept choices, links and files: bounded, text as text, and honest about a house that has changed."""

import csv
import io
import json

import pytest
from examples import example

from retrofit_lab.app.page.comparison import comparison
from retrofit_lab.app.page.kept_plans import (
    MOST_KEPT,
    MOST_LETTERS,
    Scenario,
    ScenarioError,
    kept,
    plain_name,
    removed,
    renamed,
    scenarios_from,
)
from retrofit_lab.app.page.plan_file import (
    MOST_BYTES,
    NOT_ONE,
    TOO_LARGE,
    choice_csv,
    choice_json,
    read_choice,
)
from retrofit_lab.app.shared.spreadsheet import STARTS
from retrofit_lab.app.shared.wording import dollars
from retrofit_lab.base.values import InputError
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.study.study import Study

ALDER = example("alder_street")
ATTIC = ("attic_insulation", "duct_mastic")
TWO = (Scenario(name="attic first", ticked=ATTIC), Scenario(name="=1+1", ticked=("tank_wrap",)))


def known(keys: list) -> tuple[str, ...]:
    return tuple(key for key in ALDER.keys if key in keys)


def test_keeping_names_by_number_and_stops_at_four() -> None:
    scenarios = ()
    for _ in range(MOST_KEPT):
        scenarios = kept(scenarios, "", ATTIC)
    assert [s.name for s in scenarios] == ["Choice 1", "Choice 2", "Choice 3", "Choice 4"]
    with pytest.raises(ScenarioError, match="remove one"):
        kept(scenarios, "fifth", ATTIC)
    scenarios = removed(scenarios, 1)
    assert kept(scenarios, None, ATTIC)[-1].name == "Choice 2"


def test_renaming_and_what_is_refused() -> None:
    assert renamed(TWO, 0, "  roof \n first ")[0].name == "roof first"
    with pytest.raises(ScenarioError, match="another name"):
        renamed(TWO, 0, "=1+1")
    with pytest.raises(ScenarioError, match="needs a name"):
        renamed(TWO, 0, " \t")
    for place in (-1, 2, True, "0", None, 1.0):
        with pytest.raises(ScenarioError, match="no such choice"):
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
    assert scenarios_from(sent, known) == ()


def test_link_brings_at_most_four_without_unknown_measures() -> None:
    sent = [{"name": "same", "ticked": ["tank_wrap", "magic", 4]}] * 9
    found = scenarios_from(sent, known)
    assert len(found) == MOST_KEPT
    assert len({s.name for s in found}) == MOST_KEPT
    assert all(s.ticked == ("tank_wrap",) for s in found)


def test_comparison_stands_on_the_models_numbers() -> None:
    table = comparison(ALDER, TWO, "US")
    assert table["columns"] == ["", "attic first", "=1+1"]
    rows = {row[0]: row[1:] for row in table["rows"]}
    assert rows["Costs about"][0] == dollars(ALDER.plan(ATTIC).cost.likely)
    assert rows["Saves a year"][0] == dollars(ALDER.plan(ATTIC).saved)
    assert rows["Outdoor air (the standard asks for 88 cfm)"][0].endswith("cfm")
    assert rows["Less carbon dioxide a year"][0].endswith("lb")
    wrap = ALDER.offer("tank_wrap").measure.title
    assert rows[wrap] == ["no", "yes"]
    metric = {row[0]: row[1:] for row in comparison(ALDER, TWO, "SI")["rows"]}
    assert metric["Less carbon dioxide a year"][0].endswith("kg")
    assert metric["Costs about"] == rows["Costs about"]
    assert comparison(ALDER, (), "US")["rows"] == []


def saved_text() -> str:
    return choice_json(ALDER, ALDER.plan(ATTIC), TWO)


def test_file_and_back() -> None:
    opened = read_choice(saved_text(), ALDER)
    assert opened.ticked == ATTIC
    assert scenarios_from(opened.kept, known) == TWO
    assert opened.message == "The choice of the file is ticked."


def test_file_does_not_say_which_house_it_was() -> None:
    text = saved_text()
    assert "Alder" not in text
    assert ALDER.as_found.note[:20] not in text


def test_changed_house_is_told_with_both_savings() -> None:
    other = Study(
        with_numbers(ALDER.as_found, {"leakage.flow": 5000.0, "surfaces.attic_floor.r_label": 9.0})
    )
    message = read_choice(saved_text(), other).message
    assert "The house has changed since this choice was kept" in message
    assert f"It saved {dollars(ALDER.plan(ATTIC).saved)} a year then" in message
    assert f"it saves {dollars(other.plan(ATTIC).saved)} now" in message


def test_measures_that_this_house_lacks_are_counted() -> None:
    content = json.loads(saved_text())
    content["ticked"] += ["magic", "more_magic"]
    assert "does not have them: 2" in read_choice(json.dumps(content), ALDER).message


def test_two_that_cannot_go_together_are_told() -> None:
    content = json.loads(saved_text())
    content["ticked"] = ["basement_wall_insulation", "basement_ceiling_insulation"]
    assert "cannot go together" in read_choice(json.dumps(content), ALDER).message


@pytest.mark.parametrize(
    "text",
    [None, 5, "", "x", "[]", "{}", "[" * 100_000, '{"format": "retrofit-lab house"}',
     '{"format": "retrofit-lab choice", "version": 1}',
     '{"format": "retrofit-lab choice", "version": 1, "ticked": "attic"}'],
    ids=lambda text: str(text)[:30],
)  # fmt: skip
def test_what_is_no_choice_is_refused_with_a_way_out(text) -> None:
    with pytest.raises(InputError, match="Download the choice") as refused:
        read_choice(text, ALDER)
    assert str(refused.value) == NOT_ONE


def test_newer_file_is_refused() -> None:
    content = json.loads(saved_text()) | {"version": 9}
    with pytest.raises(InputError, match="newer page"):
        read_choice(json.dumps(content), ALDER)


@pytest.mark.parametrize(
    "then", [None, {}, {"saves, dollars a year": "x"}, {"saves, dollars a year": 1e300}]
)
def test_strange_numbers_of_then_are_not_told(then) -> None:
    content = json.loads(saved_text()) | {"then": then}
    assert "then" not in read_choice(json.dumps(content), ALDER).message


def test_too_large_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        read_choice("x" * (MOST_BYTES + 1), ALDER)
    assert str(refused.value) == TOO_LARGE


def test_csv_has_a_line_for_each_measure_and_no_formula() -> None:
    result = ALDER.plan(ATTIC)
    lines = list(csv.reader(io.StringIO(choice_csv(ALDER, result))))
    assert len(lines) == len(ALDER.keys) + 2
    assert float(lines[-1][4]) == pytest.approx(result.saved, abs=0.01)
    assert sum(line[1] == "yes" for line in lines) == 2
    for line in lines:
        for cell in line:
            text = cell.lstrip("-")
            assert not cell.startswith(STARTS) or text.replace(".", "", 1).isdigit(), cell
