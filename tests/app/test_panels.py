"""The deeper views without a browser: every panel answers for every state, and takes nothing on trust."""

import json

import pytest
from examples import example

from retrofit_lab.app.page.asking import Asked
from retrofit_lab.app.page.best_panels import AIMS
from retrofit_lab.app.page.kitchen_table import KitchenTable
from retrofit_lab.app.page.panels import (
    PANELS,
    answered,
    checked_values,
    described,
    panel_named,
)
from retrofit_lab.app.page.told import told
from retrofit_lab.app.shared.wording import dollars, lowered
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.texts import LANGUAGES

ADVICE = {name: Advice(example(name)) for name in ("alder_street", "wren_cottage")}
CHOICES = (
    (),
    ("attic_insulation",),
    ("attic_insulation", "duct_mastic", "night_setback", "led_lamps"),
)


def answer(key: str, advice: Advice, ticked, sent=None, language: str = "en") -> dict:
    """Answer to a question about a plan."""
    study = advice.study
    asked = Asked(
        advice=advice,
        result=study.plan(ticked),
        real=RealHouses(study),
        told=told(study, language, "us"),
        values={},
    )
    return answered(panel_named(key), asked, sent or {})


@pytest.mark.parametrize("panel", PANELS, ids=lambda panel: panel.key)
@pytest.mark.parametrize("ticked", CHOICES, ids=len)
@pytest.mark.parametrize("name", ADVICE)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_panel_answers(panel, ticked, name: str, language: str) -> None:
    advice = ADVICE[name]
    content = answer(panel.key, advice, ticked, language=language)
    assert content["sentences"]
    assert all(isinstance(sentence, str) and sentence for sentence in content["sentences"])
    json.dumps({key: value for key, value in content.items() if key != "chart"})
    if "table" in content:
        width = len(content["table"]["columns"])
        assert all(len(row) == width for row in content["table"]["rows"])


@pytest.mark.parametrize("panel", PANELS, ids=lambda panel: panel.key)
@pytest.mark.parametrize(
    "sent",
    [None, "x", [], {"budget": "many"}, {"budget": float("nan")}, {"budget": True, "rate": None}],
)
def test_wrong_values_become_defaults(panel, sent) -> None:
    values = checked_values(panel, sent)
    assert values == {field.name: field.value for field in panel.fields}


def test_values_beyond_bounds_are_held_at_them() -> None:
    years = panel_named("years")
    assert checked_values(years, {"yearly": 1e12, "years": -5})["yearly"] == 100_000
    assert checked_values(years, {"yearly": 1e12, "years": -5})["years"] == 1


def test_unknown_panel_is_none() -> None:
    assert panel_named("magic") is None
    assert panel_named(["sure"]) is None
    told_panels = described(told(example("alder_street"), "en", "us"))
    assert [p["key"] for p in told_panels] == [p.key for p in PANELS]
    for panel in told_panels:
        assert all(field["label"] for field in panel["fields"])


def test_budget_panel_offers_to_tick_the_best_set() -> None:
    advice = ADVICE["alder_street"]
    titles = {o.key: o.measure.title for o in advice.study.offers}
    content = answer("budget", advice, (), {"budget": 500})
    assert advice.study.plan(content["tick"]).cost.likely <= 500
    assert content["sentences"][1].startswith("There are too many combinations")
    assert content["items"] == [titles[key] for key in content["tick"]]
    result = advice.study.plan(content["tick"])
    for raised in result.cautions:
        assert lowered(raised.caution.title) in content["sentences"][2]


@pytest.mark.parametrize("aim", range(len(AIMS)))
def test_best_set_keeps_payback_and_saving_that_are_asked_for(aim: int) -> None:
    advice = ADVICE["wren_cottage"]
    wish = {"budget": 9000, "payback": 12, "saving": 400, "aim": aim}
    content = answer("budget", advice, (), wish)
    result = advice.study.plan(content["tick"])
    assert result.cost.likely <= 9000
    assert result.saved >= 400
    assert result.cost.likely <= 12 * result.saved
    assert (
        "paying for itself within 12 years, saving $400 a year or more" in content["sentences"][0]
    )
    too_much = {**wish, "saving": 20_000}
    refused = answer("budget", advice, (), too_much)
    assert refused["sentences"] == [words("en", page="page").say("panel.budget.impossible")]
    assert "tick" not in refused


