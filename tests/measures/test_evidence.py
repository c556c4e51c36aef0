"""Phases and evidence of the measures: each names what must be known, and a house tells which of it is."""

from dataclasses import replace

import pytest
from house_variants import variants
from ten_houses import ten_houses

from retrofit_lab.base.values import InputError
from retrofit_lab.house.observations import observation_names
from retrofit_lab.house.paths import number_at, number_fields
from retrofit_lab.measures.catalog import (
    PHASES,
    Measure,
    catalog,
    measure_from_table,
    measure_named,
)
from retrofit_lab.measures.evidence import not_known, open_numbers
from retrofit_lab.measures.fitted_measures import offers_for

HOUSES = ten_houses()
each = pytest.mark.parametrize("measure", catalog(), ids=lambda measure: measure.key)
UNDER_WHAT_COMES_LATER = {"crawl_floor_insulation", "belly_repair"}
"""Floors that hide ducts: they are fixed first, though ducts are a later phase."""

ONLY_SEEN = {"wall_sheathing": {"siding_due"}}
"""What no number of a house tells, only a person who looks."""


def offered(name: str) -> tuple[Measure, ...]:
    return tuple(offer.measure for offer in offers_for(HOUSES[name], catalog())[1])


@each
def test_what_comes_before_is_in_no_later_phase(measure: Measure) -> None:
    if measure.key not in UNDER_WHAT_COMES_LATER:
        for key in measure.after:
            earlier = measure_named(key)
            assert PHASES.index(earlier.phase) <= PHASES.index(measure.phase), key


@pytest.mark.parametrize("name", HOUSES)
def test_nothing_is_known_of_a_house_that_nobody_looked_at(name: str) -> None:
    house = HOUSES[name]
    for measure in offered(name):
        assert not_known(house, measure.rests_on), measure.key
        assert set(open_numbers(house, measure.rests_on[0])) <= house.assumed


@pytest.mark.parametrize("name", HOUSES)
def test_everything_is_known_when_every_number_is_given(name: str) -> None:
    house = replace(HOUSES[name], assumed=frozenset())
    for measure in offered(name):
        words = set(not_known(house, measure.rests_on))
        assert words <= ONLY_SEEN.get(measure.key, set()), measure.key


@each
def test_evidence_is_met_in_some_house_where_the_measure_is_offered(measure: Measure) -> None:
    """A selector with a slip of the pen would never find anything."""
    houses = [*HOUSES.values(), *variants().values()]
    for entry in measure.rests_on:
        words = set(entry.split(" or ")) <= observation_names().keys()
        found = words or [
            path for house in houses for path in open_numbers(_unseen(house, entry), entry)
        ]
        assert found, entry


def _unseen(house, entry):
    """House in which nothing that an entry names has been given."""
    paths = frozenset(open_numbers(replace(house, assumed=Everything()), entry))
    for path in paths:
        owner, _, field = path.rpartition(".")
        kind = type(number_at(house, owner))
        assert field in (*number_fields(kind), "made"), path
    return replace(house, assumed=paths)


class Everything(frozenset):
    def __contains__(self, item: object) -> bool:
        return True


def test_a_number_or_a_year_or_a_seen_thing_is_evidence() -> None:
    house = HOUSES["crawl space in Carolina"]
    rim, furnace = (
        measure_named("band_joist_foam").rests_on,
        measure_named("furnace_upgrade").rests_on,
    )
    assert not_known(house, rim) == rim
    answered = house.assumed - {"surfaces.band_joist.r_label"}
    assert not_known(replace(house, assumed=answered), rim) == ()
    assert not_known(replace(house, observations=("band_joist_bare",)), rim) == ()
    heater = replace(house.fuel_heaters[0], made="about 1988")
    assert not_known(replace(house, fuel_heaters=(heater,)), furnace) == ()


def test_every_entry_has_to_be_known() -> None:
    house = HOUSES["electric heaters in Seattle"]
    two = ("windows.shgc", "windows.facing")
    west = replace(house, assumed=house.assumed - {f"windows.{house.windows[0].key}.facing"})
    assert not_known(west, two) == ("windows.shgc",)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"phase": "later"}, r"phase 'later' is unknown; nearest .*free, seal_and_insulate"),
        ({"rests_on": ["warm_tnak"]}, r"rests_on: 'warm_tnak' is neither a number such as"),
        ({"rests_on": ["surfaces[kind=rim]"]}, r"rests_on: 'surfaces\[kind=rim\]' is neither a number"),
    ],
)  # fmt: skip
def test_wrong_entry_is_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        measure_from_table(ENTRY | change)
    assert measure_from_table(ENTRY).phase == "water"


ENTRY = {
    "key": "wrap", "title": "Wrap", "in_short": "a warm wrap", "part": "hot water", "why": "Warm.", "materials": "Wrap.", "done": "Warm to the touch.", "doer": "owner", "trade": "plumbing", "phase": "water",
    "rests_on": ["water_heaters.r_tank or warm_tank"],
    "changes": [{"where": "water_heaters", "field": "r_wrap", "op": "at_least", "value": "R-10"}],
    "cost": {"low": 1, "likely": 2, "high": 3, "year": 2025, "source": "test", "mark": "read"},
    "life": {"years": 8, "source": "test", "mark": "memory"},
}  # fmt: skip
