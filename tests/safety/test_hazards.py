"""Hazards stop or hold measures; only a recorded word releases them, a later finding outweighs it, none clears."""

from dataclasses import fields, replace

import pytest
from examples import example

from retrofit_lab.base.values import InputError
from retrofit_lab.house.description import House
from retrofit_lab.house.file import house_from_table, house_to_table
from retrofit_lab.house.observations import observation_names
from retrofit_lab.measures.catalog import catalog, measure_named
from retrofit_lab.safety.cautions import cautions
from retrofit_lab.safety.facts import FACTS
from retrofit_lab.safety.hazards import (
    DOES,
    HOLDS,
    STOPS,
    TEST_FIRST,
    Hazard,
    hazards,
    hazards_of,
    holds_for,
)
from retrofit_lab.savings.choosing import Limits
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study

ALDER = replace(example("alder_street").as_found, observations=())
WREN = replace(example("wren_cottage").as_found, observations=())
KEYS = {measure.key for measure in catalog()}
CLEARING = ("is safe", "are safe", "no danger", "harmless", "no risk", "cannot hurt", "safely")


def held(house: House, *words: str) -> set[str]:
    holds = holds_for(replace(house, observations=words), catalog())
    return {key for key, found in holds.items() if found}


@pytest.mark.parametrize("hazard", hazards().values(), ids=lambda hazard: hazard.key)
def test_table(hazard: Hazard) -> None:
    assert hazard.does in DOES
    assert hazard.caution in cautions()
    words = {*hazard.tells, *hazard.released_by, *hazard.overruled_by}
    assert words <= set(observation_names())
    assert hazard.tells or hazard.fact in FACTS
    assert {*hazard.measures, *hazard.spares} <= KEYS
    assert set(hazard.cautions) <= set(cautions())
    assert set(hazard.tags) <= {tag for measure in catalog() for tag in measure.tags}
    assert any(hazard.holds(measure) for measure in catalog())
    assert bool(hazard.edition) == (hazard.mark != "common practice, no source")
    for text in (hazard.title, hazard.release, hazard.limit):
        assert not [word for word in CLEARING if word in text.lower()]
    assert hazard.release.endswith(".")
    if "edition" in hazard.limit or "Other sheets" in hazard.limit:
        assert "strictest" in hazard.limit
        assert "code office" in hazard.limit


def test_nothing_has_a_field_that_clears() -> None:
    assert not {f.name for f in fields(Hazard)} & {"safe", "cleared", "ok"}


@pytest.mark.parametrize("hazard", hazards().values(), ids=lambda hazard: hazard.key)
def test_each_word_tells_its_hazard_and_each_release_ends_it(hazard: Hazard) -> None:
    for word in hazard.tells:
        house = replace(ALDER, observations=(word,))
        assert hazard in hazards_of(house)
        for release in hazard.released_by:
            house = replace(ALDER, observations=(word, release))
            assert hazard not in hazards_of(house)
            for against in hazard.overruled_by:
                house = replace(ALDER, observations=(word, release, against))
                assert hazard in hazards_of(house)


@pytest.mark.parametrize("word", ["gas_smell", "co_above_limit", "spillage_seen"])
def test_what_stops_the_work_holds_every_measure(word: str) -> None:
    assert held(ALDER, word) == KEYS


def test_whatever_lowers_leakage_waits_for_a_combustion_test_where_anything_burns() -> None:
    tightens = {
        measure.key
        for measure in catalog()
        if any(change.where.startswith("leakage") for change in measure.changes)
    }
    assert len(tightens) > 15
    assert tightens <= held(WREN)
    assert not tightens & held(WREN, "combustion_test_passed")
    assert tightens <= held(WREN, "combustion_test_passed", "combustion_test_failed")
    assert not held(ALDER)


def test_a_gas_range_burns_inside_too() -> None:
    gas_range = replace(ALDER.appliances[0], key="range", kind="range", fuel="natural_gas")
    house = replace(ALDER, appliances=(*ALDER.appliances, gas_range))
    assert "attic_air_sealing" in held(house)
    assert "led_lamps" not in held(house)


def test_a_sealed_furnace_waits_for_no_test_of_its_draft_and_whatever_else_burns_does() -> None:
    bare = replace(WREN, appliances=(), leakage=replace(WREN.leakage, flue="none", sites=()))
    heaters = {h.fuel for h in bare.fuel_heaters} | {w.fuel for w in bare.water_heaters}
    assert heaters - {"electricity"}
    seen = ("sealed_combustion", "sealed_water_heater")
    assert "attic_air_sealing" not in held(bare, *seen)
    assert "attic_air_sealing" in held(bare)
    for against in ("natural_draft_furnace", "spillage_marks", "combustion_test_failed"):
        assert "attic_air_sealing" in held(bare, *seen, against)
    gas_range = replace(ALDER.appliances[0], key="range", kind="range", fuel="natural_gas")
    assert "attic_air_sealing" in held(replace(bare, appliances=(gas_range,)), *seen)
    stove = replace(bare.fuel_heaters[0], key="wood", kind="stove", fuel="wood")
    assert "attic_air_sealing" in held(
        replace(bare, fuel_heaters=(*bare.fuel_heaters, stove)), *seen
    )
    gas_tank = replace(ALDER.water_heaters[0], key="gas_tank", fuel="natural_gas")
    assert "attic_air_sealing" in held(
        replace(bare, water_heaters=(gas_tank,)), "sealed_combustion"
    )
    assert "attic_air_sealing" in held(bare, *seen, "open_damper")


