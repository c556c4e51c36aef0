"""Readings of the walk: kept in the file, refused where they cannot be, in force in the model, told beyond limits."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from examples import example

from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.description import House
from retrofit_lab.house.editing import with_answer, with_item, with_word
from retrofit_lab.house.file import load_house, save_house
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.house.items import item_named
from retrofit_lab.house.limits import beyond_limits, limits, recorded_words
from retrofit_lab.house.measured import (
    NOTHING_MEASURED,
    AirHandlerReading,
    BurnerReading,
    DuctReading,
    FanReading,
    FillReading,
    GasReading,
    InfraredNote,
    Measured,
    PanReading,
    RadonReading,
    RoomReading,
    WoodReading,
    ZoneReading,
)
from retrofit_lab.house.paths import with_numbers
from retrofit_lab.house.readings import with_readings
from retrofit_lab.proposals.steps import READING, rater_plan
from retrofit_lab.safety.hazards import hazards_of
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.uncertainty.sampling import spreads

ALDER = example("alder_street").as_found
BURNER = BurnerReading(
    key="tank", label="Water heater", kind="natural draft", case="worst", spillage=30.0,
    draft=-2.0, co_flue=40.0, co_room=1.0, depressurization=1.5, outdoor_temperature=40.0,
    note="after the second try",
)  # fmt: skip
ALL = Measured(
    burners=(BURNER,),
    gas=GasReading(found="no leak", where="meter <b>"),
    ducts=DuctReading(total=180.0, outside=90.0, note="with a blower door"),
    air_handler=AirHandlerReading(
        flow=900.0, static_supply=0.3, static_return=0.4, static_rated=0.5,
        temperature_rise=55.0, rise_low=35.0, rise_high=65.0, note="filter out",
    ),
    pans=(PanReading(key="den", label="Den", pressure=0.8),),
    zones=(ZoneReading(key="attic", label="Attic", pressure=46.0),),
    fans=(FanReading(key="bath", label="Bath", flow=48.0),),
    wood=(WoodReading(key="sill", label="Sill", moisture=12.0),),
    rooms=(RoomReading(key="den", label="Den", temperature=68.0, humidity=45.0),),
    radon=(RadonReading(key="den", label="Den", level=2.1, days=3.0),),
    infrared=(InfraredNote(key="eave", label="Eave", note="cold stripe", picture="ir_4.jpg"),),
    fills=(FillReading(key="a", label="All of it", of="attic_floor", kind="cellulose_loose", depth=10.0),),
)  # fmt: skip
SAFE_WORDS = {"combustion_test_passed", "co_source_repaired", "gas_leak_repaired"}


def measured(**changes: object) -> House:
    return replace(ALDER, measured=replace(NOTHING_MEASURED, **changes))


def burner(**changes: object) -> House:
    return measured(burners=(replace(BURNER, **changes),))


def test_the_file_gives_back_what_was_written(tmp_path: Path) -> None:
    house = replace(ALDER, measured=ALL)
    check_house(house)
    save_house(house, tmp_path / "house.toml")
    assert load_house(tmp_path / "house.toml").measured == ALL


def test_what_nobody_read_stands_in_no_file(tmp_path: Path) -> None:
    save_house(
        measured(pans=(PanReading(key="den", label="Den", pressure=2.0),)), tmp_path / "a.toml"
    )
    written = tomllib.loads((tmp_path / "a.toml").read_text(encoding="utf-8"))["measured"]
    assert written == {"pans": [{"key": "den", "label": "Den", "pressure": "2.0 Pa"}]}
    save_house(ALDER, tmp_path / "b.toml")
    assert "measured" not in (tmp_path / "b.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("house", "problem"),
    [
        (burner(co_room=-1.0), "measured.burners.tank.co_room: carbon monoxide in the room is -1 ppm"),
        (burner(kind="chimney"), "measured.burners.tank.kind: 'chimney' is unknown"),
        (measured(ducts=DuctReading(total=80.0, outside=90.0)), "90 cfm is more than the 80 cfm"),
        (
            measured(air_handler=AirHandlerReading(rise_low=60.0, rise_high=30.0)),
            "measured.air_handler.rise_low: 60 is more than rise_high, 30",
        ),
        (
            measured(fills=(FillReading(key="a", label="x", of="moon"),)),
            "measured.fills.a.of: there is no ceiling 'moon'. Use one of attic_floor",
        ),
        (measured(wood=(WoodReading(key="a", label="x", moisture=300.0),)), "must be 0 to 200"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(house: House, problem: str) -> None:
    with pytest.raises(HouseError, match=problem):
        check_house(house)


def test_the_form_adds_a_reading_and_takes_it_back() -> None:
    house, path = with_item(ALDER, "measured.burners", item_named("measured.burners.burner"))
    assert house.assumed == ALDER.assumed
    house = with_answer(house, f"{path}.spillage", "2 min")
    house = with_word(house, f"{path}.kind", "natural draft")
    assert house.measured.burners[0].spillage == 120.0
    assert with_answer(house, f"{path}.spillage", "").measured.burners[0].spillage is None


def ducts_of(house: House) -> tuple[float, float]:
    return float(house.ducts.supply_leakage), float(house.ducts.return_leakage)


def in_the_attic(**changes: float) -> House:
    words = {"ducts.supply_place": "attic", "ducts.return_place": "attic"}
    paths = {"ducts.supply_leakage", "ducts.return_leakage"}
    house = with_numbers(
        ALDER,
        {**words, "ducts.supply_leakage": 0.1, "ducts.return_leakage": 0.1, "ducts.flow": 1000.0},
    )
    read = DuctReading(**changes)  # type: ignore[arg-type]
    return replace(
        house, assumed=house.assumed | paths, measured=replace(NOTHING_MEASURED, ducts=read)
    )


def test_a_measured_leak_of_ducts_takes_the_place_of_a_guess_and_narrows_its_range() -> None:
    guessed, read = with_readings(in_the_attic()), with_readings(in_the_attic(outside=60.0))
    assert ducts_of(guessed) == (0.1, 0.1)
    assert ducts_of(read) == pytest.approx((0.03, 0.03))
    wide, narrow = (
        {s.path: s.half_range for s in spreads(house)}["ducts.supply_leakage"] / ducts_of(house)[0]
        for house in (guessed, read)
    )
    assert narrow < 0.6 * wide


def test_all_leaks_together_are_the_most_that_leak_outside() -> None:
    assert ducts_of(with_readings(in_the_attic(total=120.0))) == pytest.approx((0.06, 0.06))
    assert ducts_of(with_readings(in_the_attic(total=400.0))) == (0.1, 0.1)


def test_less_duct_leakage_costs_less() -> None:
    costs = [Study(in_the_attic(outside=cfm)).plan(()).before.cost for cfm in (20.0, 200.0)]
    assert costs[0] < costs[1]


def test_depth_and_kind_of_fill_give_the_resistance_of_the_attic() -> None:
    layers = (
        FillReading(key="old", label="x", of="attic_floor", kind="fiberglass_batt", depth=3.5),
        FillReading(key="new", label="x", of="attic_floor", kind="cellulose_loose", depth=10.0),
    )
    house = with_readings(measured(fills=layers))
    attic = next(surface for surface in house.surfaces if surface.key == "attic_floor")
    assert attic.fill == "cellulose"
    # 3.5 in of batts are on labels, 10 in of cellulose R-34 to R-37 (trade labels, memory)
    assert 45.0 < float(attic.r_label) < 50.0
    assert float(attic.label_thickness) == 13.5


def test_newer_labels_are_converted() -> None:
    """Pairs of the federal minimums: 14 SEER and 13.4 SEER2, 15 and 14.3, 8.8 HSPF and 7.5 HSPF2 (memory)."""
    pump = example("heron_bay").as_found
    coolers = tuple(replace(unit, seer2=14.3) for unit in pump.air_conditioners)
    pumps = tuple(replace(unit, hspf2=7.5) for unit in pump.heat_pumps)
    read = with_readings(replace(pump, air_conditioners=coolers, heat_pumps=pumps))
    assert coolers or pumps
    assert [float(unit.seer) for unit in read.air_conditioners] == pytest.approx(
        [15.0] * len(coolers), rel=0.02
    )
    assert [float(unit.hspf) for unit in read.heat_pumps] == pytest.approx(
        [8.8] * len(pumps), rel=0.02
    )


def test_a_better_label_of_a_water_heater_uses_less() -> None:
    def tank(**label: float) -> House:
        tanks = tuple(replace(t, **label) for t in ALDER.water_heaters)
        return with_readings(replace(ALDER, water_heaters=tanks))

    worse, better = (Study(tank(uef=uef)).plan(()).before.cost for uef in (0.89, 0.93))
    assert better < worse


@pytest.mark.parametrize(
    ("house", "word", "hazard"),
    [
        (burner(spillage=90.0), "spillage_seen", "spillage_seen"),
        (burner(co_room=9.0), "co_above_limit", "co_in_rooms"),
        (burner(co_flue=150.0), "combustion_test_failed", "combustion_test_failed"),
        (burner(depressurization=4.0), "combustion_test_failed", "combustion_test_failed"),
        (burner(draft=-1.0), "combustion_test_failed", "combustion_test_failed"),
        (measured(gas=GasReading(found="leak")), "gas_smell", "gas_smell"),
        (measured(wood=(WoodReading(key="a", label="x", moisture=24.0),)), "moisture", "wet_building"),
        (measured(fills=(FillReading(key="a", label="x", kind="vermiculite"),)), "vermiculite", "vermiculite"),
        (measured(radon=(RadonReading(key="a", label="x", level=4.0),)), "radon_above_4", ""),
    ],
)  # fmt: skip
def test_a_reading_beyond_its_limit_raises_the_hazard(house: House, word: str, hazard: str) -> None:
    assert word in recorded_words(house) - recorded_words(ALDER)
    released = replace(house, observations=(*house.observations, *SAFE_WORDS))
    for one in (house, released):
        assert hazard in {"", *(found.key for found in hazards_of(one))}


def test_good_readings_release_nothing() -> None:
    good = replace(ALDER, measured=ALL)
    assert beyond_limits(good) == ()
    assert recorded_words(good) == recorded_words(ALDER)
    assert hazards_of(good) == hazards_of(ALDER)


def test_the_least_draft_hangs_on_the_weather() -> None:
    assert not beyond_limits(burner(draft=-1.0, outdoor_temperature=80.0))
    assert [b.allowed for b in beyond_limits(burner(draft=-1.0, outdoor_temperature=0.0))] == [-2.5]
    assert not beyond_limits(burner(draft=-1.0, kind="sealed"))


def test_the_step_that_settles_a_hazard_names_the_reading() -> None:
    proposed = rater_plan(Advice(Study(burner(co_room=12.0))), sure=False)
    step = next(step for step in proposed.steps if step.key == "co_in_rooms")
    read = [item for item in step.evidence if item.kind == READING]
    assert [(item.value, item.unit, item.place) for item in read] == [(12.0, "ppm", "Water heater")]


def test_a_reading_beyond_its_limit_is_told_with_limit_source_and_edition() -> None:
    told = [oddity for oddity in check_house(burner(co_room=12.0)) if "co_room" in oddity.path]
    said = " ".join(oddity.sentence for oddity in told)
    for words in (
        "12 ppm at Water heater is beyond the limit of 9 ppm",
        "Environmental",
        "undated",
        "code office",
    ):
        assert words in said


def test_every_limit_names_a_reading_a_source_and_its_edition() -> None:
    for limit in limits():
        assert hasattr(ALL, limit.list)
        assert hasattr(getattr(ALL, limit.list)[0], limit.field)
        assert limit.source
        assert limit.edition


def test_readings_are_part_of_the_mark_of_a_house() -> None:
    assert fingerprint(replace(ALDER, measured=ALL)) != fingerprint(ALDER)
