"""The route asks for every number of a house exactly once, and what it offers exists."""

import pytest
from examples import example

from retrofit_lab.app.walk.route import (
    adding_places,
    asked,
    called_for,
    is_here,
    main_fields,
    more_fields,
    records_at,
    stop_named,
    stop_of,
    stops,
    word_label,
)
from retrofit_lab.house.editing import with_item
from retrofit_lab.house.first_answers import default_answers, first_answers, questions
from retrofit_lab.house.items import items
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at, numbers
from retrofit_lab.house.starting import starting_house
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.fitted_measures import offers_for
from retrofit_lab.measures.look_for import finding_named, findings
from retrofit_lab.measures.selecting import select

OPTIONS = {row["key"]: row["options"] for row in questions() if row["kind"] == "choice"}


def started(**changes: str):
    base = {**default_answers(), "name": "Plum Lane", "climate": "miami_fl"}
    return starting_house(first_answers({**base, **changes}))


HOUSES = [example("alder_street").as_found, example("wren_cottage").as_found] + [
    started(foundation=foundation, roof=roof)
    for foundation in OPTIONS["foundation"]
    for roof in OPTIONS["roof"]
]


@pytest.mark.parametrize("house", HOUSES, ids=range(len(HOUSES)))
def test_every_number_is_asked_at_exactly_one_stop(house) -> None:
    shown: list[str] = []
    for stop in stops():
        for path in records_at(house, stop):
            names = (*main_fields(house, path, stop), *more_fields(house, path, stop))
            shown += [f"{path}.{name}" if path else name for name in names]
    assert len(shown) == len(set(shown))
    assert {path for path, _ in numbers(house)} <= set(shown)
    assert {"name", "note", "bills", "leakage.flue", "hot_water.pipe_place"} <= set(shown)


def test_what_is_asked_first_is_fewer_than_all() -> None:
    house = HOUSES[0]
    first = [path for stop in stops() for path in asked(house, stop)]
    assert len(first) == len(set(first))
    assert 100 < len(first) < 0.75 * len(list(numbers(house)))


def test_every_part_that_can_be_added_is_offered_somewhere_and_lands_there() -> None:
    offered = {name for stop in stops() for name in stop.adds}
    assert offered == set(items())
    for stop in stops():
        for place in adding_places(HOUSES[0], stop):
            assert isinstance(number_at(HOUSES[0], place.list_path), tuple)


def test_every_observation_is_asked_at_one_stop() -> None:
    words = [word for stop in stops() for word in stop.observations if word in observation_names()]
    assert sorted(words) == sorted(observation_names())


def test_every_offer_is_suggested_at_a_stop() -> None:
    for house in HOUSES[:2]:
        offers = offers_for(house, catalog())[1]
        shown = {offer.key for stop in stops() for offer in called_for(house, stop, offers)}
        additions = {offer.key for offer in offers if offer.measure.adds}
        assert {offer.key for offer in offers} - additions <= shown


def test_stop_of_a_path() -> None:
    house = HOUSES[0]
    assert stop_of(house, "surfaces.attic_floor.r_label") == "attic"
    assert stop_of(house, "zones.upstairs.periods.night.hours") == "thermostat"
    assert stop_of(house, "leakage.flow") == "blower_door"
    assert stop_of(house, "nowhere") == "house"
    assert stop_named("nowhere") is None


def test_every_stop_says_what_to_look_for_how_to_measure_and_why() -> None:
    for stop in stops():
        assert stop.findings or (stop.look and stop.measure)
        assert stop.why.endswith(".")


def test_every_finding_is_looked_for_at_one_stop_where_its_numbers_are_written_down() -> None:
    shown = [key for stop in stops() for key in stop.findings]
    assert sorted(shown) == sorted(findings())
    house = HOUSES[0]
    for item in items().values():
        if item.to != "prices":
            house, _ = with_item(house, item.to.replace("*", "upstairs"), item)
    for stop in stops():
        here = set(records_at(house, stop))
        for finding in map(finding_named, stop.findings):
            filled = {p for text in finding.fills for p in select(house, text.rpartition(".")[0])}
            assert filled & here, f"{finding.key} at {stop.key}"


def test_finding_is_here_where_the_house_has_its_part() -> None:
    assert is_here(HOUSES[0], finding_named("heat_pump"))
    assert not is_here(HOUSES[1], finding_named("heat_pump"))


def test_words_are_plain_english() -> None:
    assert word_label("flue", "none") == "no"
    assert word_label("fill", "none") == "nothing"
    assert word_label("fuel", "natural_gas") == "natural gas"
    assert word_label("kind", "some_thing") == "some thing"
