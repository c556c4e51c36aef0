"""Fresh air that a plan leaves missing: the flow, the kind of fan, and that the fan of that flow makes it up."""

from dataclasses import fields, replace

import numpy as np
import pytest
from examples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.catalog import MeasureError, measure_named
from retrofit_lab.measures.fitted_measures import fitted, missing_ventilation
from retrofit_lab.physics.ventilation import minimum_ventilation
from retrofit_lab.safety.ventilation import (
    BALANCED,
    EXHAUST,
    OPENED,
    FreshAirProposal,
    fresh_air_proposal,
    missing_air,
)
from retrofit_lab.savings.plan_energies import plan_energies
from retrofit_lab.study.study import Study

ALDER = example("alder_street")
WREN = example("wren_cottage")
TIGHT = ["band_joist_foam", "recessed_led_retrofit", "attic_hatch", "seal_boots", "outlet_gaskets"]


def proposal(study, ticked) -> FreshAirProposal | None:
    chosen = [measure_named(key) for key in ticked]
    air = study.plan(ticked).after.outdoor_air
    return fresh_air_proposal(study.as_found, chosen, air)


def test_published_example_of_the_standard() -> None:
    """2,400 ft2 and 3 bedrooms ask for 102 cfm; with 30 cfm through leaks 72 are missing (quoted, read)."""
    house = replace(
        ALDER.as_found, size=replace(ALDER.as_found.size, floor_area=2400.0, bedrooms=3.0)
    )
    assert minimum_ventilation(2400.0, 3.0) == pytest.approx(102.0)
    assert missing_air(house, 30.0) == pytest.approx(72.0)


def test_tight_stack_is_offered_the_fan_that_it_lacks() -> None:
    found = proposal(ALDER, TIGHT)
    result = ALDER.plan(TIGHT)
    assert found is not None
    assert found.measure == EXHAUST
    assert found.minimum == pytest.approx(result.minimum_air)
    assert found.flow == pytest.approx(result.minimum_air - result.after.outdoor_air)


def test_burner_that_takes_room_air_gets_a_balanced_fan() -> None:
    found = proposal(WREN, TIGHT[:1])
    assert found is not None
    assert found.measure == BALANCED
    assert "burner" in found.why


@pytest.mark.parametrize("word", ["radon_above_4", "spillage_marks"])
def test_soil_gas_and_spillage_ask_for_a_balanced_fan(word: str) -> None:
    house = replace(ALDER.as_found, observations=(word,))
    found = fresh_air_proposal(house, (), 20.0)
    assert found is not None
    assert found.measure == BALANCED


def test_nothing_is_proposed_twice_or_without_need() -> None:
    assert proposal(ALDER, [*TIGHT, EXHAUST]) is None
    assert proposal(ALDER, [*TIGHT, BALANCED]) is None
    assert fresh_air_proposal(ALDER.as_found, (), 500.0) is None


@pytest.mark.parametrize("study", [ALDER, WREN], ids=["alder", "wren"])
@pytest.mark.parametrize("fan", [EXHAUST, BALANCED])
def test_fan_of_the_missing_flow_reaches_the_standard_and_its_energy_is_counted(study, fan) -> None:
    without = study.mask(TIGHT[:1])
    with_fan = study.mask([*TIGHT[:1], fan])
    before = study.energy(np.array([without, with_fan]))
    flow = float(missing_air(study.as_found, float(before.ventilation[0])))
    assert flow > 0
    offers = fitted(study.offers, fan, "flow", flow)
    after = plan_energies(study.house, study.climate, offers, np.array([with_fan]), study.uses)
    assert float(after.ventilation[0]) == pytest.approx(study.plan(()).minimum_air)
    bare, full = before.energy @ study.money.prices
    fitted_cost = float((after.energy @ study.money.prices)[0])
    assert bare < fitted_cost < full


@given(st.lists(st.sampled_from(TIGHT), unique=True))
@settings(deadline=None, max_examples=15)
def test_catalog_fan_is_enough_for_every_stack(ticked: list[str]) -> None:
    for fan in (EXHAUST, BALANCED):
        result = ALDER.plan([*ticked, fan])
        assert result.after.outdoor_air >= result.minimum_air


@given(st.floats(0, 400), st.floats(0, 400))
@settings(deadline=None, max_examples=40)
def test_less_air_never_needs_a_smaller_fan(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert missing_air(ALDER.as_found, low) >= missing_air(ALDER.as_found, high) >= 0


def test_many_stacks_at_once() -> None:
    air = np.array([[20.0], [87.6], [300.0]])
    assert missing_air(ALDER.as_found, air).ravel() == pytest.approx([67.6, 0.0, 0.0])


def test_fans_that_run_already_count() -> None:
    fan = next(f for f in ALDER.house.fans if f.key == EXHAUST)
    house = replace(ALDER.as_found, fans=(replace(fan, key="old", flow=40.0, hours=12.0),))
    assert missing_ventilation(house) == pytest.approx(87.6 - 20.0)


def test_nothing_that_cannot_be_fitted() -> None:
    with pytest.raises(MeasureError, match=r"no offer 'tank_wrap' sets 'flow'"):
        fitted(ALDER.offers, "tank_wrap", "flow", 20.0)


def test_no_sentence_clears_anything() -> None:
    assert {f.name for f in fields(FreshAirProposal)} >= {"measure", "flow", "why"}
    for words in (proposal(ALDER, TIGHT), proposal(WREN, TIGHT[:1])):
        assert words is not None
        assert "safe" not in words.why.lower()
        assert "enough" not in words.why.lower()


def test_leaks_are_credited_by_the_standard_not_by_the_models_own_mean() -> None:
    """Q = 0.052 wsf S Q50 with S = 1.32 for 2 stories (ASHRAE 62.2-2013 as printed in a summary, read)."""
    result = ALDER.plan(())
    factor = ALDER.climate.leak_weather
    assert result.after.outdoor_air == pytest.approx(0.052 * factor * 1.32 * 2650.0, rel=0.005)
    sheltered = Study(with_numbers(ALDER.as_found, {"site.shelter_class": 5.0}))
    assert sheltered.plan(()).after.outdoor_air == pytest.approx(result.after.outdoor_air)


def test_a_fan_that_runs_all_day_is_opened_before_another_is_bought() -> None:
    code_house = example("prairie_commons")
    found = code_house.plan(()).fresh_air
    assert found is not None
    assert found.measure == OPENED
    more = code_house.plan([OPENED])
    assert more.after.outdoor_air >= more.minimum_air
    weak = tuple(replace(fan, flow=15.0) for fan in code_house.as_found.fans)
    other = Study(replace(code_house.as_found, fans=weak)).plan(()).fresh_air
    assert other is not None
    assert other.measure == EXHAUST
