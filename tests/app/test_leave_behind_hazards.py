"""What stays at home says of hazards: the box on top, what each line waits for, in both languages."""

from dataclasses import replace
from functools import cache

import pytest
from examples import example

from retrofit_lab.app.report.leave_behind import leave_behind, page_data
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.all_plans import AllSets, all_sets
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES

FEW = ("attic_hatch", "attic_insulation", "led_lamps")


@cache
def study(*seen: str) -> Study:
    known = example("alder_street")
    measures = [known.offer(key).measure for key in FEW]
    return Study(replace(known.as_found, observations=seen), measures=measures)


def sets_of(here: Study) -> AllSets:
    return all_sets(here, FEW)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_box_names_the_hazard_what_waits_and_what_releases_it(language: str) -> None:
    here, said = study("vermiculite"), words(language)
    (hazard,) = here.case.hazards
    markup = leave_behind(here, sets_of(here), FEW, said).markup
    box = markup[markup.index('id="try-stop"') : markup.index('id="try-page"')]
    assert said.say("stop.title") in box
    assert said.hazard(hazard)["release"] in box
    assert said.title(here.offer("attic_insulation").measure) in box
    assert said.title(here.offer("led_lamps").measure) not in box


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_line_says_what_it_waits_for_and_what_comes_before_it(language: str) -> None:
    here, said = study("vermiculite"), words(language)
    (hazard,) = here.case.hazards
    rows = {row["key"]: row for row in page_data(here, sets_of(here), FEW, said)["measures"]}
    assert said.hazard(hazard)["release"] in rows["attic_hatch"]["held"]
    assert rows["led_lamps"]["held"] == ""
    hatch = [row["key"] for row in rows.values()].index("attic_hatch")
    assert hatch in rows["attic_insulation"]["before"]


def test_a_house_without_hazards_has_no_box() -> None:
    here = study()
    markup = leave_behind(here, sets_of(here), FEW, words("en")).markup
    assert "try-stop" not in markup


def test_a_smell_of_gas_stops_everything() -> None:
    here = study("gas_smell")
    markup = leave_behind(here, sets_of(here), FEW, words("en")).markup
    assert words("en").say("stop.all") in markup
    assert words("en").say("stop.holds_all") in markup
    held = [row["held"] for row in page_data(here, sets_of(here), FEW, words("en"))["measures"]]
    assert all(held)