def test_open_panel_is_answered_again_after_a_tick_and_closed_one_is_not() -> None:
    page = KitchenTable(example("alder_street"))
    page._on_message(page, {"kind": "ask", "panel": "money", "values": {}}, None)
    before = page.panels["money"]["sentences"]
    page.ticked = ["attic_insulation"]
    assert page.panels["money"]["sentences"] != before
    page._on_message(page, {"kind": "close", "panel": "money"}, None)
    then = page.panels["money"]["sentences"]
    page.ticked = ["attic_insulation", "led_lamps"]
    assert page.panels["money"]["sentences"] == then


@pytest.mark.parametrize(
    "message", [None, 5, "ask", {}, {"kind": "ask"}, {"kind": "ask", "panel": 3}]
)
def test_strange_messages_change_nothing(message) -> None:
    page = KitchenTable(example("alder_street"))
    page._on_message(page, message, None)
    assert page.panels == {}
    assert page.said.get("text") is None


def test_what_next_names_what_the_rows_show_and_can_be_ticked() -> None:
    advice = ADVICE["alder_street"]
    titles = {o.key: o.measure.title for o in advice.study.offers}
    ticked = ("attic_insulation", "new_windows")
    result = advice.study.plan(ticked)
    content = answer("next", advice, ticked)
    added = [row for row in content["table"]["rows"] if row[0] == "add"]
    first = next(key for key in content["tick"] if key not in ticked)
    assert added[0][1] == titles[first]
    gained = advice.study.plan(content["tick"]).net_savings - result.net_savings
    assert added[0][4] == dollars(gained)
    assert gained == pytest.approx(
        max(row.net_savings for row in result.measures.values() if not row.ticked)
    )
    assert titles["new_windows"] in [r[1] for r in content["table"]["rows"] if r[0] == "leave out"]


def test_more_money_saves_more_and_no_ticked_set_lies_above_the_line() -> None:
    advice = ADVICE["alder_street"]
    for ticked in ((), ("attic_insulation", "new_windows"), advice.best(Limits(budget=500)).keys):
        result = advice.study.plan(ticked)
        content = answer("more", advice, ticked)
        line = content["chart"]["figure"]["data"][0]
        assert line["x"] == sorted(line["x"])
        assert line["y"] == sorted(line["y"])
        within = [y for x, y in zip(line["x"], line["y"], strict=True) if x <= result.cost.likely]
        assert max(within) >= result.saved - 1e-6
        assert len(content["table"]["rows"]) <= 10


def test_what_a_plan_brought_by_a_move_follows_its_years_and_costs() -> None:
    advice = ADVICE["alder_street"]
    ticked = ("led_lamps", "duct_insulation")
    real = RealHouses(advice.study).of_plan(advice.study.plan(ticked))
    cost = advice.study.plan(ticked).cost.likely
    for years in (1, 6, 12):
        first = answer("move", advice, ticked, {"years": years})["sentences"][0]
        assert f"saves {dollars(real.saving * years)} and costs" in first
        ahead = real.saving * years - cost
        if years == 1:
            assert f"you are {dollars(-ahead)} behind" in first
    best = answer("move", advice, (), {"years": 3})
    result = advice.study.plan(best["tick"])
    assert result.cost.likely <= 3 * result.saved


def test_range_of_the_plan_is_told_with_what_would_narrow_it() -> None:
    advice = ADVICE["alder_street"]
    ticked = ("attic_insulation", "duct_insulation")
    span = advice.outcome(ticked).saving
    content = answer("sure", advice, ticked)
    for number in (span.low, span.middle, span.high):
        assert dollars(number) in content["sentences"][0]
    assert len(content["items"]) == len(advice.how_sure(ticked).to_measure)
    perfect = answer("sure", advice, ticked, {"counted": 1})["sentences"][0]
    assert dollars(advice.outcome(ticked, worked_out=True).saving.middle) in perfect


def test_loads_for_sizing_are_told_before_and_after_the_plan() -> None:
    advice, chosen = ADVICE["wren_cottage"], ("attic_insulation",)
    found, done = (advice.study.sizing(keys).loads for keys in ((), chosen))
    assert done.heating < found.heating
    said = " ".join(answer("sizing", advice, chosen)["sentences"])
    for load in (found.heating, done.heating, found.cooling):
        assert f"{round(load, -2):,.0f} Btu/h" in said
