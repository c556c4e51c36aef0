"""Steps are told in both languages: why here, what first, how done; every sentence is used and has its blanks."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from examples import example

from retrofit_lab.app.shared.step_wording import StepWords
from retrofit_lab.app.shared.words import words
from retrofit_lab.house.description import Recommendation
from retrofit_lab.measures.catalog import catalog as measures
from retrofit_lab.proposals.steps import KINDS, PHASES, Proposal, Step, proposal, rater_plan
from retrofit_lab.safety.hazards import hazards
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES, catalog, sentences

OWN = Recommendation(
    key="radon",
    label="Test the air for radon",
    where="Basement",
    why="No test was found, and the basement is lived in.",
    who="owner",
    phase="free",
    needed="yes",
    cost_low=15.0,
    cost_likely=20.0,
    cost_high=40.0,
)
SAYS = Path("retrofit_lab/app/shared/step_wording.py")


@cache
def study(*seen: str) -> Study:
    house = example("larkspur_drive").as_found
    told = (*house.observations, *seen)
    return Study(replace(house, observations=told, recommendations=(OWN,)))


@cache
def found(*seen: str) -> Proposal:
    return rater_plan(Advice(study(*seen)))


def step_of(whole: Proposal, key: str) -> Step:
    return next(step for step in whole.steps if step.key == key)


def said_of(language: str, *seen: str) -> StepWords:
    return StepWords(study(*seen), words(language))


def blanks(text: str) -> set[str]:
    return set(re.findall(r"\{(\w+)\}", text))


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_language_has_every_sentence_with_its_blanks(language: str) -> None:
    own, other = (dict(sentences(catalog(name, "steps"))) for name in ("en", language))
    assert own.keys() == other.keys()
    for key, text in own.items():
        assert blanks(text) == blanks(other[key]), key
        assert other[key].strip()
        assert other[key] != text or key in {"why.number", "why.place"}


def test_every_phase_kind_and_fact_has_its_words_and_none_is_left_over() -> None:
    texts = catalog("en", "steps")
    assert tuple(texts["phase"]) == PHASES
    assert set(texts["kind"]) == {*KINDS, "beside"}
    assert set(texts["doer"]) == {measure.doer for measure in measures()}
    assert set(texts["fact"]) == {hazard.fact for hazard in hazards().values() if hazard.fact}
    source = Path(__file__).parents[2].joinpath(SAYS).read_text(encoding="utf-8")
    for key, _ in sentences(texts):
        section, name = key.split(".")
        if section not in ("phase", "kind", "doer", "fact", "why"):
            assert f'"{section}.{name}"' in source, key


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_step_says_why_it_is_there_and_who_does_it(language: str) -> None:
    told = said_of(language, "no_co_alarm", "bad_wiring")
    steps = found("no_co_alarm", "bad_wiring").steps
    for step in steps:
        lines = [told.title(step), told.phase(step.phase), told.who(step), told.kind(step)]
        lines += told.why(step) + told.order(step, steps)
        assert all(line.strip() and "{" not in line for line in lines)
        assert told.said.say("why.none") not in told.why(step)
    for item in found("no_co_alarm", "bad_wiring").look_first:
        assert told.look_at(item), item.key


def test_a_finding_and_a_reading_are_told_with_place_and_number() -> None:
    chosen = proposal(Advice(study()), ("attic_insulation",), sure=False)
    told, step = said_of("en"), step_of(chosen, "attic_insulation")
    why = " ".join(told.why(step))
    assert "R-19" in why
    assert "Attic floor" in why


def test_a_hazard_says_what_settles_it_and_the_owners_part() -> None:
    told = said_of("en", "bad_wiring")
    step = step_of(found("bad_wiring"), "bad_wiring")
    assert told.why(step) == ["Found on the walk: frayed, hot or open wiring."]
    assert told.done(step).startswith("Settled when: A licensed electrician fixes it")
    assert told.who(step) == "licensed electrician"


def test_a_recommendation_of_the_rater_is_a_step_with_its_words_and_cost() -> None:
    whole = found()
    step = step_of(whole, "own:radon")
    told = said_of("es")
    assert told.title(step) == OWN.label
    assert told.why(step) == ["Su evaluador dice: No test was found, and the basement is lived in."]
    assert told.who(step) == "usted"
    assert (step.cost.low, step.cost.likely, step.cost.high) == (15.0, 20.0, 40.0)
    bare = rater_plan(Advice(example("larkspur_drive")), sure=False)
    assert whole.cost.likely - bare.cost.likely == pytest.approx(20.0)
    free = [step.key for step in whole.steps if step.phase == "free"]
    assert free[0] == "own:radon"


def test_what_is_done_in_one_visit_names_the_others() -> None:
    first, second, *rest = (replace(step, visit="crew") for step in found().steps)
    alone = [replace(step, visit="") for step in rest]
    told = said_of("en")
    line = f"Done in one visit with {told.title(second).lower()}. The trip is paid once."
    assert line.lower() in [one.lower() for one in told.order(first, [first, second, *alone])]
    assert not any("one visit" in one for one in told.order(first, [first, *alone]))