def test_a_heater_that_is_gone_burns_no_more() -> None:
    assert "attic_air_sealing" in held(ALDER, "unvented_heater")
    assert not held(ALDER, "unvented_heater", "unvented_heater_removed")


@pytest.mark.parametrize(
    ("word", "waits", "goes_on"),
    [
        ("live_knob_and_tube", {"attic_insulation", "wall_fill"}, {"led_lamps", "duct_mastic"}),
        ("vermiculite", {"attic_insulation", "attic_hatch", "bath_fan_outdoors", "wall_fill"}, {"band_joist_foam"}),
        ("asbestos_suspected", {"duct_mastic", "pipe_insulation"}, {"attic_insulation"}),
        ("standing_water", {"crawl_encapsulation", "basement_wall_insulation"}, {"led_lamps", "bath_fan_outdoors"}),
        ("bad_wiring", {"attic_insulation", "outlet_gaskets"}, {"tap_aerators"}),
        ("recessed_lights_unrated", {"attic_insulation"}, {"recessed_led_retrofit"}),
        ("aluminum_wiring", {"outlet_gaskets", "ductless_heat_pump"}, {"attic_insulation"}),
        ("no_co_alarm", {"attic_air_sealing"}, {"led_lamps"}),
        ("unvented_heater", {"attic_air_sealing", "wall_fill"}, {"led_lamps"}),
    ],
)  # fmt: skip
def test_what_waits_and_what_goes_on(word: str, waits: set[str], goes_on: set[str]) -> None:
    found = held(ALDER, word)
    assert waits <= found
    assert not goes_on & found


def test_hazards_come_gravest_first() -> None:
    words = ("recessed_lights_unrated", "vermiculite", "gas_smell")
    found = hazards_of(replace(ALDER, observations=words))
    assert [hazard.does for hazard in found] == [STOPS, HOLDS, TEST_FIRST]


def test_unknown_word_in_a_house_is_refused_with_the_nearest_known() -> None:
    table = house_to_table(ALDER) | {"observations": ["no_co_alrm"]}
    with pytest.raises(InputError, match=r"observations: .*'no_co_alrm'.*nearest is 'no_co_alarm'"):
        house_from_table(table)


def test_a_held_measure_keeps_its_saving_and_is_no_next_step() -> None:
    bare, shown = Study(ALDER), Study(replace(ALDER, observations=("vermiculite",)))
    keys = ("attic_insulation", "led_lamps")
    one, other = bare.plan(keys), shown.plan(keys)
    assert other.measures["attic_insulation"].now == one.measures["attic_insulation"].now
    assert [h.key for h in other.measures["attic_insulation"].held_by] == ["vermiculite"]
    assert other.held == ("attic_insulation",)
    assert one.held == ()
    steps = {change.key for change in Advice(shown).next_steps(())}
    free = {change.key for change in Advice(bare).next_steps(())}
    assert steps < free
    assert not [key for key in steps if shown.case.holds[key]]


def test_best_plan_may_hold_it_and_says_so() -> None:
    few = [m for m in catalog() if m.key in ("attic_insulation", "attic_hatch", "led_lamps")]
    shown = Advice(Study(replace(ALDER, observations=("vermiculite",)), measures=few))
    best = shown.best(Limits())
    assert set(best.held) == set(best.keys) - {"led_lamps"}
    assert best.held
    plan = shown.over_years(best.keys, [5000.0, 5000.0])
    assert set(plan.held) == set(best.held)


def test_what_covers_waits_with_what_it_covers() -> None:
    study = Study(replace(ALDER, observations=("no_co_alarm",)))
    assert not study.case.holds["attic_insulation"]
    assert study.case.waiting(["attic_insulation", "led_lamps"]) == frozenset()
    sealing = next(key for key in study.case.earlier("attic_insulation") if key in study.keys)
    assert study.case.waiting(["attic_insulation", sealing]) == {"attic_insulation", sealing}


def test_water_under_the_floor_holds_ducts_that_run_there_and_no_others() -> None:
    below, above = example("sycamore_lane").as_found, example("mesquite_way").as_found
    duct_mastic = measure_named("duct_mastic")
    for house, waits in ((below, True), (above, False)):
        wet = replace(house, observations=("standing_water",))
        assert (
            "standing_water" in [h.key for h in holds_for(wet, [duct_mastic])["duct_mastic"]]
        ) == waits
