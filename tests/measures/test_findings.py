"""Findings of the walk: every one leads to a measure, every measure is reached, and what they name exists."""

import pytest
from house_variants import variants

from retrofit_lab.base.parameters import parameters
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.paths import number_fields
from retrofit_lab.measures.catalog import catalog
from retrofit_lab.measures.look_for import (
    STOPS,
    Finding,
    FindingError,
    finding_named,
    findings,
    findings_at,
    findings_with,
)
from retrofit_lab.measures.selecting import select
from retrofit_lab.safety.cautions import cautions

WALK = (
    "bare_basement_walls", "band_joist", "sill", "crawl_space", "heat_pump", "furnace", "air_handler",
    "dirty_filter", "duct_tape", "disconnected_ducts", "bare_ducts", "register_boots", "water_heater",
    "hot_water_pipes", "faucets_and_showers", "floor_holes", "attic_floor_holes", "outlets", "baseboards",
    "windows", "doors", "fireplace", "attic_hatch", "attic_stairs", "attic_insulation",
    "recessed_lights", "kneewalls", "cathedral_ceiling", "bath_fan", "standby", "lamps",
    "lamps_left_on", "thermostat", "second_refrigerator", "dehumidifier", "pool_pump", "bills",
)  # fmt: skip
HOUSES = variants()
each = pytest.mark.parametrize("finding", findings().values(), ids=lambda finding: finding.key)


def test_the_whole_walk_is_covered() -> None:
    assert set(WALK) <= set(findings())


@each
def test_finding_leads_to_a_measure_and_is_complete(finding: Finding) -> None:
    assert finding.measures
    for text in (finding.look, finding.how, finding.why):
        assert len(text) > 20
        assert text.endswith((".", "?"))
    assert finding.title
    assert set(finding.cautions) <= set(cautions())


def test_every_measure_is_reached_by_a_finding() -> None:
    reached = {key for finding in findings().values() for key in finding.measures}
    assert reached == {measure.key for measure in catalog()}


def test_link_is_the_same_from_both_sides() -> None:
    for measure in catalog():
        for key in measure.findings:
            assert measure.key in finding_named(key).measures


@each
def test_filled_numbers_exist(finding: Finding) -> None:
    assert finding.fills
    for path in finding.fills:
        where, _, field = path.rpartition(".")
        for house in HOUSES.values():
            for record in select(house, where):
                owner = house
                for name in record.split("."):
                    owner = _child(owner, name)
                assert field in number_fields(type(owner)), path
                assert f"{owner.section}.{field}" in parameters()


@each
def test_filled_numbers_are_met_in_some_house(finding: Finding) -> None:
    """A selector with a slip of the pen would never find anything."""
    for path in finding.fills:
        where = path.rpartition(".")[0]
        if where not in NOT_IN_THE_VARIANTS:
            assert any(select(house, where) for house in HOUSES.values()), path


NOT_IN_THE_VARIANTS = {"fans"}


def _child(owner, name):
    if isinstance(owner, tuple):
        return next(item for item in owner if item.key == name)
    return getattr(owner, name)


def test_every_observation_belongs_to_a_finding() -> None:
    known = {row["key"] for row in read_rows("observations.csv")}
    named = {word for finding in findings().values() for word in finding.observations}
    assert named == known
    for word in known:
        assert findings_with(word)


def test_walk_goes_from_the_basement_to_the_attic_and_then_out() -> None:
    order = [STOPS.index(finding.stop) for finding in findings().values()]
    assert order == sorted(order)
    assert sum(len(findings_at(stop)) for stop in STOPS) == len(findings())
    assert all(findings_at(stop) for stop in STOPS)


def test_no_finding_clears_anything() -> None:
    for finding in findings().values():
        for text in (finding.look, finding.how, finding.why):
            assert "safe" not in text.lower()


def test_unknown_finding_is_refused_with_the_known_ones() -> None:
    with pytest.raises(FindingError, match=r"no finding 'ghosts'.*band_joist"):
        finding_named("ghosts")
