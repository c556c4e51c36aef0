"""Answers, words, parts and observations change a house; what is refused says why; estimates are accounted for."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.house.checking import HouseError, check_house
from retrofit_lab.house.editing import (
    choices_of,
    unit_of_kind,
    with_answer,
    with_item,
    with_observation,
    with_word,
    without_item,
)
from retrofit_lab.house.file import house_from_table, house_to_table, load_house
from retrofit_lab.house.items import item_named, items, items_for
from retrofit_lab.house.paths import may_stay_open, number_at, number_fields, numbers
from retrofit_lab.house.typed import read_typed

ALDER = load_house(data_path("houses", "alder_street.toml"))


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("13", "ft2*hour*delta_degF/Btu", 13.0), ("R-13", "ft2*hour*delta_degF/Btu", 13.0),
        ("1,850", "cfm", 1850.0), ("3.5 in", "inch", 3.5), ("3 1/2 in", "inch", 3.5), ("3-1/2", "inch", 3.5),
        ("5' 6\"", "ft", 5.5), ("5 ft 6 in", "ft", 5.5), ("20 C", "degF", 68.0), ("85 %", "1", 0.85),
        ("42 ft2", "ft2", 42.0), ("896 ft3", "ft3", 896.0), ("5 ft 6", "inch", 66.0),
        ("100 m2", "ft2", 1076.39), ("2 kW", "W", 2000.0), ("1/4", "1", 0.25),
    ],
)  # fmt: skip
def test_what_people_type(text: str, unit: str, value: float) -> None:
    assert read_typed(text, unit) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    "text", ["nan", "inf", "1/0", "12 kg", "twelve", "9" * 100, "--3", "U-0.05"]
)
def test_what_is_no_number(text: str) -> None:
    with pytest.raises(InputError):
        read_typed(text, "ft2*hour*delta_degF/Btu")


@given(st.text(max_size=30))
@settings(deadline=None, max_examples=200)
def test_no_text_breaks_the_reading(text: str) -> None:
    try:
        value = read_typed(text, "ft")
    except InputError:
        return
    assert math.isfinite(value)


def test_answer_replaces_the_estimate() -> None:
    path = "surfaces.walls.r_framing"
    assert path in ALDER.assumed
    house = with_answer(ALDER, path, "5")
    assert number_at(house, path) == 5.0
    assert path not in house.assumed
    back = with_answer(house, path, " ")
    assert back == ALDER


def test_answer_without_default_taken_back_stays_as_estimate() -> None:
    house = with_answer(ALDER, "leakage.flow", "")
    assert number_at(house, "leakage.flow") == 2650.0
    assert "leakage.flow" in house.assumed
    assert house_from_table(house_to_table(house)) == house


def test_flow_with_its_pressure() -> None:
    house = with_answer(ALDER, "leakage.flow", "1850 cfm at 45 Pa")
    assert (house.leakage.flow, house.leakage.pressure) == (1850.0, 45.0)
    with pytest.raises(HouseError, match="airflow of the furnace fan"):
        with_answer(ALDER, "ducts.flow", "900 cfm at 50 Pa")


@pytest.mark.parametrize(
    ("path", "text", "words"),
    [
        ("surfaces.walls.area", "-12 ft2", "area is -12 sq ft; must be 0.2 to 20000. Enter the net area"),
        ("surfaces.walls.r_label", "0.05", "R-0.05 looks like a U-value; U-0.05 is R-20"),
        ("surfaces.walls.r_label", "-3", "R-value on the insulation label is -3 R; must be 0 to 100"),
        ("surfaces.walls.r_label", "U-0.05", "an R-value is needed"),
        ("surfaces.walls.area", "12 kg", "area: '12 kg' cannot be read as sq ft"),
        ("surfaces.walls.__class__", "1", "there is no number"),
        ("nothing", "1", "there is no number 'nothing'"),
    ],
)  # fmt: skip
def test_refused_numbers(path: str, text: str, words: str) -> None:
    with pytest.raises(HouseError, match=words):
        with_answer(ALDER, path, text)


def test_words_and_their_choices() -> None:
    assert with_word(ALDER, "surfaces.walls.fill", "cellulose").surfaces[0].fill == "cellulose"
    assert with_word(ALDER, "note", "").note == ""
    assert "kneewall_space" in choices_of(ALDER, ALDER.surfaces[0], "outside")
    assert "outlets" in choices_of(ALDER, ALDER.leakage.sites[0], "kind")
    for path, word, words in (
        ("surfaces.walls.fill", "straw", "'straw' is unknown; use one of none, batt"),
        ("surfaces.walls.outside", "loft", "'loft' is unknown"),
        ("surfaces.walls.key", "x", "there is no word"),
        ("surfaces.walls.section", "x", "there is no word"),
        ("surfaces.walls.label", "  ", "a name is needed"),
        ("name", "x" * 5000, "at most 4000"),
        ("surfaces.walls", "x", "there is no part"),
        ("size.volume", "x", "there is no word"),
    ):
        with pytest.raises(HouseError, match=words):
            with_word(ALDER, path, word)


def test_every_part_can_be_added_and_removed_again() -> None:
    for item in items().values():
        to = item.to.replace("*", "upstairs")
        if to == "prices" and item.record.key in {price.key for price in ALDER.prices}:
            continue
        house, path = with_item(ALDER, to, item)
        kind = type(item.record)
        needed = set(number_fields(kind)) - may_stay_open(kind)
        assert {p for p in house.assumed if p.startswith(f"{path}.")} == {
            f"{path}.{name}" for name in needed
        }
        assert item.record.key in path
        check_house(house)
        again = without_item(house, path)
        assert again == ALDER


def test_second_part_of_a_kind_gets_its_own_key_and_the_share_that_is_left() -> None:
    tank = item_named("water_heaters.electric_tank")
    house, _ = with_item(ALDER, "water_heaters", tank)
    house, path = with_item(house, "water_heaters", tank)
    assert path == "water_heaters.electric_tank_2"
    assert house.water_heaters[-1].share == 0.0
    with pytest.raises(HouseError, match="there is already a price of electricity"):
        with_item(ALDER, "prices", item_named("prices.electricity"))


def test_place_that_others_border_on_stays() -> None:
    with pytest.raises(
        HouseError, match=r"Attic floor.*Roof over the attic.*Change or remove them first"
    ):
        without_item(ALDER, "buffers.attic")
    for path in ("buffers.cellar", "site.climate", "observations.moisture", "nothing.at.all"):
        with pytest.raises(HouseError, match="there is no"):
            without_item(ALDER, path)


def test_items_offered_for_a_list_are_of_its_kind() -> None:
    assert {type(i.record) for i in items_for("zones.upstairs.periods")} == {
        type(ALDER.zones[0].periods[0])
    }
    assert len(list(items_for("leakage.sites"))) > 10


def test_full_list_takes_no_more() -> None:
    full = replace(ALDER, lamps=tuple(replace(ALDER.lamps[0], key=f"l{n}") for n in range(400)))
    with pytest.raises(HouseError, match="at most 400"):
        with_item(full, "lamps", item_named("lamps.lamps"))


def test_observations() -> None:
    house = with_observation(ALDER, "moisture", seen=True)
    assert house.observations[-1] == "moisture"
    assert with_observation(house, "moisture", seen=True) == house
    assert with_observation(house, "moisture", seen=False) == ALDER
    with pytest.raises(HouseError, match="there is no observation 'x'"):
        with_observation(ALDER, "x", seen=True)


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_any_sequence_of_edits_leaves_a_house_that_survives_its_file(data: st.DataObject) -> None:
    house = ALDER
    for _ in range(4):
        item = data.draw(st.sampled_from(sorted(items())))
        try:
            house, path = with_item(
                house, item_named(item).to.replace("*", "upstairs"), item_named(item)
            )
        except HouseError:
            continue
        if data.draw(st.booleans()):
            house = without_item(house, path)
        numbers_now = [path for path, _ in numbers(house)]
        house = with_answer(house, data.draw(st.sampled_from(numbers_now)), "")
    assert house_from_table(house_to_table(house)) == house


def test_estimated_rating_follows_the_year_of_making() -> None:
    wren = load_house(data_path("houses", "wren_cottage.toml"))
    path = "fuel_heaters.furnace"
    assert with_word(wren, f"{path}.made", "1965").fuel_heaters[0].efficiency == 0.76
    unknown = with_answer(wren, f"{path}.efficiency", "")
    assert with_word(unknown, f"{path}.made", "1965").fuel_heaters[0].efficiency == pytest.approx(
        0.62
    )


def test_leaks_are_counted_in_the_unit_of_their_kind() -> None:
    assert unit_of_kind(ALDER, "leakage.sites.baseboards.count") == "ft"
    house = with_answer(ALDER, "leakage.sites.baseboards.count", "10 m")
    assert house.leakage.sites[5].count == pytest.approx(32.81, rel=1e-3)
    assert with_answer(ALDER, "leakage.sites.outlets.count", "12").leakage.sites[4].count == 12.0
    assert unit_of_kind(ALDER, "prices.electricity.price") == "dollars a kWh"
    assert unit_of_kind(ALDER, "prices.electricity.fixed") == "dollars a month"
    assert unit_of_kind(ALDER, "prices.electricity.co2") == "kg a kWh"
    assert unit_of_kind(ALDER, "surfaces.walls.area") == ""
