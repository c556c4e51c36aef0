"""When a caution appears: by an observation, by a ticked measure, by the year of the house, by its burners."""

from dataclasses import replace

import pytest
from examples import example

from retrofit_lab.house.paths import with_numbers
from retrofit_lab.measures.catalog import measure_named
from retrofit_lab.safety.cautions import STOPS_WORK, TIERS, WHILE_WORKING, cautions, cautions_for
from retrofit_lab.safety.facts import burns_inside
from retrofit_lab.safety.hazards import hazards

ALDER = example("alder_street").as_found
WREN = example("wren_cottage").as_found
BARE = replace(ALDER, observations=())
LOOSE = replace(BARE, surfaces=tuple(replace(s, fill="none") for s in BARE.surfaces))
ASKED_FOR = (
    "combustion_spillage", "carbon_monoxide", "unvented_heater", "recessed_lights", "old_wiring",
    "vermiculite", "asbestos", "lead_paint", "foam_fire", "moisture", "attic_ventilation", "radon",
    "scald_and_bacteria", "minimum_ventilation", "ladders", "attic_work", "attic_heat", "electrical",
)  # fmt: skip


def raised(house, keys=(), *, below: bool = False) -> set[str]:
    chosen = [measure_named(key) for key in keys]
    found = cautions_for(house, chosen, below_minimum_ventilation=below)
    return {item.caution.key for item in found}


def test_all_that_can_hurt_someone_here_is_known() -> None:
    assert set(ASKED_FOR) <= set(cautions())


def test_house_without_observations_and_measures_raises_nothing() -> None:
    assert raised(BARE) == set()


@pytest.mark.parametrize(
    ("caution", "word"),
    [(c.key, word) for c in cautions().values() for word in c.observations],
)
def test_each_observation_raises_its_caution(caution: str, word: str) -> None:
    for house in (WREN, BARE):
        assert caution in raised(replace(house, observations=(word,)))


@pytest.mark.parametrize(
    ("caution", "word"), [(h.caution, word) for h in hazards().values() for word in h.tells]
)
def test_each_word_of_a_hazard_raises_its_caution_in_any_house(caution: str, word: str) -> None:
    for house in (WREN, BARE):
        seen = replace(house, observations=(word,))
        found = cautions_for(seen, (), below_minimum_ventilation=False)
        tiers = {item.caution.key: item.tier for item in found}
        assert tiers[caution] != WHILE_WORKING


@pytest.mark.parametrize(
    ("caution", "measure", "year"),
    [("lead_paint", "storm_windows", 1978), ("old_wiring", "attic_insulation", 1955), ("vermiculite", "attic_insulation", 1991), ("asbestos", "duct_mastic", 1985)],
)  # fmt: skip
def test_year_of_the_house_decides(caution: str, measure: str, year: int) -> None:
    before, after = (with_numbers(LOOSE, {"site.year_built": float(year - n)}) for n in (1, 0))
    assert caution in raised(before, [measure])
    assert caution not in raised(after, [measure])
    word = cautions()[caution].observations[0]
    assert caution in raised(replace(after, observations=(word,)))


def test_burner_cautions_need_burners() -> None:
    assert not burns_inside(ALDER)
    assert burns_inside(WREN)
    tight = ["band_joist_foam"]
    assert "combustion_spillage" not in raised(ALDER, tight)
    assert "combustion_spillage" in raised(WREN, tight)
    with_heater = replace(ALDER, observations=("unvented_heater",))
    assert {"unvented_heater", "combustion_spillage"} <= raised(with_heater, tight)


def test_fresh_air_only_below_the_minimum() -> None:
    assert "minimum_ventilation" in raised(BARE, ["band_joist_foam"], below=True)
    assert "minimum_ventilation" not in raised(BARE, ["band_joist_foam"])
    assert "minimum_ventilation" not in raised(BARE, ["led_lamps"], below=True)


def test_measures_that_raised_it_are_named() -> None:
    chosen = [measure_named(key) for key in ("band_joist_foam", "attic_insulation", "tank_wrap")]
    found = cautions_for(ALDER, chosen, below_minimum_ventilation=False)
    by_key = {item.caution.key: item.measures for item in found}
    assert by_key["foam_fire"] == ("band_joist_foam",)
    assert by_key["recessed_lights"] == ("attic_insulation",)
    assert by_key["moisture"] == ("band_joist_foam", "attic_insulation")
    order = [(TIERS.index(item.tier), list(cautions()).index(item.caution.key)) for item in found]
    assert order == sorted(order)


def test_fireplace_and_no_alarm_in_an_all_electric_house() -> None:
    fireplace = replace(BARE.leakage.sites[0], key="fireplace", kind="fireplace")
    leakage = replace(BARE.leakage, sites=(*BARE.leakage.sites, fireplace))
    house = replace(BARE, leakage=leakage)
    assert burns_inside(house)
    house = replace(house, observations=("no_co_alarm",))
    found = {c.caution.key: c for c in cautions_for(house, (), below_minimum_ventilation=False)}
    assert found["carbon_monoxide"].tier == STOPS_WORK


def test_cautions_fit_the_house() -> None:
    assert "chimney_clearance" not in raised(BARE, ["attic_insulation"])
    assert "chimney_clearance" in raised(WREN, ["attic_insulation"])
    lamps = tuple(replace(lamp, kind="incandescent") for lamp in BARE.lamps)
    assert "mercury" not in raised(replace(BARE, lamps=lamps), ["led_lamps"])
    lamps = (replace(lamps[0], kind="fluorescent"), *lamps[1:])
    assert "mercury" in raised(replace(BARE, lamps=lamps), ["led_lamps"])
    attic = {b.key for b in BARE.buffers if b.kind in ("attic", "kneewall")}
    for fill, shown in (("batt", False), ("none", True), ("cellulose", True)):
        filled = tuple(replace(s, fill=fill) if s.outside in attic else s for s in BARE.surfaces)
        house = replace(BARE, surfaces=filled)
        assert ("vermiculite" in raised(house, ["attic_hatch"])) is shown
        seen = replace(house, observations=("vermiculite",))
        assert "vermiculite" in raised(seen)
