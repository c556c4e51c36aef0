"""Recommendations of the rater in the house file and the form: kept word for word, and refused where they cannot be."""

from dataclasses import replace
from pathlib import Path

import pytest
from examples import example

from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House, Recommendation
from retrofit_lab.house.editing import with_answer, with_item, with_word
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.items import item_named
from retrofit_lab.measures.catalog import vocabulary
from retrofit_lab.proposals.steps import PHASES

ALDER = example("alder_street").as_found
OWN = Recommendation(
    key="gutter",
    label="Lead the gutter away from the wall <b>",
    where="North side",
    why="The wall is wet under it.",
    who="owner",
    phase="settle",
    needed="yes",
    cost_low=50.0,
    cost_likely=120.0,
    cost_high=400.0,
)


def with_own(**changes: object) -> House:
    return replace(ALDER, recommendations=(replace(OWN, **changes),))


def test_the_file_gives_back_what_was_written(tmp_path: Path) -> None:
    house = with_own()
    save_house(house, tmp_path / "house.toml")
    assert load_house(tmp_path / "house.toml").recommendations == (OWN,)
    assert "[[recommendations]]" in (tmp_path / "house.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        (
            {"cost_low": 200.0},
            "recommendations.gutter: costs of 200, 120 and 400 dollars; must rise",
        ),
        ({"cost_high": 100.0}, "must rise from cost_low over cost_likely to cost_high"),
        ({"cost_low": -1.0}, "recommendations.gutter.cost_low: lowest cost is -1; must be 0 to 1e"),
        ({"label": " "}, "recommendations.gutter.label: says nothing"),
        ({"phase": "tomorrow"}, "recommendations.gutter.phase: 'tomorrow' is unknown; use one of"),
        (
            {"needed": "maybe"},
            "recommendations.gutter.needed: 'maybe' is unknown; use one of yes, no",
        ),
        (
            {"trade": "gardens"},
            "recommendations.gutter.trade: 'gardens' is unknown; use one of general, insulation",
        ),
        ({"who": "robot"}, "recommendations.gutter.who: 'robot' is unknown; use one of owner"),
    ],
)
def test_what_cannot_be_is_refused(changes: dict[str, object], problem: str) -> None:
    with pytest.raises(HouseError, match=problem):
        check_house(with_own(**changes))


def test_phases_are_those_of_the_work() -> None:
    assert Recommendation.choices["phase"] == PHASES


def test_trades_are_those_of_the_pages() -> None:
    assert set(Recommendation.choices["trade"]) == set(vocabulary("trade"))


def test_the_form_adds_one_and_takes_money_as_it_is_written() -> None:
    house, path = with_item(ALDER, "recommendations", item_named("recommendations.own"))
    for name, text in (("cost_high", "$1,200"), ("cost_likely", "400")):
        house = with_answer(house, f"{path}.{name}", text)
    house = with_word(house, f"{path}.label", "Radon test")
    check_house(house)
    own = house.recommendations[0]
    assert (own.label, own.cost_likely, own.cost_high) == ("Radon test", 400.0, 1200.0)
