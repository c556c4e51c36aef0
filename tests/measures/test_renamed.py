"""Measures that went: files, links and commands that name them still open, and prices of theirs say what to do."""

import json

import pytest
from examples import example

from retrofit_lab.app.page.plan_file import choice_json, read_choice
from retrofit_lab.app.page.state import KitchenTableState
from retrofit_lab.app.page.told import told
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.command import main
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.own_prices import FORMAT, PriceError, own_prices_from_table
from retrofit_lab.measures.renamed import renamed, todays_keys
from retrofit_lab.proposals.in_real_houses import RealHouses
from retrofit_lab.study.opening import own_terms

ALDER = example("alder_street")
OLD = ["seal_attic_holes", "seal_recessed_lights", "attic_insulation"]
TODAY = ["attic_air_sealing", "recessed_led_retrofit", "attic_insulation"]


def test_what_went_is_gone_and_what_stands_for_it_is_there() -> None:
    keys = {measure.key for measure in catalog()}
    assert not keys & renamed().keys()
    assert set(renamed().values()) <= keys
    assert all(row["why"].endswith(".") for row in read_rows("renamed_measures.csv"))


def test_a_plan_file_of_before_opens_with_what_the_work_is_called_today() -> None:
    real = RealHouses(ALDER)
    text = choice_json(ALDER, ALDER.plan([]), real.of_plan(ALDER.plan([])), ())
    old = json.dumps(
        {**json.loads(text), "ticked": OLD, "kept": [{"name": "Attic", "ticked": OLD}]}
    )
    opened = read_choice(old, told(ALDER, "en", "us"), real)
    assert set(opened.ticked) == set(TODAY)
    assert "Left out" not in opened.message


def test_two_parts_of_one_visit_are_one_line() -> None:
    assert todays_keys(["seal_chimney_chase", "seal_attic_holes"]) == ("attic_air_sealing",)
    assert todays_keys(["ghosts", "wall_fill"]) == ("ghosts", "wall_fill")


def test_a_link_of_before_ticks_todays_lines() -> None:
    state = KitchenTableState(ALDER)
    assert state.choose(OLD)
    assert set(state.ticked) == set(TODAY)
    assert set(state.usable(OLD)) == set(TODAY)


def test_the_command_takes_old_names(capsys) -> None:
    assert main(["savings", "--plan", ",".join(OLD)]) == 0
    said = capsys.readouterr().out
    for key in TODAY:
        assert f"[x] {key} " in said


def test_a_rebate_for_old_work_is_given_for_todays(tmp_path) -> None:
    path = tmp_path / "prices.toml"
    path.write_text(
        f'format = "{FORMAT}"\nversion = 1\n'
        '[[rebates]]\nname = "county"\namount = 100\nmeasures = ["seal_attic_holes"]\n',
        encoding="utf-8",
    )
    assert own_terms(path)[1].rebates[0].measures == ("attic_air_sealing",)


def test_a_price_of_old_work_says_what_it_is_for_today() -> None:
    table = {"format": FORMAT, "version": 1, "prices": {"seal_attic_holes": {"likely": 9}}}
    with pytest.raises(
        PriceError, match=r"is 'attic_air_sealing' today, priced for each sq ft of attic floor"
    ):
        own_prices_from_table(table)
